"""A machine card as a reader meets it: one machine, one dial, one short table in large figures."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from functools import partial
from typing import Any

from yokebook.calls.result import Result, Working, canonical_text
from yokebook.figures.card_layout import CardWords
from yokebook.number_list import CallNumbers, Shown
from yokebook.templates import render
from yokebook.units import Rounding

CAPTION = "At least how long one cylinder lasts"
NOT_BELOW = "Not below"


def in_a_narrow_column(duration: Shown) -> Shown:
    """Return a duration that may stand on two lines, hours above minutes: so wide is no third column of a small card.

    >>> in_a_narrow_column(Shown("7\xa0h\xa045\xa0min")).text
    '7\xa0h 45\xa0min'
    """
    return replace(duration, text=duration.text.replace("h\u00a0", "h "))


@dataclass(frozen=True)
class Card:
    """A card of one size: `cells` are readings × uses, `changes` the reading to change at for each use.

    `draw_dial` draws its dial, with `dial_words` in it. `uses` say the most that each takes. `beside` stands
    at the dial, `under` in small letters under the table, `condition` at length below the card, for the screen.
    """

    size: str
    machine: str
    gas: str
    draw_dial: Callable[[], str]
    dial_words: tuple[str, ...]
    unit: str
    corner: str
    readings: tuple[str, ...]
    columns: tuple[str, ...]
    cells: tuple[tuple[Shown, ...], ...]
    changes: tuple[Shown, ...]
    uses: tuple[str, ...]
    first: str
    hazards: tuple[str, ...]
    beside: str
    under: str
    condition: str
    working: Working

    @property
    def head(self) -> str:
        """What heads the card."""
        return f"{self.machine} · {self.gas}"

    @property
    def caption(self) -> str:
        """What heads the table."""
        return CAPTION

    @property
    def order(self) -> str:
        """Which cylinder is used first."""
        return f"First: {self.first}"

    @property
    def rows(self) -> list[list[str]]:
        """The rows of the table with their heads: by reading, then where to change."""
        by_reading = zip(self.readings, self.cells, strict=True)
        return [
            *([reading, *(cell.text for cell in cells)] for reading, cells in by_reading),
            [NOT_BELOW, *(change.text for change in self.changes)],
        ]

    @property
    def heads(self) -> list[str]:
        """The heads of the table's columns."""
        return [self.corner, *self.columns]

    @property
    def words(self) -> CardWords:
        """All words that take room on the sheet."""
        rows = [self.heads, *self.rows]
        return CardWords(self.head, self.hazards, self.order, self.beside, self.caption, rows, self.under)

    def result(self, name: str, arguments: Mapping[str, Any]) -> Result:
        """Return the card as the result of a call with these arguments."""
        as_read = {
            "head": self.head,
            "caption": self.caption,
            "heads": self.heads,
            "rows": self.rows,
            "condition": self.condition,
            "cautions": [*self.hazards, self.order, self.beside, self.under],
            "dial": list(self.dial_words),
        }
        write = partial(render, "card.html", card=self)
        return Result(write, True, canonical_text(name, arguments), self._numbers(name, arguments, as_read), as_read)

    def _numbers(self, name: str, arguments: Mapping[str, Any], as_read: Mapping[str, Any]) -> CallNumbers:
        """Return the list of numbers, a use to each row: so each column has its unit, that of the change last."""
        times, by_use = len(self.readings), zip(*self.cells, strict=True)
        texts = {key: as_read[key] for key in ("head", "caption", "heads", "condition", "cautions", "dial")}
        return CallNumbers(
            name,
            arguments,
            self.uses,
            (*self.readings, NOT_BELOW),
            tuple((*cells, change) for cells, change in zip(by_use, self.changes, strict=True)),
            (*("min" for _ in range(times)), self.unit),
            (*(Rounding.DOWN.value for _ in range(times)), Rounding.UP.value),
            self.working.keys,
            {**texts, "working": self.working.texts},
        )
