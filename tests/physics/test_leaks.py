"""Leaks: closed and open, what a dial can show, the worst corner, and liquefied gas."""

from __future__ import annotations

import math
import random
from collections.abc import Callable
from typing import Any

import pytest

from yokebook.errors import OutOfRange
from yokebook.gases import CARBON_DIOXIDE, NITROUS_OXIDE, OXYGEN, Gas
from yokebook.physics import leaks, liquefied
from yokebook.physics.bounds import Range
from yokebook.physics.contents import Condition
from yokebook.physics.gauges import AsRead, Dial, FixedError, PossibleError, ShareError
from yokebook.quantities import (
    AbsolutePa,
    CubicMetres,
    DifferencePa,
    GasCubicMetresPerSecond,
    GaugePa,
    Kelvin,
    Seconds,
)

SEA_LEVEL, ROOM, WARM = AbsolutePa(101325.0), Kelvin(293.15), Kelvin(299.15)
CONDITION = Condition(ROOM, SEA_LEVEL)
TRAPPED, MINUTES = CubicMetres(20e-6), Seconds(300.0)
DIAL = Dial(GaugePa(0.0), GaugePa(250e5))
PLACE = Range(Kelvin(289.15), ROOM, WARM)


def bar(value: float) -> GaugePa:
    return GaugePa(value * 1e5)


def flow(gas: Gas, start: float, end: float, *, temperature: Kelvin = ROOM, valve_open: bool = False) -> float:
    return leaks.leak(
        gas, TRAPPED, bar(start), bar(end), MINUTES, temperature, SEA_LEVEL, CONDITION, valve_open=valve_open
    )


def highest(gas: Gas, start: float, end: float, **other: Any) -> float:
    """Return the highest leak at a place of 16 to 26 °C, by a dial that may be 2 bar out, read to 1 bar."""
    given: dict[str, Any] = {
        "volume": Range.exactly(TRAPPED), "duration": Range.exactly(MINUTES), "temperature": PLACE, "valve_open": False,
        "error": FixedError(DIAL, DifferencePa(2e5)), "fall_doubt": DifferencePa(1e5),
    }  # fmt: skip
    given.update(other)
    return leaks.highest_leak(gas, start=bar(start), end=bar(end), ambient=SEA_LEVEL, condition=CONDITION, **given)


@pytest.mark.parametrize("gas", [OXYGEN, NITROUS_OXIDE])
def test_a_reading_that_rises_is_no_leak(gas: Gas) -> None:
    """A rising reading is refused, closed and open, exact and at the worst corner."""
    with pytest.raises(OutOfRange) as raised:
        flow(gas, 20.0, 20.1)
    assert "The reading rises." == raised.value.reason
    with pytest.raises(OutOfRange, match="The reading rises"):
        highest(gas, 20.0, 20.1)


def test_a_reading_that_stands_still_is_no_proof() -> None:
    """No fall is no leak by the formula, but the worst corner is what one interval of the dial can hide."""
    assert 0.0 == flow(OXYGEN, 100.0, 100.0)
    hidden = leaks.smallest_visible_leak(
        OXYGEN, TRAPPED, bar(102.0), DifferencePa(1e5), MINUTES, PLACE.low, SEA_LEVEL, CONDITION, valve_open=False
    )
    assert hidden == pytest.approx(highest(OXYGEN, 100.0, 100.0))


def test_open_and_closed_differ_by_the_volumes() -> None:
    """The same fall is 234 times the leak with a 4.68 L cylinder open instead of 20 mL trapped."""
    opened = leaks.leak(
        OXYGEN, CubicMetres(4.68e-3), bar(130), bar(125), MINUTES, ROOM, SEA_LEVEL, CONDITION, valve_open=True
    )
    assert 234.0 == pytest.approx(opened / flow(OXYGEN, 130.0, 125.0))


def test_an_open_cylinder_with_liquid_hides_its_leak() -> None:
    """While liquid is left a fall of the reading says nothing, and is refused; with gas alone it counts."""
    with pytest.raises(OutOfRange, match="Liquid may be left"):
        flow(NITROUS_OXIDE, 49.6, 45.0, valve_open=True)
    with pytest.raises(OutOfRange, match="Liquid may be left"):
        highest(NITROUS_OXIDE, 43.5, 40.0, valve_open=True)
    assert flow(NITROUS_OXIDE, 30.0, 25.0) == flow(NITROUS_OXIDE, 30.0, 25.0, valve_open=True)
    assert highest(NITROUS_OXIDE, 30.0, 25.0, valve_open=True) > flow(NITROUS_OXIDE, 30.0, 25.0)


def test_trapped_gas_at_the_vapour_pressure_is_saturated_vapour() -> None:
    """After the valve is closed gas alone is trapped, at a temperature at which it can have that reading."""
    vapour = liquefied.vapour_reading(NITROUS_OXIDE, ROOM, SEA_LEVEL) / 1e5
    just_below = flow(NITROUS_OXIDE, vapour - 0.001, 40.0)
    assert just_below == pytest.approx(flow(NITROUS_OXIDE, vapour, 40.0), rel=1e-3)
    warmer = flow(NITROUS_OXIDE, vapour + 2.0, 40.0)
    at_its_temperature = liquefied.boiling_temperature(NITROUS_OXIDE, AbsolutePa((vapour + 2.0) * 1e5 + SEA_LEVEL))
    assert warmer == pytest.approx(flow(NITROUS_OXIDE, vapour + 2.0, 40.0, temperature=at_its_temperature))
    with pytest.raises(OutOfRange) as raised:
        flow(NITROUS_OXIDE, vapour + 8.0, 40.0)
    assert "The reading belongs to a warmer place." == raised.value.reason


def test_highest_leak_of_trapped_vapour() -> None:
    """Near the vapour pressure the worst corner is finite and not below any leak that the place allows."""
    worst = highest(NITROUS_OXIDE, 49.5, 45.0)
    for temperature in (293.15, 295.15, 299.15):
        assert worst >= flow(NITROUS_OXIDE, 49.5, 45.0, temperature=Kelvin(temperature))
    with pytest.raises(OutOfRange) as raised:
        highest(NITROUS_OXIDE, 60.0, 55.0)
    assert "So much lies above the vapour pressure, even at the highest temperature." == raised.value.reason


def test_highest_leak_above_the_critical_temperature() -> None:
    """Where the place may be warmer than the critical temperature there is no vapour pressure to stop at."""
    hot = Range(Kelvin(311.15), Kelvin(312.15), Kelvin(313.15))
    assert highest(NITROUS_OXIDE, 60.0, 55.0, temperature=hot) > flow(
        NITROUS_OXIDE, 60.0, 55.0, temperature=Kelvin(313.15)
    )


@pytest.mark.parametrize("valve_open", [True, False])
def test_seen_and_waited_for(valve_open: bool) -> None:
    """A leak that is just visible in a time needs just that time to be seen."""
    given = (OXYGEN, TRAPPED, bar(137), DifferencePa(5e5))
    rest = (ROOM, SEA_LEVEL, CONDITION)
    smallest = leaks.smallest_visible_leak(*given, MINUTES, *rest, valve_open=valve_open)
    assert MINUTES == pytest.approx(leaks.time_to_see(*given, smallest, *rest, valve_open=valve_open))


@pytest.mark.parametrize(
    "call",
    [
        lambda: leaks.ideal_leak(CubicMetres(0.0), DifferencePa(1.0), MINUTES, SEA_LEVEL),
        lambda: leaks.ideal_leak(TRAPPED, DifferencePa(1.0), Seconds(0.0), SEA_LEVEL),
        lambda: leaks.ideal_leak(TRAPPED, DifferencePa(-1.0), MINUTES, SEA_LEVEL),
        lambda: leaks.ideal_leak(TRAPPED, DifferencePa(1.0), MINUTES, AbsolutePa(math.nan)),
        lambda: leaks.ideal_fall(TRAPPED, GasCubicMetresPerSecond(-1.0), MINUTES, SEA_LEVEL),
        lambda: flow(OXYGEN, 10.0, -2.0),
        lambda: leaks.smallest_visible_leak(
            OXYGEN, TRAPPED, bar(3), DifferencePa(5e5), MINUTES, ROOM, SEA_LEVEL, CONDITION, valve_open=False
        ),
    ],
)
def test_what_no_leak_can_be(call: Callable[[], float]) -> None:
    """Nothing, no time, a negative fall and a fall below empty are refused."""
    with pytest.raises(OutOfRange):
        call()


def test_a_fall_to_empty_counts_to_empty() -> None:
    """The doubt of the fall never takes out more than the volume held."""
    assert 0.0 < highest(OXYGEN, 3.0, 0.5) < math.inf
    wide = DifferencePa(50e5)
    assert highest(OXYGEN, 3.0, 2.0, fall_doubt=wide) == pytest.approx(highest(OXYGEN, 3.0, 0.5, fall_doubt=wide))


@pytest.mark.parametrize(
    ("gas", "start", "end"),
    [(OXYGEN, 130.0, 125.0), (OXYGEN, 60.0, 55.0), (NITROUS_OXIDE, 36.0, 31.0), (CARBON_DIOXIDE, 40.0, 35.0)],
)
@pytest.mark.parametrize("error", [FixedError(DIAL, DifferencePa(6e5)), ShareError(DIAL, 0.01, 0.04)])
def test_no_leak_behind_two_readings_half_a_mark_wrong_exceeds_the_highest(
    gas: Gas, start: float, end: float, error: PossibleError
) -> None:
    """Marks 5 bar apart: each reading half of one wrong, the dial out by the same share of its error at both.

    Where nitrous oxide's and carbon dioxide's density rises fast, half a mark of the level alone is 2 to 5 % of the
    leak, so that it counts in the level as well as in the fall.
    """
    interval, dice = DifferencePa(5e5), random.Random(20261201)
    as_read = AsRead(error, DIAL, interval)
    place = Range.exactly(ROOM)
    grows = (error(bar(100)) - error(bar(0))) / 100e5
    doubt = DifferencePa(interval + grows * (bar(start - end) + interval))
    worst = highest(gas, start, end, temperature=place, error=as_read, fall_doubt=doubt)
    reached = 0.0
    for _ in range(400):
        wrong = [dice.choice((-1.0, 1.0, dice.uniform(-1, 1))) * interval / 2 for _ in range(2)]
        share = dice.choice((-1.0, 1.0, dice.uniform(-1, 1)))
        pointers = [GaugePa(read * 1e5 + off) for read, off in zip((start, end), wrong, strict=True)]
        first, last = (pointer - share * error(pointer) for pointer in pointers)
        if last <= first < liquefied_limit(gas):
            true = flow(gas, first / 1e5, last / 1e5)
            reached = max(reached, true)
            assert true <= worst * (1 + 1e-4)
    assert reached > 0.97 * worst


def liquefied_limit(gas: Gas) -> float:
    """Return the vapour pressure at 20 °C [Pa, gauge]; none for a gas that is not liquefied."""
    return liquefied.vapour_reading(gas, ROOM, SEA_LEVEL) if gas.liquefied else math.inf


def test_no_true_pressure_between_those_tried_makes_a_greater_leak() -> None:
    """Oxygen between 90 and 150 bar, where its density rises steepest: ten times as many places find no more."""
    error = FixedError(DIAL, DifferencePa(25e5))
    place, interval = Range.exactly(ROOM), DifferencePa(5e5)
    worst = highest(OXYGEN, 120.0, 115.0, temperature=place, error=error, fall_doubt=interval)
    levels = (95.0 + 0.15 * number for number in range(334))
    most = max(flow(OXYGEN, level, level - 10.0) for level in levels)
    assert most == pytest.approx(worst, rel=1e-4)
    assert max(flow(OXYGEN, end, end - 10.0) for end in (95.0, 120.0, 145.0)) < worst * (1 - 1e-6)
