"""What an edition was published with, `records.json`: digests of its content and of each procedure's record.

Only digests: the file lies among what readers see. The manifest covers it, so that a record that was changed by hand
after its publication is seen, and an edition that would bring nothing new.
"""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from dataclasses import asdict, dataclass, field
from hashlib import sha256
from pathlib import Path
from typing import Any

from yokebook.control.editions import Editions
from yokebook.control.records import Issue, Records
from yokebook.control.target import Target
from yokebook.control.writing import as_plain

NAME = "records.json"
_VERSION = 1


@dataclass(frozen=True)
class RecordDigests:
    """One issue as its record told of it: how many signatures and reviews it had, and a digest of each part.

    `text` is over the digests of what was approved.
    """

    issue: int
    signatures: int
    reviews: int
    text: str
    approvals: str
    reason: str
    review: str


@dataclass(frozen=True)
class Carried:
    """What an edition carries: a digest of all that authors wrote and calls gave, and the records by procedure."""

    content: str = ""
    records: Mapping[str, RecordDigests] = field(default_factory=dict)

    def as_bytes(self) -> bytes:
        """Return the bytes of `records.json`."""
        records = {number: asdict(told) for number, told in sorted(self.records.items())}
        plain = {"version": _VERSION, "content": self.content, "records": records}
        return f"{json.dumps(plain, indent=1)}\n".encode()


NOTHING = Carried()
"""An edition of which nothing is told."""


def read(edition: Path) -> Carried | None:
    """Return what the edition in a folder was published with; None where it does not tell, or cannot be read."""
    try:
        plain = json.loads((edition / NAME).read_bytes())
        records = {str(number): RecordDigests(**told) for number, told in plain["records"].items()}
        return Carried(str(plain["content"]), records) if plain["version"] == _VERSION else None
    except (OSError, ValueError, KeyError, TypeError, AttributeError):
        return None


def of_issue(issue: Issue, signatures: int | None = None, reviews: int | None = None) -> RecordDigests:
    """Return the digests of an issue's record; of its first signatures and reviews alone, where so many are named."""
    plain = as_plain(issue)
    signed, looked_at = plain["approvals"][:signatures], plain.get("reviews", [])[:reviews]
    why = [plain["reason"], plain.get("incident", ""), plain.get("wording", "")]
    text = [plain["digest"], plain["as_read"]]
    parts = map(_digest, (text, signed, why, [plain["review"], looked_at]))
    return RecordDigests(issue.number, len(signed), len(looked_at), *parts)


def digest_of(issue: Issue) -> str:
    """Return a digest of what a record tells of an issue: what was approved, by whom, why, until when.

    Not of its reviews, which come after it was published.
    """
    return _digest(asdict(of_issue(issue, reviews=0)))


def of_records(content: str, records: Records, numbers: Mapping[str, int]) -> Carried:
    """Return what an edition with some issues of some procedures carries."""
    found = {
        number: of_issue(records.procedures[number].issues[issue - 1]) for number, issue in sorted(numbers.items())
    }
    return Carried(content, found)


@dataclass(frozen=True)
class MovedRecord:
    """One issue whose record is no longer the one with which it was published: since which edition, and what moved."""

    procedure: str
    issue: int
    edition: int
    parts: str


def moved_records(target: Target, editions: Editions, records: Records) -> list[MovedRecord]:
    """Return each published issue whose record tells otherwise of it than when it was published, once for all editions.

    An issue of which nothing is known here is not among them.
    """
    first: dict[tuple[str, int], int] = {}
    moved: dict[tuple[str, int], dict[str, None]] = {}
    for edition in editions.editions:
        carried = read(target.root / edition.address) or NOTHING
        for number, told in carried.records.items():
            issue = records.issue(number, told.issue)
            if issue and (parts := dict.fromkeys(_moved_parts(told, issue))):
                first.setdefault((number, told.issue), edition.number)
                moved.setdefault((number, told.issue), {}).update(parts)
    return [MovedRecord(*at, first[at], ", ".join(moved[at])) for at in sorted(moved)]


def _moved_parts(told: RecordDigests, issue: Issue) -> Iterator[str]:
    """Yield, in words, which parts of an issue's record are no longer those with which it was published."""
    now = of_issue(issue, told.signatures, told.reviews)
    if now.text != told.text:
        yield "the text that was approved"
    if (now.signatures, now.approvals) != (told.signatures, told.approvals):
        yield "who approved it"
    if now.reason != told.reason:
        yield "the reason for it"
    if (now.reviews, now.review) != (told.reviews, told.review):
        yield "its review"


def _digest(plain: Any) -> str:
    return sha256(json.dumps(plain, sort_keys=True, ensure_ascii=True).encode("ascii")).hexdigest()
