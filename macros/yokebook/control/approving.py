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
    """What an approval makes of a record: the issue's number, the text of the file, and what was approved, as read.

    `as_read` is None where what was approved is kept already and stays as it is; `before` is the file that it was made
    of, None for a first approval.
    """

    procedure: str
    issue: int
    record: str
    as_read: bytes | None
    before: bytes | None

    def write(self, folder: Path) -> None:
        """Write what was approved, then the record that speaks of it: a run killed between them leaves the old record.

        Raises ChangedError where somebody changed the record meanwhile, else OSError as the system gives it.
        """
        kept = approved.file_of(folder, self.procedure, self.issue)
        first = {} if self.as_read is None else {kept: self.as_read}
        writing.write_record(folder, f"{self.procedure}.yaml", self.record, self.before, first)


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
    """Return the record with a new issue, or None and why it cannot be approved.

    An issue that still waits is overtaken by the new one, since the page moved: it stays under its number, with what
    one person approved. `wording` says that only the program's own words moved.
    """
    issues = _issues(records, procedure)
    if waiting_issue(procedure, records, needed):
        issues[-1]["overtaken"] = "true"
    issue = {
        "number": str(next_number(procedure, records)),
        "digest": dict(vars(digest)),
        "as_read": approved.digest_of(as_read),
        "approvals": [_signature(signing)],
        "review": signing.review.isoformat(),
        "reason": signing.reason,
    }
    issue |= {"incident": signing.incident} if signing.incident else {}
    issue |= {"wording": "true"} if wording else {}
    return _checked(procedure, records, [*issues, issue], as_read)


def with_second_approval(
    procedure: str, records: Records, lost: bytes | None, signing: Signing
) -> tuple[NextRecord | None, list[Problem]]:
    """Return the record with one approval more of its newest issue, which waits for it, or None and why it cannot be.

    What the first one approved is kept and stays. Only where it is lost is it written again, `lost` for it.
    """
    issues = _issues(records, procedure)
    issues[-1]["approvals"].append(_signature(signing))
    if lost is not None:
        issues[-1]["as_read"] = approved.digest_of(lost)
    return _checked(procedure, records, issues, lost)


def with_review(procedure: str, records: Records, signing: Signing) -> tuple[NextRecord | None, list[Problem]]:
    """Return the record with a review that changed nothing: the newest issue stands on, until a later day."""
    issues = _issues(records, procedure)
    review = _signature(signing) | {"due": signing.review.isoformat()}
    issues[-1].setdefault("reviews", []).append(review)
    return _checked(procedure, records, issues, None)


def next_number(procedure: str, records: Records) -> int:
    """Return the number of a procedure's next issue."""
    record = records.procedures.get(procedure)
    return record.newest.number + 1 if record else 1


def waiting_issue(procedure: str, records: Records, needed: int) -> Issue | None:
    """Return the issue of a procedure that waits for its second approval, None where none does."""
    record = records.procedures.get(procedure)
    if record is None or is_complete(procedure, record.newest, records, needed):
        return None
    return record.newest


def issue_to_join(procedure: str, records: Records, digest: Digest, needed: int) -> Issue | None:
    """Return the issue that waits for its second approval and was approved as the page is now, None for none."""
    waiting = waiting_issue(procedure, records, needed)
    return waiting if waiting and waiting.digest.digest == digest else None


def months_later(day: date, months: int) -> date:
    """Return the day so many months later; the last of the month where that month is shorter.

    >>> months_later(date(2026, 3, 2), 12).isoformat(), months_later(date(2026, 8, 31), 6).isoformat()
    ('2027-03-02', '2027-02-28')
    """
    year, month = divmod(day.month - 1 + months, 12)
    year, month = day.year + year, month + 1
    return date(year, month, min(day.day, monthrange(year, month)[1]))


def _signature(signing: Signing) -> dict[str, str]:
    return {"role": signing.role, "name": signing.name, "on": signing.on.isoformat()}


def _issues(records: Records, procedure: str) -> list[dict[str, Any]]:
    record = records.procedures.get(procedure)
    return list(writing.as_plain(record)["issues"]) if record else []


def _checked(
    procedure: str, records: Records, issues: list[dict[str, Any]], as_read: bytes | None
) -> tuple[NextRecord | None, list[Problem]]:
    """Return what is to be written, read back as a later run will read it."""
    text, name = writing.as_yaml({"issues": issues}), f"{procedure}.yaml"
    record, problems = writing.read_back(ProcedureRecord, text, records.file(name))
    if record is None:
        return None, problems
    return NextRecord(procedure, record.newest.number, text, as_read, records.contents.get(name)), []
