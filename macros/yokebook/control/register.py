"""The register of procedures: how each one stands, and what became of each of its issues."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date

from yokebook.control.digest import Digest
from yokebook.control.editions import Edition, Editions, Listed, Span
from yokebook.control.records import Issue, Records, withdrawal_of
from yokebook.control.standing import DRAFT, Approval, EditionMark, Standing, State


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
    spans: list[Span]
    reason: str
    incident: str

    @property
    def in_force_since(self) -> date | None:
        """The first of the last days on end on which it was in force, None where it never was."""
        return self.spans[-1].since if self.spans else None

    def since(self, day: date) -> date | None:
        """Return since when it was in force on a day, None where it was not in force then."""
        return next((one.since for one in self.spans if one.since <= day <= (one.until or day)), None)

    def begins_after(self, day: date) -> date | None:
        """Return the first day after a day from which it will be in force, None where none is known."""
        return next((one.since for one in self.spans if one.since > day), None)


def standing_of(procedure: ProcedureNow, records: Records, needed: int, edition: EditionMark = DRAFT) -> Standing:
    """Return how a procedure stands in an edition, a draft for one; `needed` is how many approve an issue.

    An issue that is approved is in force from the edition that is being made, or from those before that carry it.
    """
    record = records.procedures.get(procedure.number)
    if record is None:
        return Standing(procedure.number, procedure.title, State.DRAFT, procedure.owner)
    newest = record.newest
    spans = _editions(procedure.number, records, edition).spans_of_issue(procedure.number, newest.number)
    is_told = spans and (_is_open(spans) or record.withdrawn)
    since = spans[-1].since if is_told else None
    state = _state(procedure, records, needed, spans)
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


def _state(procedure: ProcedureNow, records: Records, needed: int, spans: Sequence[Span]) -> State:
    record = records.procedures[procedure.number]
    if record.withdrawn:
        return State.WITHDRAWN
    if procedure.digest is None or record.newest.digest.whole != procedure.digest.whole:
        return State.DRAFT
    if not is_complete(procedure.number, record.newest, records, needed):
        return State.DRAFT
    return State.IN_FORCE if _is_open(spans) else State.APPROVED


def _editions(procedure: str, records: Records, edition: EditionMark) -> Editions:
    """Return the editions, the one that is being made included: of a procedure it holds the newest issue."""
    editions = records.published
    if edition.number is None or edition.in_force is None:
        return editions
    held = {procedure: Listed(records.procedures[procedure].newest.number, "", "")}
    return editions.with_edition(Edition(edition.number, edition.in_force, "", held), editions.withdrawn)


def _is_open(spans: Sequence[Span]) -> bool:
    """Return whether the last of some days on end has no end."""
    return bool(spans) and spans[-1].until is None


def is_complete(procedure: str, issue: Issue, records: Records, needed: int) -> bool:
    """Return whether enough people approved an issue.

    One that was published, or followed by another that did not overtake it, had as many as were asked for in its day.
    """
    if records.is_published(procedure, issue.number):
        return True
    if issue.number < records.procedures[procedure].newest.number:
        return not issue.overtaken
    return len(issue.approvals) >= needed


def history_of(procedure: str, records: Records, needed: int, edition: EditionMark = DRAFT) -> Iterator[IssueHistory]:
    """Yield the issues of a procedure, the newest first, as they stand in an edition."""
    record = records.procedures.get(procedure)
    if record is None:
        return
    editions = _editions(procedure, records, edition)
    for issue in reversed(record.issues):
        spans = editions.spans_of_issue(procedure, issue.number)
        state = _state_of_issue(procedure, issue, records, needed, spans)
        yield IssueHistory(issue.number, state, approvals_of(issue), spans, issue.reason, issue.incident or "")


def _state_of_issue(procedure: str, issue: Issue, records: Records, needed: int, spans: Sequence[Span]) -> State:
    record = records.procedures[procedure]
    is_newest = issue.number == record.newest.number
    if is_newest and record.withdrawn:
        return State.WITHDRAWN
    if not is_complete(procedure, issue, records, needed):
        return State.DRAFT
    if record.withdrawn:
        return State.SUPERSEDED
    if _is_open(spans):
        return State.IN_FORCE
    return State.APPROVED if is_newest else State.SUPERSEDED


def approvals_of(issue: Issue) -> tuple[Approval, ...]:
    """Return who approved an issue, in the order in which they did."""
    return tuple(Approval(signature.role, signature.name, signature.on) for signature in issue.approvals)
