"""The department's records: read strictly, written so that they are read back, and what they say of each procedure."""

from __future__ import annotations

import re
from datetime import date
from pathlib import Path
from typing import Any

import pytest

from yokebook.control import writing
from yokebook.control.digest import Digest
from yokebook.control.editions import Span
from yokebook.control.reading import read_records
from yokebook.control.records import EditionsRecord, ProcedureRecord, Records
from yokebook.control.register import IssueHistory, ProcedureNow, history_of, standing_of
from yokebook.control.standing import DRAFT, Approval, EditionMark, State, Withdrawal
from yokebook.reference import register_page
from yokebook.reference.register_page import Registered

OLD, NEW = "a" * 64, "b" * 64


def issue(number: int, digest: str = OLD, *, on: str, **more: Any) -> dict[str, Any]:
    signature = {"role": "approver", "name": "A. Example", "on": on}
    parts = dict.fromkeys(("whole", "page", "calls", "files"), digest)
    review = f"{int(on[:4]) + 1}{on[4:]}"
    return {"number": str(number), "digest": parts, "as_read": digest, "approvals": [signature], "review": review,
            "reason": f"the reason for issue {number}", **more}  # fmt: skip


def edition(number: int, in_force: str, issues: dict[str, str], **more: Any) -> dict[str, Any]:
    return {"number": str(number), "in_force": in_force, "manifest": OLD, "issues": issues, **more}


WITHDRAWN = {"on": "2026-06-01", "reason": "the machine has gone", "instead": "CYL-02", "by": "A. Example, approver"}
TWO = {"issues": [issue(1, on="2026-01-02"), issue(2, NEW, on="2026-03-02", incident="hissing-yoke")]}
EDITIONS = {"editions": [edition(1, "2026-01-05", {"CYL-01": "1"}), edition(2, "2026-03-09", {"CYL-01": "2"})]}


def records(folder: Path, procedure: dict[str, Any], editions: dict[str, Any] | None = None) -> Records:
    """Return the records of a folder into which those given were written; they are to be without a problem."""
    for name, plain in (("CYL-01.yaml", procedure), ("editions.yaml", editions)):
        if plain:
            writing.write_record(folder, name, writing.as_yaml(plain), writing.content_of(folder / name))
    found, problems = read_records(folder, "content/control")
    assert [] == problems
    return found


def now(digest: str = NEW) -> ProcedureNow:
    return ProcedureNow("CYL-01", "Changing a cylinder", "equipment lead", Digest(*[digest] * 4))


def test_a_department_without_records_has_none(tmp_path: Path) -> None:
    """Neither the folder nor any file is needed."""
    assert (Records("content/control"), []) == read_records(tmp_path / "nowhere", "content/control")


@pytest.mark.parametrize("plain", [TWO, TWO | {"withdrawn": WITHDRAWN}, EDITIONS])
def test_what_is_written_is_read_back(plain: dict[str, Any]) -> None:
    """From plain texts to YAML, to a model, to plain texts, to the same YAML."""
    model: type[Any] = EditionsRecord if "editions" in plain else ProcedureRecord
    text = writing.as_yaml(plain)
    record, problems = writing.read_back(model, text, "file")
    assert [] == problems
    assert plain == writing.as_plain(record)
    assert text == writing.as_yaml(writing.as_plain(record))


def test_a_file_that_is_broken_hides_no_other(tmp_path: Path) -> None:
    """Each file is read by itself; a broken one is named, so that what refers to it is not told again."""
    records(tmp_path, TWO)
    (tmp_path / "CYL-02.yaml").write_text("issues: [", encoding="utf-8")
    (tmp_path / "editions.yaml").write_bytes(b"editions: \xff")
    found, problems = read_records(tmp_path, "content/control")
    assert {"CYL-01"} == set(found.procedures)
    assert {"CYL-02.yaml", "editions.yaml"} == found.broken
    assert [("content/control/CYL-02.yaml", "E002"), ("content/control/editions.yaml", "E001")] == [
        (problem.file, problem.code) for problem in problems
    ]


@pytest.mark.parametrize(
    ("plain", "wrong"),
    [
        ({"issues": []}, "at least one is wanted here"),
        ({"issues": [issue(1, on="2026-01-02", approvals=[])]}, "at least one is wanted here"),
        ({"issues": [TWO["issues"][0], issue(3, on="2026-03-02")]},
         "this is the 2nd issue in the file, and its number is 3"),
        ({"issues": [TWO["issues"][0], issue(2, on="2026-01-01")]},
         "on (2026-01-01) lies before the approval of issue 1 (2026-01-02)"),
        ({"issues": [issue(1, on="2026-01-02", review="2026-01-01")]},
         "review (2026-01-01) lies before its approval (2026-01-02)"),
        ({"issues": [issue(1, on="2026-01-02", reviews=[
            {"role": "approver", "name": "A", "on": "2026-01-01", "due": "2027-01-01"}])]},
         "on (2026-01-01) lies before what stands before it (2026-01-02)"),
        ({"issues": [issue(1, on="2026-01-02", reviews=[
            {"role": "approver", "name": "A", "on": "2026-12-01", "due": "2026-12-01"}])]},
         "due is no later than this review (2026-12-01)"),
        ({"issues": [issue(1, on="2026-07-01")], "withdrawn": WITHDRAWN},
         "on (2026-06-01) lies before the approval of issue 1 (2026-07-01)"),
        ({"issues": [TWO["issues"][0], issue(2, NEW, on="2026-03-02", wording="true")]},
         "this issue is said to renew the program's own words alone, and the author's words or the pictures moved too"),
        ({"issues": [issue(0, on="2026-01-02")]}, "issues and editions are counted 1, 2, 3"),
    ],
)  # fmt: skip
def test_a_record_that_contradicts_itself_is_refused(plain: dict[str, Any], wrong: str) -> None:
    """One problem, that says what does not go together."""
    record, problems = writing.read_back(ProcedureRecord, writing.as_yaml(plain), "file")
    assert record is None
    assert [wrong] == [problem.wrong for problem in problems]


@pytest.mark.parametrize(
    ("plain", "wrong"),
    [
        ([edition(1, "2026-01-05", {}), edition(3, "2026-03-09", {})],
         "this is the 2nd edition in the file, and its number is 3"),
        ([edition(1, "2026-01-05", {}), edition(2, "2026-01-04", {})],
         "in_force (2026-01-04) lies before that of edition 1 (2026-01-05)"),
        ([edition(1, "2026-01-05", {"cyl-1": "1"})], "this is not the number of a procedure"),
    ],
)  # fmt: skip
def test_editions_stand_in_order(plain: list[dict[str, Any]], wrong: str) -> None:
    """By number and by day; each with the numbers of procedures."""
    record, problems = writing.read_back(EditionsRecord, writing.as_yaml({"editions": plain}), "file")
    assert record is None
    assert [wrong] == [problem.wrong for problem in problems]


@pytest.mark.parametrize("instead", ["", "x", "[]", "{}", "2026-02-30", "-1"])
def test_whatever_stands_in_a_record_is_told_in_words(instead: str, tmp_path: Path) -> None:
    """Each value in turn replaced by what cannot be there: a record or problems at their lines, never a traceback."""
    plain = {"issues": [*TWO["issues"], issue(3, NEW, on="2026-04-01", wording="true")], "withdrawn": WITHDRAWN}
    for name, text in (("CYL-01.yaml", writing.as_yaml(plain)), ("editions.yaml", writing.as_yaml(EDITIONS))):
        starts = [found.end() for found in re.finditer(r"[a-z0-9]: (?=[^{\n])", text)]
        assert len(starts) > 6
        for start in starts:
            end = re.compile(r"[,}\n]").search(text, start)
            assert end is not None
            (tmp_path / name).write_text(text[:start] + instead + text[end.start() :], encoding="utf-8")
            found, problems = read_records(tmp_path, "content/control")
            assert problems or not found.broken
            assert all(problem.line > 0 and problem.wrong and problem.allowed for problem in problems)
            assert not any("_Broken" in problem.wrong for problem in problems)
        (tmp_path / name).unlink()


def test_two_editions_in_force_from_one_day_are_in_order(tmp_path: Path) -> None:
    """An edition may be replaced on its first day."""
    plain = {"editions": [edition(1, "2026-01-05", {"CYL-01": "1"}), edition(2, "2026-01-05", {"CYL-01": "2"})]}
    kept = records(tmp_path, TWO, plain)
    assert [(2, [Span(date(2026, 1, 5), None)]), (1, [])] == days(kept)
    assert kept.is_published("CYL-01", 1)


def test_the_states_of_a_procedure(tmp_path: Path) -> None:
    """Draft where the page moved, approved till an edition carries it, then in force since that edition's day."""
    without = records(tmp_path, TWO)
    assert State.DRAFT is standing_of(now("c" * 64), without, 1).state
    assert State.DRAFT is standing_of(now(OLD), without, 1).state, "what issue 1 was is not what issue 2 is"
    approved = standing_of(now(), without, 1)
    assert (State.APPROVED, 2, None) == (approved.state, approved.issue, approved.in_force_since)
    assert State.DRAFT is standing_of(now(), without, 2).state, "a second approval is asked for"
    published = standing_of(now(), records(tmp_path, TWO, EDITIONS), 1)
    assert (State.IN_FORCE, 2, date(2026, 3, 9)) == (published.state, published.issue, published.in_force_since)
    assert (date(2027, 3, 2), "the reason for issue 2", "hissing-yoke", "equipment lead") == (
        published.review_due, published.reason, published.incident, published.owner,
    )  # fmt: skip
    assert (Approval("approver", "A. Example", date(2026, 3, 2)),) == published.approvals


def test_what_is_approved_is_in_force_in_the_edition_that_is_being_made(tmp_path: Path) -> None:
    """From the day given for it; what an earlier edition carried is in force since then."""
    mark = EditionMark(3, date(2026, 5, 4))
    first = standing_of(now(), records(tmp_path, TWO), 1, mark)
    assert (State.IN_FORCE, date(2026, 5, 4)) == (first.state, first.in_force_since)
    carried = standing_of(now(), records(tmp_path, TWO, EDITIONS), 1, mark)
    assert (State.IN_FORCE, date(2026, 3, 9)) == (carried.state, carried.in_force_since)
    assert State.DRAFT is standing_of(now("c" * 64), records(tmp_path, TWO, EDITIONS), 1, mark).state


def withdrawn_edition(number: int, in_force: str, issues: dict[str, str], on: str, instead: str) -> dict[str, Any]:
    return edition(number, in_force, issues, withdrawn={**WITHDRAWN, "on": on, "instead": instead})


def days(kept: Records, mark: EditionMark = DRAFT) -> list[tuple[int, list[Span]]]:
    """Return the issues of CYL-01, the newest first, with the days on which each was in force."""
    return [(issue.number, issue.spans) for issue in history_of("CYL-01", kept, 1, mark)]


ONE_BEFORE = Span(date(2026, 1, 5), date(2026, 3, 8))
TWO_TILL_JUNE = Span(date(2026, 3, 9), date(2026, 6, 4))


def test_an_edition_withdrawn_in_favour_of_an_earlier_one_puts_its_issues_in_force_again(tmp_path: Path) -> None:
    """From that day on, as the list of editions tells it."""
    last = withdrawn_edition(2, "2026-03-09", {"CYL-01": "2"}, "2026-06-05", "edition 1")
    kept = records(tmp_path, TWO, {"editions": [EDITIONS["editions"][0], last]})
    assert [(2, [TWO_TILL_JUNE]), (1, [ONE_BEFORE, Span(date(2026, 6, 5), None)])] == days(kept)
    standing = standing_of(now(), kept, 1)
    assert (State.APPROVED, None) == (standing.state, standing.in_force_since)
    assert [State.APPROVED, State.IN_FORCE] == [issue.state for issue in history_of("CYL-01", kept, 1)]
    in_force = listed(kept).in_force
    assert in_force
    assert (1, date(2026, 6, 5)) == (in_force.number, in_force.in_force_since)
    register, _ = register_page.pages([listed(kept)])
    assert "<td>2026-01-05 to 2026-03-08<br>from 2026-06-05</td>" in register.html


def test_an_edition_withdrawn_in_favour_of_an_older_one_than_that_before_it(tmp_path: Path) -> None:
    """The edition that is named is in force, not the newest that stays."""
    third = withdrawn_edition(3, "2026-05-04", {"CYL-01": "2"}, "2026-06-05", "edition 1")
    kept = records(tmp_path, TWO, {"editions": [*EDITIONS["editions"], third]})
    assert [(2, [TWO_TILL_JUNE]), (1, [ONE_BEFORE, Span(date(2026, 6, 5), None)])] == days(kept)


def test_an_edition_withdrawn_in_favour_of_words_leaves_nothing_in_force(tmp_path: Path) -> None:
    """Till the next one, whose pages say since when they are in force again."""
    last = withdrawn_edition(2, "2026-03-09", {"CYL-01": "2"}, "2026-06-05", "the poster in the store")
    kept = records(tmp_path, TWO, {"editions": [EDITIONS["editions"][0], last]})
    assert [(2, [TWO_TILL_JUNE]), (1, [ONE_BEFORE])] == days(kept)
    assert [State.APPROVED, State.SUPERSEDED] == [issue.state for issue in history_of("CYL-01", kept, 1)]
    assert listed(kept).in_force is None
    mark = EditionMark(3, date(2026, 7, 1))
    assert [(2, [TWO_TILL_JUNE, Span(date(2026, 7, 1), None)]), (1, [ONE_BEFORE])] == days(kept, mark)
    standing = standing_of(now(), kept, 1, mark)
    assert (State.IN_FORCE, date(2026, 7, 1)) == (standing.state, standing.in_force_since)


def test_an_edition_withdrawn_before_its_day_was_never_in_force(tmp_path: Path) -> None:
    """Its issue is in force since the day of the edition that first carried it to readers."""
    last = withdrawn_edition(2, "2026-06-30", {"CYL-01": "2"}, "2026-06-05", "edition 1")
    three = edition(3, "2026-08-01", {"CYL-01": "2"})
    kept = records(tmp_path, TWO, {"editions": [EDITIONS["editions"][0], last, three]})
    expected = [(2, [Span(date(2026, 8, 1), None)]), (1, [Span(date(2026, 1, 5), date(2026, 7, 31))])]
    assert expected == days(kept)
    assert date(2026, 8, 1) == standing_of(now(), kept, 1).in_force_since


def test_a_withdrawn_procedure_stays_in_the_register(tmp_path: Path) -> None:
    """With its reason and what to use instead, whether its page is still there or not."""
    kept = records(tmp_path, TWO | {"withdrawn": WITHDRAWN}, EDITIONS)
    gone = ProcedureNow("CYL-01", "Changing a cylinder", "", None)
    for procedure in (now(), now("c" * 64), gone):
        standing = standing_of(procedure, kept, 1)
        assert State.WITHDRAWN is standing.state
        assert Withdrawal(date(2026, 6, 1), "the machine has gone", "CYL-02") == standing.withdrawal


def test_the_history_of_a_procedure_says_what_held_on_each_day(tmp_path: Path) -> None:
    """The newest issue first, each with the days on which it was in force."""
    signed = [(Approval("approver", "A. Example", date(2026, month, 2)),) for month in (3, 1)]
    in_force = IssueHistory(2, State.IN_FORCE, signed[0], [Span(date(2026, 3, 9), None)], "the reason for issue 2",
                            "hissing-yoke")  # fmt: skip
    superseded = IssueHistory(1, State.SUPERSEDED, signed[1], [ONE_BEFORE], "the reason for issue 1", "")
    assert [in_force, superseded] == list(history_of("CYL-01", records(tmp_path, TWO, EDITIONS), 1))
    kept = records(tmp_path, TWO | {"withdrawn": WITHDRAWN}, EDITIONS)
    assert [State.WITHDRAWN, State.SUPERSEDED] == [issue.state for issue in history_of("CYL-01", kept, 1)]
    assert [(2, [Span(date(2026, 3, 9), date(2026, 5, 31))]), (1, [ONE_BEFORE])] == days(kept)


def test_the_history_in_the_edition_that_is_being_made_is_that_of_its_first_day(tmp_path: Path) -> None:
    """An edition never changes again: its register says already what holds from the day on which it is in force."""
    three = {"issues": [*TWO["issues"], issue(3, NEW, on="2026-04-01")]}
    kept = records(tmp_path, three, EDITIONS)
    mark = EditionMark(3, date(2026, 5, 4))
    assert [
        (3, State.IN_FORCE, [Span(date(2026, 5, 4), None)]),
        (2, State.SUPERSEDED, [Span(date(2026, 3, 9), date(2026, 5, 3))]),
        (1, State.SUPERSEDED, [ONE_BEFORE]),
    ] == [(one.number, one.state, one.spans) for one in history_of("CYL-01", kept, 1, mark)]


def test_the_register_names_the_issue_in_force_where_a_newer_one_is_approved(tmp_path: Path) -> None:
    """Nobody is to think that nothing is in force while the next issue waits for its edition."""
    three = {"issues": [*TWO["issues"], issue(3, NEW, on="2026-04-01")]}
    register, _ = register_page.pages([listed(records(tmp_path, three, EDITIONS))])
    expected = '<td>3</td>\n<td>approved</td>\n<td><time datetime="2026-03-09">2026-03-09</time> (issue 2)</td>\n'
    assert expected in register.html


def test_an_issue_approved_after_the_last_edition_leaves_the_one_before_in_force(tmp_path: Path) -> None:
    """Approved is not yet published: staff still work by issue 2."""
    three = {"issues": [*TWO["issues"], issue(3, NEW, on="2026-04-01")]}
    kept = records(tmp_path, three, EDITIONS)
    assert [(3, State.APPROVED), (2, State.IN_FORCE), (1, State.SUPERSEDED)] == [
        (one.number, one.state) for one in history_of("CYL-01", kept, 1)
    ]
    assert [(3, []), (2, [Span(date(2026, 3, 9), None)]), (1, [ONE_BEFORE])] == days(kept)


def listed(kept: Records, *, number: str = "CYL-01", digest: str = NEW) -> Registered:
    procedure = ProcedureNow(number, f"The title of {number} & more", "equipment lead", Digest(*[digest] * 4))
    standing = standing_of(procedure, kept, 1)
    return Registered(standing, f"procedures/{number.lower()}.html", tuple(history_of(number, kept, 1)))


def test_the_register_is_a_page_with_the_history_of_each_procedure(tmp_path: Path) -> None:
    """One row a procedure, one row an issue, authors' words escaped."""
    kept = records(tmp_path, TWO, EDITIONS)
    register, calendar = register_page.pages([listed(kept), listed(kept, number="CYL-02")])
    assert ("register.md", "Register of procedures") == (register.path, register.title)
    assert ("review-calendar.md", "Review calendar") == (calendar.path, calendar.title)
    rows = [
        '<th scope="row"><a href="procedures/cyl-01.html">CYL-01</a></th>\n<td>The title of CYL-01 &amp; more</td>\n'
        '<td>equipment lead</td>\n<td>2</td>\n<td>in force from 2026-03-09</td>\n'
        '<td><time datetime="2026-03-09">2026-03-09</time></td>\n'
        '<td><time datetime="2027-03-02">2027-03-02</time></td>\n',
        '<th scope="row"><a href="procedures/cyl-02.html">CYL-02</a></th>\n<td>The title of CYL-02 &amp; more</td>\n'
        '<td>equipment lead</td>\n<td>none yet</td>\n<td>draft</td>\n<td>not in force</td>\n<td>not set</td>\n',
        '<th scope="row">CYL-01</th>\n<td>1</td>\n<td>superseded</td>\n<td>approver: A. Example, 2026-01-02</td>\n'
        '<td>2026-01-05 to 2026-03-08</td>\n<td>the reason for issue 1</td>\n',
        '<td>from 2026-03-09</td>\n'
        '<td>the reason for issue 2 <a href="incidents/hissing-yoke.html">After the review</a></td>\n',
    ]  # fmt: skip
    assert [] == [row for row in rows if row not in register.html]


def test_the_review_calendar_goes_by_month(tmp_path: Path) -> None:
    """What is due, by whom; what was never approved stands apart; what was withdrawn is not looked at again."""
    kept = records(tmp_path, TWO, EDITIONS)
    procedures = dict(kept.procedures)
    for number, on in (("CYL-03", "2026-02-20"), ("CYL-04", "2026-03-30")):
        record, _ = writing.read_back(ProcedureRecord, writing.as_yaml({"issues": [issue(1, NEW, on=on)]}), "file")
        assert record is not None
        procedures[number] = record
    record, _ = writing.read_back(ProcedureRecord, writing.as_yaml(TWO | {"withdrawn": WITHDRAWN}), "file")
    assert record is not None
    procedures["CYL-05"] = record
    kept = Records(kept.folder, procedures, kept.editions, kept.trees)
    _, calendar = register_page.pages([listed(kept, number=f"CYL-0{count}") for count in range(1, 6)])
    parts = ['<h2 id="due-2027-02">', ">CYL-03<", '<h2 id="due-2027-03">', ">CYL-01<", ">CYL-04<",
             '<h2 id="not-approved">', ">CYL-02<"]  # fmt: skip
    places = [calendar.html.index(part) for part in parts]
    assert places == sorted(places)
    assert "CYL-05" not in calendar.html
    assert '<tr data-review-due="2027-03-02">' in calendar.html


def test_a_department_without_procedures_has_no_register() -> None:
    """No empty page."""
    assert [] == register_page.pages([])
