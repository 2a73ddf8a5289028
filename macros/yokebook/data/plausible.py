"""What could be, and mostly is a slip of the pen: notes, until the value is mended or answered with a reason.

The limits are common practice, no source, but where a line names one.
"""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal

from yokebook.data import dials
from yokebook.data.answers import Open
from yokebook.data.cylinders import PIN_INDEX, Cylinder
from yokebook.data.faults import Path
from yokebook.data.gauges import Gauge
from yokebook.data.machines import Machine
from yokebook.data.places import Place
from yokebook.data.ranges import PressureRange, TemperatureRange
from yokebook.data.settings import Settings
from yokebook.data.uses import Draw, Use
from yokebook.gases import MIXTURE_NAMES
from yokebook.quantities import AbsolutePa, GaugePa
from yokebook.units import Flow, GaugePressure, Rounding, Share, Temperature, TemperatureDifference, Volume, shown

LEAST_ON_A_YOKE, MOST_ON_A_YOKE = Volume.stated("0.5 L"), Volume.stated("6 L")
LEAST_OF_ANY, MOST_OF_ANY = Volume.stated("0.2 L"), Volume.stated("50 L")
LIGHTEST, HEAVIEST = 0.5, 4.0
"""Tare [kg] for each litre of water capacity: from wrapped light metal to a small steel cylinder with its valve."""
LEAST_TRAPPED, MOST_TRAPPED = Volume.stated("2 mL"), Volume.stated("500 mL")
LOWEST_SUPPLY, HIGHEST_SUPPLY = GaugePressure.stated("2 bar"), GaugePressure.stated("12 bar")
USUAL_RATIO = Decimal("0.75")
LEAST_DRAWN = Flow.stated("0.1 L/min")
LEAST_DRIVE = Flow.stated("3 L/min")
"""Less hardly drives a ventilator; 1.1 for 11 L/min is a point in the wrong place."""
COLDEST_IN_USE, WARMEST_IN_USE = Temperature.stated("-5 °C"), Temperature.stated("50 °C")
"""Where people work beside the cylinders, on the coldest and the warmest day."""
COLDEST_USUAL, WARMEST_USUAL = Temperature.stated("5 °C"), Temperature.stated("35 °C")
WIDEST_RANGE = TemperatureDifference.stated("50 K")
LEAST_CLASS, LEAST_CLASS_OUTSIDE_A_LABORATORY = Decimal(1), Decimal("0.6")
USUAL_MULTIPLIERS = (1, 100, 1000)
FINEST_PART_OF_AN_INTERVAL = 0.25
LEAST_FLOWMETER_TOLERANCE = Share.stated("2.5 %")
LOW_AMBIENT, HIGH_AMBIENT = AbsolutePa(70e3), AbsolutePa(106e3)
"""About 3000 m, and a little below any sea level."""
_USUAL = f"{COLDEST_USUAL.text} to {WARMEST_USUAL.text}"
_BITS = 1e-9


def _unusual(code: str, answer: str, at: Path, wrong: str, *, on_key: bool = False) -> Open:
    return Open(code, answer, at, wrong, on_key, allowed="mend it")


def of_cylinder(cylinder: Cylinder) -> Iterator[Open]:
    """Yield what is unusual about a cylinder."""
    capacity, filling = cylinder.water_capacity, cylinder.filling
    if cylinder.valve == PIN_INDEX and not LEAST_ON_A_YOKE.m3 <= capacity.m3 <= MOST_ON_A_YOKE.m3:
        usual = f"{LEAST_ON_A_YOKE.text} to {MOST_ON_A_YOKE.text}"
        wrong = f"{capacity.text} is an unusual water capacity for a pin-indexed cylinder, mostly {usual}"
        yield _unusual("N410", "water-capacity", ("water_capacity",), wrong)
    elif not LEAST_OF_ANY.m3 <= capacity.m3 <= MOST_OF_ANY.m3:
        usual = f"{LEAST_OF_ANY.text} to {MOST_OF_ANY.text}"
        wrong = f"{capacity.text} is an unusual water capacity for any cylinder, mostly {usual}"
        yield _unusual("N410", "water-capacity", ("water_capacity",), wrong)
    if cylinder.tare is not None and not LIGHTEST <= cylinder.tare.kg / (capacity.m3 * 1000.0) <= HEAVIEST:
        wrong = (
            f"{cylinder.tare.text} is an unusual tare for {capacity.text}: "
            f"mostly {LIGHTEST:g} to {HEAVIEST:g} kg for each litre of water capacity"
        )
        yield _unusual("N421", "tare", ("tare",), wrong)
    if filling.ratio is not None and filling.ratio > USUAL_RATIO:
        wrong = (
            f"a filling ratio of {filling.ratio} is more than the usual {USUAL_RATIO}: contents of a full cylinder are "
            "worked out from it, and its liquid fills the cylinder in a cooler room"
        )
        yield _unusual("N418", "filling-ratio", ("filling", "ratio"), wrong)
    if filling.at is not None and _is_unusual(filling.at):
        wrong = f"{filling.at.text} is an unusual temperature to state a filling at, mostly {_USUAL}"
        yield _unusual("N420", "filling-temperature", ("filling", "at"), wrong)


def of_gauge(gauge: Gauge) -> Iterator[Open]:
    """Yield what is unusual about a gauge: a multiplier, or an accuracy, that no cylinder gauge is likely to have."""
    if gauge.dial_multiplier not in USUAL_MULTIPLIERS:
        usual = ", ".join(str(number) for number in USUAL_MULTIPLIERS)
        wrong = f"hardly any dial is to be multiplied by {gauge.dial_multiplier}, mostly by {usual}: look at it again"
        yield _unusual("E277", "dial-multiplier", ("dial_multiplier",), wrong)
    stated = dials.stated_error(gauge)
    if gauge.accuracy is None or stated is None or gauge.has_few_marks:
        return
    of_class = gauge.accuracy.accuracy_class
    if of_class is not None and of_class < LEAST_CLASS_OUTSIDE_A_LABORATORY:
        wrong = f"no dial so small as a cylinder gauge has class {of_class}; is the decimal point in its place?"
        yield _unusual("E275", "accuracy-class", ("accuracy", "class"), wrong)
        return
    if of_class is not None and of_class < LEAST_CLASS:
        wrong = f"class {of_class} is that of a test gauge, hardly of a cylinder gauge"
        yield _unusual("N416", "accuracy-class", ("accuracy",), wrong, on_key=True)
        return
    # Every form of the possible error is smallest at the low end of what the dial shows.
    least = stated(dials.nearest_reading(gauge, GaugePa(0.0)))
    if least < FINEST_PART_OF_AN_INTERVAL * gauge.interval.pa * (1.0 - _BITS):
        wrong = "the possible error is somewhere smaller than a quarter of a scale interval: finer than anybody reads"
        yield _unusual("N415", "fine-accuracy", ("accuracy",), wrong, on_key=True)


def of_machine(machine: Machine) -> Iterator[Open]:
    """Yield what is unusual about a machine."""
    for key, words in (("high", "at most "), ("usual", "")):
        drive = getattr(machine.drive, key)
        if drive is not None and drive.m3_per_s < LEAST_DRIVE.m3_per_s:
            yield _unusual("N412", "drive-high", ("drive", key), _little_drive(f"{words}{drive.text}"))
            break
    trapped = machine.trapped_volume
    if trapped is not None and not LEAST_TRAPPED.m3 <= trapped.m3 <= MOST_TRAPPED.m3:
        usual = f"{LEAST_TRAPPED.text} to {MOST_TRAPPED.text}"
        wrong = f"{trapped.text} is an unusual volume between cylinder valve and regulator, mostly {usual}"
        yield _unusual("N422", "trapped-volume", ("trapped_volume",), wrong)
    for at, supply in _supplies(machine):
        if supply.low.pa < LOWEST_SUPPLY.pa or supply.high.pa > HIGHEST_SUPPLY.pa:
            usual = f"{LOWEST_SUPPLY.text} to {HIGHEST_SUPPLY.text}"
            wrong = f"{supply.low.text} to {supply.high.text} is an unusual supply of a machine, mostly within {usual}"
            yield _unusual("N423", "supply-pressure", at, wrong, on_key=True)


def _supplies(machine: Machine) -> Iterator[tuple[Path, PressureRange]]:
    for gas, pipeline in machine.pipeline.items():
        yield ("pipeline", gas), pipeline
    for number, yoke in enumerate(machine.yokes):
        if yoke.regulated_pressure is not None:
            yield ("yokes", number, "regulated_pressure"), yoke.regulated_pressure


def _little_drive(flow: str) -> str:
    return f"{flow} is little gas to drive a ventilator, mostly {LEAST_DRIVE.text} or more; is the point in its place?"


def of_use(use: Use) -> Iterator[Open]:
    """Yield each gas of which a use draws hardly anything, or little to drive a ventilator.

    What a machine adds is not known here.
    """
    for gas, draws in use.draws.items():
        for number, draw in enumerate(draws):
            drive = draw.flow if draw.key == "drive gas" else None
            if drive is not None and drive.m3_per_s < LEAST_DRIVE.m3_per_s:
                at: Path = ("draws", gas, number, "drive gas")
                yield _unusual("N412", "little-drive", at, _little_drive(drive.text))
    for gas, draws in use.draws.items():
        flows = [draw.flow for draw in draws]
        known = [flow.m3_per_s for flow in flows if flow is not None]
        if len(known) == len(flows) and sum(known) < LEAST_DRAWN.m3_per_s * (1.0 - _BITS):
            wrong = f"less than {LEAST_DRAWN.text} of {gas} is drawn in all, so that a cylinder seems to last for days"
            yield _unusual("N411", "little-drawn", ("draws", gas), wrong, on_key=True)
        for number, draw in enumerate(draws):
            yield from _of_flowmeter(gas, draw, ("draws", gas, number))


def _of_flowmeter(gas: str, draw: Draw, at: Path) -> Iterator[Open]:
    least = LEAST_FLOWMETER_TOLERANCE
    tolerance, flow, marked_for = draw.tolerance, draw.fresh_gas, draw.flowmeter_for
    if tolerance is not None and flow is not None:
        share = tolerance.fraction if isinstance(tolerance, Share) else tolerance.si / flow.si
        if share < least.fraction * (1.0 - _BITS):
            wrong = f"{tolerance.text} at {flow.text} is finer than flowmeters mostly are, {least.text} or more"
            yield _unusual("W795", "flowmeter-tolerance", (*at, "tolerance"), wrong)
    if marked_for is not None and marked_for != gas and gas not in MIXTURE_NAMES:
        wrong = f"{gas} has flowmeters of its own; is it really set on one marked for {marked_for}?"
        yield _unusual("W796", "flowmeter-gas", (*at, "flowmeter_for"), wrong)


def of_place(place: Place, *, is_in_use: bool) -> Iterator[Open]:
    """Yield what is unusual about a place; `is_in_use` where machines stand in it, so that people work there."""
    yield from _of_temperatures(place.temperature, ("temperature",), "temperature", is_in_use=is_in_use)


def of_settings(settings: Settings, ambient: AbsolutePa) -> Iterator[Open]:
    """Yield what is unusual about the department as a whole, at its ambient pressure [Pa, absolute]."""
    yield from _of_temperatures(settings.room_temperature, ("room_temperature",), "room-temperature", is_in_use=True)
    if settings.flowmeter_tolerance.fraction < LEAST_FLOWMETER_TOLERANCE.fraction:
        wrong = f"{settings.flowmeter_tolerance.text} is finer than flowmeters mostly are"
        yield _unusual("N417", "flowmeter-tolerance", ("flowmeter_tolerance",), wrong)
    if not LOW_AMBIENT <= ambient <= HIGH_AMBIENT:
        usual = f"{shown(LOW_AMBIENT, 'kPa', '1')} to {shown(HIGH_AMBIENT, 'kPa', '1')}"
        wrong = f"{shown(ambient, 'kPa', '0.1', Rounding.NEAREST)} is an unusual ambient pressure, mostly {usual}"
        key = "altitude" if settings.ambient_pressure is None else "ambient_pressure"
        yield _unusual("N419", "ambient-pressure", (key,), wrong)


def _of_temperatures(temperature: TemperatureRange, at: Path, answer: str, *, is_in_use: bool) -> Iterator[Open]:
    if _is_unusual(temperature.usual):
        wrong = f"{temperature.usual.text} is unusual for gas in use, mostly {_USUAL}; is the unit the right one?"
        yield _unusual("N413", answer, (*at, "usual"), wrong)
    elif is_in_use and (key := _not_worked_in(temperature)):
        within = f"{COLDEST_IN_USE.text} to {WARMEST_IN_USE.text}"
        wrong = f"{getattr(temperature, key).text} is unusual where people work with gas, mostly within {within}; "
        yield _unusual("N413", answer, (*at, key), wrong + "are the sign and the unit right?")
    if temperature.high.k - temperature.low.k > WIDEST_RANGE.k:
        wrong = f"{temperature.low.text} to {temperature.high.text} is a wide range for one place"
        yield _unusual("N414", f"{answer}-range", at, wrong, on_key=True)


def _not_worked_in(temperature: TemperatureRange) -> str:
    """Return which end of a range lies where hardly anybody works, "" for none."""
    if temperature.low.k < COLDEST_IN_USE.k:
        return "low"
    return "high" if temperature.high.k > WARMEST_IN_USE.k else ""


def _is_unusual(temperature: Temperature) -> bool:
    return not COLDEST_USUAL.k <= temperature.k <= WARMEST_USUAL.k
