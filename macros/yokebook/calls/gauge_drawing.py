"""A gauge as it is drawn: its dial at a reading with the possible error, and its inside."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal
from functools import partial

from yokebook import units
from yokebook.calls import threshold, working
from yokebook.calls.dial import DialFace, accuracy_text, error_in_place
from yokebook.calls.draw import of_all, taken
from yokebook.calls.gauge_error import FORMULA, LOW_READINGS, Read, cells_of, more_inputs, on_machine, worked
from yokebook.calls.pin_words import codes_of, colours_source, swatch
from yokebook.calls.readings import refuse_unshown
from yokebook.calls.refusal import Refusal, both
from yokebook.calls.reserve_change import change_reading, rule_for
from yokebook.calls.reserve_source import inputs
from yokebook.calls.result import Caution, Figure, Input, Table, Working
from yokebook.calls.supply import Supply, supply
from yokebook.data import dials
from yokebook.data.department import Department
from yokebook.data.faults import Fault
from yokebook.figures import dial as drawing
from yokebook.figures.swatches import Swatch
from yokebook.number_list import Shown, significant
from yokebook.physics.gauges import PossibleError
from yokebook.quantities import GaugePa
from yokebook.units import Rounding

_NOT_KNOWN = "not known"
_NOTHING_PROMISED = Caution(
    "WARNING",
    "Nobody knows how far this dial may be out. Promise nothing from its reading: weigh the cylinder, or take a gauge "
    "whose accuracy is known.",
)


@dataclass(frozen=True)
class Change:
    """Where a cylinder is to be changed: the reading, for what, and how it was found."""

    source: Supply
    mark: Decimal
    nominal: Decimal
    pressure: GaugePa
    words: str
    inputs: tuple[Input, ...]
    line: str


def change_of(
    department: Department, cylinder: str, machine: str | None, gauge: str, use: str, time: units.Duration | None
) -> Change:
    """Return at which reading of a gauge a cylinder is to be changed.

    `time` is the call's own time in hand, in place of the data's.
    """
    source, takes = both(
        lambda: supply(department, cylinder, machine, gauge), lambda: taken(department, [(("use",), use)])
    )
    (column,) = of_all(takes, source, department)
    rule = rule_for(source, time, department)
    found = change_reading(source, column, rule, ("use",))
    return Change(
        source,
        significant(found.mark),
        source.dial.printed(found.nominal),
        source.dial.pa(found.mark),
        f"The mark where to change ({column.head}): {rule.in_hand.text} in hand and {rule.change.text} for "
        f"the change, {source.stamped}{source.where}",
        inputs(source, (column,), *rule.inputs),
        threshold.worked(source, column, found, rule.total_text),
    )


def figure_of(
    department: Department, read: Read, gas: str, asked: units.GaugePressure, change: Change | None
) -> Figure:
    """Return a dial drawn at the reading asked for, with a mark where the cylinder is changed."""
    dial, standard = read.dial, department.settings.colour_marks
    _refuse_other_gas(department, dial, gas, change)
    refuse_unshown(dial, asked, ("reading",))
    reading = asked.pa
    if change is not None:
        read = on_machine(read, department, change.source.machine)
    error, warmth = _error_of(read)
    drawn = _drawn(dial, gas, reading, error, change, swatch(gas, codes_of(gas)[0][2], standard))
    printed = significant(dial.printed(reading))
    rows = {"Reading": _row(dial, error, reading, printed, printed)}
    if change is not None:
        rows["Change at"] = _row(dial, error, change.pressure, change.mark, change.nominal)
    unit = dial.unit_text
    at, ends = dial.label(dial.printed(reading)), dial.label(dial.high)
    table = Table(
        caption=f"The dial in numbers: {gas} gauge that ends at {ends}, at {at}",
        condition=_condition(read, error, change),
        corner="Mark",
        rows=tuple(rows),
        columns=(
            f"On the dial ({unit})",
            f"Out by up to (± {unit})",
            f"True pressure at least ({unit})",
            f"True pressure at most ({unit})",
        ),
        cells=tuple(rows.values()),
        unit=unit,
        rounding=(Rounding.UP, Rounding.UP, Rounding.DOWN, Rounding.UP),
        cautions=(LOW_READINGS,) if error else (_NOTHING_PROMISED,),
        working=Working(
            tuple(dict.fromkeys(_inputs(department, read, gas, reading, warmth, change))),
            tuple(_lines(dial, error, reading, standard, change)),
        ),
    )
    title = f"Dial of the {gas} gauge that ends at {ends}, at {at}"
    return Figure(partial(drawing.draw, drawn), title, drawing.words(drawn), table)


def _refuse_other_gas(department: Department, dial: DialFace, gas: str, change: Change | None) -> None:
    """Refuse a gas whose cylinders are not read on the gauge: a dial bears the name of its gas."""
    name = dial.gauge.key
    yokes = (yoke for machine in department.machines.values() for yoke in machine.yokes)
    gases = {dial.gauge.gas} if dial.gauge.gas else set()
    gases |= {yoke.gas for yoke in yokes if yoke.gauge == name}
    gases |= {cylinder.gas for cylinder in department.cylinders.values() if cylinder.gauge == name}
    if change is not None:
        gases = {change.source.entry.gas}
    if gases and gas not in gases:
        what = f"the cylinder {change.source.entry.key} holds" if change else f"the gauge {name} reads"
        wrong = f"{what} {' and '.join(sorted(gases))}"
        raise Refusal(Fault("E556", wrong, ("gas",), allowed=", ".join(sorted(gases)), example=f'"{min(gases)}"'))


def _error_of(read: Read) -> tuple[PossibleError | None, Input | None]:
    """Return how far the dial may be out, with what its own temperature adds; None where nobody knows."""
    known = dials.error_as_read(read.dial.gauge)
    if known is None:
        return None, None
    return error_in_place(read.dial, known, read.temperature, read.temperature_key)


def _drawn(
    dial: DialFace, gas: str, reading: GaugePa, error: PossibleError | None, change: Change | None, colours: Swatch
) -> drawing.Dial:
    truth = None
    if error is not None:
        _, _, least, most = cells_of(dial, error, reading)
        assert least.value is not None
        assert most.value is not None
        truth = least.value, most.value
    mark = change.mark if change else None
    printed = dial.printed(reading)
    return drawing.Dial(gas, dial.unit_text, dial.low, dial.high, dial.interval, printed, truth, mark, colours)


def _row(
    dial: DialFace, error: PossibleError | None, pressure: GaugePa, mark: Decimal, nominal: Decimal
) -> tuple[Shown, ...]:
    """Return the cells of a mark at a pressure [Pa], as a number of the dial; a reading is its own nominal number."""
    at = Shown(units.group(mark.normalize()), mark, nominal)
    if error is None:
        return (at, *(Shown(_NOT_KNOWN),) * 3)
    out_by, _, least, most = cells_of(dial, error, pressure)
    return at, out_by, least, most


def _condition(read: Read, error: PossibleError | None, change: Change | None) -> str:
    dial = read.dial
    scale = f"The dial goes from {dial.label(dial.low)} to {dial.label(dial.high)}, a mark every "
    scale += f"{dial.label(dial.interval)}. Accuracy: {accuracy_text(dial.gauge)}"
    if error is None:
        return f"{scale}."
    found = f", and the {dial.gauge.found_error.text} found at its check more" if dial.gauge.found_error else ""
    temperature = read.temperature
    marked = f"{change.words}. " if change else ""
    return (
        f"{marked}{scale}{found}, and what its own temperature of {temperature.low.text} to {temperature.high.text} "
        f"adds, and half a mark of reading ({dial.half_a_mark}). The true pressure is rounded down at least, up at "
        "most. Colours only confirm: read the name of the gas."
    )


def _inputs(
    department: Department, read: Read, gas: str, reading: GaugePa, warmth: Input | None, change: Change | None
) -> Iterator[Input]:
    dial = read.dial
    yield Input("Gas of the dial", gas, "")
    yield Input("Reading", dial.label(dial.printed(reading)), "")
    yield from dial.inputs
    yield Input("Unit of the dial", dial.unit_text, dial.key("unit"))
    if dial.gauge.dial_multiplier != 1:
        yield Input("Figures are multiplied by", f"{dial.gauge.dial_multiplier}", dial.key("dial_multiplier"))
    yield from more_inputs(dial)
    if warmth is not None:
        yield from (*read.places, warmth)
    yield Input("Standard of the colour marks", department.settings.colour_marks, "department.colour_marks")
    if change is not None:
        yield from change.inputs


def _lines(
    dial: DialFace, error: PossibleError | None, reading: GaugePa, standard: str, change: Change | None
) -> Iterator[str]:
    if error is not None:
        yield FORMULA
        yield from worked(dial, error, reading)
    if change is not None:
        yield from (
            f"{change.words}.",
            working.TIME,
            threshold.TURNED_ROUND,
            change.line,
            working.sources(change.source),
        )
    yield colours_source(standard)
