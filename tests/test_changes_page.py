"""What a new edition changes: its page, the briefing on one sheet, marks on the pages, cards to take down."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import date
from html import unescape
from pathlib import Path

import pytest

from approvals import SIGNER, approve
from bad_sites import folders
from bad_sites import lay_out as lay_out_mistake
from changing_site import change_data, change_page, lay_out, publish
from yokebook.control.as_read import read_edition
from yokebook.control.editions import Edition
from yokebook.pages import words
from yokebook.reference import cards, changes_page, report
from yokebook.reference.approval import Control, work_out_with_records
from yokebook.reference.changes import EditionChanges, Previous, changes_since
from yokebook.reference.generated import GeneratedPage

FIRST = replace(SIGNER, on=date(2025, 12, 20))
SECOND = replace(
    FIRST, on=date(2026, 2, 25), reason="the lift was too slow to be counted on", incident="low-in-theatre"
)
CARDS = """cards:
  - {card: theatre-1-oxygen, machine: theatre-1, place: left column, copy: 1, issue: 1}
  - {card: theatre-1-oxygen, machine: scanner-1, place: spare, copy: 2, issue: 2}
"""


def department(folder: Path, *changes: tuple[str, str, str]) -> tuple[Path, Previous]:
    """Return a department that was published once, changed since, and approved again; and that first edition."""
    site, target = lay_out(folder / "site"), folder / "target"
    approve(site, "CYL-01", "CARD-01", signer=FIRST)
    edition = publish(site, target, date(2026, 1, 5), CYL_01=1, CARD_01=1)
    for file, old, new in changes:
        if file.endswith(".md"):
            change_page(site, file, old, new)
        else:
            change_data(site, file, old, new)
    moved = [problem.file for problem in work_out_with_records(site).reference.problems if problem.code == "W702"]
    numbers = {"content/pages/changing.md": "CYL-01", "content/pages/cards/theatre-1-oxygen.md": "CARD-01"}
    approve(site, *(numbers[file] for file in moved), signer=SECOND)
    (site / "content/control/cards.yaml").write_text(CARDS, encoding="utf-8")
    return site, previous(edition, target)


def previous(edition: Edition, target: Path) -> Previous:
    issues = {number: listed.issue for number, listed in edition.procedures.items()}
    return Previous(edition.number, edition.in_force, read_edition(target / edition.address), issues)


@pytest.fixture(scope="module")
def changed(tmp_path_factory: pytest.TempPathFactory) -> tuple[Control, EditionChanges]:
    """Words, numbers of a page and of a card, and a page that came."""
    site, before = department(
        tmp_path_factory.mktemp("changed"),
        ("department.yaml", "keep_back: 10 bar", "keep_back: 12 bar"),
        ("changing.md", "two hands", "both hands & no rings"),
    )
    (site / "content/pages/new.md").write_text("---\ntitle: New\n---\n\nWords.\n", encoding="utf-8")
    control = work_out_with_records(site)
    return control, changes_since(control.reference, control.records, before)


def lines(page: GeneratedPage) -> list[str]:
    """Return what a reader reads on a page, block by block."""
    return [block.text.replace("\u00a0", " ") for block in words.read_finished(page.html)]


def test_the_page_says_what_changed_and_why(changed: tuple[Control, EditionChanges]) -> None:
    """Issues, the reason, the review, the words, the numbers with their cause."""
    page, _ = changes_page.pages(changed[1])
    told = lines(page)
    assert ("what-changed.md", "What changed and why") == (page.path, page.title)
    head = (
        "What this edition says otherwise than edition 1, which was in force from 2026-01-05. The same on one sheet, "
    )
    assert [
        head + "for a meeting: briefing.",
        "CARD-01 Card: oxygen on theatre-1",
        "CYL-01 Changing a cylinder",
        "New",
    ] == told[:4]
    at = told.index("CYL-01 Changing a cylinder", 3)
    assert [
        "CYL-01 Changing a cylinder",
        "Issue 1 → issue 2. The page as it is now",
        "Why issue 2: the lift was too slow to be counted on (after the review of Oxygen low in theatre)",
        "Words",
        "Paragraph, under “Steps”",
        "Lift with out: two in: both hands in: & no rings, close to the body. See the card.",
    ] == told[at : at + 6]
    assert "Because: department.keep_back: 10 bar → 12 bar" in told
    row = told.index("Reading (bar) 30, By hand at low flow, 1 L/min set: up to 1.1 L/min")
    assert ["25 min", "17 min"] == told[row + 1 : row + 3]
    at = told.index("New", 4)
    assert ["New", "New in this edition. The page as it is now"] == told[at : at + 2]


def test_what_moved_in_one_table_of_several_pages_is_told_once(tmp_path: Path) -> None:
    """In full on the first page, and named on the others with the way to it; other tables stay in full."""
    call = '{{ reserve_table(cylinder="oxygen-e", machine="theatre-1", uses=["bellows", "bag-low-flow"]) }}'
    site, target = lay_out(tmp_path / "site"), tmp_path / "target"
    for path in ("changing.md", "words.md"):
        page = site / "content/pages" / path
        page.write_text(f"{page.read_text(encoding='utf-8')}\n{call}\n", encoding="utf-8")
    before = previous(publish(site, target, date(2026, 1, 5), CYL_01=1, CARD_01=1), target)
    change_data(site, "machines.yaml", "high: 9 L/min", "high: 10 L/min")
    control = work_out_with_records(site)
    page, _ = changes_page.pages(changes_since(control.reference, control.records, before))
    html = page.html.replace("\u00a0", " ")
    _, first, other = re.split('<h2 id="(?:cyl-01|words)">', html)
    (anchor,) = set(re.findall(r'<li>At least how long .*? \(<a href="#(cyl-01-\d+)">CYL-01</a>\)</li>', other))
    assert f'<table id="{anchor}"' in first
    assert "<table" not in other
    cause = "Because: machines.theatre-1.drive.high: 9 L/min → 10 L/min"
    told = lines(page)
    head = [
        "Head of a column",
        "Ventilator, 1 L/min set: up to 10.1 L/min",
        "Ventilator, 1 L/min set: up to 11.1 L/min",
    ]
    at = told.index("Head of a column")
    assert head == told[at : at + 3]
    assert cause in told
    assert html.count(cause) == len(re.findall("<caption>|<p id=", html))


def test_what_went_and_came_is_told_by_words_not_by_a_line_alone(changed: tuple[Control, EditionChanges]) -> None:
    """Elements for machines, words for who sees no line; an author's sign stays a sign."""
    page, _ = changes_page.pages(changed[1])
    assert (
        '<del><span class="yb-sign">out:</span> two</del> <ins><span class="yb-sign">in:</span> both</ins>' in page.html
    )
    assert "&amp; no rings" in page.html


def test_the_page_leads_where_it_says(changed: tuple[Control, EditionChanges]) -> None:
    """Each of its links within leads to a heading, each other one to a page of the reference."""
    page, briefing = changes_page.pages(changed[1])
    control = changed[0]
    known = {path.removesuffix(".md") + ".html" for path in control.reference.pages} | {
        "briefing.html",
        "what-changed.html",
    }
    anchors = set(re.findall(r'id="([^"]+)"', page.html))
    links = re.findall(r'href="([^"]+)"', page.html + briefing.html)
    assert links
    for link in map(unescape, links):
        assert link[1:] in anchors if link.startswith("#") else link in known


def test_a_changed_page_says_so_at_its_head_and_bears_marks(changed: tuple[Control, EditionChanges]) -> None:
    """The line leads to the page's own part of the page of changes; nothing else of the page moves."""
    control, changes = changed
    worked = control.reference.pages["changing.md"]
    html = changes.marked(worked)
    note = (
        '<p class="yb-changed-note">Changed since edition 1: a double bar marks each place, a broken one '
        "where something was taken out. "
        'See <a href="what-changed.html#cyl-01">What changed and why</a>.</p>'
    )
    assert f"</h1>\n{note}\n" in html
    unmarked = re.sub(r' class="yb-(?:changed|cut)"|yb-(?:changed|cut) ', "", html.replace(f"\n{note}", "", 1))
    assert worked.html == unmarked
    assert "yb-changed" in html.replace(note, "")


def test_a_page_in_a_folder_finds_the_page_of_changes(changed: tuple[Control, EditionChanges]) -> None:
    """Over file:// a way is a way from the page."""
    control, changes = changed
    html = changes.marked(control.reference.pages["cards/theatre-1-oxygen.md"])
    assert 'href="../what-changed.html#card-01"' in html


def test_a_new_page_says_so_and_an_unchanged_one_is_left_alone(changed: tuple[Control, EditionChanges]) -> None:
    """Marks on all that is new would mark nothing."""
    control, changes = changed
    new, same = (control.reference.pages[path] for path in ("new.md", "words.md"))
    assert "This page is new since edition 1." in changes.marked(new)
    assert "yb-changed " not in changes.marked(new)
    assert same.html == changes.marked(same)


def test_the_briefing_says_what_happened_what_changed_and_the_numbers(changed: tuple[Control, EditionChanges]) -> None:
    """On one sheet, with room for names and dates."""
    _, page = changes_page.pages(changed[1])
    told = lines(page)
    at = told.index("Oxygen low in theatre. The reading was looked up late. Nobody came to harm.")
    assert "What was learnt: The table was not at the machine." == told[at + 1]
    reason = "the lift was too slow to be counted on: CARD-01 Card: oxygen on theatre-1 (issue 2); "
    assert f"{reason}CYL-01 Changing a cylinder (issue 2)" in told
    assert ["Name", "Date", "Name", "Date"] == told[-4:]
    assert 7 == page.html.count("<tr><td></td><td></td><td></td><td></td></tr>")
    assert "<input" not in page.html


def test_the_pages_for_authors_are_not_in_the_briefing(tmp_path: Path) -> None:
    """Nobody at a machine reads them; the page of changes has them all the same."""
    call = '{{ reserve_table(cylinder="oxygen-e", machine="theatre-1", uses=["bellows"]) }}'
    head = "---\ntitle: Calls for authors\nprocedure: REF-91\nowner: approver\n---\n\n# Calls for authors\n"
    site, target = lay_out(tmp_path / "site"), tmp_path / "target"
    (site / "content/pages/writing").mkdir()
    (site / "content/pages/writing/calls.md").write_text(f"{head}\nOld words.\n\n{call}\n", encoding="utf-8")
    approve(site, "CYL-01", "CARD-01", "REF-91", signer=FIRST)
    before = previous(publish(site, target, date(2026, 1, 5), CYL_01=1, CARD_01=1, REF_91=1), target)
    change_page(site, "writing/calls.md", "Old words", "New words")
    change_page(site, "changing.md", "two hands", "both hands")
    change_data(site, "department.yaml", "keep_back: 10 bar", "keep_back: 12 bar")
    approve(site, "CYL-01", "CARD-01", "REF-91", signer=replace(SECOND, incident=""))
    control = work_out_with_records(site)
    page, briefing = changes_page.pages(changes_since(control.reference, control.records, before))
    assert "REF-91 Calls for authors" in lines(page)
    told = " ".join(lines(briefing))
    assert "CYL-01, Paragraph, under “Steps”" in told
    assert not [word for word in ("REF-91", "Calls for authors", "New words") if word in told]


def test_the_briefing_puts_first_what_moved_most(changed: tuple[Control, EditionChanges]) -> None:
    """Each number once, with all procedures on which it stands; the rest is counted."""
    _, page = changes_page.pages(changed[1])
    html = page.html.replace("\u00a0", " ")
    groups = re.findall(r'<th scope="rowgroup" colspan="3">(.*?)</th>', html)
    assert len(groups) == len(set(groups))
    assert any(group.startswith("CARD-01, CYL-01: At least how long") for group in groups)
    rows = re.findall(r'<tr><th scope="row">(.*?)</th><td>(.*?)</td><td>(.*?)</td></tr>', html)
    for table in html.split("<tbody>")[1:]:
        within = re.findall(r"<td>([^<]*)</td><td>([^<]*)</td>", table)
        shares = [minutes(after) / minutes(before) for before, after in within if "min" in before and "min" in after]
        assert sorted(shares) == shares
    assert 1 < len(rows) <= 2 * len(groups)


def minutes(text: str) -> int:
    found = re.fullmatch(r"(?:([0-9]+) h)? ?(?:([0-9]+) min)?", text)
    assert found
    return 60 * int(found[1] or 0) + int(found[2] or 0)


def test_an_edition_that_changes_nothing_says_so(tmp_path: Path) -> None:
    """No empty headings."""
    site, target = lay_out(tmp_path / "site"), tmp_path / "target"
    before = previous(publish(site, target, date(2026, 1, 5), CYL_01=1), target)
    control = work_out_with_records(site)
    page, briefing = changes_page.pages(changes_since(control.reference, control.records, before))
    assert "Nothing that a reader reads changed." == lines(page)[1]
    assert "No procedure changed." in lines(briefing)
    assert "before and after" not in briefing.html


def test_a_page_that_went_is_told(tmp_path: Path) -> None:
    """With its number, and without a way to it."""
    site, target = lay_out(tmp_path / "site"), tmp_path / "target"
    change_page(site, "changing.md", " See [the card](cards/theatre-1-oxygen.md).", "")
    before = previous(publish(site, target, date(2026, 1, 5), CYL_01=1), target)
    (site / "content/pages/cards/theatre-1-oxygen.md").unlink()
    control = work_out_with_records(site)
    page, _ = changes_page.pages(changes_since(control.reference, control.records, before))
    assert ["CARD-01 Card: oxygen on theatre-1", "No longer in this edition."] == lines(page)[2:4]


def test_a_withdrawn_page_that_went_too_is_told_as_withdrawn(tmp_path: Path) -> None:
    """From which day, why and what to use instead; the reasons of its issues are of no use any more."""
    site, before = department(tmp_path, ("cards/theatre-1-oxygen.md", '"100 bar", ', '"100 bar", "60 bar", '))
    record = site / "content/control/CARD-01.yaml"
    withdrawn = "withdrawn: {on: 2026-03-10, reason: the machine has gone away, instead: the poster}\n"
    record.write_text(record.read_text(encoding="utf-8") + withdrawn, encoding="utf-8")
    change_page(site, "changing.md", " See [the card](cards/theatre-1-oxygen.md).", "")
    (site / "content/pages/cards/theatre-1-oxygen.md").unlink()
    control = work_out_with_records(site)
    page, briefing = changes_page.pages(changes_since(control.reference, control.records, before))
    assert [
        "CARD-01 Card: oxygen on theatre-1",
        "Withdrawn on 2026-03-10: the machine has gone away. Use instead: the poster",
        "No longer in this edition.",
        "CYL-01 Changing a cylinder",
    ] == lines(page)[3:7]
    became = "Card: oxygen on theatre-1 (withdrawn on 2026-03-10; use instead: the poster)"
    assert f"the machine has gone away: CARD-01 {became}" in lines(briefing)


def test_a_registered_card_whose_content_moved_is_to_be_taken_down(changed: tuple[Control, EditionChanges]) -> None:
    """Card, machine, place, copy, both issues, the numbers, a line to sign; the copy that is new already stays."""
    found = cards.to_take_down(changed[0])
    expected = """Cards to take down:

CARD-01  Card: oxygen on theatre-1 (theatre-1-oxygen), copy 1
  at theatre-1: left column
  issue 1 → issue 2: what it says moved in issue 2
"""
    text = cards.as_text(found).replace("\u00a0", " ")
    assert text.startswith(expected)
    assert (
        "    Reading (bar) 100, Ventilator, 1 L/min set: up to 10.1 L/min: 35 min → " in text
        or "30, Ventilator" in text
    )
    assert text.endswith("  Removed by ____________________ on ______________\n")
    told = lines(cards.page(found))
    assert "Card: oxygen on theatre-1: copy 1 at theatre-1" in told
    assert (
        1 == told.count("Because: department.keep_back: 10 bar → 12 bar") == text.count("because department.keep_back")
    )
    assert ["Removed by", "On", "New one hung by", "On"] == told[-4:]


def test_a_card_whose_content_is_the_same_in_the_new_issue_may_stay(tmp_path: Path) -> None:
    """A new issue of another page, or a review, takes no card down."""
    site, _ = department(
        tmp_path, ("changing.md", "two hands", "both hands"), ("cards/theatre-1-oxygen.md", "\n# ", "\n\n# ")
    )
    control = work_out_with_records(site)
    assert 2 == control.records.procedures["CARD-01"].newest.number
    assert [] == cards.to_take_down(control)
    assert "No card is to be taken down.\n" == cards.as_text([])
    assert "Nothing is to be taken down." in cards.page([]).html


def test_a_card_without_a_page_and_a_withdrawn_one_are_to_be_taken_down(tmp_path: Path) -> None:
    """With the reason; nothing is hung in their place."""
    site, _ = department(tmp_path, ("cards/theatre-1-oxygen.md", '"100 bar", ', '"100 bar", "60 bar", '))
    record = site / "content/control/CARD-01.yaml"
    withdrawn = "withdrawn: {on: 2026-03-10, reason: the machine has gone away, instead: CYL-01}\n"
    record.write_text(record.read_text(encoding="utf-8") + withdrawn, encoding="utf-8")
    found = cards.to_take_down(work_out_with_records(site))
    assert [(None, "it was withdrawn: the machine has gone away")] * 2 == [(one.new_issue, one.why) for one in found]
    change_page(site, "changing.md", " See [the card](cards/theatre-1-oxygen.md).", "")
    (site / "content/pages/cards/theatre-1-oxygen.md").unlink()
    found = cards.to_take_down(work_out_with_records(site))
    assert ["its page is no longer there"] * 2 == [one.why for one in found]


@pytest.mark.parametrize("mistake", folders("E75", "W75"), ids=lambda folder: folder.name)
def test_a_mistake_in_the_register_of_cards_gives_its_report(mistake: Path, tmp_path: Path) -> None:
    """The report is the one that lies beside the mistake, to the letter."""
    reference = work_out_with_records(lay_out_mistake(mistake, tmp_path / "site")).reference
    expected = (mistake / "expected.txt").read_text(encoding="utf-8")
    assert expected == report.as_text(reference.problems, reference.lines_of)
    (problem,) = reference.problems
    assert mistake.name[:4] == problem.code


def test_a_card_at_a_machine_that_there_is_not_is_told(tmp_path: Path) -> None:
    """With the machine that was surely meant."""
    site = lay_out_mistake(folders("W75")[0], tmp_path / "site")
    register = site / "content/control/cards.yaml"
    register.write_text(
        register.read_text(encoding="utf-8").replace("machine: theatre-1", "machine: theater-1", 1), encoding="utf-8"
    )
    problems = [problem for problem in work_out_with_records(site).reference.problems if problem.code == "E512"]
    assert [("machines.yaml has no such machine", "theatre-1")] == [
        (problem.wrong, problem.suggestion) for problem in problems
    ]
