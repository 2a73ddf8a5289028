"""From an approval to the next state of a procedure's record: a new issue, a second signature, a review, a renewal."""

from __future__ import annotations

from calendar import monthrange
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import Any

from yokebook.control import approved, writing
from yokebook.control.digest import Digest
from yokebook.control.records import Issue, ProcedureRecord, Records
from yokebook.control.register import is_complete
from yokebook.errors import Problem
from yokebook.files import write_whole


@dataclass(frozen=True)
class Signing:
    """One person's approval: in which role, on which day, why, after which incident, and until when it stands."""

    role: str
    name: str
    on: date
    reason: str
    review: date
    incident: str = ""


@dataclass(frozen=True)
class NextRecord:
    """What an approval makes of a record: the issue's number, the text of the file, and what was approved, as read."""

    procedure: str
    issue: int
    record: str
    as_read: bytes

    def write(self, folder: Path) -> None:
        """Write what was approved, then the record that speaks of it: a run killed between them leaves the old record.

        Raises OSError as the system gives it.
        """
        write_whole(approved.file_of(folder, self.procedure, self.issue), self.as_read)
        writing.write_record(folder, f"{self.procedure}.yaml", self.record)


def with_approval(
    procedure: str,
    records: Records,
    digest: Digest,
    as_read: bytes,
    signing: Signing,
    needed: int,
    *,
    wording: bool = False,
) -> tuple[NextRecord | None, list[Problem]]:
    """Return the record with one approval more, or None and why it cannot be given.

    The approval joins an issue that waits for it and was approved as the page is now. Where the page has moved since,
    the waiting issue gives way to a new one under its number. `wording` says that only the program's own words moved.
    """
    issues = _issues(records, procedure)
    signature = {"role": signing.role, "name": signing.name, "on": signing.on.isoformat()}
    waiting = waiting_issue(procedure, records, needed)
    if waiting and waiting.digest.digest == digest:
        issues[-1]["approvals"].append(signature)
        return _checked(procedure, records, issues, as_read)
    if waiting:
        issues.pop()
    issue = {
        "number": str(len(issues) + 1),
        "digest": dict(vars(digest)),
        "as_read": approved.digest_of(as_read),
        "approvals": [signature],
        "review": signing.review.isoformat(),
        "reason": signing.reason,
    }
    issue |= {"incident": signing.incident} if signing.incident else {}
    issue |= {"wording": "true"} if wording else {}
    return _checked(procedure, records, [*issues, issue], as_read)


def with_review(
    procedure: str, records: Records, as_read: bytes, signing: Signing
) -> tuple[NextRecord | None, list[Problem]]:
    """Return the record with a review that changed nothing: the newest issue stands on, until a later day."""
    issues = _issues(records, procedure)
    review = {
        "role": signing.role,
        "name": signing.name,
        "on": signing.on.isoformat(),
        "due": signing.review.isoformat(),
    }
    issues[-1].setdefault("reviews", []).append(review)
    return _checked(procedure, records, issues, as_read)


def waiting_issue(procedure: str, records: Records, needed: int) -> Issue | None:
    """Return the issue of a procedure that waits for its second approval, None where none does."""
    record = records.procedures.get(procedure)
    if record is None or is_complete(procedure, record.newest, records, needed):
        return None
    return record.newest


def months_later(day: date, months: int) -> date:
    """Return the day so many months later; the last of the month where that month is shorter.

    >>> months_later(date(2026, 3, 2), 12).isoformat(), months_later(date(2026, 8, 31), 6).isoformat()
    ('2027-03-02', '2027-02-28')
    """
    year, month = divmod(day.month - 1 + months, 12)
    year, month = day.year + year, month + 1
    return date(year, month, min(day.day, monthrange(year, month)[1]))


def _issues(records: Records, procedure: str) -> list[dict[str, Any]]:
    record = records.procedures.get(procedure)
    return list(writing.as_plain(record)["issues"]) if record else []


def _checked(
    procedure: str, records: Records, issues: list[dict[str, Any]], as_read: bytes
) -> tuple[NextRecord | None, list[Problem]]:
    """Return what is to be written, read back as a later run will read it."""
    text = writing.as_yaml({"issues": issues})
    record, problems = writing.read_back(ProcedureRecord, text, records.file(f"{procedure}.yaml"))
    if record is None:
        return None, problems
    return NextRecord(procedure, record.newest.number, text, as_read), []
