"""Laws that hold for every instrument and cylinder, whatever its numbers."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import combinations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from yokebook.gases import FIXED, NITROUS_OXIDE, OXYGEN, Gas
from yokebook.physics import (
    compression,
    contents,
    gauges,
    leaks,
    liquefied,
    liquefied_bounds,
    pins,
    realgas,
    regulators,
    separation,
)
from yokebook.physics.bounds import Range
from yokebook.physics.contents import Condition
from yokebook.physics.gauges import ACCURACY_CLASSES, ClassError, Dial, FixedError, FoundError, ShareError
from yokebook.physics.regulators import Kind
from yokebook.quantities import (
    AbsolutePa,
    CubicMetres,
    DifferencePa,
    GasCubicMetresPerSecond,
    GaugePa,
    Kelvin,
    Kilograms,
    Moles,
    Seconds,
)

SEA_LEVEL, ROOM = AbsolutePa(101325.0), Kelvin(293.15)
CONDITION = Condition(ROOM, SEA_LEVEL)
DIAL = Dial(GaugePa(0.0), GaugePa(250e5))
LOW_DIAL = Dial(GaugePa(0.0), GaugePa(100e5))
PLACE = Range(Kelvin(289.15), ROOM, Kelvin(299.15))
CAPACITY = Range(CubicMetres(4.5e-3), CubicMetres(4.68e-3), CubicMetres(4.8e-3))
TRAPPED = Range(CubicMetres(15e-6), CubicMetres(20e-6), CubicMetres(25e-6))
MINUTES = Range(Seconds(280.0), Seconds(300.0), Seconds(320.0))
real_gas = settings(max_examples=60, deadline=None)  # the first state imports an equation-of-state library
few = settings(max_examples=15, deadline=None)  # each example solves many states

shares = st.floats(0.0, 1.0)
readings = st.floats(0.0, 250e5).map(GaugePa)
temperatures = st.floats(PLACE.low, PLACE.high).map(Kelvin)
capacities = st.floats(CAPACITY.low, CAPACITY.high).map(CubicMetres)
errors = st.one_of(
    st.sampled_from(ACCURACY_CLASSES).map(lambda accuracy: ClassError(DIAL, accuracy)),
    st.tuples(st.floats(0.0, 0.1), st.floats(0.0, 0.2)).map(lambda both: ShareError(DIAL, *both)),
    st.floats(0.0, 20e5).map(lambda plus_minus: FixedError(DIAL, DifferencePa(plus_minus))),
)


def pairs(low: float, high: float) -> st.SearchStrategy[list[float]]:
    """Return two numbers in order."""
    return st.lists(st.floats(low, high), min_size=2, max_size=2).map(sorted)


@dataclass(frozen=True)
class Point:
    """A point inside the tolerances of a cylinder in its place."""

    capacity: CubicMetres
    temperature: Kelvin
    end_temperature: Kelvin
    gauge: float


points = st.builds(
    Point, capacity=capacities, temperature=temperatures, end_temperature=temperatures, gauge=st.floats(-1.0, 1.0)
)


@given(reading=readings, classes=st.lists(st.sampled_from(ACCURACY_CLASSES), min_size=2, max_size=2).map(sorted))
def test_a_worse_gauge_never_assures_more(reading: GaugePa, classes: list[float]) -> None:
    """A worse class leaves less sure at any reading, and asks a higher reading for the same pressure."""
    better, worse = (ClassError(DIAL, accuracy) for accuracy in classes)
    assert gauges.true_range(reading, worse)[0] <= gauges.true_range(reading, better)[0]
    sure = GaugePa(reading * 0.9)
    assert gauges.reading_that_assures(sure, worse, DIAL) >= gauges.reading_that_assures(sure, better, DIAL)


@given(reading=readings, error=errors, found=st.floats(-10e5, 10e5).map(DifferencePa))
def test_a_found_error_never_assures_more(reading: GaugePa, error: ClassError, found: DifferencePa) -> None:
    """A gauge that was found wrong, either way, assures no more than its form alone."""
    assert gauges.true_range(reading, FoundError(error, found))[0] <= gauges.true_range(reading, error)[0]


@given(pressure=st.floats(0.0, 150e5).map(GaugePa), error=errors)
def test_the_reading_that_assures_does_and_is_the_lowest(pressure: GaugePa, error: ClassError) -> None:
    """At the reading found the pressure is sure; one pascal lower it is not (unless the dial's low end assures it)."""
    reading = gauges.reading_that_assures(pressure, error, DIAL)
    assert gauges.true_range(reading, error)[0] >= pressure
    if reading > DIAL.low + 1.0:
        assert gauges.true_range(GaugePa(reading - 1.0), error)[0] < pressure


@given(st.sampled_from((*pins.two_pin_codes(), (7,))))
def test_a_code_fits_itself(code: tuple[int, ...]) -> None:
    """Every code fits its own valve."""
    assert pins.fits(code, code).fits


@pytest.mark.parametrize(("one", "other"), list(combinations(FIXED.values(), 2)))
def test_no_yoke_takes_another_gas(one: Gas, other: Gas) -> None:
    """Pure gases, air and 50:50 have distinct codes, so that none fits another's yoke."""
    assert not pins.fits(one.pins, other.pins).fits


@given(inlets=pairs(20e5, 150e5), ratio=st.floats(30.0, 1000.0))
def test_direction_of_regulators(inlets: list[float], ratio: float) -> None:
    """With the supply the outlet falls in one kind, rises in the other, and the seat's share never turns it round."""
    low, high = (GaugePa(inlet) for inlet in inlets)
    for kind, sign in ((Kind.INLET_OPENS, 1.0), (Kind.INLET_CLOSES, -1.0)):
        for on_seat in (True, False):
            effect = regulators.supply_effect(kind, ratio, outlet_on_seat=on_seat)
            outlet = regulators.outlet_from_setting(GaugePa(8e5), high, low, effect)
            assert sign * (8e5 - outlet) >= 0.0


@given(kind=st.sampled_from([Kind.INLET_OPENS, Kind.INLET_CLOSES]), change=st.floats(1e3, 50e5))
def test_area_ratio_there_and_back(kind: Kind, change: float) -> None:
    """The ratio for a change has just that change."""
    ratio = regulators.area_ratio_for(kind, DifferencePa(change), DifferencePa(127e5))
    assert change == pytest.approx(abs(regulators.supply_effect(kind, ratio)) * 127e5)


@given(force=st.floats(50.0, 200.0), inlet=st.floats(20e5, 200e5).map(GaugePa))
def test_characteristic_there_and_back(force: float, inlet: GaugePa) -> None:
    """Two outlets of a regulator, taken as measured, give back all outlets between."""
    full, low = GaugePa(200e5), GaugePa(20e5)
    outlets = {p: regulators.outlet_inlet_opens(force, p, 2e-6, 398e-6) for p in (full, low, inlet)}
    measured = regulators.Characteristic(full, outlets[full], low, outlets[low])
    assert outlets[inlet] == pytest.approx(measured.outlet(inlet))


@given(flow=st.floats(0.0, 1e-3), volume=st.floats(1e-6, 0.05), time=st.floats(1.0, 1e5))
def test_ideal_leak_there_and_back(flow: float, volume: float, time: float) -> None:
    """The fall that a leak makes stands for that leak."""
    fall = leaks.ideal_fall(CubicMetres(volume), GasCubicMetresPerSecond(flow), Seconds(time), SEA_LEVEL)
    assert flow == pytest.approx(leaks.ideal_leak(CubicMetres(volume), fall, Seconds(time), SEA_LEVEL))


def leak_of(start: float, end: float, point: Point, volume: CubicMetres, time: Seconds) -> float:
    return leaks.leak(
        OXYGEN, volume, GaugePa(start), GaugePa(end), time, point.temperature, SEA_LEVEL, CONDITION, valve_open=False
    )


@real_gas
@given(start=st.floats(20e5, 200e5), falls=pairs(0.0, 20e5), at=points)
def test_more_fall_is_never_less_leak(start: float, falls: list[float], at: Point) -> None:
    """From one reading in one time, more fall is more leak; in a longer time it is less."""
    small, large = (leak_of(start, start - fall, at, TRAPPED.nominal, MINUTES.nominal) for fall in falls)
    assert small <= large
    assert leak_of(start, start - falls[1], at, TRAPPED.nominal, MINUTES.high) <= large


@few
@given(
    start=st.floats(20e5, 200e5), fall=st.floats(0.0, 10e5), more=shares, at=points,
    volume=st.floats(TRAPPED.low, TRAPPED.high), time=st.floats(MINUTES.low, MINUTES.high),
)  # fmt: skip
def test_no_leak_is_above_the_highest(
    start: float, fall: float, more: float, at: Point, volume: float, time: float
) -> None:
    """Inside all tolerances no true leak is above the worst corner's."""
    error, doubt = FixedError(DIAL, DifferencePa(5e5)), DifferencePa(2e5)
    highest = leaks.highest_leak(
        OXYGEN, TRAPPED, GaugePa(start), GaugePa(start - fall), MINUTES, PLACE, SEA_LEVEL, CONDITION,
        valve_open=False, error=error, fall_doubt=doubt,
    )  # fmt: skip
    true_start = start + at.gauge * 5e5
    true_end = true_start - fall - more * doubt
    assert leak_of(true_start, true_end, at, CubicMetres(volume), Seconds(time)) <= highest * (1.0 + 1e-9)


@given(gross=st.floats(5.6, 9.0), scale=st.floats(-1.0, 1.0), tare=st.floats(-1.0, 1.0))
def test_least_by_weight_is_never_above_the_truth(gross: float, scale: float, tare: float) -> None:
    """Whatever scale and tare are wrong by inside their tolerances, no more is promised than is there."""
    least = liquefied_bounds.least_by_weight(
        NITROUS_OXIDE, Kilograms(gross), Kilograms(5.40), Kilograms(0.02), Kilograms(0.01)
    )
    true_mass = (gross + 0.02 * scale) - (5.40 + 0.01 * tare)
    assert least <= true_mass / realgas.molar_mass(NITROUS_OXIDE) + 1e-9


@real_gas
@given(held=st.floats(0.0, 80.0).map(Moles), at=points)
def test_least_usable_by_weight_is_never_above_the_truth(held: Moles, at: Point) -> None:
    """At any water capacity and temperature of the ranges at least so much can be used."""
    keep_back = GaugePa(10e5)
    least = liquefied_bounds.least_usable_by_weight(NITROUS_OXIDE, held, CAPACITY, keep_back, PLACE, SEA_LEVEL)
    stays = contents.left_behind(NITROUS_OXIDE, at.capacity, keep_back, at.temperature, SEA_LEVEL)
    assert least <= max(held - stays, 0.0) + 1e-9


@real_gas
@given(reading=st.floats(2.5e5, 42e5), at=points)
def test_least_vapour_is_never_above_the_truth(reading: float, at: Point) -> None:
    """With gas alone left no point inside the tolerances holds less than the worst corner says."""
    error, keep_back = FixedError(LOW_DIAL, DifferencePa(2.5e5)), GaugePa(5e5)
    least = liquefied_bounds.least_vapour(NITROUS_OXIDE, CAPACITY, GaugePa(reading), error, keep_back, PLACE, SEA_LEVEL)
    true_reading = GaugePa(reading + at.gauge * 2.5e5)
    usable = contents.usable(
        NITROUS_OXIDE, at.capacity, true_reading, keep_back, at.temperature, SEA_LEVEL,
        end_temperature=at.end_temperature,
    )  # fmt: skip
    assert least <= usable + 1e-9


@real_gas
@given(reading=st.floats(0.0, 40e5).map(GaugePa), doubts=pairs(0.0, 4e5))
def test_a_worse_gauge_never_leaves_more_vapour(reading: GaugePa, doubts: list[float]) -> None:
    """A worse gauge, or a wider place, never promises more of what is left."""
    better, worse = (FixedError(LOW_DIAL, DifferencePa(doubt)) for doubt in doubts)
    rest = GaugePa(5e5), PLACE, SEA_LEVEL
    at_best = liquefied_bounds.least_vapour(NITROUS_OXIDE, CAPACITY, reading, better, *rest)
    assert liquefied_bounds.least_vapour(NITROUS_OXIDE, CAPACITY, reading, worse, *rest) <= at_best
    narrow = GaugePa(5e5), Range.exactly(ROOM), SEA_LEVEL
    assert at_best <= liquefied_bounds.least_vapour(NITROUS_OXIDE, CAPACITY, reading, better, *narrow)


@real_gas
@given(at=points, unseen=shares)
def test_least_after_the_plateau_is_never_above_the_truth(at: Point, unseen: float) -> None:
    """Seen as late as it may be, the fall of the reading leaves at least what is promised."""
    keep_back, seen_fall = GaugePa(5e5), DifferencePa(2e5)
    least = liquefied_bounds.least_after_plateau(NITROUS_OXIDE, CAPACITY, seen_fall, keep_back, PLACE, SEA_LEVEL)
    vapour = liquefied.vapour_reading(NITROUS_OXIDE, at.temperature, SEA_LEVEL)
    seen = GaugePa(vapour - seen_fall * max(unseen, 1e-3))
    usable = contents.usable(
        NITROUS_OXIDE, at.capacity, seen, keep_back, at.temperature, SEA_LEVEL, end_temperature=at.end_temperature
    )
    assert least <= usable + 1e-9


@real_gas
@given(mass=st.floats(0.2, 3.51), at=points)
def test_no_closed_cylinder_reads_above_the_highest(mass: float, at: Point) -> None:
    """At no weight, water capacity and temperature of the ranges does the dial meet more than the highest reading."""
    masses = Range(Kilograms(0.2), Kilograms(3.4), Kilograms(3.51))
    highest = liquefied_bounds.highest_closed_reading(NITROUS_OXIDE, masses, CAPACITY, PLACE, SEA_LEVEL)
    reading = liquefied.closed_reading(NITROUS_OXIDE, Kilograms(mass), at.capacity, at.temperature, SEA_LEVEL)
    assert reading <= highest * (1.0 + 1e-9)


@real_gas
@given(ends=pairs(1.1e5, 300e5), temperature=temperatures)
def test_more_compression_is_never_colder(ends: list[float], temperature: Kelvin) -> None:
    """A higher end pressure is hotter, and the real gas is never hotter than the ideal one."""
    low, high = (AbsolutePa(end) for end in ends)
    cool, hot = (compression.sudden_temperature(OXYGEN, temperature, SEA_LEVEL, end) for end in (low, high))
    assert temperature < cool <= hot <= compression.ideal_temperature(temperature, SEA_LEVEL, high) * 1.001


@few
@given(pairs(1e5, 390e5))
def test_the_safe_limit_is_never_lower_at_more_pressure(pressures: list[float]) -> None:
    """A fuller 50:50 cylinder is never allowed colder."""
    low, high = (separation.refuse_below(AbsolutePa(pressure)) for pressure in pressures)
    assert low <= high + 1e-3
