"""Worst corners: each against one corner worked out apart, and what they refuse."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace

import pytest
from CoolProp.CoolProp import PropsSI

from yokebook.errors import OutOfRange
from yokebook.gases import AIR, FIFTY_FIFTY, NITROUS_OXIDE, OXYGEN, Gas
from yokebook.physics import bounds, contents, realgas, reserve
from yokebook.physics.bounds import Cylinder, Range, Reading, Use
from yokebook.physics.contents import Condition
from yokebook.physics.gauges import ClassError, Dial
from yokebook.quantities import (
    AbsolutePa,
    CubicMetres,
    DifferencePa,
    GasCubicMetresPerSecond,
    GaugePa,
    Kelvin,
    Moles,
    Seconds,
)

AMBIENT = AbsolutePa(101325.0)
CONDITION = Condition(Kelvin(293.15), AMBIENT)
PLACE = Range(Kelvin(289.15), Kelvin(293.15), Kelvin(299.15))
DIAL = Dial(GaugePa(0.0), GaugePa(250e5))
ERROR = ClassError(DIAL, 2.5)  # 6.25 bar anywhere on the dial (EN 837-1:1996: 2.5 % of the span)
FULL = Reading(GaugePa(137e5), ERROR)
CYLINDER = Cylinder(OXYGEN, Range.about(CubicMetres(0.00468), 0.01), PLACE, GaugePa(10e5), AMBIENT)
HOUR = Seconds(3600.0)
SAME = 1e-9
"""One equation, asked twice: its density is solved to so much."""


def per_minute(litres: float) -> GasCubicMetresPerSecond:
    return GasCubicMetresPerSecond(litres / 60e3)


DRIVE = Range(per_minute(5.0), per_minute(6.0), per_minute(9.0))
LEAK = Range(per_minute(0.0), per_minute(0.0), per_minute(0.1))
USE = Use(per_minute(1.0), 0.1, DRIVE, LEAK, CONDITION)
BAG = Use(per_minute(1.0), 0.0, Range.exactly(per_minute(0.0)), Range.exactly(per_minute(0.0)), CONDITION)


def no_error(shown: GaugePa) -> DifferencePa:
    return DifferencePa(0.0 * shown)


def density(gauge_pressure: float, temperature: float, fluid: str = "Oxygen") -> float:
    """Return a gas's density [mol/m3] as the equation of state gives it, asked without the program."""
    return float(PropsSI("Dmolar", "T", temperature, "P", gauge_pressure + AMBIENT, fluid))


def worst_by_hand() -> Moles:
    """The corner that physics names: small cylinder, low true pressure, warm when read, cold at the end."""
    return Moles(0.00468 * 0.99 * (density(137e5 - 6.25e5, 299.15) - density(10e5, 289.15)))


def test_least_usable_is_the_worst_corner() -> None:
    """Small cylinder, gauge high by its class, warm when read and cold when it ends: that and no more is sure."""
    assert worst_by_hand() == pytest.approx(bounds.least_usable(CYLINDER, FULL), rel=SAME)


def test_least_duration_is_the_worst_corner() -> None:
    """The least duration draws 1.1 + 9 + 0.1 L/min from the least usable contents."""
    worst_s = worst_by_hand() / (10.2e-3 / 60 * density(0.0, 293.15))
    assert worst_s == pytest.approx(bounds.least_duration(CYLINDER, FULL, USE), rel=SAME)


def test_nominal_values_lie_above_the_least() -> None:
    """Nominal contents, duration and threshold are those without tolerances, and promise more."""
    usable = 0.00468 * (density(137e5, 293.15) - density(10e5, 293.15))
    duration_s = usable / (7e-3 / 60 * density(0.0, 293.15))
    assert usable == pytest.approx(bounds.nominal_usable(CYLINDER, FULL.shown), rel=SAME)
    assert usable > bounds.least_usable(CYLINDER, FULL)
    assert duration_s == pytest.approx(bounds.nominal_duration(CYLINDER, FULL.shown, USE), rel=SAME)
    assert duration_s > bounds.least_duration(CYLINDER, FULL, USE)
    back = bounds.nominal_threshold(CYLINDER, USE, bounds.nominal_duration(CYLINDER, FULL.shown, USE))
    assert FULL.shown == pytest.approx(back, rel=1e-9)


@pytest.mark.parametrize("shown", [GaugePa(16.25e5), GaugePa(16.0e5), GaugePa(5e5), GaugePa(0.0)])
def test_a_reading_within_the_error_of_the_keep_back_leaves_nothing(shown: GaugePa) -> None:
    """A reading whose low bound is not above the keep-back, or even below zero, leaves 0 s."""
    assert bounds.least_usable(CYLINDER, Reading(shown, ERROR)) == 0.0
    assert bounds.least_duration(CYLINDER, Reading(shown, ERROR), USE) == 0.0


def test_fifty_fifty_takes_the_lowest_model() -> None:
    """Of the four models the one that holds least counts: 207 of 207 to 229 L per litre of water capacity."""
    fifteen = Range.exactly(Kelvin(288.15))
    exact = Cylinder(FIFTY_FIFTY, Range.exactly(CubicMetres(0.001)), fifteen, GaugePa(0.0), AMBIENT)
    full = Reading(GaugePa(137e5), no_error)
    least = bounds.least_usable(exact, full)  # it also gives the library the pair's rule
    mixture = "HEOS::NitrousOxide[0.5]&Oxygen[0.5]"
    by_hand = 0.001 * (density(137e5, 288.15, mixture) - density(0.0, 288.15, mixture))
    assert by_hand == pytest.approx(least, rel=SAME)
    assert least < bounds.nominal_usable(exact, full.shown)


def test_threshold_is_where_the_least_duration_is_the_time() -> None:
    """At the threshold the worst corner lasts the time asked for; a little below it does not."""
    threshold = bounds.highest_threshold(CYLINDER, ERROR, DIAL, USE, HOUR)
    assert HOUR == pytest.approx(bounds.least_duration(CYLINDER, Reading(threshold, ERROR), USE), rel=1e-9)
    assert bounds.least_duration(CYLINDER, Reading(GaugePa(threshold - 1e3), ERROR), USE) < HOUR


def test_threshold_beyond_the_dial_is_refused() -> None:
    """Where no reading of the dial assures the time, there is no threshold."""
    with pytest.raises(OutOfRange, match="No reading of this dial assures that pressure"):
        bounds.highest_threshold(
            CYLINDER, ClassError(Dial(GaugePa(0.0), GaugePa(100e5)), 2.5), Dial(GaugePa(0.0), GaugePa(100e5)), USE, HOUR
        )


def test_cylinders_in_turn_add_up() -> None:
    """Each cylinder with its own size and reading adds its own least time; an empty one adds none."""
    big = replace(CYLINDER, water_capacity=Range.exactly(CubicMetres(0.01)))
    empty = Reading(GaugePa(5e5), ERROR)
    first = bounds.least_duration(CYLINDER, FULL, USE)
    last = bounds.least_duration(big, FULL, USE)
    moments = bounds.least_run_out_times([(CYLINDER, FULL), (CYLINDER, empty), (big, FULL)], USE)
    assert (first, first, first + last) == pytest.approx(moments, rel=1e-12)


def test_a_cylinder_changed_at_a_mark_keeps_back_what_may_lie_below_it() -> None:
    """A dial of class 2.5 that ends at 250 bar may read 6.25 bar low (EN 837-1); a greater keep-back stays."""
    assert pytest.approx(76.25e5) == bounds.changed_at(CYLINDER, Reading(GaugePa(70e5), ERROR)).keep_back
    assert CYLINDER.keep_back == bounds.changed_at(CYLINDER, Reading(GaugePa(0.0), ERROR)).keep_back


@pytest.mark.parametrize("gas", [OXYGEN, FIFTY_FIFTY], ids=lambda gas: gas.name)
def test_worst_corner_shows_how_the_least_duration_came_about(gas: Gas) -> None:
    """Its densities, amount and rate multiply and divide to the least duration, warm when read and cold at the end."""
    cylinder = replace(CYLINDER, gas=gas)
    corner = bounds.worst_corner(cylinder, FULL, USE)
    assert corner is not None
    assert (GaugePa(137e5 - 6.25e5), PLACE.high, PLACE.low) == (corner.lowest, corner.start, corner.end)
    amount = (corner.start_density - corner.end_density) * cylinder.water_capacity.low
    assert amount == pytest.approx(corner.amount, rel=1e-12)
    assert amount / corner.rate == pytest.approx(corner.duration, rel=1e-12)
    assert bounds.least_duration(cylinder, FULL, USE) == corner.duration
    assert corner.model in realgas.models(gas)


def test_no_worst_corner_where_nothing_may_be_left() -> None:
    """A reading that may lie at the keep-back has no corner to work through."""
    assert bounds.worst_corner(CYLINDER, Reading(GaugePa(16e5), ERROR), USE) is None


@pytest.mark.parametrize(
    ("cylinders", "count"),
    [
        ([], 0),
        ([(CYLINDER, FULL), (replace(CYLINDER, gas=AIR), FULL)], 2),
    ],
)
def test_cylinders_in_turn_are_of_one_gas(cylinders: list[tuple[Cylinder, Reading]], count: int) -> None:
    """No cylinder, or cylinders of two gases, is a programming error."""
    with pytest.raises(ValueError, match=f"cylinders in turn are of one gas, not of {count}"):
        bounds.least_run_out_times(cylinders, USE)


def test_most_cylinders_needed_covers_the_time() -> None:
    """So many cylinders surely last the time, and one fewer might not."""
    time = Seconds(5 * 3600.0)
    count = bounds.most_cylinders_needed(CYLINDER, FULL, USE, time)
    moments = bounds.least_run_out_times([(CYLINDER, FULL)] * count, USE)
    assert moments[count - 2] < time <= moments[count - 1]


def test_cylinders_that_may_be_empty_cannot_be_counted() -> None:
    """A reading within the gauge's error of the keep-back gives no number of cylinders."""
    with pytest.raises(OutOfRange, match=r"A cylinder that gives nothing cannot be counted\."):
        bounds.most_cylinders_needed(CYLINDER, Reading(GaugePa(16e5), ERROR), USE, HOUR)


def test_highest_warm_reading_is_of_the_coldest_filling() -> None:
    """A closed cylinder comes to the highest pressure where it was read cold and the gauge reads low by its class."""
    warm = Kelvin(313.15)
    closed = density(137e5 + 6.25e5, 289.15)
    worst = PropsSI("P", "T", warm, "Dmolar", closed, "Oxygen") - AMBIENT
    assert worst == pytest.approx(bounds.highest_warm_reading(OXYGEN, FULL, PLACE, warm, AMBIENT), rel=SAME)


def test_vapour_of_a_liquefied_gas_counts_as_gas() -> None:
    """Nitrous oxide well below its vapour pressure is worked as a gas; where liquid may be left it is refused."""
    vapour = replace(CYLINDER, gas=NITROUS_OXIDE, keep_back=GaugePa(5e5))
    assert bounds.least_usable(vapour, Reading(GaugePa(30e5), ERROR)) > 0.0
    with pytest.raises(OutOfRange, match="has liquid left"):
        bounds.least_usable(vapour, Reading(GaugePa(52e5), ERROR))


def test_range_holds_its_corners() -> None:
    """A range gives each of its values once, lowest first; a tolerance of 10 % is a tenth either way."""
    assert Range.exactly(Kelvin(293.15)).corners == (293.15,)
    assert (289.15, 293.15, 299.15) == PLACE.corners
    assert pytest.approx((0.9, 1.0, 1.1)) == Range.about(CubicMetres(1.0), 0.1).corners


def test_use_adds_its_parts() -> None:
    """The nominal draw is as set and usual, the highest has flowmeter, drive gas and leak at their high ends."""
    assert pytest.approx(per_minute(7.0)) == USE.nominal.flow
    assert pytest.approx(per_minute(10.2)) == USE.highest.flow
    assert pytest.approx(per_minute(1.0)) == BAG.highest.flow


def test_models_are_not_mixed() -> None:
    """Rate and contents of 50:50 come from one model at a time, so the least duration is one model's own."""
    cylinder = replace(CYLINDER, gas=FIFTY_FIFTY)
    own = []
    for model in realgas.models(FIFTY_FIFTY):
        usable = contents.usable(
            FIFTY_FIFTY,
            cylinder.water_capacity.low,
            FULL.lowest,
            cylinder.keep_back,
            PLACE.high,
            AMBIENT,
            model,
            PLACE.low,
        )
        own.append(usable / reserve.amount_rate(FIFTY_FIFTY, USE.highest, CONDITION, model))
    assert min(own) == pytest.approx(bounds.least_duration(cylinder, FULL, USE), rel=1e-12)


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (lambda: Range(2.0, 1.0, 3.0), "nominal value 1.0 SI: allowed 2.0 to 3.0."),
        (lambda: Range(2.0, 2.0, 1.0), "low end 2.0 SI: allowed None to 1.0."),
        (lambda: Range(math.nan, 2.0, 3.0), "low end nan SI: allowed None to 3.0. Not a finite number."),
        (lambda: Range(1.0, 2.0, math.inf), "high end inf SI: allowed 1.0 to None. Not a finite number."),
        (lambda: Range.about(1.0, 1.0), "tolerance 1.0 : allowed None to 1.0."),
        (lambda: Range.about(1.0, -0.1), "tolerance -0.1 : allowed 0.0 to None."),
        (lambda: Range.about(-1.0, 0.1), "nominal value -1.0 SI: allowed 0.0 to None."),
        (
            lambda: replace(BAG, fresh_gas=per_minute(0.0)).highest,
            "draw 0.0 m3/s: allowed 0.0 to None. A use that draws nothing has no duration.",
        ),
        (
            lambda: bounds.least_usable(CYLINDER, Reading(GaugePa(251e5), ERROR)),
            "reading 25100000.0 Pa: allowed 0.0 to 25000000.0. The dial ends there.",
        ),
    ],
)
def test_impossible_input_is_an_error(call: Callable[[], object], message: str) -> None:
    """Ends out of order, shares that are none, a draw of nothing and a reading off the dial are refused."""
    with pytest.raises(OutOfRange) as raised:
        call()
    assert message == str(raised.value)
