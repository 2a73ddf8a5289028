"""What a call gives back: a value in a sentence, a table or a figure, with its numbers and its working."""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from functools import cached_property, partial
from typing import Any

from yokebook.data.keys import kept
from yokebook.data.sources import Sources
from yokebook.number_list import CallNumbers, Shown
from yokebook.templates import render
from yokebook.units import Rounding


@dataclass(frozen=True)
class Caution:
    """A signal word of the open standard (ANSI Z535.6) with what it says."""

    word: str
    text: str


@dataclass(frozen=True)
class Input:
    """One value that went into a call, in a reader's words, with the data key where it is kept ("" for the call)."""

    label: str
    text: str
    key: str


@dataclass(frozen=True)
class Working:
    """How a call's numbers came about, for a reviewer with a hand calculator."""

    inputs: tuple[Input, ...]
    lines: tuple[str, ...]

    @property
    def keys(self) -> tuple[str, ...]:
        """The data keys that the call depends on."""
        return tuple(sorted({entry.key for entry in self.inputs if entry.key}))

    @property
    def texts(self) -> list[str]:
        """All that it says, line by line."""
        return [*(f"{entry.label}: {entry.text} ({entry.key or 'in the call'})" for entry in self.inputs), *self.lines]


@dataclass(frozen=True)
class Result:
    """What one call gives a page.

    What writes its HTML, and whether that is a block of its own; the call's `canonical` text, its part of the list of
    numbers (None for a word), and what a reader reads from it, workings excepted: what an approval covers; last, what
    writes what it has to say at the end of the page (a value's working).
    """

    write: Callable[[], str]
    is_block: bool
    canonical: str
    numbers: CallNumbers | None
    as_read: Mapping[str, Any]
    write_at_end: Callable[[], str] = str

    @cached_property
    def html(self) -> str:
        """The HTML in the call's place, written when a page is: a check needs none."""
        return self.write()

    @cached_property
    def at_end(self) -> str:
        """The HTML at the end of the page, "" where there is nothing to say there."""
        return self.write_at_end()

    def with_inputs(self, sources: Sources) -> Result:
        """Return the same with what the data keeps under each key that its numbers depend on."""
        if self.numbers is None:
            return self
        return replace(self, numbers=replace(self.numbers, inputs=kept(sources, self.numbers.keys)))


@dataclass(frozen=True)
class Value:
    """A value that stands in a sentence, in `unit`, moved as `rounding` says; its working stands at the page's end.

    `label` says what it is, with the condition under which it holds, in the working and where reports name it; the page
    itself shows the value in its author's sentence.
    """

    label: str
    shown: Shown
    unit: str
    rounding: Rounding
    working: Working

    def result(self, name: str, arguments: Mapping[str, Any]) -> Result:
        """Return the value as the result of a call with these arguments."""
        texts = {"label": self.label, "working": self.working.texts}
        numbers = CallNumbers(
            name,
            arguments,
            ("value",),
            ("value",),
            ((self.shown,),),
            self.unit,
            self.rounding.value,
            self.working.keys,
            texts,
        )
        return Result(
            partial(render, "value.html", value=self),
            False,
            canonical_text(name, arguments),
            numbers,
            {"shown": self.shown.text},
            partial(render, "value_working.html", value=self),
        )


@dataclass(frozen=True)
class RowFinder:
    """How a reader's own reading finds its row: `whose` dial and of `what`, its unit, where its scale begins and ends.

    All numbers are as printed on the dial. No cylinder of the table's shows more than `highest`. `readings` are those
    of the rows; "" for the row that serves all below.
    """

    whose: str
    what: str
    unit: str
    low: str
    high: str
    highest: str
    readings: tuple[str, ...]

    @property
    def told(self) -> str:
        """What it may say beside the table's rows, with a number that is off the dial, or that no cylinder shows."""
        low, high, highest = (f"{number}\u00a0{self.unit}" for number in (self.low, self.high, self.highest))
        dial = f"the dial goes from {low} to {high}"
        return f"{self.whose}, {self.what}: {dial}, a full cylinder comes to {highest} at most"


@dataclass(frozen=True)
class Table:
    """A table as a reader meets it; `cells` are rows × columns.

    `unit` and `rounding` hold for all cells, or are given for each column. No cautions and no condition where the
    numbers need none (a conversion). With a `finder` where the row at or below a reading is the safe one.
    """

    caption: str
    condition: str
    corner: str
    rows: tuple[str, ...]
    columns: tuple[str, ...]
    cells: tuple[tuple[Shown, ...], ...]
    unit: str | tuple[str, ...]
    rounding: Rounding | tuple[Rounding, ...]
    cautions: tuple[Caution, ...]
    working: Working
    finder: RowFinder | None = None

    def result(self, name: str, arguments: Mapping[str, Any]) -> Result:
        """Return the table as the result of a call with these arguments."""
        write = partial(render, "table.html", table=self)
        return Result(write, True, canonical_text(name, arguments), self.numbers(name, arguments), self.as_read)

    @property
    def as_read(self) -> dict[str, Any]:
        """What a reader reads from it, the working excepted."""
        return {
            "caption": self.caption,
            "condition": self.condition,
            "heads": [self.corner, *self.columns],
            "rows": [[row, *(cell.text for cell in cells)] for row, cells in zip(self.rows, self.cells, strict=True)],
            "cautions": [f"{caution.word}: {caution.text}" for caution in self.cautions],
            **({"finder": self.finder.told} if self.finder else {}),
        }

    def numbers(self, name: str, arguments: Mapping[str, Any], beside: Mapping[str, Any] | None = None) -> CallNumbers:
        """Return its part of the list of numbers; `beside` are the texts of a drawing that it belongs to."""
        ways, read = self.rounding, self.as_read
        rounding = ways.value if isinstance(ways, Rounding) else tuple(way.value for way in ways)
        around = ("caption", "condition", "cautions", "finder")
        texts = {**(beside or {}), **{key: read[key] for key in around if key in read}}
        texts |= {"corner": self.corner, "working": self.working.texts}
        return CallNumbers(
            name, arguments, self.rows, self.columns, self.cells, self.unit, rounding, self.working.keys, texts
        )


@dataclass(frozen=True)
class Figure:
    """A drawing as a reader meets it, the words and numbers in it, and the table of all that it shows.

    The table stands below the drawing for everybody: who cannot see the drawing reads there what it says, with its
    condition, cautions and working. Its caption is not the figure's title: a page's captions are told apart by it.
    `draw` gives the drawing as an SVG element: what is only checked is never drawn.
    """

    draw: Callable[[], str]
    title: str
    words: tuple[str, ...]
    table: Table

    def result(self, name: str, arguments: Mapping[str, Any]) -> Result:
        """Return the figure as the result of a call with these arguments."""
        drawn = {"title": self.title, "words": list(self.words)}
        numbers = self.table.numbers(name, arguments, drawn)
        write = partial(render, "figure.html", figure=self)
        return Result(write, True, canonical_text(name, arguments), numbers, {**drawn, **self.table.as_read})


def canonical_text(name: str, arguments: Mapping[str, Any]) -> str:
    """Return a call in one form, however it was spaced or ordered.

    >>> canonical_text("contents", {"reading": "70 bar", "cylinder": "oxygen-e"})
    'contents(cylinder="oxygen-e", reading="70 bar")'
    """
    told = (f"{key}={json.dumps(value, ensure_ascii=False)}" for key, value in sorted(arguments.items()))
    return f"{name}({', '.join(told)})"
