"""The page of a withdrawn procedure in what is built after it was withdrawn: its notice, and nothing of its text."""

from __future__ import annotations

import json
import re
from dataclasses import replace
from datetime import date
from html import unescape
from pathlib import Path

import pytest
from click.testing import CliRunner

from approvals import SIGNER, TODAY, approve
from demo_site import change
from fake_editions import QuickDisk
from real_editions import approved_department, publish
from shared import copy_of
from site_contents import content_of
from yokebook.cli import main
from yokebook.control.standing import Withdrawal
from yokebook.control.target import Target
from yokebook.pages.words import read_finished
from yokebook.reference import verification, withdrawing
from yokebook.reference.assembling import assembled
from yokebook.reference.whole import work_out
from yokebook.reference.withdrawn_pages import with_notices
from yokebook.site.build import build

pytestmark = pytest.mark.xdist_group("withdrawn")

CARD = """---
title: "Card: oxygen on theatre-1"
procedure: CARD-01
owner: approver
machines: [theatre-1]
also_called: [the oxygen card]
summary: How it hung on the machine.
---

# Card: oxygen on theatre-1

{{ machine_card(cylinder="oxygen-e", machine="theatre-1", uses=["bellows"], time="15 min", first="the left one",
                hazards=["Ventilate by hand on a cylinder."]) }}
"""
HANGING = "cards:\n  - {card: theatre-1-oxygen, machine: theatre-1, place: left column, copy: 1, issue: 1}\n"
TOLD = Withdrawal(date(2026, 4, 1), "It was read in the wrong unit", "CYL-02")


def department(folder: Path) -> Path:
    """Return a department with two procedures and a card, all approved."""
    site = approved_department(folder)
    card = site / "content/pages/cards/theatre-1-oxygen.md"
    card.parent.mkdir()
    card.write_text(CARD, encoding="utf-8")
    approve(site, "CARD-01")
    (site / "content/control/cards.yaml").write_text(HANGING, encoding="utf-8")
    return site


def withdraw(site: Path, root: Path, *numbers: str) -> None:
    for number in numbers:
        order = withdrawing.Order(site, Target(root, QuickDisk()), TOLD, "a@b", TODAY)
        assert [] == withdrawing.withdraw(order, number).problems


@pytest.fixture(scope="module")
def story(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Path]:
    """Two editions: after the first CYL-01 and the card were withdrawn, a value moved and another page with it."""
    folder = copy_of("withdrawn", _make_story, tmp_path_factory.mktemp("story"))
    return folder / "site", folder / "target"


def _make_story(folder: Path) -> None:
    site, root = department(folder / "site"), folder / "target"
    publish(site, root, date(2026, 3, 9))
    withdraw(site, root, "CYL-01", "CARD-01")
    change(site / "content/data/department.yaml", "keep_back: 10 bar", "keep_back: 12 bar")
    change(site / "content/pages/other.md", "in good light", "in a good light")
    approve(site, "CYL-02", signer=replace(SIGNER, on=date(2026, 4, 1), reason="the light was misread"))
    publish(site, root, date(2026, 5, 4))


def told(html: str) -> list[str]:
    """Return what a reader reads on a page, block by block."""
    return [block.text.replace("\u00a0", " ") for block in read_finished(html)]


def article(path: Path) -> str:
    found = re.search(r"<article.*?</article>", path.read_text(encoding="utf-8"), re.DOTALL)
    assert found
    return found[0]


NOTICE = (
    "Withdrawn. Do not use this page. CYL-01 was withdrawn on 2026-04-01. Reason: It was read in the wrong unit. "
    "Use instead: CYL-02"
)
LOOK_UP = "What it last said can be looked up in the editions that held it: see the list of editions."


def test_its_page_is_its_notice_alone(story: tuple[Path, Path]) -> None:
    """Title, from which day, why, what instead, and where its last text is; the ways lead where they say."""
    page = story[1] / "editions/0002/page.html"
    html = article(page)
    assert ["Changing a cylinder on the yoke (withdrawn)", NOTICE, LOOK_UP] == told(html)
    ways = [(page.parent / unescape(way)).resolve() for way in re.findall(r'href="([^"]+)"', html)]
    assert [story[1] / "go/cyl-02.html", story[1] / "editions.html"] == ways
    assert all(way.is_file() for way in ways)
    whole = page.read_text(encoding="utf-8")
    assert "Approved by" not in whole
    assert not re.search("in force (?:since|from)</dt>", whole.lower())


def test_nothing_of_its_text_and_numbers_is_published(story: tuple[Path, Path]) -> None:
    """Neither on its page, nor in the lists and the search beside it, nor as workings."""
    edition = story[1] / "editions/0002"
    for name in ("page", "cards/theatre-1-oxygen"):
        assert {"calls": []} == json.loads((edition / f"numbers/{name}.json").read_text(encoding="utf-8"))
        assert not (edition / f"{name}.workings.html").exists()
    said = (b"or sooner", b"12 bar", b"How it hung on the machine")
    assert [] == [name for name, content in content_of(edition).items() if any(words in content for words in said)]


def test_a_withdrawn_card_prints_nothing_but_its_notice(story: tuple[Path, Path]) -> None:
    """No card, no foot of a controlled copy, no sheet of a card's size."""
    page = story[1] / "editions/0002/cards/theatre-1-oxygen.html"
    title, notice, _ = told(article(page))
    assert ("Card: oxygen on theatre-1 (withdrawn)", NOTICE.replace("CYL-01", "CARD-01")) == (title, notice)
    html = page.read_text(encoding="utf-8")
    assert "yb-card" not in html
    assert "ontrolled copy" not in html
    assert 'href="../../../go/cyl-02.html"' in html


def test_a_printed_sheet_says_that_it_is_withdrawn_and_no_issue(story: tuple[Path, Path]) -> None:
    """Who finds the sheet cannot take it for an issue in force."""
    html = (story[1] / "editions/0002/page.html").read_text(encoding="utf-8")
    sheet = told(html[html.index('<div class="yb-sheet">') :])
    assert [
        "WITHDRAWN: do not use. Printed copies are uncontrolled. Changing a cylinder on the yoke (withdrawn)",
        "Number CYL-01 · withdrawn on 2026-04-01 · edition 2 · Larkmoor Infirmary, Theatre Equipment Group",
    ] == sheet[:2]


def test_it_is_still_found_and_its_address_stays(story: tuple[Path, Path]) -> None:
    """By number, title and local words; the ways of other pages, which nobody approved anew, lead to it."""
    edition = story[1] / "editions/0002"
    script = (edition / "search_index.js").read_text(encoding="utf-8")
    entries = json.loads(script.partition("= ")[2].rstrip(";\n"))
    (entry,) = [entry for entry in entries if entry["code"] == "CARD-01"]
    assert ("Card: oxygen on theatre-1 (withdrawn)", ["the oxygen card"]) == (entry["title"], entry["called"])
    ((_, heading, words),) = entry["sections"]
    assert entry["title"] == heading
    assert words.startswith("Withdrawn. Do not use this page. CARD-01 was withdrawn on 2026-04-01.")
    assert 'href="page.html"' in article(edition / "index.html")


def test_the_navigation_says_in_words_that_it_is_withdrawn(story: tuple[Path, Path]) -> None:
    """Before anybody opens it."""
    html = (story[1] / "editions/0002/index.html").read_text(encoding="utf-8")
    links = re.findall(r'<a class="yb-pages__link" href="([^"]+)"[^>]*>([^<]+)</a>', html)
    assert ("page.html", "Changing a cylinder on the yoke (withdrawn)") in links
    assert ("other.html", "Reading the gauge") in links


def test_the_navigation_says_so_under_a_title_of_the_configuration_too(
    story: tuple[Path, Path], tmp_path: Path
) -> None:
    """A title that mkdocs.yml gives a page hides no withdrawal."""
    site, _ = story
    config = site / "mkdocs.yml"
    before = config.read_text(encoding="utf-8")
    config.write_text(f"{before}nav:\n- index.md\n- Changing: page.md\n- Reading: other.md\n", encoding="utf-8")
    assert build(assembled(site), tmp_path / "draft") is None
    config.write_text(before, encoding="utf-8")
    html = (tmp_path / "draft/editions/draft/index.html").read_text(encoding="utf-8")
    titles = re.findall(r'<a class="yb-pages__link"[^>]*>([^<]+)</a>', html)
    assert ["Changing a cylinder on the yoke (withdrawn)", "Reading"] == titles[1:3]


def test_a_draft_shows_the_notice_too(story: tuple[Path, Path], tmp_path: Path) -> None:
    """Who reads before publishing sees what readers will see."""
    assert build(assembled(story[0]), tmp_path / "draft") is None
    html = article(tmp_path / "draft/editions/draft/page.html")
    assert ["Changing a cylinder on the yoke (withdrawn)", NOTICE, LOOK_UP] == told(html)


def test_verify_is_content_though_a_value_moved_since(story: tuple[Path, Path]) -> None:
    """An edition holds no issue of what is withdrawn, so nothing is held against its approval."""
    site, root = story
    assert [] == verification.verify(Target(root), site)
    editions = Target(root).editions()
    assert [["CARD-01", "CYL-01", "CYL-02"], ["CYL-02"]] == [sorted(one.procedures) for one in editions.editions]
    assert {"CARD-01", "CYL-01"} == editions.withdrawn.keys()
    assert "Do not use CYL-01." in (root / "go/cyl-01.html").read_text(encoding="utf-8")


def test_what_changed_says_that_it_was_withdrawn_and_not_that_its_words_went(story: tuple[Path, Path]) -> None:
    """On the page of changes, and in the briefing; its own page bears no marks."""
    edition = story[1] / "editions/0002"
    lines = told(article(edition / "what-changed.html"))
    at = lines.index("CYL-01 Changing a cylinder on the yoke", 6)
    sentence = "Withdrawn on 2026-04-01: It was read in the wrong unit. Use instead: CYL-02"
    assert [sentence, "The page as it is now", "CYL-02 Reading the gauge"] == lines[at + 1 : at + 4]
    briefing = told(article(edition / "briefing.html"))
    listed = "CYL-01 Changing a cylinder on the yoke (withdrawn on 2026-04-01; use instead: CYL-02)"
    assert any(listed in line for line in briefing), briefing
    assert "yb-changed-note" not in (edition / "page.html").read_text(encoding="utf-8")


def test_compare_says_that_it_was_withdrawn(story: tuple[Path, Path]) -> None:
    """From one edition to the next; nothing from there to the draft; back again it is whole once more."""
    site, root = story

    def compare(*sides: str) -> str:
        return CliRunner().invoke(main, ["compare", "--site", str(site), "--target", str(root), *sides]).stdout

    expected = """\
CYL-01  Changing a cylinder on the yoke  (page.md)
  Withdrawn on 2026-04-01: It was read in the wrong unit. Use instead: CYL-02

"""
    assert expected in compare("1", "2")
    assert "Nothing moved." in compare("2", "draft")
    _, _, back = compare("2", "1").partition("CYL-01  Changing a cylinder on the yoke  (page.md)\n")
    assert "  The page is new." == back.partition("\n\n")[0].split("\n")[-1]
    plain = json.loads(compare("1", "2", "--format", "json"))
    (page,) = [page for page in plain["pages"] if page["procedure"] == "CYL-01"]
    assert {"on": "2026-04-01", "reason": TOLD.reason, "instead": "CYL-02"} == page["withdrawal"]


def test_the_plan_says_that_it_is_withdrawn_once(story: tuple[Path, Path], tmp_path: Path) -> None:
    """In the edition that no longer holds it; what is told of it anew counts as a change of the next one."""
    site, root = story
    arguments = ["publish", str(root), "--site", str(site), "--check", "--in-force", "2026-06-01"]
    (site / "content/pages/more.md").write_text("---\ntitle: More\n---\n\n# More\n", encoding="utf-8")
    plan = CliRunner().invoke(main, arguments).stdout
    assert "CYL-02  issue 2, unchanged: Reading the gauge\n" in plan
    assert "CYL-01" not in plan


def test_a_title_that_says_so_already_says_it_once_and_words_lead_nowhere(tmp_path: Path) -> None:
    """An author who wrote it into the title is not corrected."""
    site = approved_department(tmp_path / "site")
    change(site / "content/pages/other.md", "title: Reading the gauge", "title: Reading the gauge (withdrawn)")
    told_so = replace(TOLD, reason="Nobody reads it so any more!", instead="the poster <in the store>")
    worked = with_notices(work_out(site), {"CYL-02": told_so}).pages["other.md"]
    notice = (
        "Withdrawn. Do not use this page. CYL-02 was withdrawn on 2026-04-01. Reason: Nobody reads it so any more! "
        "Use instead: the poster <in the store>"
    )
    assert ["Reading the gauge (withdrawn)", notice, LOOK_UP] == told(worked.html)
    assert ['href="../../editions.html"'] == re.findall('href="[^"]*"', worked.html)
