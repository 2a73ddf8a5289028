"""The list of editions, `editions.js`: what was published, from which day each edition is in force, what was withdrawn.

It is a classic script, so that pages read it over file:// too. One list has one text: whatever else stands in the file
is damage.
"""

from __future__ import annotations

import json
import re
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field, replace
from datetime import date, timedelta
from functools import cached_property
from hashlib import sha256
from typing import Any

from yokebook.control.standing import EditionMark, Withdrawal

SCRIPT = "editions.js"
FOLDER = "editions"
_VERSION = 1
_BEGIN, _END = "var yokebookEditions = ", ";\n"
_SHA256 = re.compile("[0-9a-f]{64}")
_EDITION = re.compile(r"(?:edition )?([1-9][0-9]{0,3})")


class DamagedError(ValueError):
    """The list of editions does not hold what a list of editions holds; its words say what is wrong."""


@dataclass(frozen=True)
class Listed:
    """One procedure in an edition: its issue, its title, and its page below the edition's folder."""

    issue: int
    title: str
    page: str


@dataclass(frozen=True)
class Edition:
    """One published edition; `manifest` is the SHA-256 of its MANIFEST.sha256, `procedures` are by their numbers."""

    number: int
    in_force: date
    manifest: str
    procedures: Mapping[str, Listed] = field(default_factory=dict)
    withdrawn: Withdrawal | None = None

    @property
    def address(self) -> str:
        """Its folder below the target.

        >>> Edition(7, date(2026, 3, 2), "").address
        'editions/0007'
        """
        return f"{FOLDER}/{EditionMark(self.number).folder}"

    @property
    def reached(self) -> date:
        """The day that the next edition may not lie before."""
        return reached(self.in_force, self.withdrawn.on if self.withdrawn else None)

    @property
    def issues(self) -> dict[str, int]:
        """The issue of each procedure in it."""
        return {number: listed.issue for number, listed in self.procedures.items()}

    def is_withdrawn_on(self, day: date) -> bool:
        """Return whether it is withdrawn on a day, the day of its withdrawal included."""
        return self.withdrawn is not None and self.withdrawn.on <= day


@dataclass(frozen=True)
class Span:
    """Days on end on which an edition, or an issue, was in force; no last day where nothing has ended it yet."""

    since: date
    until: date | None


@dataclass(frozen=True)
class Editions:
    """All editions of a target, in the order of their numbers, and the procedures that were withdrawn."""

    editions: tuple[Edition, ...] = ()
    withdrawn: Mapping[str, Withdrawal] = field(default_factory=dict)

    @property
    def reached(self) -> date | None:
        """The day that the next edition may not lie before, None before the first."""
        return max((edition.reached for edition in self.editions), default=None)

    @property
    def in_order(self) -> bool:
        """Whether each edition is in force from no earlier a day than those before it had reached."""
        numbers = range(1, len(self.editions))
        return all(self.editions[at].in_force >= max(one.reached for one in self.editions[:at]) for at in numbers)

    @property
    def current(self) -> Edition | None:
        """The newest edition; it stays the current one where it is withdrawn, and says what to use instead."""
        return self.editions[-1] if self.editions else None

    def numbered(self, number: int) -> Edition | None:
        """Return the edition of a number, None where there is none."""
        return self.editions[number - 1] if 1 <= number <= len(self.editions) else None

    @property
    def to_use(self) -> Edition | None:
        """The edition that is in force once the day of each has come; None where no edition is."""
        return self.on(date.max)

    def led_through(self, day: date) -> Iterator[Edition]:
        """Yield the newest edition whose day had come, then the one used instead of each that was withdrawn by then."""
        found = next((edition for edition in reversed(self.editions) if edition.in_force <= day), None)
        while found:
            yield found
            found = self._instead_of(found) if found.is_withdrawn_on(day) else None

    def on(self, day: date) -> Edition | None:
        """Return the edition that was in force on a day; None where none was.

        The newest one whose day had come; where it was withdrawn by then in favour of an earlier one, the earlier one.

        >>> two = Editions((Edition(1, date(2026, 1, 5), ""), Edition(2, date(2026, 3, 2), "")))
        >>> [edition and edition.number for edition in map(two.on, (date(2026, 1, 4), date(2026, 3, 1)))]
        [None, 1]
        """
        return next((edition for edition in self.led_through(day) if not edition.is_withdrawn_on(day)), None)

    def _instead_of(self, edition: Edition) -> Edition | None:
        """Return the earlier edition that is used instead of a withdrawn one, None where it is none."""
        number = edition_named(edition.withdrawn.instead) if edition.withdrawn else None
        return self.numbered(number) if number and number < edition.number else None

    def procedures(self) -> Iterator[tuple[str, Edition, Listed]]:
        """Yield each procedure that any edition holds, in order, with the newest edition that does."""
        newest: dict[str, tuple[Edition, Listed]] = {}
        for edition in self.editions:
            newest |= {number: (edition, listed) for number, listed in edition.procedures.items()}
        for number in sorted(newest):
            yield number, *newest[number]

    def spans_of(self, edition: Edition) -> list[Span]:
        """Return the days on which an edition was in force; none where another one took its place on its first day.

        An edition that is used instead of a withdrawn one is in force again.
        """
        return self._spans(lambda _, led: led is edition)

    def spans_of_issue(self, procedure: str, issue: int) -> list[Span]:
        """Return the days on which an issue was in force: those of the editions with it, till its procedure went."""
        withdrawn = self.withdrawn.get(procedure)

        def is_in_force(day: date, edition: Edition | None) -> bool:
            listed = edition.procedures.get(procedure) if edition else None
            return listed is not None and listed.issue == issue and not (withdrawn and withdrawn.on <= day)

        return self._spans(is_in_force)

    @cached_property
    def _changes(self) -> list[tuple[date, Edition | None]]:
        """Each day from which an edition or a withdrawal may count, in order, with the edition in force on it."""
        begins = {each.in_force for each in self.editions} | {each.on for each in self.withdrawn.values()}
        begins |= {each.withdrawn.on for each in self.editions if each.withdrawn}
        return [(day, self.on(day)) for day in sorted(begins)]

    def _spans(self, is_in_force: Callable[[date, Edition | None], bool]) -> list[Span]:
        """Return the days of which something is true that can change only with an edition or a withdrawal."""
        spans: list[Span] = []
        for number, (day, edition) in enumerate(self._changes, start=1):
            until = self._changes[number][0] - timedelta(days=1) if number < len(self._changes) else None
            if not is_in_force(day, edition):
                continue
            if spans and spans[-1].until == day - timedelta(days=1):
                spans[-1] = Span(spans[-1].since, until)
            else:
                spans.append(Span(day, until))
        return spans

    def with_edition(self, edition: Edition, withdrawn: Mapping[str, Withdrawal]) -> Editions:
        """Return the list with a further edition, and with the procedures that are withdrawn from it on."""
        return Editions((*self.editions, edition), dict(withdrawn))

    def with_edition_withdrawn(self, number: int, withdrawal: Withdrawal) -> Editions:
        """Return the list with one of its editions withdrawn."""
        changed = [replace(each, withdrawn=withdrawal) if each.number == number else each for each in self.editions]
        return replace(self, editions=tuple(changed))

    def with_procedure_withdrawn(self, procedure: str, withdrawal: Withdrawal) -> Editions:
        """Return the list with a procedure withdrawn."""
        return replace(self, withdrawn={**self.withdrawn, procedure: withdrawal})

    def as_script(self) -> bytes:
        """Return the bytes of `editions.js`; plain ASCII, so that no reader's character set can change them."""
        plain = self._plain()
        return f"{_BEGIN}{json.dumps(plain | {'digest': _digest(plain)})}{_END}".encode("ascii")

    def _plain(self) -> dict[str, Any]:
        return {
            "version": _VERSION,
            "current": self.current.number if self.current else None,
            "editions": [_plain_edition(edition) for edition in self.editions],
            "withdrawn": {number: self.withdrawn[number].as_plain() for number in sorted(self.withdrawn)},
        }


def reached(in_force: date, withdrawn_on: date | None) -> date:
    """Return the day that what follows an edition may not lie before; withdrawn before its day, it holds nothing up.

    >>> reached(date(2099, 6, 1), date(2026, 6, 5)), reached(date(2026, 6, 1), None)
    (datetime.date(2026, 6, 5), datetime.date(2026, 6, 1))
    """
    return min(in_force, withdrawn_on) if withdrawn_on else in_force


def edition_named(words: str) -> int | None:
    """Return the number of the edition that is to be used instead of another, None for other words.

    >>> edition_named("edition 7"), edition_named("7"), edition_named("the poster in the store")
    (7, 7, None)
    """
    named = _EDITION.fullmatch(words.strip())
    return int(named[1]) if named else None


def read_script(content: bytes) -> Editions:
    """Return the list that the bytes of `editions.js` hold; raise DamagedError for any byte that is not of it."""
    try:
        editions = _read_plain(_parsed(content.decode("ascii")))
    except DamagedError:
        raise
    except (ValueError, KeyError, TypeError, AttributeError) as error:
        raise DamagedError("it is not the whole list that publish wrote") from error
    if editions.as_script() != content:
        raise DamagedError("it does not fit the digest that it carries")
    return editions


def _parsed(text: str) -> Mapping[str, Any]:
    if not (text.startswith(_BEGIN) and text.endswith(_END)):
        raise DamagedError(f"it does not begin with {_BEGIN.strip()} and end with {_END.strip()}")
    plain: Mapping[str, Any] = json.loads(text.removeprefix(_BEGIN).removesuffix(_END))
    if plain["version"] != _VERSION:
        raise DamagedError("another version of the program wrote it")
    return plain


def _read_plain(plain: Mapping[str, Any]) -> Editions:
    editions = tuple(_read_edition(edition) for edition in plain["editions"])
    withdrawn = {str(number): Withdrawal.from_plain(withdrawal) for number, withdrawal in plain["withdrawn"].items()}
    found = Editions(editions, withdrawn)
    if [edition.number for edition in editions] != list(range(1, len(editions) + 1)):
        raise DamagedError("its editions are not numbered 1, 2, 3")
    if not found.in_order:
        raise DamagedError("its editions are not in the order of their days")
    return found


def _read_edition(plain: Mapping[str, Any]) -> Edition:
    procedures = {
        str(number): Listed(int(listed["issue"]), str(listed["title"]), str(listed["page"]))
        for number, listed in plain["procedures"].items()
    }
    if not _SHA256.fullmatch(plain["manifest"]):
        raise DamagedError("an edition has no digest of its manifest")
    withdrawn = Withdrawal.from_plain(plain["withdrawn"]) if plain["withdrawn"] is not None else None
    in_force = date.fromisoformat(plain["in_force"])
    return Edition(int(plain["number"]), in_force, plain["manifest"], procedures, withdrawn)


def _plain_edition(edition: Edition) -> dict[str, Any]:
    return {
        "number": edition.number,
        "in_force": edition.in_force.isoformat(),
        "manifest": edition.manifest,
        "withdrawn": edition.withdrawn.as_plain() if edition.withdrawn else None,
        "procedures": {
            number: {"issue": listed.issue, "title": listed.title, "page": listed.page}
            for number, listed in sorted(edition.procedures.items())
        },
    }


def _digest(plain: Mapping[str, Any]) -> str:
    return sha256(json.dumps(plain, sort_keys=True, separators=(",", ":")).encode("ascii")).hexdigest()
