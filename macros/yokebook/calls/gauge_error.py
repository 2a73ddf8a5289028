"""How far a dial may be out at its readings, and between what the truth then lies."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from decimal import Decimal
from functools import partial, reduce

from yokebook import units
from yokebook.calls.dial import DialFace, accuracy_text, dial_face, error_in_place, possible_error
from yokebook.calls.readings import refuse_unshown
from yokebook.calls.refusal import Refusal, every, pick, pick_named
from yokebook.calls.result import Caution, Input, Table, Working
from yokebook.calls.supply import place_temperature, store_input
from yokebook.data import dials
from yokebook.data.department import Department
from yokebook.data.faults import Fault, Path
from yokebook.data.machines import Machine
from yokebook.data.ranges import TemperatureRange
from yokebook.data.sources import key_text
from yokebook.data.stores import with_store
from yokebook.number_list import Shown, significant
from yokebook.physics.gauges import STOPPED_SHARE, PossibleError, half_interval, true_range
from yokebook.quantities import GaugePa
from yokebook.units import Rounding

LOW_READINGS = Caution(
    "CAUTION",
    "Believe a low reading least: near the low end of a dial the possible error is a large part of what is left.",
)
FORMULA = (
    "Possible error = what the accuracy states + what the last check found + what the dial's own temperature adds + "
    "half a mark, by which it may be read wrong. "
    "True pressure = reading less, or plus, the possible error."
)
_NEVER_CHECKED = (
    " This dial was never checked: its accuracy is that of a dial as it was made, and what it has drifted is not in."
)
_SAYS_NOTHING = "says nothing"
_MAY_BE_EMPTY = "may be empty"
_STEPS_IN_AN_INTERVAL = 10


@dataclass(frozen=True)
class Read:
    """A dial as an author named it: by which argument, how warm it may be, where that is kept, what led there.

    `places` says in which places it may be so warm.
    """

    dial: DialFace
    named_by: Path
    temperature: TemperatureRange
    temperature_key: str
    inputs: tuple[Input, ...]
    places: tuple[Input, ...]


def dial_of(department: Department, gauge: str | None, machine: str | None, gas: str | None) -> Read:
    """Return the dial that an author names, or the one on which a machine's cylinders of a gas are read."""
    if gauge is not None:
        return _by_name(department, gauge)
    assert machine is not None
    assert gas is not None
    found: Machine = pick(department, "machines", machine, ("machine",))
    names = tuple(dict.fromkeys(yoke.gauge for yoke in found.yokes if yoke.gas == gas and yoke.gauge))
    if not names:
        wrong = f"{machine} has no yoke in use for {gas}"
        used = dict.fromkeys(yoke.gas for yoke in found.yokes if yoke.gauge)
        allowed = ", ".join(used) or "gauge= with an entry of gauges.yaml"
        example = f'"{next(iter(used))}"' if used else 'gauge="yoke-oxygen"'
        raise Refusal(Fault("E553", wrong, ("gas",), allowed=allowed, example=example))
    if len(names) > 1:
        wrong = f"{gas} is read on several gauges of {machine} ({', '.join(names)}), and their numbers differ"
        allowed = "gauge= in place of machine= and gas="
        raise Refusal(Fault("E522", wrong, ("gas",), allowed=allowed, example=f'gauge="{names[0]}"'))
    dial = dial_face(pick_named(department, "gauges", names[0]))
    temperature, key = place_temperature(department, found.place)
    return Read(dial, ("machine",), temperature, key, _of_yokes(found, gas), (_place_input(temperature, key),))


def _by_name(department: Department, name: str) -> Read:
    """Return the dial of a gauge; a cylinder's own dial may be as cold or as warm as where the cylinder is stored."""
    dial = dial_face(pick(department, "gauges", name, ("gauge",)))
    place, key = place_temperature(department, dial.gauge.place)
    own = [cylinder for cylinder in department.cylinders.values() if cylinder.gauge == name]
    stores = dict.fromkeys(store_input(department, cylinder) for cylinder in own)
    temperature = reduce(lambda so_far, cylinder: with_store(department, cylinder, so_far), own, place)
    return Read(dial, ("gauge",), temperature, key, (), (_place_input(place, key), *stores))


def on_machine(read: Read, department: Department, machine: Machine | None) -> Read:
    """Return a dial as it stands on a machine; one of a cylinder's own, or of no machine, stays as it is."""
    if machine is None or all(yoke.gauge != read.dial.gauge.key for yoke in machine.yokes):
        return read
    temperature, key = place_temperature(department, machine.place)
    return replace(read, temperature=temperature, temperature_key=key, places=(_place_input(temperature, key),))


def table_of(read: Read, readings: tuple[units.GaugePressure, ...] | None) -> Table:
    """Return the table of a dial's possible error."""
    dial = read.dial
    error, warmth = error_in_place(dial, possible_error(dial, read.named_by), read.temperature, read.temperature_key)
    shown = _readings(dial, readings)
    stopped = [_below_stop(dial)] if dial.face.stopped else []
    unit = dial.unit_text
    return Table(
        caption=f"How far a reading of the gauge {dial.gauge.called} may be out, for dials that end at "
        f"{dial.label(dial.high)}",
        condition=_condition(dial, read.temperature),
        corner=f"Reading ({unit})",
        rows=(*(units.group(dial.printed(reading)) for reading in shown), *stopped),
        columns=(
            f"Out by up to (± {unit})",
            "Part of the reading, up to",
            f"True pressure at least ({unit})",
            f"True pressure at most ({unit})",
        ),
        cells=(*(cells_of(dial, error, reading) for reading in shown), *((Shown(_SAYS_NOTHING),) * 4 for _ in stopped)),
        unit=(unit, "%", unit, unit),
        rounding=(Rounding.UP, Rounding.UP, Rounding.DOWN, Rounding.UP),
        cautions=(LOW_READINGS,),
        working=Working(
            (*read.inputs, *dial.inputs, *more_inputs(dial), *read.places, warmth),
            (FORMULA, "Part = possible error ÷ reading.", *worked(dial, error, shown[0])),
        ),
    )


def _readings(dial: DialFace, readings: tuple[units.GaugePressure, ...] | None) -> tuple[GaugePa, ...]:
    """Return the readings of the rows [Pa], the highest first."""
    if readings is None:
        return tuple(dial.pa(printed) for printed in dial.steps_down_from(dial.face.high))
    every(partial(refuse_unshown, dial, reading, ("readings", number)) for number, reading in enumerate(readings))
    return tuple(sorted({reading.pa for reading in readings}, reverse=True))


def _below_stop(dial: DialFace) -> str:
    return f"below {units.group(dial.printed(dial.face.lowest_reading))}"


def cells_of(dial: DialFace, error: PossibleError, reading: GaugePa) -> tuple[Shown, ...]:
    """Return what a reading [Pa] says: out by up to, that part of the reading, the truth at least, at most."""
    low, high = true_range(reading, error)
    least = _moved(dial, low, Rounding.DOWN)
    if least.value is not None and least.value <= 0:
        least = Shown(_MAY_BE_EMPTY, Decimal(0), least.nominal)
    percent = significant(error(reading) / reading * 100)
    part = units.round_to(percent, Decimal(1), Rounding.UP)
    return (
        _moved(dial, GaugePa(error(reading)), Rounding.UP),
        Shown(units.with_unit(units.group(part), units.PERCENT), significant(part), percent),
        least,
        _moved(dial, high, Rounding.UP),
    )


def _moved(dial: DialFace, pressure: GaugePa, rounding: Rounding) -> Shown:
    """Return a pressure [Pa] as a number of the dial, moved to a tenth of its scale interval."""
    exact = dial.printed(pressure)
    number = significant(units.round_to(exact, dial.interval / _STEPS_IN_AN_INTERVAL, rounding))
    return Shown(units.group(number), number, exact)


def _place_input(temperature: TemperatureRange, key: str) -> Input:
    return Input("Temperature of the dial", f"{temperature.low.text} to {temperature.high.text}", key)


def _condition(dial: DialFace, temperature: TemperatureRange) -> str:
    gauge = dial.gauge
    found = f", and the {gauge.found_error.text} found at its check more" if gauge.found_error else ""
    never = "" if gauge.checked else _NEVER_CHECKED
    stop = (
        f" A stop pin holds the pointer: below {units.shown(STOPPED_SHARE, '%', '1')} of its span a dial says nothing."
        if dial.face.stopped
        else ""
    )
    step = dial.label(dial.interval / _STEPS_IN_AN_INTERVAL)
    return (
        f"Accuracy: {accuracy_text(gauge)}{found}, and what its own temperature of {temperature.low.text} to "
        f"{temperature.high.text} adds, and half a mark of reading ({dial.half_a_mark}). Errors and the highest "
        f"true pressure are rounded up, the lowest down, to {step}; parts up to {units.shown(0.01, '%', '1')}."
        f"{never}{stop}"
    )


def more_inputs(dial: DialFace) -> Iterator[Input]:
    """Yield what the working says of a dial besides its scale and its accuracy."""
    if dial.face.stopped:
        yield Input("Zero of the pointer", "on a stop pin", dial.key("zero"))
    if dial.gauge.checked:
        yield Input("Last check", dial.gauge.checked.isoformat(), dial.key("checked"))


def worked(dial: DialFace, error: PossibleError, reading: GaugePa) -> Iterator[str]:
    """Yield a dial's cells at a reading [Pa] worked through, and the source of its class."""
    stated = dials.stated_error(dial.gauge)
    assert stated is not None
    at = dial.label(dial.printed(reading))
    higher = GaugePa(min(reading + half_interval(dial.gauge.interval.pa), dial.face.high))
    where = " half a mark higher, where it may truly stand" if stated(higher) != stated(reading) else ""
    low, high = true_range(reading, error)
    found = dial.gauge.found_error
    total = _number(dial, GaugePa(error(reading)))
    more = f", and {found.text} found at its check, counted either way" if found else ""
    cells = cells_of(dial, error, reading)
    yield (
        f"First row, {at}: {accuracy_text(dial.gauge)} is {_number(dial, GaugePa(stated(higher)))}{where}{more}; "
        f"with what its own temperature adds and half a mark of reading ({dial.half_a_mark}) {total}, shown as "
        f"{cells[0].text}; true pressure {_number(dial, low)} to {_number(dial, high)}, shown as {cells[2].text} to "
        f"{cells[3].text}."
    )
    if dial.gauge.accuracy and dial.gauge.accuracy.accuracy_class is not None:
        yield "Source of the class: EN 837-1:1996, table 11."


def _number(dial: DialFace, pressure: GaugePa) -> str:
    return dial.label(dial.printed(pressure))


def _of_yokes(machine: Machine, gas: str) -> tuple[Input, ...]:
    """Return where it stands on which gauge a machine's cylinders of a gas are read."""
    return tuple(
        Input(f"Gauge of yoke {number}", yoke.gauge, key_text(("machines", machine.key, "yokes", number - 1, "gauge")))
        for number, yoke in enumerate(machine.yokes, 1)
        if yoke.gas == gas and yoke.gauge
    )
