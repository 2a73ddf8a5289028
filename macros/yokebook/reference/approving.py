"""What an approval would be given for, shown before anyone is asked; and the records that it makes."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from enum import Enum
from typing import Any

from yokebook.control import approving
from yokebook.control.approved import AsApproved
from yokebook.control.approving import NextRecord, Signing, months_later
from yokebook.control.as_read import PageAsRead
from yokebook.control.records import Issue
from yokebook.control.wording import moved_beside_words
from yokebook.control.writing import one_line
from yokebook.errors import Problem, nearest
from yokebook.reference import incidents
from yokebook.reference.approval import Control, entries_behind, moved_parts
from yokebook.reference.pages_as_read import as_read
from yokebook.reference.signer import Signer, faults_of
from yokebook.reference.whole import WorkedPage
from yokebook.words import COMPUTED


class RefusedError(Exception):
    """An approval that cannot be given, with the reason in words for whoever asked for it."""


class What(Enum):
    """What an approval does to a procedure's record."""

    ISSUE = "a new issue"
    SECOND = "one approval more"
    REVIEW = "a review that changes nothing"
    WORDING = "a renewal of the program's own words"


@dataclass(frozen=True)
class Proposal:
    """What would be approved: of which procedure, as which issue, and what moved, in lines for a terminal."""

    procedure: str
    issue: int
    what: What
    lines: tuple[str, ...]

    @property
    def wants_reason(self) -> bool:
        """Whether whoever approves is asked why the page was changed."""
        return self.what is What.ISSUE


def propose(control: Control, numbers: Sequence[str], *, unchanged: bool, incident: str = "") -> list[Proposal]:
    """Return what an approval of some procedures would be given for, in the order asked for.

    `unchanged` asks for a review that found nothing to change, `incident` for issues that name one, even with the text
    as it was. Raises RefusedError for what cannot be approved.
    """
    once = dict.fromkeys(map(str.upper, numbers))
    return [_proposal(control, number, unchanged=unchanged, incident=incident) for number in once]


def _proposal(control: Control, number: str, *, unchanged: bool, incident: str) -> Proposal:
    page = _page(control, number)
    last = control.last_complete(number)
    waiting = approving.waiting_issue(number, control.records, control.needed)
    if unchanged:
        return _review(number, page, last, waiting)
    if second := _second(control, number, page):
        return second
    head = f"{number}  {page.page.front.title}: issue {approving.next_number(number, control.records)}"
    if last and last.digest.digest == page.digest:
        if waiting is None and (not incident or last.incident == incident):
            ways = [f"To write down a review that found nothing to change: yokebook approve {number} --unchanged"]
            ways += [f"To name the incident {name}, which it answers: yokebook approve {number} --incident {name} ..."
                     for name in _waiting_for(control, number)]  # fmt: skip
            as_it_was = f"{number} is as it was when issue {last.number} was approved on {last.approved_on}"
            raise RefusedError(". ".join([as_it_was, *ways]))
        head += f", as it was approved as issue {last.number} on {last.approved_on}."
    elif last:
        head += f", after issue {last.number} of {last.approved_on}. Moved: "
        head += moved_parts(last.digest.digest, page.digest) + "."
    proposal = _next_issue(control, number, What.ISSUE, head)
    waits = (f"  Incident {name}, reviewed on {on}, waits for an issue of {number} that names it."
             for name, on in _waiting_for(control, number).items() if name != incident)  # fmt: skip
    return replace(proposal, lines=(*proposal.lines, *waits))


def _waiting_for(control: Control, number: str) -> dict[str, date]:
    pages = [worked.page for worked in control.reference.pages.values()]
    return incidents.waiting_for(number, pages, control.records, control.needed)


def _review(number: str, page: WorkedPage, last: Issue | None, waiting: Issue | None) -> Proposal:
    """Return a review of a page that is as it was approved, and has no issue that waits."""
    if waiting:
        raise RefusedError(
            f"{number}: issue {waiting.number} waits for one approval more, and a review without change is one of an "
            f"issue that has them all. To approve the page as it is now: yokebook approve {number}"
        )
    if last is None or last.digest.digest != page.digest:
        since = f"moved since issue {last.number} was approved" if last else "was never approved"
        raise RefusedError(f"{number} {since}; a review without change is one of a page as it was approved.")
    return Proposal(number, last.number, What.REVIEW, (f"{number}  {page.page.front.title}", _review_line(last)))


def _second(control: Control, number: str, page: WorkedPage) -> Proposal | None:
    """Return the second approval of an issue that waits for it, None where none does with the page as it is."""
    joined = approving.issue_to_join(number, control.records, page.digest, control.needed)
    if joined is None:
        return None
    head = f"{number}  {page.page.front.title}: issue {joined.number}, approved by {_signed(joined)}, "
    head += "waits for one approval more."
    return Proposal(number, joined.number, What.SECOND, (head, *_moved_lines(control, number)))


def _signed(issue: Issue) -> str:
    return ", ".join(f"{signature.role} {signature.name}" for signature in issue.approvals)


def _next_issue(control: Control, number: str, what: What, head: str) -> Proposal:
    """Return a new issue; `head` says what it is, and an issue that it overtakes is named below."""
    issue, lines = approving.next_number(number, control.records), [head]
    if waiting := approving.waiting_issue(number, control.records, control.needed):
        told = f"  Issue {waiting.number}, approved by {_signed(waiting)}, never had its second approval; "
        lines.append(f"{told}it stays in the record, and issue {issue} takes its place.")
    return Proposal(number, issue, what, (*lines, *_moved_lines(control, number)))


def _page(control: Control, number: str) -> WorkedPage:
    if number not in control.pages:
        meant = nearest(number, [known.lower() for known in control.pages]).upper()
        raise RefusedError(f"No page has the number {number}." + (f" Perhaps meant: {meant}" if meant else ""))
    record = control.records.procedures.get(number)
    if record and record.withdrawn:
        raise RefusedError(
            f"{number} was withdrawn on {record.withdrawn.on} ({record.withdrawn.reason}). "
            "What takes its place has a number of its own."
        )
    return control.pages[number]


def _review_line(issue: Issue) -> str:
    return f"  Nothing moved since issue {issue.number} was approved on {issue.approved_on}; due on {issue.review_due}."


def _moved_lines(control: Control, number: str) -> Iterator[str]:
    """Yield what moved since the last approval; for a first one all that a reader reads."""
    if control.last_complete(number):
        yield from control.moved_lines(number)
    else:
        yield from (f"  {line}" for line in _whole(as_read(control.pages[number])))


def _whole(page: PageAsRead) -> Iterator[str]:
    """Yield all that a reader reads of a page: its words, the rows of its computed tables, its pictures."""
    yield from (f"{block.kind}: {block.text}" for block in page.words if block.kind not in COMPUTED)
    for call in page.calls:
        if "corner" in call["texts"]:
            yield f"table: {call['texts']['caption']}"
            yield from (f"  {row}" for row in _rows(call))
    yield from (f"picture: {path}" for path in sorted(page.files))


def _rows(call: Mapping[str, Any]) -> Iterator[str]:
    heads = [call["texts"]["corner"], *call["columns"]]
    for row in (heads, *([row, *cells] for row, cells in zip(call["rows"], call["shown"], strict=True))):
        yield " | ".join(row)


def sign(control: Control, proposal: Proposal, signer: Signer, today: date) -> NextRecord:
    """Return the record that an approval makes, given today. Raises RefusedError for one that cannot be given."""
    number, records = proposal.procedure, control.records
    if faults := [*faults_of(control, number, signer, today)]:
        raise RefusedError("\n".join(faults))
    page, signing = control.pages[number], _signing(control, proposal, signer)
    content = AsApproved(as_read(page), entries_behind(page, control.reference)).to_bytes()
    joined = approving.issue_to_join(number, records, page.digest, control.needed)
    if joined and signer.incident not in ("", joined.incident):
        raise RefusedError(
            f"{number}: issue {joined.number}, approved by {_signed(joined)}, waits for one approval more, and that "
            f"cannot name {signer.incident} where the first did not. Allowed: --incident left out; once it has both, "
            f"yokebook approve {number} --incident {signer.incident} --reason ... makes an issue that names it"
        )
    if proposal.what is What.REVIEW:
        made, problems = approving.with_review(number, records, signing)
    elif joined:
        lost = None if control.as_approved(number, joined) else content
        made, problems = approving.with_second_approval(number, records, lost, signing)
    else:
        wording = proposal.what is What.WORDING
        made, problems = approving.with_approval(
            number, records, page.digest, content, signing, control.needed, wording=wording
        )
    if made is None:
        raise RefusedError("\n".join(_told(number, problem) for problem in problems))
    return made


def outcome(control: Control, proposal: Proposal, signer: Signer) -> str:
    """Return what came of an approval that was given, and which incidents the issue could have named."""
    number = proposal.procedure
    waits = [name for name, reviewed in _waiting_for(control, number).items() if reviewed <= signer.on]
    if proposal.what is not What.ISSUE or not waits or signer.incident in waits:
        return _came_of(control, proposal)
    return (
        f"{_came_of(control, proposal)} It does not name {', '.join(waits)}, which waits for an issue of {number}; "
        f"where it is the answer: yokebook approve {number} --incident {waits[0]} --reason ..."
    )


def _came_of(control: Control, proposal: Proposal) -> str:
    if proposal.what is What.REVIEW:
        return f"the review is written down; issue {proposal.issue} stands."
    if proposal.what is not What.SECOND and control.needed > 1:
        return f"issue {proposal.issue} waits for one approval more, by somebody else in another role."
    return f"issue {proposal.issue} is approved."


def _told(procedure: str, problem: Problem) -> str:
    allowed = f" Allowed: {problem.allowed}." if problem.allowed else ""
    return f"{procedure}: {problem.written or problem.code}: {problem.wrong}.{allowed}"


def _signing(control: Control, proposal: Proposal, signer: Signer) -> Signing:
    department, last = control.reference.department, control.last_complete(proposal.procedure)
    assert department
    due = signer.review or months_later(signer.on, department.settings.review_interval.months)
    if proposal.what is What.WORDING and last:
        due = last.review_due
    return Signing(signer.role, one_line(signer.name), signer.on, one_line(signer.reason), due, signer.incident)


def propose_wording(control: Control) -> tuple[list[Proposal], list[str]]:
    """Return the renewals of the pages on which only the program's own words moved; and, of each other, what moved."""
    proposals, refused = [], []
    for number, page in sorted(control.pages.items()):
        last = control.last_complete(number)
        withdrawn = last is not None and control.records.procedures[number].withdrawn
        if last is None or withdrawn or last.digest.digest == page.digest:
            continue
        beside = _moved_beside_words(control, number, page, last)
        if beside:
            refused.append(f"{number}  {page.page.front.title}: {beside}")
            continue
        issue = approving.next_number(number, control.records)
        head = f"{number}  {page.page.front.title}: issue {issue}, the program's own words renewed."
        second = _second(control, number, page)
        proposals.append(second or _next_issue(control, number, What.WORDING, head))
    return proposals, refused


def _moved_beside_words(control: Control, number: str, page: WorkedPage, last: Issue) -> str:
    """Return what moved on a page beside the program's own words, "" where nothing did."""
    approved = control.as_approved(number, last)
    if approved is None:
        return f"what was approved as issue {last.number} cannot be read"
    parts = moved_parts(last.digest.digest, page.digest)
    if last.digest.page != page.digest.page or last.digest.files != page.digest.files:
        return f"moved: {parts}"
    now = entries_behind(page, control.reference)
    changed = sorted(entry for entry, text in approved.data.items() if now.get(entry, text) != text)
    if changed:
        return f"the data moved: {', '.join(changed)}"
    return moved_beside_words(approved.page.calls, as_read(page).calls)
