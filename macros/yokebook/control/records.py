"""What the department decided about its procedures: the files of `content/control/`, read strictly and with places.

`CYL-01.yaml` holds the issues of one procedure, `editions.yaml` what each published edition held.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from functools import cached_property
from typing import Annotated

from pydantic import Field

from yokebook import yamlfile
from yokebook.control import record_checks
from yokebook.control.digest import Digest
from yokebook.control.editions import Edition, Editions, Listed
from yokebook.control.standing import Withdrawal
from yokebook.data.entry import Entry
from yokebook.data.faults import Fault, refuse
from yokebook.data.fields import Boolean, Date, ProcedureNumber, Reason, Text, scalar

_SHA256 = re.compile("[0-9a-f]{64}")
_WHOLE = re.compile("[1-9][0-9]{0,3}")


def _sha256(text: str) -> str:
    if not _SHA256.fullmatch(text):
        wrong = "this is not a digest; it is written by the program and never typed"
        allowed = "64 digits and letters a to f, as approve or publish wrote them"
        refuse([Fault("E702", wrong, allowed=allowed, example="9f86d081884c7d65...")])
    return text


def _whole(text: str) -> int:
    if not _WHOLE.fullmatch(text):
        wrong = "issues and editions are counted 1, 2, 3"
        refuse([Fault("E209", wrong, allowed="a plain whole number from 1", example="1")])
    return int(text)


Sha256 = Annotated[str, scalar(_sha256)]
WholeNumber = Annotated[int, scalar(_whole)]


class DigestParts(Entry):
    """The digest that an approval was given for, with its three parts."""

    what = "a digest"
    whole: Sha256 = Field(description="over the three parts", examples=["9f86d081884c7d65..."])
    page: Sha256 = Field(description="the author's words", examples=["9f86d081884c7d65..."])
    calls: Sha256 = Field(description="what readers read from calls", examples=["9f86d081884c7d65..."])
    files: Sha256 = Field(description="pictures", examples=["9f86d081884c7d65..."])

    @property
    def digest(self) -> Digest:
        """The digest as it is worked out of a page."""
        return Digest(self.whole, self.page, self.calls, self.files)


class Signature(Entry):
    """Who approved, in which role, on which day."""

    what = "an approval"
    role: Text = Field(description="a role of department.yaml", examples=["approver"])
    name: Text = Field(description="the person's name", examples=["A. Example"])
    on: Date = Field(description="the day", examples=["2026-03-02"])


class Review(Signature):
    """A look at an issue that found nothing to change."""

    what = "a review without change"
    due: Date = Field(description="when it is to be looked at again", examples=["2027-03-02"])


class Issue(Entry):
    """One issue of a procedure: what was approved, by whom, until when, and why it was changed."""

    what = "an issue"
    number: WholeNumber = Field(description="1, 2, 3 and so on, without a gap", examples=["1"])
    digest: DigestParts = Field(description="what the approval was given for", examples=["{whole: ..., page: ...}"])
    as_read: Sha256 = Field(description="of the file in approved/", examples=["9f86d081884c7d65..."])
    approvals: tuple[Signature, ...] = Field(
        description="who approved it", examples=["[{role: approver, name: A. Example, on: 2026-03-02}]"]
    )
    review: Date = Field(description="when it is to be looked at again", examples=["2027-03-02"])
    reviews: tuple[Review, ...] = Field(
        (),
        description="reviews that changed nothing",
        examples=["[{role: approver, name: A. Example, on: 2027-02-20, due: 2028-02-20}]"],
    )
    reason: Reason = Field(description="why it was changed", examples=["the hissing yoke of March was misread"])
    incident: Text | None = Field(
        None, description="the page in incidents/ that led to it", examples=["2026-03-hissing-yoke"]
    )
    wording: Boolean = Field(
        False, description="true where only the program's own words were renewed", examples=["true"]
    )
    overtaken: Boolean = Field(
        False, description="true where another took its place before enough people had approved it", examples=["true"]
    )
    checks = (
        (("approvals",), record_checks.at_least_one("approvals")),
        (("approvals",), record_checks.signed_by_different_people),
        (("approvals",), record_checks.signed_in_order),
        (("approvals", "review", "reviews", "wording"), record_checks.reviewed_after_approval),
    )

    @property
    def approved_on(self) -> date:
        """The day of its last approval."""
        return max((signature.on for signature in self.approvals), default=date.min)

    @property
    def review_due(self) -> date:
        """The day by which it is to be looked at again: the last review's word counts."""
        return self.reviews[-1].due if self.reviews else self.review


class Withdrawn(Entry):
    """That a procedure, or an edition, is no longer to be used, and what to use in its place."""

    what = "withdrawn"
    on: Date = Field(description="the day", examples=["2026-03-02"])
    reason: Reason = Field(description="why", examples=["the machine that it is for has gone"])
    instead: Text = Field(description="the number of a procedure, or words", examples=["CYL-01"])
    by: Text = Field("", description="who decided it", examples=["A. Example, approver"])


class ProcedureRecord(Entry):
    """All issues of one procedure, and whether it was withdrawn."""

    what = "the record of a procedure"
    issues: tuple[Issue, ...] = Field(
        description="its issues, the oldest first", examples=["[{number: 1, digest: ...}]"]
    )
    withdrawn: Withdrawn | None = Field(
        None,
        description="that it is no longer to be used",
        examples=["{on: 2026-03-02, reason: the machine has gone, instead: CYL-01}"],
    )
    checks = (
        (("issues",), record_checks.at_least_one("issues")),
        (("issues",), record_checks.in_a_row),
        (("issues",), record_checks.in_order_of_days),
        (("issues", "withdrawn"), record_checks.withdrawn_after_approval),
        (("issues",), record_checks.only_wording),
    )

    @property
    def newest(self) -> Issue:
        """The newest issue, approved or waiting for its second approval."""
        return self.issues[-1]


class EditionRecord(Entry):
    """What one published edition holds: written by publish."""

    what = "an edition"
    number: WholeNumber = Field(description="1, 2, 3 and so on, without a gap", examples=["1"])
    in_force: Date = Field(description="the day from which it is in force", examples=["2026-03-09"])
    manifest: Sha256 = Field(description="of its MANIFEST.sha256", examples=["9f86d081884c7d65..."])
    issues: dict[ProcedureNumber, WholeNumber] = Field(
        description="the issue of each procedure in it", examples=["{CYL-01: 2}"]
    )
    records: dict[ProcedureNumber, Sha256] = Field(
        {},
        description="a digest of what each record told of that issue when the edition was published",
        examples=["{CYL-01: 9f86d081884c7d65...}"],
    )
    withdrawn: Withdrawn | None = Field(
        None,
        description="that it is no longer to be used",
        examples=["{on: 2026-03-10, reason: a table was wrong, instead: edition 1}"],
    )


class EditionsRecord(Entry):
    """`editions.yaml`: the department's own record of what it published."""

    what = "editions.yaml"
    editions: tuple[EditionRecord, ...] = Field(
        description="the editions, the oldest first", examples=["[{number: 1, in_force: 2026-03-09}]"]
    )
    checks = ((("editions",), record_checks.editions_in_order),)


@dataclass(frozen=True)
class Records:
    """All records of a department; `trees` has where each key stands, by the name of its file.

    `broken` names the files that could not be read and were reported. `contents` are the bytes of each as it was read.
    """

    folder: str
    procedures: Mapping[str, ProcedureRecord] = field(default_factory=dict)
    editions: tuple[EditionRecord, ...] = ()
    trees: Mapping[str, yamlfile.Mapping] = field(default_factory=dict)
    broken: frozenset[str] = frozenset()
    contents: Mapping[str, bytes] = field(default_factory=dict)

    def file(self, name: str) -> str:
        """Return how problems name a file of the records, such as "CYL-01.yaml"."""
        return f"{self.folder}/{name}"

    def issue(self, procedure: str, number: int) -> Issue | None:
        """Return an issue of a procedure, None where there is none of this number."""
        record = self.procedures.get(procedure)
        return record.issues[number - 1] if record and number <= len(record.issues) else None

    def is_published(self, procedure: str, issue: int) -> bool:
        """Return whether any edition carries an issue, one that was withdrawn since included."""
        return any(edition.issues.get(procedure) == issue for edition in self.editions)

    @cached_property
    def published(self) -> Editions:
        """Its editions as the list of a target has them, but for the titles and addresses of their pages."""
        withdrawn = {number: withdrawal_of(record.withdrawn) for number, record in self.procedures.items()}
        editions = [
            Edition(
                kept.number,
                kept.in_force,
                kept.manifest,
                {number: Listed(issue, "", "") for number, issue in kept.issues.items()},
                withdrawal_of(kept.withdrawn),
            )
            for kept in self.editions
        ]
        return Editions(tuple(editions), {number: told for number, told in withdrawn.items() if told})

    @property
    def newest_day(self) -> date | None:
        """The newest day on which something was decided or published, None for a department without records."""
        days = [edition.in_force for edition in self.editions]
        for record in self.procedures.values():
            days += [signature.on for issue in record.issues for signature in (*issue.approvals, *issue.reviews)]
            days += [record.withdrawn.on] if record.withdrawn else []
        return max(days, default=None)


def withdrawal_of(withdrawn: Withdrawn | None) -> Withdrawal | None:
    """Return a withdrawal as pages show it."""
    return Withdrawal(withdrawn.on, withdrawn.reason, withdrawn.instead) if withdrawn else None
