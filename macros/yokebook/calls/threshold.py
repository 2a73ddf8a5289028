"""The lowest reading of a dial from which a use surely lasts a time, as the scale mark that staff look for."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from yokebook import units
from yokebook.calls.draw import Drawn
from yokebook.calls.readings import full_mark
from yokebook.calls.refusal import in_range
from yokebook.calls.supply import Supply
from yokebook.calls.working import worked_duration
from yokebook.number_list import Shown, significant
from yokebook.physics import bounds
from yokebook.quantities import GaugePa, Seconds

TURNED_ROUND = (
    "The lowest reading is the one from which, less the possible error and with the other tolerances at their worst, "
    "just the time comes out that was asked for. It is found by trying, and proved by working the time out from it."
)


@dataclass(frozen=True)
class Threshold:
    """A reading that assures a time: exactly [Pa], as the next mark of the dial, and with nominal values [Pa]."""

    exact: GaugePa
    mark: Decimal
    nominal: GaugePa


def full_lasts(source: Supply, column: Drawn) -> Seconds:
    """Return how long [s] a use surely lasts from the highest mark that a full cylinder usually comes to."""
    full = source.reading(full_mark(source))
    return in_range(lambda: bounds.least_duration(source.physics, full, column.physics), ("cylinder",))


def threshold(source: Supply, column: Drawn, time: Seconds) -> Threshold | None:
    """Return the reading from which a use surely lasts a time [s]; None where not even a full cylinder does."""
    if full_lasts(source, column) < time:
        return None

    def work() -> Threshold:
        exact = bounds.highest_threshold(source.physics, source.error, source.dial.face, column.physics, time)
        nominal = bounds.nominal_threshold(source.physics, column.physics, time)
        return Threshold(exact, source.dial.mark_above(exact), nominal)

    return in_range(work, ("cylinder",))


def shown(source: Supply, found: Threshold, words: str = "") -> Shown:
    """Return a threshold as a reader sees it, as a number of the dial with its unit."""
    dial = source.dial
    return Shown(dial.label(found.mark) + words, significant(found.mark), dial.printed(found.nominal))


def in_a_cell(source: Supply, found: Threshold) -> Shown:
    """Return a threshold as it stands in a table, whose head or caption has the unit of a dial with a multiplier."""
    dial = source.dial
    return Shown(dial.in_a_cell(found.mark), significant(found.mark), dial.printed(found.nominal))


def worked(source: Supply, column: Drawn, found: Threshold, asked: str) -> str:
    """Return the proof of a threshold: the time from it, worked through; `asked` is the time that was asked for."""
    dial = source.dial
    exact = dial.label(units.round_to(dial.printed(found.exact), Decimal("0.01"), units.Rounding.NEAREST))
    steps = worked_duration(source, found.exact, column, f"asked for: {asked}")
    return f"From {exact}: {steps} Rounded up to a scale mark: {dial.label(found.mark)}."


def not_even_full(source: Supply) -> str:
    """Return what it means that no reading is told."""
    dial = source.dial
    full = dial.label(source.dial.mark_below(source.full_reading(source.physics.temperature.nominal)))
    return (
        f"a full cylinder at the usual temperature of its place comes to {full}, and from there the time does not "
        "come out."
    )
