"""Checks of the gauges: each by itself, against the cylinders read on it, and against keep-back and indicator."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Context, Decimal

from yokebook.data import dials
from yokebook.data.cylinders import PIN_INDEX, Cylinder
from yokebook.data.department import Department, Entries
from yokebook.data.faults import Fault, Path, range_fault
from yokebook.data.gauges import Gauge
from yokebook.data.machines import Machine
from yokebook.data.ranges import TemperatureRange
from yokebook.data.references import Placed
from yokebook.errors import OutOfRange
from yokebook.physics import bounds, liquefied
from yokebook.physics.gauges import STOPPED_SHARE, dial_has_headroom, is_scale_interval, least_full_scale
from yokebook.quantities import AbsolutePa, DifferencePa, GaugePa, Kelvin
from yokebook.units import GaugePressure, Rounding, from_si, group, round_to, with_unit

_EXACT = Context(prec=10)
"""Ten figures are exact for any dial; the float's own last digits must not be rounded up."""


def check_alone(entries: Entries) -> Iterator[Placed]:
    """Yield what is doubtful about each gauge and each supply by itself."""
    for gauge in entries.gauges.values():
        at: Path = ("gauges", gauge.key)
        if not is_scale_interval(float(gauge.interval.number / gauge.dial_multiplier)):
            wrong = "EN 837-1 has scale intervals of 1, 2 or 5 times a power of ten; look at the dial again"
            yield at, Fault("W303", wrong, ("scale_interval",), allowed="1, 2 or 5, with any power of ten")
        if (gauge.span.high.number - gauge.span.low.number) % gauge.interval.number:
            wrong = "the span is no whole number of scale intervals; look at the dial again"
            yield at, Fault("W304", wrong, ("scale_interval",), allowed=f"a whole part of {gauge.span.high.text}")
        stated = dials.stated_error(gauge)
        if stated and gauge.found_error and abs(gauge.found_error.pa) > stated(dials.dial(gauge).high):
            wrong = "the last check found the gauge further out than its accuracy allows; mend or replace it"
            allowed = f"at most {_shown(stated(gauge.span.high.pa), gauge, Rounding.DOWN)}"
            yield at, Fault("W309", wrong, ("found_error",), allowed=allowed)
    for machine in entries.machines.values():
        yield from _regulators(machine)
        yield from _indicator(entries, machine)


def _regulators(machine: Machine) -> Iterator[Placed]:
    for number, yoke in enumerate(machine.yokes):
        pipeline = machine.pipeline.get(yoke.gas)
        if pipeline and yoke.regulated_pressure and yoke.regulated_pressure.high.pa >= pipeline.low.pa:
            wrong = (
                f"the regulator may give {yoke.regulated_pressure.high.text}, the pipeline as little as "
                f"{pipeline.low.text}: an open cylinder would empty while the pipeline holds"
            )
            at: Path = ("machines", machine.key, "yokes", number, "regulated_pressure", "high")
            yield at, Fault("W307", wrong, allowed=f"less than {pipeline.low.text}")


def _indicator(entries: Entries, machine: Machine) -> Iterator[Placed]:
    if machine.indicator is None:
        return
    red = machine.indicator.red_below
    at: Path = ("machines", machine.key, "indicator", "red_below")
    for name in dict.fromkeys(yoke.gauge for yoke in machine.yokes if yoke.gas == "oxygen" and yoke.gauge):
        gauge = entries.gauges.get(name)
        if gauge and not gauge.span.low.pa <= red.pa <= gauge.span.high.pa:
            wrong = f"the indicator's threshold lies off the dial of {name}"
            yield at, Fault("E244", wrong, allowed=f"{gauge.span.low.text} to {gauge.span.high.text}")
            return
    for name in dict.fromkeys(yoke.cylinder for yoke in machine.yokes if yoke.gas == "oxygen" and yoke.cylinder):
        cylinder = entries.cylinders.get(name)
        full = cylinder.filling.pressure if cylinder and cylinder.gas == "oxygen" else None
        if full and red.pa >= full.pa:
            wrong = f"the indicator would be red even with a full {name}"
            yield at, Fault("E244", wrong, allowed=f"less than {full.text}")


def check_with_settings(department: Department) -> Iterator[Placed]:
    """Yield what is wrong or doubtful about the gauges in this department: its keep-back, its temperatures."""
    yield from _keep_back(department)
    for machine in department.machines.values():
        place = department.places.get(machine.place)
        for number, yoke in enumerate(machine.yokes):
            cylinder = department.cylinders.get(yoke.cylinder or "")
            gauge = department.gauges.get(yoke.gauge or "")
            if cylinder and gauge and place and cylinder.gas == yoke.gas and cylinder.valve == PIN_INDEX:
                at: Path = ("machines", machine.key, "yokes", number, "gauge")
                yield from _dial_over(department, cylinder, gauge, place.temperature, at)
    for cylinder in department.cylinders.values():
        gauge = department.gauges.get(cylinder.gauge or "")
        if gauge is None:
            continue
        place = department.places.get(gauge.place or "")
        temperature = place.temperature if place else department.settings.room_temperature
        yield from _dial_over(department, cylinder, gauge, temperature, ("cylinders", cylinder.key, "gauge"))


def _keep_back(department: Department) -> Iterator[Placed]:
    keep_back = department.settings.keep_back
    for cylinder in department.cylinders.values():
        full = cylinder.filling.pressure
        if full and keep_back.pa >= full.pa:
            wrong = f"the department's keep-back ({keep_back.text}) is not below this filling: nothing would be usable"
            at: Path = ("cylinders", cylinder.key, "filling", "pressure")
            yield at, Fault("E245", wrong, allowed=f"above {keep_back.text}")
    for gauge in department.gauges.values():
        yield from _keep_back_on(gauge, keep_back)
    for machine in department.machines.values():
        yield from _keep_back_at(machine, keep_back)


def _keep_back_on(gauge: Gauge, keep_back: GaugePressure) -> Iterator[Placed]:
    at: Path = ("gauges", gauge.key)
    error = dials.possible_error(gauge)
    possible = error(dials.nearest_reading(gauge, keep_back.pa)) if error else DifferencePa(0.0)
    if keep_back.pa < possible:
        wrong = (
            f"this gauge may be {_shown(possible, gauge)} out, more than the keep-back ({keep_back.text}): "
            "a cylinder that reads the keep-back may be empty"
        )
        yield at, Fault("W305", wrong, ("accuracy",), on_key=True, allowed="a better gauge, or a higher keep_back")
    if gauge.zero == "stop" and keep_back.pa < dials.dial(gauge).lowest_reading:
        wrong = (
            f"the pointer rests on a stop pin, so below {STOPPED_SHARE * 100:.0f} % of its span the dial says nothing; "
            f"the keep-back ({keep_back.text}) lies there"
        )
        yield at, Fault("W306", wrong, ("zero",), allowed="a dial without a stop pin, or a higher keep_back")


def _keep_back_at(machine: Machine, keep_back: GaugePressure) -> Iterator[Placed]:
    at: Path = ("machines", machine.key)
    for number, yoke in enumerate(machine.yokes):
        if yoke.regulated_pressure and keep_back.pa < yoke.regulated_pressure.high.pa:
            wrong = f"a regulator cannot hold this from a cylinder at the keep-back ({keep_back.text})"
            place = (*at, "yokes", number, "regulated_pressure", "high")
            yield place, Fault("W308", wrong, allowed=f"at most {keep_back.text}, or a higher keep_back")
    if machine.indicator and machine.indicator.red_below.pa <= keep_back.pa:
        wrong = f"the indicator turns red when only the keep-back ({keep_back.text}) is left: no time is left to act"
        yield (*at, "indicator", "red_below"), Fault("W311", wrong, allowed=f"above {keep_back.text}")


def highest_pressure(cylinder: Cylinder, warm: Kelvin, ambient: AbsolutePa) -> GaugePa:
    """Return the pressure, Pa, of a full and closed cylinder at a temperature, K.

    Raises OutOfRange where the temperature or the filling lie outside what can be computed.
    """
    gas, filling = cylinder.contents, cylinder.filling
    if filling.ratio is not None:
        mass = liquefied.filled_mass(float(filling.ratio), cylinder.water_capacity.m3)
        return liquefied.closed_reading(gas, mass, cylinder.water_capacity.m3, warm, ambient)
    assert filling.pressure is not None
    assert filling.at is not None
    filled = bounds.Reading(filling.pressure.pa, lambda _: DifferencePa(0.0))
    return bounds.highest_warm_reading(gas, filled, bounds.Range.exactly(filling.at.k), warm, ambient)


def _dial_over(
    department: Department, cylinder: Cylinder, gauge: Gauge, temperature: TemperatureRange, at: Path
) -> Iterator[Placed]:
    try:
        usual, warm = (highest_pressure(cylinder, kelvin, department.ambient)
                       for kelvin in (temperature.usual.k, temperature.high.k))  # fmt: skip
    except OutOfRange as error:
        yield ("cylinders", cylinder.key, "filling"), range_fault(error)
        return
    full = cylinder.filling.pressure.pa if cylinder.filling.pressure else usual
    end = gauge.span.high.text
    if full > gauge.span.high.pa:
        wrong = f"a full {cylinder.key} has {_shown(full, gauge, Rounding.NEAREST)}, and the dial ends at {end}"
        yield at, Fault("E243", wrong, allowed="a gauge whose dial ends above the filling")
    elif not dial_has_headroom(dials.dial(gauge), warm):
        wrong = (
            f"a full {cylinder.key} comes to {_shown(warm, gauge)} at {temperature.high.text}; the dial ends at {end}, "
            "less than a third above"
        )
        yield at, Fault("W302", wrong, allowed=f"a dial that ends at {_shown(least_full_scale(warm), gauge)} or more")


def _shown(pressure_pa: float, gauge: Gauge, rounding: Rounding = Rounding.UP) -> str:
    """Return a pressure in the unit of a dial to three figures; what is to be reached or feared is rounded up."""
    number = _EXACT.plus(from_si(pressure_pa, gauge.unit))
    step = Decimal(1).scaleb(number.adjusted() - 2)
    return with_unit(group(round_to(number, step, rounding).normalize()), gauge.unit)
