"""What a record must hold true within itself: numbers in a row, days in order, approvals by different people."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from datetime import date
from itertools import pairwise
from typing import TYPE_CHECKING
from unicodedata import normalize

from yokebook.control.editions import reached
from yokebook.data.entry import Entry
from yokebook.data.faults import BROKEN, Fault

if TYPE_CHECKING:
    from yokebook.control.records import EditionRecord, EditionsRecord, Issue, ProcedureRecord

_ANOTHER = "another person, in another role, for each approval"


def at_least_one(key: str) -> Callable[[Entry], Iterator[Fault]]:
    """Return a check that a list is not empty."""

    def check(entry: Entry) -> Iterator[Fault]:
        if not getattr(entry, key):
            yield Fault("E203", "at least one is wanted here", (key,), on_key=True, allowed="a list of one or more")

    return check


def signed_by_different_people(issue: Issue) -> Iterator[Fault]:
    """Yield a fault for each approval by somebody, or in a role, that approved already."""
    names: set[str] = set()
    roles: set[str] = set()
    for index, signature in enumerate(issue.approvals):
        if (name := same_person(signature.name)) in names:
            wrong = f"{signature.name} has approved this issue already; the second approval is another person's"
            yield Fault("E704", wrong, ("approvals", index, "name"), allowed=_ANOTHER, example="name: B. Sample")
        elif signature.role is not BROKEN and signature.role in roles:
            wrong = f"this issue is approved in the role of {signature.role} already; the second one has its own"
            yield Fault("E704", wrong, ("approvals", index, "role"), allowed=_ANOTHER, example="role: equipment lead")
        names.add(name)
        roles.add(signature.role)


def signed_in_order(issue: Issue) -> Iterator[Fault]:
    """Yield a fault for each approval that lies before the one that stands before it."""
    for index, (before, after) in enumerate(pairwise(issue.approvals), start=1):
        if after.on < before.on:
            approval = f"the approval by {before.name}"
            yield _too_early("on", after.on, approval, before.on, ("approvals", index, "on"))


def reviewed_after_approval(issue: Issue) -> Iterator[Fault]:
    """Yield a fault for each review that lies before what it reviews, and each that is due at once."""
    # A renewal of the program's words is no review: the day on which one was due stays, though it be past.
    if issue.review <= issue.approved_on and not issue.wording:
        yield _too_early("review", issue.review, "its approval", issue.approved_on, ("review",))
    reached = issue.approved_on
    for index, review in enumerate(issue.reviews):
        if review.on < reached:
            yield _too_early("on", review.on, "what stands before it", reached, ("reviews", index, "on"))
        if review.due <= review.on:
            yield _too_early("due", review.due, "this review", review.on, ("reviews", index, "due"))
        reached = max(reached, review.on)


def _too_early(key: str, day: date, before: str, reached: date, at: tuple[str | int, ...]) -> Fault:
    wrong = (
        f"{key} ({day}) lies before {before} ({reached})"
        if day < reached
        else f"{key} is no later than {before} ({reached})"
    )
    allowed = f"{reached} or later" if key in ("on", "in_force") else f"a day after {reached}"
    return Fault("E703", wrong, at, allowed=allowed)


def in_a_row(record: ProcedureRecord) -> Iterator[Fault]:
    """Yield a fault for each issue whose number is not its place in the file."""
    for index, issue in enumerate(record.issues):
        if issue.number is not BROKEN and issue.number != index + 1:
            wrong = f"this is the {ordinal(index + 1)} issue in the file, and its number is {issue.number}"
            at = ("issues", index, "number")
            yield Fault("E701", wrong, at, allowed=f"{index + 1}: each issue once, without a gap")


def in_order_of_days(record: ProcedureRecord) -> Iterator[Fault]:
    """Yield a fault for each approval that lies before one of the issue before."""
    for index, (before, after) in enumerate(pairwise(record.issues), start=1):
        for number, signature in enumerate(after.approvals):
            if signature.on < before.approved_on:
                at = ("issues", index, "approvals", number, "on")
                yield _too_early("on", signature.on, f"the approval of issue {before.number}", before.approved_on, at)


def withdrawn_after_approval(record: ProcedureRecord) -> Iterator[Fault]:
    """Yield a fault where a procedure was withdrawn before its last approval."""
    withdrawn = record.withdrawn
    if withdrawn and record.issues and withdrawn.on < (last := record.issues[-1]).approved_on:
        yield _too_early(
            "on", withdrawn.on, f"the approval of issue {last.number}", last.approved_on, ("withdrawn", "on")
        )


def only_wording(record: ProcedureRecord) -> Iterator[Fault]:
    """Yield a fault for each issue that says it renews words alone, and renews more."""
    for index, issue in enumerate(record.issues):
        if not issue.wording:
            continue
        before = next((one for one in reversed(record.issues[:index]) if not one.overtaken), None)
        parts = [one.digest for one in (before, issue) if one]
        if BROKEN in parts or any(BROKEN in (digest.page, digest.files) for digest in parts):
            continue
        if before is None or (parts[0].page, parts[0].files) != (parts[1].page, parts[1].files):
            moved = "the author's words or the pictures moved too" if before else "no issue stands before it"
            wrong = f"this issue is said to renew the program's own words alone, and {moved}"
            allowed = "true only where the author's words and the pictures are those of the issue before"
            at = ("issues", index, "wording")
            yield Fault("E709", wrong, at, allowed=allowed, example="wording: false")


def editions_in_order(kept: EditionsRecord) -> Iterator[Fault]:
    """Yield a fault for each edition whose number is not its place in the file, or that lies before the one before."""
    for index, edition in enumerate(kept.editions):
        if edition.number is not BROKEN and edition.number != index + 1:
            wrong = f"this is the {ordinal(index + 1)} edition in the file, and its number is {edition.number}"
            at = ("editions", index, "number")
            yield Fault("E701", wrong, at, allowed=f"{index + 1}: each edition once, without a gap")
    for index, after in enumerate(kept.editions[1:], start=1):
        before = max(kept.editions[:index], key=_reached)
        if after.in_force < _reached(before):
            at = ("editions", index, "in_force")
            yield _too_early("in_force", after.in_force, f"that of edition {before.number}", _reached(before), at)


def _reached(edition: EditionRecord) -> date:
    withdrawn = edition.withdrawn
    return reached(edition.in_force, withdrawn.on if withdrawn and withdrawn is not BROKEN else None)


def same_person(name: str) -> str:
    """Return a name in the one form by which two spellings of it are told to be the same: no case, dots or spaces.

    >>> same_person("A.  Example"), same_person("a example"), same_person("AB. Example")
    ('aexample', 'aexample', 'abexample')
    """
    # NFKC: a letter with its accent is one sign or two, as the keyboard has it.
    return normalize("NFKC", "".join(name.replace(".", " ").split()).casefold())


def ordinal(number: int) -> str:
    """Return a place in a row in figures.

    >>> [ordinal(number) for number in (1, 2, 3, 4, 11, 22)]
    ['1st', '2nd', '3rd', '4th', '11th', '22nd']
    """
    suffix = "th" if number % 100 in (11, 12, 13) else {1: "st", 2: "nd", 3: "rd"}.get(number % 10, "th")
    return f"{number}{suffix}"
