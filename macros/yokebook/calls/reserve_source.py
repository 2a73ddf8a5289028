"""What the calls of the family reserve start from: the cylinder as it is read, what is taken, and words for both."""

from __future__ import annotations

from collections.abc import Iterable

from yokebook import units
from yokebook.calls import reserve_words
from yokebook.calls.draw import Drawn, of_all, taken
from yokebook.calls.refusal import both, in_range
from yokebook.calls.reserve_arguments import ReadCylinder, UseOfCylinder
from yokebook.calls.result import Input
from yokebook.calls.supply import Supply, supply
from yokebook.data.department import Department
from yokebook.number_list import Shown, duration_down
from yokebook.physics import bounds
from yokebook.quantities import GaugePa, Seconds


def read(arguments: ReadCylinder, department: Department) -> Supply:
    """Return the cylinder as it is read on the dial that the arguments name."""
    return supply(department, arguments.cylinder, arguments.machine, arguments.gauge)


def read_and_drawn(arguments: UseOfCylinder, department: Department) -> tuple[Supply, Drawn]:
    """Return the cylinder as it is read, and what the one use or flow takes of it."""
    source, takes = both(lambda: read(arguments, department), lambda: taken(department, arguments.asked))
    return source, of_all(takes, source, department)[0]


def least(source: Supply, reading: GaugePa, column: Drawn) -> Seconds:
    """Return how long [s] a use surely lasts from a reading [Pa]."""
    return in_range(
        lambda: bounds.least_duration(source.physics, source.reading(reading), column.physics), ("cylinder",)
    )


def nominal(source: Supply, reading: GaugePa, column: Drawn) -> Seconds:
    """Return how long [s] a use lasts from a reading [Pa] with nominal values."""
    return in_range(lambda: bounds.nominal_duration(source.physics, reading, column.physics), ("cylinder",))


def cell(source: Supply, reading: GaugePa, column: Drawn) -> Shown:
    """Return how long a use lasts from a reading [Pa], as a reader sees it."""
    return duration_down(least(source, reading, column), nominal(source, reading, column))


def inputs(source: Supply, drawn: Iterable[Drawn], *further: Input) -> tuple[Input, ...]:
    """Return all that went into a call, each once."""
    return tuple(dict.fromkeys([*further, *source.inputs, *(entry for column in drawn for entry in column.inputs)]))


def called(label: str, quantity: units.Quantity) -> Input:
    """Return a quantity of the call itself."""
    return Input(label, quantity.text, "")


def gas(source: Supply) -> str:
    """Return the gas as it begins a label."""
    return source.entry.gas[0].upper() + source.entry.gas[1:]


def at(source: Supply, reading: GaugePa) -> str:
    """Return at which reading [Pa], of which cylinder, on which dial."""
    return f"at {source.dial.label(source.dial.printed(reading))}, {of_which(source)}"


def of_which(source: Supply) -> str:
    """Return of which cylinder a number is, on which dial."""
    return f"{source.stamped}{source.where}, {reserve_words.on_the_dial(source)}"
