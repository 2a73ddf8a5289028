"""How issues of a procedure came about, as an auditor asks: who approved each, on which day, why, after what."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path

from yokebook.control.as_read import PageAsRead
from yokebook.control.carried import MovedRecord, moved_records
from yokebook.control.published_record import disagreements
from yokebook.control.reading import read_records
from yokebook.control.records import Issue, Records
from yokebook.control.register import approvals_of
from yokebook.control.standing import Approval
from yokebook.control.target import Target
from yokebook.errors import Level
from yokebook.pages.incident import FOLDER as INCIDENTS
from yokebook.reference.layout import CONTROL


@dataclass(frozen=True)
class IssueTold:
    """One issue as its record tells of it; `incident` is the title of the page that led to it, "" where none did.

    `altered` says of a record that was changed after it was published why nothing is told from it, "" of any other.
    """

    number: int
    approvals: tuple[Approval, ...]
    reason: str
    incident: str
    altered: str = ""

    @property
    def as_text(self) -> str:
        """Who approved it, when, and why.

        >>> from datetime import date
        >>> by = (Approval("approver", "A. Example", date(2026, 3, 9)),)
        >>> IssueTold(2, by, "the lamp was misread", "Low on the way").as_text
        'approved on 2026-03-09 by the approver (A. Example): the lamp was misread; after: Low on the way'
        """
        if self.altered:
            return self.altered
        by = ", ".join(f"on {one.on} by the {one.role} ({one.name})" for one in self.approvals)
        return f"approved {by}: {self.reason}" + (f"; after: {self.incident}" if self.incident else "")


@dataclass(frozen=True)
class Department:
    """The department's records, where they are those of a target; else None, and why nothing is told from them.

    `altered` are issues whose record was changed after it was published, by procedure and number.
    """

    records: Records | None
    lacking: str = ""
    altered: Mapping[tuple[str, int], MovedRecord] = field(default_factory=dict)

    @property
    def note(self) -> str:
        """What a report says where nothing is told from records, "" where it is."""
        told = "Issues are told by their numbers alone: who approved each, and why, stands in the department's records"
        if self.lacking:
            return f"{told}, and {self.lacking}."
        names = ", ".join(f"{number}.yaml, issue {issue}" for number, issue in sorted(self.altered))
        changed = f"Changed after it was published, so that nothing is told of that issue: {names}. "
        return f"{changed}Put it back as it was, from a backup or from git." if names else ""

    def issue(self, procedure: str, number: int, pages: Mapping[str, PageAsRead]) -> IssueTold | None:
        """Return how an issue came about, None where nothing is known of it; `pages` may hold the incident's."""
        issue = self.records.issue(procedure, number) if self.records else None
        return self._told(procedure, issue, pages) if issue else None

    def between(self, procedure: str, old: int, new: int, pages: Mapping[str, PageAsRead]) -> tuple[IssueTold, ...]:
        """Return each issue after the older of two, up to the newer; one that was overtaken was nobody's to follow."""
        record = self.records.procedures.get(procedure) if self.records else None
        after, last = sorted((old, new))
        issues = record.issues[after:last] if record else ()
        return tuple(self._told(procedure, issue, pages) for issue in issues if not issue.overtaken)

    def _told(self, procedure: str, issue: Issue, pages: Mapping[str, PageAsRead]) -> IssueTold:
        if moved := self.altered.get((procedure, issue.number)):
            why = f"who approved it, and why, is not told: {procedure}.yaml was changed after edition "
            why += f"{moved.edition} was published with it ({moved.parts})"
            return IssueTold(issue.number, (), "", "", why)
        name = issue.incident or ""
        page = pages.get(f"{INCIDENTS}/{name}.md")
        return IssueTold(issue.number, approvals_of(issue), issue.reason, page.title if page else name)


def department(site: Path, target: Path | None) -> Department:
    """Return the records of the department below `site`, where they agree with the editions of a target."""
    folder = site / CONTROL
    if not folder.is_dir():
        return Department(None, f"{folder.as_posix()} is not there; give the department's folder: --site DIR")
    records, problems = read_records(folder, folder.as_posix())
    if broken := [problem for problem in problems if problem.level is Level.ERROR]:
        return Department(None, f"{broken[0].file} cannot be read: {broken[0].wrong}")
    if target is None:
        return Department(records)
    editions = Target(target).editions()
    if others := [*disagreements(records, editions, target.as_posix())]:
        return Department(
            None, f"those in {folder.as_posix()} do not agree with {target.as_posix()}: {others[0].wrong}"
        )
    moved = moved_records(Target(target), editions, records)
    return Department(records, altered={(one.procedure, one.issue): one for one in moved})
