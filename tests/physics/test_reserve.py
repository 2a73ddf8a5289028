"""Durations, moments and counts: plain arithmetic that a reader can do in the head."""

from __future__ import annotations

import math
from collections.abc import Callable

import pytest

from yokebook.errors import OutOfRange
from yokebook.gases import OXYGEN
from yokebook.physics import contents, reserve
from yokebook.physics.contents import Condition
from yokebook.physics.reserve import Draw
from yokebook.quantities import (
    AbsolutePa,
    CubicMetres,
    GasCubicMetresPerSecond,
    GaugePa,
    Kelvin,
    Moles,
    MolesPerSecond,
    Seconds,
)

E_SIZE, AMBIENT, FIFTEEN = CubicMetres(0.00468), AbsolutePa(101325.0), Kelvin(288.15)
CONDITION = Condition(FIFTEEN, AMBIENT)
PLACE = (FIFTEEN, AMBIENT)
RATE = MolesPerSecond(0.005)


def per_minute(litres: float) -> GasCubicMetresPerSecond:
    return GasCubicMetresPerSecond(litres / 60e3)


def test_parts_of_a_draw_add_up() -> None:
    """Fresh gas, drive gas and leak flow at the same time: 1 + 6 + 0.1 L/min (common practice, no source)."""
    assert pytest.approx(per_minute(7.1)) == Draw(per_minute(1.0), per_minute(6.0), per_minute(0.1)).flow


def test_full_cylinder_at_a_flow() -> None:
    """A full E cylinder (684 L in all, by its table) less the 4.68 L left behind lasts 340 min at 2 L/min."""
    usable = contents.usable(OXYGEN, E_SIZE, GaugePa(137e5), GaugePa(0.0), *PLACE)
    rate = reserve.amount_rate(OXYGEN, Draw(per_minute(2.0)), CONDITION)
    assert (684.4 - 4.68) / 2.0 == pytest.approx(reserve.duration(usable, rate) / 60.0, rel=1e-3)


def test_cylinders_in_turn_run_out_one_after_the_other() -> None:
    """Each cylinder adds its own time to those before it; an empty one adds none; no cylinder, no moment."""
    amounts = [Moles(9.0), Moles(0.0), Moles(3.0)]
    assert (1800.0, 1800.0, 2400.0) == reserve.run_out_times(amounts, RATE)
    assert reserve.run_out_times([], RATE) == ()


def test_reading_for_duration_is_the_inverse_of_duration() -> None:
    """At the reading found the cylinder lasts exactly the time asked for."""
    reading = reserve.reading_for_duration(OXYGEN, E_SIZE, RATE, Seconds(1800.0), GaugePa(10e5), *PLACE)
    usable = contents.usable(OXYGEN, E_SIZE, reading, GaugePa(10e5), *PLACE)
    assert 1800.0 == pytest.approx(reserve.duration(usable, RATE), rel=1e-9)


@pytest.mark.parametrize(
    ("each", "time", "count"),
    [
        (9.0, 1800.0, 1),
        (9.0, 1800.1, 2),
        (9.0, 1.0, 1),
        (9.0, 5400.0, 3),
        (1.7, 1020.0, 3),
        (9.0, 1e-6, 1),
    ],
)
def test_cylinders_needed_is_a_whole_number_rounded_up(each: float, time: float, count: int) -> None:
    """A part of a cylinder is a cylinder more; float rounding is not."""
    assert count == reserve.cylinders_needed(Moles(each), RATE, Seconds(time))


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (
            lambda: Draw(per_minute(0.0)),
            "draw 0.0 m3/s: allowed 0.0 to None. A use that draws nothing has no duration.",
        ),
        (lambda: Draw(GasCubicMetresPerSecond(-1.0)), "fresh gas -1.0 m3/s: allowed 0.0 to None."),
        (lambda: Draw(per_minute(1.0), leak=GasCubicMetresPerSecond(-1.0)), "leak -1.0 m3/s: allowed 0.0 to None."),
        (
            lambda: Draw(per_minute(1.0), GasCubicMetresPerSecond(math.inf)),
            "drive gas inf m3/s: allowed 0.0 to None. Not a finite number.",
        ),
        (lambda: reserve.duration(Moles(-1.0), RATE), "amount -1.0 mol: allowed 0.0 to None."),
        (
            lambda: reserve.duration(Moles(1.0), MolesPerSecond(0.0)),
            "rate 0.0 mol/s: allowed 0.0 to None. A use that draws nothing has no duration.",
        ),
        (
            lambda: reserve.run_out_times([], MolesPerSecond(-1.0)),
            "rate -1.0 mol/s: allowed 0.0 to None. A use that draws nothing has no duration.",
        ),
        (
            lambda: reserve.reading_for_duration(OXYGEN, E_SIZE, RATE, Seconds(-1.0), GaugePa(10e5), *PLACE),
            "time -1.0 s: allowed 0.0 to None.",
        ),
        (
            lambda: reserve.reading_for_duration(OXYGEN, E_SIZE, RATE, Seconds(1e6), GaugePa(10e5), *PLACE),
            "molar density 1068839.5 mol/m3: allowed None to 30000.0. No cylinder here is filled so full.",
        ),
        (
            lambda: reserve.cylinders_needed(Moles(0.0), RATE, Seconds(60.0)),
            "usable amount of each 0.0 mol: allowed 0.0 to None. A cylinder that gives nothing cannot be counted.",
        ),
        (lambda: reserve.cylinders_needed(Moles(1.0), RATE, Seconds(0.0)), "time 0.0 s: allowed 0.0 to None."),
    ],
)
def test_impossible_input_is_an_error(call: Callable[[], object], message: str) -> None:
    """A draw of nothing, an amount below zero and a need beyond every filling are refused."""
    with pytest.raises(OutOfRange) as raised:
        call()
    assert message == str(raised.value).replace(repr(raised.value.value), repr(round(raised.value.value, 1)), 1)


@pytest.mark.parametrize(
    ("till_change", "last", "together"),
    [([], 60.0, 60.0), ([55.0], 60.0, 115.0), ([55.0, 0.0], 30.0, 85.0), ([0.0], 0.0, 0.0)],
)
def test_cylinders_in_turn_last_till_each_but_the_last_is_changed(
    till_change: list[float], last: float, together: float
) -> None:
    """One that is changed at once counts as nothing; the last is used up."""
    assert together == reserve.lasts_in_turn([Seconds(each) for each in till_change], Seconds(last))


@pytest.mark.parametrize(
    ("till_change", "last", "time", "needed"),
    [
        (55.0, 60.0, 0.0, 1),
        (0.0, 60.0, 60.0, 1),
        (55.0, 60.0, 60.1, 2),
        (55.0, 60.0, 115.0, 2),
        (55.0, 60.0, 115.1, 3),
    ],
)
def test_the_least_number_in_turn_that_is_enough(till_change: float, last: float, time: float, needed: int) -> None:
    """Rounded up, and never up for the dust of a float."""
    assert needed == reserve.needed_in_turn(Seconds(till_change), Seconds(last), Seconds(time))


@pytest.mark.parametrize(
    "work",
    [
        lambda: reserve.lasts_in_turn([Seconds(5.0)], Seconds(-1.0)),
        lambda: reserve.lasts_in_turn([Seconds(-1.0)], Seconds(5.0)),
        lambda: reserve.lasts_in_turn([Seconds(math.nan)], Seconds(5.0)),
        lambda: reserve.needed_in_turn(Seconds(0.0), Seconds(5.0), Seconds(60.0)),
        lambda: reserve.needed_in_turn(Seconds(60.0), Seconds(-5.0), Seconds(90.0)),
        lambda: reserve.needed_in_turn(Seconds(60.0), Seconds(5.0), Seconds(math.inf)),
    ],
)
def test_what_cannot_be_taken_in_turn_is_refused(work: Callable[[], object]) -> None:
    """A time below zero or endless, and cylinders that are changed before they give anything."""
    with pytest.raises(OutOfRange):
        work()
