"""Readings of a cylinder's dial: which a call may ask for, and which head the rows of a table."""

from __future__ import annotations

from decimal import Decimal
from functools import partial

from yokebook import units
from yokebook.calls.dial import DialFace, refuse_off_dial
from yokebook.calls.refusal import Refusal, every, in_range
from yokebook.calls.supply import Supply
from yokebook.data.faults import Fault, Path
from yokebook.number_list import Shown, minutes_text
from yokebook.quantities import GaugePa


def checked(source: Supply, reading: units.GaugePressure, at: Path) -> GaugePa:
    """Return a reading [Pa], or refuse one off the dial or above what a full cylinder may show in the warm."""
    dial = source.dial
    refuse_off_dial(dial, reading.pa, at)
    shown = highest_mark_shown(source)
    if reading.pa > dial.pa(shown):
        raise Refusal(
            Fault(
                "E525",
                "not even a full cylinder in the warm, on a gauge that reads high, shows so much",
                at,
                allowed=f"at most {dial.label(shown)}",
                example=f'"{dial.as_quantity(shown)}"',
            )
        )
    return reading.pa


def highest_mark_shown(source: Supply) -> Decimal:
    """Return the mark, as printed on the dial, above which not even a full cylinder in the warm shows."""
    return source.dial.mark_above(in_range(source.highest_reading, ("cylinder",)))


def of_dial(source: Supply, reading: units.GaugePressure, at: Path) -> GaugePa:
    """Return a reading [Pa] as `checked` does, or refuse one in another unit than the dial's."""
    refuse_other_unit(source.dial, reading, at)
    return checked(source, reading, at)


def of_rows(source: Supply, readings: tuple[units.GaugePressure, ...] | None) -> tuple[GaugePa, ...]:
    """Return the readings of a table's rows [Pa], the highest first: those asked for, else steps of the dial."""
    if readings is None:
        full = in_range(lambda: source.full_reading(source.physics.temperature.nominal), ("cylinder",))
        steps = source.dial.steps_down_from(full)
        if not steps:
            wrong = f"a full cylinder does not reach the first mark of its dial, {source.dial.gauge.key}"
            raise Refusal(Fault("E530", wrong, ("cylinder",), allowed="a dial on which a full cylinder can be read"))
        return tuple(source.dial.pa(printed) for printed in steps)
    asked = every(partial(_of_row, source, reading, ("readings", number)) for number, reading in enumerate(readings))
    return tuple(sorted(set(asked), reverse=True))


def _of_row(source: Supply, reading: units.GaugePressure, at: Path) -> GaugePa:
    """Return a reading [Pa] that heads a row: one that can be read on the dial, in its unit, to half an interval."""
    found = checked(source, reading, at)
    refuse_between_marks(source.dial, reading, at)
    return found


def refuse_unshown(dial: DialFace, reading: units.GaugePressure, at: Path) -> None:
    """Refuse a reading that a dial does not show: in another unit than its own, or off its scale."""
    refuse_other_unit(dial, reading, at)
    refuse_off_dial(dial, reading.pa, at)


def refuse_other_unit(dial: DialFace, reading: units.GaugePressure, at: Path) -> None:
    """Refuse a reading in another unit than the dial's: a number of one dial is not one of another."""
    own = dial.gauge.unit
    if reading.unit.pint_name != own.pint_name:
        found = dial.pa(dial.mark_below(reading.pa))
        example = f'"{dial.as_quantity(dial.printed(found))}"'
        wrong = f"the dial reads in {own.symbol}, this is in {reading.unit.symbol}"
        raise Refusal(
            Fault("E223", wrong, at, allowed=f"a number of {own.symbol}, as the dial shows it", example=example)
        )


def refuse_between_marks(dial: DialFace, reading: units.GaugePressure, at: Path) -> None:
    """Refuse a reading that nobody can read: in another unit than the dial's, or off a mark and not half-way."""
    refuse_other_unit(dial, reading, at)
    found = reading.pa
    if dial.printed(found) % (dial.interval / 2):
        raise Refusal(
            Fault(
                "E536",
                f"nobody can read this on the dial: its marks stand {dial.label(dial.interval)} apart",
                at,
                allowed=f"readings in {dial.gauge.unit.symbol}, at a mark or half-way between two",
                example=f'"{dial.as_quantity(dial.mark_below(found))}"',
            )
        )


def with_end(
    source: Supply, rows: tuple[GaugePa, ...], cells: tuple[tuple[Shown, ...], ...]
) -> tuple[tuple[str, ...], tuple[tuple[Shown, ...], ...]]:
    """Return the heads and cells of a table's rows, with a last row for what lies below: nothing to count on.

    Where the lowest row says so already, nothing is added.
    """
    heads = tuple(units.group(source.dial.printed(reading)) for reading in rows)
    if not any(cell.value for cell in cells[-1]):
        return heads, cells
    nothing = Shown(minutes_text(0), Decimal(0), Decimal(0))
    return (*heads, f"below {heads[-1]}"), (*cells, (nothing,) * len(cells[-1]))


def full_mark(source: Supply) -> GaugePa:
    """Return the highest mark of the dial [Pa] that a full cylinder comes to at the usual temperature of its place."""
    full = in_range(lambda: source.full_reading(source.physics.temperature.nominal), ("cylinder",))
    return source.dial.pa(source.dial.mark_below(full))
