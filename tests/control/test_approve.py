"""Approving: what falls and what stays, two approvers, reviews without change, renewals of the program's words."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest

from approvals import SIGNER, TODAY, approve, ask_for_two, looked_at, small_department, states, told
from demo_site import change
from yokebook import files
from yokebook.control import records as models
from yokebook.control.records import ProcedureRecord
from yokebook.reference import approving
from yokebook.reference.approval import work_out_with_records
from yokebook.reference.approving import RefusedError, What
from yokebook.reference.signer import Signer

TABLE = (
    "At least how long one cylinder of oxygen lasts, by its gauge: for cylinders stamped 4.68\u00a0L (size E, UK), "
    "on theatre-1, for dials that end at 250\u00a0bar"
)


@pytest.fixture
def site(tmp_path: Path) -> Path:
    """A department with two pages, nothing approved."""
    return small_department(tmp_path / "site")


@pytest.fixture
def approved(site: Path) -> Path:
    """The same with both pages approved."""
    approve(site, "CYL-01", "CYL-02")
    return site


def record_of(site: Path, number: str = "CYL-01") -> ProcedureRecord:
    return looked_at(site).records.procedures[number]


def later(reason: str = "the limit was raised after a trial", on: date = date(2026, 4, 1), **others: object) -> Signer:
    return replace(SIGNER, on=on, reason=reason, **others)  # type: ignore[arg-type]


def test_a_page_that_was_never_approved_is_a_draft_and_no_problem(site: Path) -> None:
    """A new department isn't told about each of its pages at every check; the register says it."""
    assert {"CYL-01": (None, "draft"), "CYL-02": (None, "draft")} == states(site)
    assert [] == told(site)


def test_an_approval_is_written_with_what_was_approved(approved: Path) -> None:
    """The record holds the digest in its parts, who, when, why, and a review after the department's interval."""
    assert {"CYL-01": (1, "approved"), "CYL-02": (1, "approved")} == states(approved)
    control, issue = looked_at(approved), record_of(approved).newest
    assert control.pages["CYL-01"].digest == issue.digest.digest
    (signature,) = issue.approvals
    assert ("approver", "A. Example", date(2026, 3, 2)) == (signature.role, signature.name, signature.on)
    assert (date(2027, 3, 2), "first issue of this procedure") == (issue.review, issue.reason)
    kept = control.as_approved("CYL-01", issue)
    assert kept is not None
    assert ("page.md", "CYL-01") == (kept.page.path, kept.page.procedure)
    assert "10 bar" == kept.data["department.keep_back"]


@pytest.mark.parametrize("end", ["\r\n", "\n"])
def test_line_ends_of_another_system_take_no_approval_away(end: str, approved: Path) -> None:
    """A folder that went through a system with other line ends is still approved, page and record alike."""
    for file in [*approved.rglob("*.md"), *approved.rglob("*.json"), *approved.rglob("*.yaml")]:
        file.write_bytes(file.read_bytes().replace(b"\n", end.encode()))
    assert {"CYL-01": (1, "approved"), "CYL-02": (1, "approved")} == states(approved)
    assert [] == told(approved)


def test_changed_data_cost_just_the_pages_whose_numbers_moved(approved: Path) -> None:
    """The warning says which part moved, which number, from what to what, and by which key of the data."""
    change(approved / "content/data/department.yaml", "keep_back: 10 bar", "keep_back: 15 bar")
    assert {"CYL-01": (1, "draft"), "CYL-02": (1, "approved")} == states(approved)
    ((code, wrong),) = told(approved)
    assert "W702" == code
    first, *moved = wrong.split("\n")
    assert "the page moved since issue 1 was approved on 2026-03-02: what is worked out on it" == first
    assert "  The data's value department.keep_back" in moved
    assert "    10 bar → 15 bar" in [line.replace("\u00a0", " ") for line in moved]
    assert f"  {TABLE}" in moved
    assert "  because department.keep_back: 10 bar → 15 bar:" in moved


def test_data_that_move_no_shown_number_cost_nothing(approved: Path) -> None:
    """A value that no page shows, and one that moves a number beyond what is shown, leave all approvals."""
    change(approved / "content/data/gauges.yaml", "accuracy: {class: 1.6}", "accuracy: {class: 1}")
    change(
        approved / "content/data/cylinders.yaml",
        "at: 15 °C}\n  stored: theatre\nnitrous",
        "at: 15.1 °C}\n  stored: theatre\nnitrous",
    )
    assert {"CYL-01": (1, "approved"), "CYL-02": (1, "approved")} == states(approved)


def test_renamed_keys_navigation_and_other_pages_cost_nothing(approved: Path) -> None:
    """What readers of the page don't read is nothing to its approval."""
    for file in ("gauges.yaml", "machines.yaml"):
        change(approved / "content/data" / file, "yoke-oxygen", "oxygen-dial")
    change(approved / "mkdocs.yml", "Larkmoor Infirmary", "Another name")
    (approved / "content/pages/third.md").write_text(
        "---\ntitle: A third\n---\n\nSee [the yoke](page.md).\n", encoding="utf-8"
    )
    assert {"CYL-01": (1, "approved"), "CYL-02": (1, "approved")} == states(approved)
    assert [] == told(approved)


def test_a_swapped_picture_takes_the_approval_away(approved: Path) -> None:
    """The picture is named; a file that no page shows is nothing to it."""
    (approved / "content/pages/poster.pdf").write_bytes(b"more")
    assert {"CYL-01": (1, "approved"), "CYL-02": (1, "approved")} == states(approved)
    (approved / "content/pages/yoke.png").write_bytes(b"two")
    expected = (
        "the page moved since issue 1 was approved on 2026-03-02: its pictures\n"
        "  Picture yoke.png: another picture under the same name"
    )
    assert [("W702", expected)] == told(approved)


def test_a_renamed_use_takes_the_approval_away(approved: Path) -> None:
    """The head of a column is read by staff like a number."""
    change(approved / "content/data/uses.yaml", "title: Ventilator", "title: Bellows")
    assert (1, "draft") == states(approved)["CYL-01"]
    ((_, wrong),) = told(approved)
    assert "Bellows" in wrong


def test_an_authors_word_takes_the_approval_away(approved: Path) -> None:
    """Word by word, with signs round what went and what came."""
    change(approved / "content/pages/other.md", "in good light", "in bright light")
    expected = (
        "the page moved since issue 1 was approved on 2026-03-02: the author's text\n"
        "  Paragraph, under “Reading the gauge”:\n"
        "    Read it from the front, in [-good-]{+bright+} light."
    )
    assert [("W702", expected)] == told(approved)


def test_a_new_issue_follows_with_its_reason_and_incident(approved: Path) -> None:
    """Issue 2 is approved as the page is now; issue 1 stays in the record with what was approved then."""
    (approved / "content/pages/incidents/hissing-yoke.md").write_text(
        "---\ntitle: A yoke hissed\nincident: {happened: 2026-02-03, reviewed: 2026-02-20}\n---\n", encoding="utf-8"
    )
    change(approved / "content/data/department.yaml", "keep_back: 10 bar", "keep_back: 15 bar")
    approve(approved, "CYL-01", signer=later(incident="hissing-yoke"))
    first, second = record_of(approved).issues
    assert (1, 2, "hissing-yoke", date(2027, 4, 1)) == (first.number, second.number, second.incident, second.review)
    assert (2, "approved") == states(approved)["CYL-01"]
    control = looked_at(approved)
    old, new = (control.as_approved("CYL-01", issue) for issue in (first, second))
    assert old is not None
    assert new is not None
    assert ("10 bar", "15 bar") == (old.data["department.keep_back"], new.data["department.keep_back"])


def test_going_back_to_what_was_approved_brings_the_approval_back(approved: Path) -> None:
    """An approval is for what is read, not for when it was written."""
    change(approved / "content/pages/other.md", "in good light", "in bright light")
    change(approved / "content/pages/other.md", "in bright light", "in good light")
    assert (1, "approved") == states(approved)["CYL-02"]


def refusal(site: Path, *numbers: str, **how: object) -> str:
    before = {path: path.read_bytes() for path in site.rglob("*") if path.is_file() and ".yokebook" not in path.parts}
    with pytest.raises(RefusedError) as refused:
        approve(site, *numbers, **how)  # type: ignore[arg-type]
    after = {path: path.read_bytes() for path in site.rglob("*") if path.is_file() and ".yokebook" not in path.parts}
    assert before == after, "what is refused leaves no trace"
    return str(refused.value)


@pytest.mark.parametrize(
    ("signer", "expected"),
    [
        (replace(SIGNER, role="aprover"),
         "department.yaml has no role aprover. Perhaps meant: approver. Allowed: approver, equipment lead"),
        (replace(SIGNER, incident="hissing-yoke"),
         "content/pages/incidents has no page hissing-yoke.md. There are: none yet"),
        (replace(SIGNER, reason="typo"),
         "CYL-01: typo: this is too short for a reason that somebody else could judge. "
         "Allowed: a reason of at least three words."),
        (replace(SIGNER, review=date(2026, 3, 2)),
         "CYL-01: 2026-03-02: review is no later than its approval (2026-03-02). Allowed: a day after 2026-03-02."),
        (replace(SIGNER, name="  "), "CYL-01: name: nothing stands behind the key. "
         "Allowed: a value, or leave the key out."),
    ],
    ids=["role", "incident", "reason", "review", "name"],
)  # fmt: skip
def test_an_approval_that_says_too_little_is_refused(signer: Signer, expected: str, site: Path) -> None:
    """The same rules hold for the command as for the file; nothing is written."""
    assert expected == refusal(site, "CYL-01", signer=signer)


def test_what_cannot_be_approved_is_refused(approved: Path) -> None:
    """No such page; one that is as it was; a review of a page that moved; a day before the last approval's."""
    assert "No page has the number CYL-03. Perhaps meant: CYL-02" == refusal(approved, "CYL-03")
    assert (
        "CYL-01 is as it was when issue 1 was approved on 2026-03-02. "
        "To write down a review that found nothing to change: yokebook approve CYL-01 --unchanged"
    ) == refusal(approved, "CYL-01")
    change(approved / "content/pages/other.md", "in good light", "in bright light")
    assert (
        "CYL-02 moved since issue 1 was approved; a review without change is one of a page as it was approved."
    ) == refusal(approved, "CYL-02", unchanged=True)
    assert (
        "CYL-02: 2026-03-01: on (2026-03-01) lies before the approval of issue 1 (2026-03-02). "
        "Allowed: 2026-03-02 or later."
    ) == refusal(approved, "CYL-02", signer=replace(SIGNER, on=date(2026, 3, 1)))


def test_a_withdrawn_procedure_is_not_approved_again(approved: Path) -> None:
    """What takes its place has a number of its own, so that no link to the old one comes to life again."""
    with (approved / "content/control/CYL-02.yaml").open("a", encoding="utf-8") as file:
        file.write("withdrawn: {on: 2026-03-05, reason: it is gone now, instead: CYL-01}\n")
    assert (1, "withdrawn") == states(approved)["CYL-02"]
    change(approved / "content/pages/other.md", "in good light", "in bright light")
    assert (
        "CYL-02 was withdrawn on 2026-03-05 (it is gone now). What takes its place has a number of its own."
    ) == refusal(approved, "CYL-02", signer=later())


def test_a_review_that_changes_nothing_moves_its_day_and_no_issue(approved: Path) -> None:
    """The same issue stands; the register says when it is due next."""
    approve(approved, "CYL-01", signer=later(), unchanged=True)
    approve(approved, "CYL-01", signer=replace(SIGNER, on=date(2027, 3, 1), review=date(2027, 9, 1)), unchanged=True)
    issue = record_of(approved).newest
    assert (1, date(2027, 3, 2)) == (issue.number, issue.review)
    assert [date(2027, 4, 1), date(2027, 9, 1)] == [review.due for review in issue.reviews]
    standing = looked_at(approved).standing_of("CYL-01")
    assert (1, "approved", date(2027, 9, 1)) == (standing.issue, standing.state, standing.review_due)


@pytest.fixture
def of_two(site: Path) -> Path:
    """A department that asks for two approvals."""
    ask_for_two(site)
    approve(site, "CYL-01")
    return site


SECOND = replace(SIGNER, role="equipment lead", name="B. Sample", on=date(2026, 3, 4), reason="")


def test_two_approvers_make_one_issue(of_two: Path) -> None:
    """Till the second has signed what the first did, the page is a draft; the second adds to the same issue."""
    assert (1, "draft") == states(of_two)["CYL-01"]
    waits = "issue 1 waits for one approval more, in another role than approver"
    assert [("W702", waits)] == told(of_two)
    approve(of_two, "CYL-01", signer=SECOND)
    assert (1, "approved") == states(of_two)["CYL-01"]
    issue = record_of(of_two).newest
    assert (["A. Example", "B. Sample"], date(2026, 3, 4)) == ([one.name for one in issue.approvals], issue.approved_on)
    assert "first issue of this procedure" == issue.reason


@pytest.mark.parametrize(
    ("signer", "expected"),
    [
        (replace(SECOND, name="a.  EXAMPLE"),
         "CYL-01: a. EXAMPLE: a. EXAMPLE has approved this issue already; the second approval is another person's. "
         "Allowed: another person, in another role, for each approval."),
        (replace(SECOND, name="a example"),
         "CYL-01: a example: a example has approved this issue already; the second approval is another person's. "
         "Allowed: another person, in another role, for each approval."),
        (replace(SECOND, role="approver"),
         "CYL-01: approver: this issue is approved in the role of approver already; the second one has its own. "
         "Allowed: another person, in another role, for each approval."),
    ],
)  # fmt: skip
def test_one_person_cannot_give_both_approvals(signer: Signer, expected: str, of_two: Path) -> None:
    """Neither under another spelling, nor two in one role."""
    assert expected == refusal(of_two, "CYL-01", signer=signer)


def test_a_page_that_moves_between_two_approvals_begins_again(of_two: Path) -> None:
    """The second approver never signs what the first has not seen: the waiting issue is overtaken by a new one."""
    change(of_two / "content/data/department.yaml", "keep_back: 10 bar", "keep_back: 15 bar")
    approve(of_two, "CYL-01", signer=replace(SECOND, reason="the limit was raised after a trial"))
    issue = record_of(of_two).newest
    assert (2, ["B. Sample"]) == (issue.number, [one.name for one in issue.approvals])
    assert (2, "draft") == states(of_two)["CYL-01"]
    approve(of_two, "CYL-01", signer=replace(SIGNER, on=date(2026, 3, 5)))
    assert (2, "approved") == states(of_two)["CYL-01"]


def test_asking_for_two_takes_nothing_from_what_one_approved_and_was_published(approved: Path) -> None:
    """An issue in an edition had as many approvals as were asked for in its day; one that is in none needs a second."""
    (approved / "content/control/editions.yaml").write_text(
        f"editions:\n  - {{number: 1, in_force: 2026-03-09, manifest: {'a' * 64}, issues: {{CYL-01: 1}}}}\n",
        encoding="utf-8",
    )
    ask_for_two(approved)
    assert {"CYL-01": (1, "in force"), "CYL-02": (1, "draft")} == states(approved)


def renewed(site: Path) -> tuple[list[str], list[str]]:
    control = looked_at(site)
    proposals, refused = approving.propose_wording(control)
    assert {What.WORDING} >= {proposal.what for proposal in proposals}
    for proposal in proposals:
        made = approving.sign(control, proposal, later("the captions say more plainly whose gauge"), TODAY)
        made.write(control.folder)
    return [proposal.procedure for proposal in proposals], refused


def in_other_words(monkeypatch: pytest.MonkeyPatch, old: str, new: str) -> None:
    """Let the program say one of its words otherwise, as a new version might."""
    from yokebook.calls import result

    plain = result.Table.result

    def said(table: result.Table, name: str, arguments: object) -> result.Result:
        assert old in table.caption
        return plain(replace(table, caption=table.caption.replace(old, new)), name, arguments)  # type: ignore[arg-type]

    monkeypatch.setattr(result.Table, "result", said)


def test_the_programs_own_words_are_renewed_all_at_once(approved: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A new caption takes the approval away; one command gives it back, with a reason, and the review stays due."""
    in_other_words(monkeypatch, "by its gauge", "as read on its gauge")
    assert {"CYL-01": (1, "draft"), "CYL-02": (1, "approved")} == states(approved)
    assert (["CYL-01"], []) == renewed(approved)
    issue = record_of(approved).newest
    assert (2, True, date(2027, 3, 2)) == (issue.number, issue.wording, issue.review_due)
    assert {"CYL-01": (2, "approved"), "CYL-02": (1, "approved")} == states(approved)


@pytest.mark.parametrize(
    ("file", "old", "new", "expected"),
    [
        ("pages/other.md", "good light", "bright light", "CYL-02  Reading the gauge: moved: the author's text"),
        ("data/uses.yaml", "title: Ventilator", "title: Bellows", "the data moved: uses.bellows"),
        ("data/department.yaml", "keep_back: 10 bar", "keep_back: 11 bar", "the data moved: department.keep_back"),
        ("pages/yoke.png", "one", "two", "moved: what is worked out on it, its pictures"),
    ],
    ids=["author's word", "renamed use", "number", "picture"],
)
def test_more_than_the_programs_words_is_not_renewed(
    file: str, old: str, new: str, expected: str, approved: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """An author's word, a word or a number of the data, or a picture that moved too wants an approval of its own."""
    in_other_words(monkeypatch, "by its gauge", "as read on its gauge")
    change(approved / "content" / file, old, new)
    _, refused = renewed(approved)
    assert 1 == len(refused)
    assert refused[0].endswith(expected)


@pytest.mark.parametrize(
    ("old", "new"), [("4.68", "4.8"), ("250\u00a0bar", "250\u00a0psi"), ("by its gauge", "by its gauge, 2 of them")]
)
def test_a_number_or_unit_in_a_caption_is_no_word(
    old: str, new: str, approved: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A program that says another number without other data is not waved through as wording."""
    in_other_words(monkeypatch, old, new)
    expected = (
        "CYL-01  Changing a cylinder on the yoke: reserve_table: a number in its caption, condition, cautions or row "
        "finder moved"
    )
    assert ([], [expected]) == renewed(approved)


@pytest.mark.parametrize("operation", range(2))
def test_a_run_killed_between_its_two_files_leaves_the_old_record(
    operation: int, approved: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """What was approved is written first, the record last: whichever write fails, nothing half is believed."""
    change(approved / "content/data/department.yaml", "keep_back: 10 bar", "keep_back: 15 bar")
    (made,) = approve(approved, "CYL-01", signer=later(), write=False)
    before = (approved / "content/control/CYL-01.yaml").read_bytes()
    writes = []

    def fail(path: Path, content: bytes) -> None:
        if len(writes) == operation:
            raise OSError(28, "No space left on device", str(path))
        writes.append(path)
        files.write_whole(path, content)

    monkeypatch.setattr("yokebook.control.writing.write_whole", fail)
    with pytest.raises(OSError, match="No space left"):
        made.write(approved / "content/control")
    assert before == (approved / "content/control/CYL-01.yaml").read_bytes()
    assert ["W702"] == [code for code, _ in told(approved)]
    monkeypatch.undo()
    approve(approved, "CYL-01", signer=later())
    assert (2, "approved") == states(approved)["CYL-01"]


@pytest.mark.parametrize("name", ["A. Example: #1", 'the "second"', "null", "- dash", "2026-03-02", "Ünal, Ø.", "{x}"])
def test_what_somebody_types_is_read_back_as_typed(name: str, site: Path) -> None:
    """Signs that mean something in YAML are quoted; line breaks and unseen signs are not kept."""
    approve(site, "CYL-02", signer=replace(SIGNER, name=name, reason=f"first\nissue \u2028of {name}\x00"))
    issue = record_of(site, "CYL-02").newest
    assert (name, f"first issue of {name}") == (issue.approvals[0].name, issue.reason)


def test_every_field_of_a_record_says_what_it_means() -> None:
    """No field without a meaning and an example: its faults show them."""
    kinds = [models.ProcedureRecord, models.Issue, models.Signature, models.Review, models.DigestParts,
             models.Withdrawn, models.EditionRecord, models.EditionsRecord]  # fmt: skip
    lacking = [
        f"{kind.__name__}.{key}"
        for kind in kinds
        for key, field in kind.keys().items()
        if not (field.description and field.examples)
    ]
    assert [] == lacking


def unshown_data_moved(site: Path) -> None:
    """Let the data move where no page shows it: what is kept beside a record would be another file."""
    change(site / "content/data/places.yaml", "usual: 20 °C", "usual: 21 °C")


def test_a_review_leaves_what_was_approved_as_it_is(approved: Path) -> None:
    """The data moved without moving a shown number: the page stands, and so does the file of that day."""
    kept = approved / "content/control/approved/CYL-01-1.json"
    before = kept.read_bytes()
    unshown_data_moved(approved)
    (review,) = approve(approved, "CYL-01", signer=later(), unchanged=True)
    assert (None, before) == (review.as_read, kept.read_bytes())
    assert "usual: 20 °C".encode() in before
    assert (1, "approved") == states(approved)["CYL-01"]
    assert [] == told(approved)


def test_a_second_approval_leaves_what_the_first_approved_as_it_is(of_two: Path) -> None:
    """The same for the second of two: the record's digest is still that of the file."""
    kept = of_two / "content/control/approved/CYL-01-1.json"
    before = kept.read_bytes()
    unshown_data_moved(of_two)
    approve(of_two, "CYL-01", signer=SECOND)
    assert before == kept.read_bytes()
    assert (1, "approved") == states(of_two)["CYL-01"]
    assert [] == told(of_two)


def test_a_second_approval_writes_again_what_was_lost(of_two: Path) -> None:
    """A run killed while a page moved and came back may have left another file: the record follows the new one."""
    kept = of_two / "content/control/approved/CYL-01-1.json"
    kept.unlink()
    unshown_data_moved(of_two)
    approve(of_two, "CYL-01", signer=SECOND)
    assert "usual: 21 °C".encode() in kept.read_bytes()
    assert (1, "approved") == states(of_two)["CYL-01"]
    assert [] == told(of_two)


def test_a_second_approval_lies_not_before_the_first(of_two: Path) -> None:
    """Nobody approves for the second time what nobody had approved yet."""
    assert (
        "CYL-01: 2026-03-01: on (2026-03-01) lies before the approval by A. Example (2026-03-02). "
        "Allowed: 2026-03-02 or later."
    ) == refusal(of_two, "CYL-01", signer=replace(SECOND, on=date(2026, 3, 1)))


@pytest.mark.parametrize(
    ("reviewed", "expected"),
    [
        ("", "hissing-yoke: it says no review yet (content/pages/incidents/hissing-yoke.md; --on 2026-03-02). "
         "An issue that answers an incident is approved on the day of its review or later. "
         "Allowed: reviewed: with a day up to --on on that page, once held; or --incident left out"),
        (", reviewed: 2026-03-03", "hissing-yoke: the incident was reviewed on 2026-03-03, after the approval "
         "(content/pages/incidents/hissing-yoke.md; --on 2026-03-02). "
         "An issue that answers an incident is approved on the day of its review or later. "
         "Allowed: --on 2026-03-03 or later; or --incident left out"),
        (", reviewed: 2026-03-02", ""),
    ],
    ids=["not held", "later", "same day"],
)  # fmt: skip
def test_an_issue_answers_an_incident_only_after_its_review(reviewed: str, expected: str, site: Path) -> None:
    """Said when it is approved, not months later when the incident cannot be closed."""
    (site / "content/pages/incidents/hissing-yoke.md").write_text(
        f"---\ntitle: A yoke hissed\nincident: {{happened: 2026-02-03{reviewed}}}\n---\n", encoding="utf-8"
    )
    signer = replace(SIGNER, incident="hissing-yoke")
    if expected:
        assert expected == refusal(site, "CYL-01", signer=signer)
    else:
        approve(site, "CYL-01", signer=signer)
        assert "hissing-yoke" == record_of(site).newest.incident


def test_a_reason_names_no_person(site: Path) -> None:
    """Readers would see it; a false alarm is named on the page, where the page holds the words too."""
    signer = replace(SIGNER, reason="as Sister Brown asked for it in March")
    assert (
        "CYL-02: Sister Brown: this looks like a person's name, and readers would see this reason. "
        "Allowed: what happened, in roles: the person at the machine, a patient on the way; if it is no person, "
        "name the words under not_a_person in the front matter of content/pages/other.md, where its text holds them "
        "too. Example: not_a_person: [Sister Brown]"
    ) == refusal(site, "CYL-02", signer=signer)
    page = site / "content/pages/other.md"
    change(page, "owner: approver\n", "owner: approver\nnot_a_person: [Sister Brown]\n")
    change(page, "in good light.", "in good light, on Sister Brown ward too.")
    approve(site, "CYL-02", signer=signer)
    assert [] == list(looked_at(site).reference.problems)


def test_an_approval_bears_no_day_still_to_come(approved: Path) -> None:
    """Neither an issue nor a review: by the clock of this computer, which may be wrong; a quiet year is no slip."""
    change(approved / "content/pages/other.md", "in good light", "in bright light")
    wrong = (
        "--on: 2030-01-02 has not come yet: by the clock of this computer today is 2030-01-01. An approval bears the "
        "day on which it is given. Allowed: 2030-01-01 or earlier; where the clock is wrong, have it put right first"
    )
    assert wrong == refusal(approved, "CYL-02", signer=later(on=date(2030, 1, 2)))
    assert wrong == refusal(approved, "CYL-01", signer=later(on=date(2030, 1, 2)), unchanged=True)
    approve(approved, "CYL-01", signer=later(on=date(2029, 12, 31)), unchanged=True)
    approve(approved, "CYL-02", signer=later(on=date(2030, 1, 1)))
    assert (2, "approved") == states(approved)["CYL-02"]


def test_a_page_under_a_new_number_is_named(approved: Path) -> None:
    """Whoever renumbers a page is told so: the old number has lost its page to the new one."""
    change(approved / "content/pages/other.md", "procedure: CYL-02", "procedure: CYL-12")
    (problem,) = [one for one in work_out_with_records(approved).reference.problems if one.code == "E705"]
    assert (
        "the page other.md, which was approved as CYL-02, now bears the number CYL-12; CYL-02 has no page, "
        "and was not withdrawn",
        "procedure: CYL-02 on that page again, or CYL-02 withdrawn first, with CYL-12 in its place",
        "yokebook withdraw TARGET CYL-02 --reason ... --instead CYL-12 --on 2026-03-02",
    ) == (problem.wrong, problem.allowed, problem.example)
