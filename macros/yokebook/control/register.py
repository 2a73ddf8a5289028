"""The register of procedures: how each one stands, and what became of each of its issues."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date

from yokebook.control.digest import Digest
from yokebook.control.records import EditionRecord, Issue, Records, Withdrawn
from yokebook.control.standing import DRAFT, Approval, EditionMark, Standing, State, Withdrawal


@dataclass(frozen=True)
class ProcedureNow:
    """A procedure as its page is now; no digest where the page has gone or could not be worked out."""

    number: str
    title: str
    owner: str
    digest: Digest | None


@dataclass(frozen=True)
class IssueHistory:
    """One issue of a procedure: its state, the days on which it was in force, and how it came about."""

    number: int
    state: State
    approvals: tuple[Approval, ...]
    in_force_since: date | None
    until: date | None
    reason: str
    incident: str


def standing_of(procedure: ProcedureNow, records: Records, needed: int, edition: EditionMark = DRAFT) -> Standing:
    """Return how a procedure stands in an edition, a draft for one; `needed` is how many approve an issue.

    An issue that is approved is in force from the edition that is being made, or from the first that carries it.
    """
    record = records.procedures.get(procedure.number)
    if record is None:
        return Standing(procedure.number, procedure.title, State.DRAFT, procedure.owner)
    newest = record.newest
    since = records.in_force_since(procedure.number, newest.number)
    state = _state(procedure, records, needed, edition)
    if state is State.IN_FORCE and since is None:
        since = edition.in_force
    return Standing(
        procedure.number,
        procedure.title,
        state,
        procedure.owner,
        newest.number,
        approvals_of(newest),
        since,
        newest.review_due,
        newest.reason,
        newest.incident or "",
        withdrawal_of(record.withdrawn),
    )


def _state(procedure: ProcedureNow, records: Records, needed: int, edition: EditionMark) -> State:
    record = records.procedures[procedure.number]
    if record.withdrawn:
        return State.WITHDRAWN
    if procedure.digest is None or record.newest.digest.whole != procedure.digest.whole:
        return State.DRAFT
    if not is_complete(procedure.number, record.newest, records, needed):
        return State.DRAFT
    if edition.number is not None or _carries(records.current, procedure.number, record.newest.number):
        return State.IN_FORCE
    return State.APPROVED


def _carries(edition: EditionRecord | None, procedure: str, issue: int) -> bool:
    return edition is not None and edition.issues.get(procedure) == issue


def is_complete(procedure: str, issue: Issue, records: Records, needed: int) -> bool:
    """Return whether enough people approved an issue.

    One that was published, or followed by another, had as many as were asked for in its day.
    """
    record = records.procedures[procedure]
    followed = issue.number < record.newest.number
    published = any(edition.issues.get(procedure) == issue.number for edition in records.editions)
    return followed or published or len(issue.approvals) >= needed


def history_of(procedure: str, records: Records, needed: int, edition: EditionMark = DRAFT) -> Iterator[IssueHistory]:
    """Yield the issues of a procedure, the newest first, as they stand in an edition."""
    record = records.procedures.get(procedure)
    if record is None:
        return
    until = record.withdrawn.on if record.withdrawn else None
    for issue in reversed(record.issues):
        state = _state_of_issue(procedure, issue, records, needed, edition)
        since = records.in_force_since(procedure, issue.number)
        if since is None and state is State.IN_FORCE:
            since = edition.in_force
        yield IssueHistory(
            issue.number,
            state,
            approvals_of(issue),
            since,
            until if since else None,
            issue.reason,
            issue.incident or "",
        )
        until = since or until


def _state_of_issue(procedure: str, issue: Issue, records: Records, needed: int, edition: EditionMark) -> State:
    record = records.procedures[procedure]
    is_newest = issue.number == record.newest.number
    if record.withdrawn:
        return State.WITHDRAWN if is_newest else State.SUPERSEDED
    if is_newest and not is_complete(procedure, issue, records, needed):
        return State.DRAFT
    carried = is_newest if edition.number is not None else _carries(records.current, procedure, issue.number)
    if carried:
        return State.IN_FORCE
    return State.APPROVED if is_newest else State.SUPERSEDED


def approvals_of(issue: Issue) -> tuple[Approval, ...]:
    """Return who approved an issue, in the order in which they did."""
    return tuple(Approval(signature.role, signature.name, signature.on) for signature in issue.approvals)


def withdrawal_of(withdrawn: Withdrawn | None) -> Withdrawal | None:
    """Return a withdrawal as pages show it."""
    return Withdrawal(withdrawn.on, withdrawn.reason, withdrawn.instead) if withdrawn else None
