"""Checks of the gauges: each by itself, against the cylinders read on it, and against keep-back and indicator."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Context, Decimal

from yokebook.data import dials
from yokebook.data.cylinders import PIN_INDEX, Cylinder
from yokebook.data.department import Department, Entries
from yokebook.data.faults import Fault, Path, range_fault
from yokebook.data.filling import highest_pressure
from yokebook.data.gauges import FEWEST_MARKS, Gauge
from yokebook.data.keep_back import KeepBack, of_cylinder, of_yoke, on_gauge
from yokebook.data.machines import Machine
from yokebook.data.ranges import TemperatureRange
from yokebook.data.references import Placed
from yokebook.data.stores import with_store
from yokebook.errors import OutOfRange
from yokebook.physics.gauges import STOPPED_SHARE, dial_has_headroom, is_scale_interval, least_full_scale
from yokebook.quantities import DifferencePa, Kelvin
from yokebook.units import Rounding, from_si, group, round_to, with_unit

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
        if gauge.has_few_marks:
            wrong = f"the span has fewer than {FEWEST_MARKS} scale intervals; look at the dial again"
            yield at, Fault("W313", wrong, ("scale_interval",), allowed=f"at most a quarter of {gauge.span.high.text}")
        stated = dials.stated_error(gauge)
        if stated and gauge.found_error and abs(gauge.found_error.pa) > stated(dials.dial(gauge).high):
            wrong = "the last check found the gauge further out than its accuracy allows; mend or replace it"
            allowed = f"at most {_shown(stated(gauge.span.high.pa), gauge, Rounding.DOWN)}"
            yield at, Fault("W309", wrong, ("found_error",), allowed=allowed)
    for machine in entries.machines.values():
        yield from _regulators(machine)
        yield from _measured_on_dial(entries, machine)
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


def _measured_on_dial(entries: Entries, machine: Machine) -> Iterator[Placed]:
    """Yield the inlets that the dial cannot have shown, or that lie too close to tell anything."""
    for number, yoke in enumerate(machine.yokes):
        gauge = entries.gauges.get(yoke.gauge or "")
        if gauge is None or yoke.measured_outlets is None:
            continue
        at: Path = ("machines", machine.key, "yokes", number, "measured_outlets")
        face = dials.dial(gauge)
        off = [not face.shows(measured.inlet.pa) for measured in yoke.measured_outlets]
        for place in (place for place, is_off in enumerate(off) if is_off):
            allowed = f"{_shown(face.lowest_reading, gauge)} to {gauge.span.high.text}"
            yield (*at, place, "inlet"), Fault("E238", f"the dial of {gauge.key} cannot show this", allowed=allowed)
        first, second = yoke.measured_outlets
        if not any(off) and abs(first.inlet.pa - second.inlet.pa) < 2 * gauge.interval.pa:
            wrong = f"the inlets lie less than two scale intervals of {gauge.key} apart, too close to tell anything"
            allowed = f"at least {_shown(2 * gauge.interval.pa, gauge)} apart"
            yield (*at, 1, "inlet"), Fault("E236", wrong, allowed=allowed, example="30 bar")


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
                temperature = with_store(department, cylinder, place.temperature)
                yield from _dial_over(department, cylinder, gauge, temperature, at)
                yield from _measured_of_cylinder(department, cylinder, machine, number, temperature.high.k)
    for cylinder in department.cylinders.values():
        gauge = department.gauges.get(cylinder.gauge or "")
        if gauge is None:
            continue
        place = department.places.get(gauge.place or "")
        temperature = place.temperature if place else department.settings.room_temperature
        temperature = with_store(department, cylinder, temperature)
        yield from _dial_over(department, cylinder, gauge, temperature, ("cylinders", cylinder.key, "gauge"))


def _keep_back(department: Department) -> Iterator[Placed]:
    for cylinder in department.cylinders.values():
        for kept in of_cylinder(department, cylinder):
            yield from _keep_back_of(cylinder, kept)
    for gauge in department.gauges.values():
        for kept in on_gauge(department, gauge):
            yield from _keep_back_on(gauge, kept)
    for machine in department.machines.values():
        yield from _keep_back_at(department, machine)


def _keep_back_of(cylinder: Cylinder, kept: KeepBack) -> Iterator[Placed]:
    full = cylinder.filling.pressure
    if full is None or kept.pressure.pa < full.pa:
        return
    if kept.regulator:
        wrong = f"this keep-back is not below the filling of {cylinder.key} ({full.text}): nothing would be usable"
        yield kept.at, Fault("E245", wrong, allowed=f"less than {full.text}")
    else:
        wrong = f"the department's keep-back ({kept.text}) is not below this filling: nothing would be usable"
        at: Path = ("cylinders", cylinder.key, "filling", "pressure")
        yield at, Fault("E245", wrong, allowed=f"above {kept.text}")


def _keep_back_on(gauge: Gauge, kept: KeepBack) -> Iterator[Placed]:
    """Yield what a dial cannot tell of a keep-back: the department's under the gauge, a regulator's under its own key.

    Only the first form says where in the gauge's entry.
    """
    keep_back = kept.pressure
    at: Path = kept.at if kept.regulator else ("gauges", gauge.key)
    this, whose = (f"the gauge {gauge.key}", "this") if kept.regulator else ("this gauge", "the")
    of_accuracy, of_zero = ((), ()) if kept.regulator else (("accuracy",), ("zero",))
    error = dials.possible_error(gauge)
    possible = error(dials.nearest_reading(gauge, keep_back.pa)) if error else DifferencePa(0.0)
    if keep_back.pa < possible:
        wrong = (
            f"{this} may be {_shown(possible, gauge)} out, more than {whose} keep-back ({keep_back.text}): "
            "a cylinder that reads the keep-back may be empty"
        )
        allowed = "a better gauge, or a higher keep_back"
        yield at, Fault("W305", wrong, of_accuracy, on_key=not kept.regulator, allowed=allowed)
    if gauge.zero == "stop" and keep_back.pa < gauge.span.high.pa and not dials.dial(gauge).shows(keep_back.pa):
        pointer = f"the pointer of {gauge.key}" if kept.regulator else "the pointer"
        wrong = (
            f"{pointer} rests on a stop pin, so below {STOPPED_SHARE * 100:.0f} % of its span the dial says nothing; "
            f"{whose} keep-back ({keep_back.text}) lies there"
        )
        yield at, Fault("W306", wrong, of_zero, allowed="a dial without a stop pin, or a higher keep_back")


def _keep_back_at(department: Department, machine: Machine) -> Iterator[Placed]:
    at: Path = ("machines", machine.key)
    oxygen = []
    for number, yoke in enumerate(machine.yokes):
        keep_back = of_yoke(department, machine, number).pressure
        if yoke.gas == "oxygen" and yoke.not_used is None:
            oxygen.append(keep_back)
        if yoke.regulated_pressure and keep_back.pa < yoke.regulated_pressure.high.pa:
            wrong = f"a regulator cannot hold this from a cylinder at the keep-back ({keep_back.text})"
            place = (*at, "yokes", number, "regulated_pressure", "high")
            yield place, Fault("W308", wrong, allowed=f"at most {keep_back.text}, or a higher keep_back")
    greatest = max(oxygen, key=lambda one: one.pa, default=department.settings.keep_back)
    if machine.indicator and machine.indicator.red_below.pa <= greatest.pa:
        wrong = f"the indicator turns red when only the keep-back ({greatest.text}) is left: no time is left to act"
        yield (*at, "indicator", "red_below"), Fault("W311", wrong, allowed=f"above {greatest.text}")


def _dial_over(
    department: Department, cylinder: Cylinder, gauge: Gauge, temperature: TemperatureRange, at: Path
) -> Iterator[Placed]:
    try:
        usual, warm = (highest_pressure(cylinder, kelvin, department.ambient)
                       for kelvin in (temperature.usual.k, temperature.high.k))  # fmt: skip
        has_headroom = dial_has_headroom(dials.dial(gauge), warm)
    except OutOfRange as error:
        yield ("cylinders", cylinder.key, "filling"), range_fault(error)
        return
    full = cylinder.filling.pressure.pa if cylinder.filling.pressure else usual
    end = gauge.span.high.text
    if full > gauge.span.high.pa:
        wrong = f"a full {cylinder.key} has {_shown(full, gauge, Rounding.NEAREST)}, and the dial ends at {end}"
        yield at, Fault("E243", wrong, allowed="a gauge whose dial ends above the filling")
    elif not has_headroom:
        wrong = (
            f"a full {cylinder.key} comes to {_shown(warm, gauge)} at {temperature.high.text}; the dial ends at {end}, "
            "less than a third above"
        )
        yield at, Fault("W302", wrong, allowed=f"a dial that ends at {_shown(least_full_scale(warm), gauge)} or more")


def _measured_of_cylinder(
    department: Department, cylinder: Cylinder, machine: Machine, number: int, warm: Kelvin
) -> Iterator[Placed]:
    """Yield the inlets above what the gauge of a full cylinder may show at a temperature [K]."""
    yoke = machine.yokes[number]
    gauge = department.gauges[yoke.gauge or ""]
    try:
        highest = highest_pressure(cylinder, warm, department.ambient)
    except OutOfRange:
        return  # Filling or place were reported with the dial.
    error = dials.error_as_read(gauge)
    shown = highest + (error(dials.nearest_reading(gauge, highest)) if error else 0.0)
    for place, measured in enumerate(yoke.measured_outlets or ()):
        if shown < measured.inlet.pa <= gauge.span.high.pa:
            wrong = f"not even a full {cylinder.key} in the warm, on a gauge that reads high, shows so much"
            at: Path = ("machines", machine.key, "yokes", number, "measured_outlets", place, "inlet")
            yield at, Fault("E238", wrong, allowed=f"at most {_shown(shown, gauge, Rounding.DOWN)}")


def _shown(pressure_pa: float, gauge: Gauge, rounding: Rounding = Rounding.UP) -> str:
    """Return a pressure in the unit of a dial to three figures; what is to be reached or feared is rounded up."""
    number = _EXACT.plus(from_si(pressure_pa, gauge.unit))
    step = Decimal(1).scaleb(number.adjusted() - 2)
    return with_unit(group(round_to(number, step, rounding).normalize()), gauge.unit)
