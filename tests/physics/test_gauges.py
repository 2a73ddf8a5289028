"""Gauges: what a dial can show, how far it may be out, and what a reading assures."""

from __future__ import annotations

import math
from collections.abc import Callable
from decimal import Decimal

import pytest

from yokebook.errors import OutOfRange
from yokebook.physics import gauges
from yokebook.physics.gauges import ClassError, Dial, FixedError, FoundError, PossibleError, ShareError
from yokebook.quantities import DifferencePa, GaugePa, Kelvin
from yokebook.units import SPELLINGS, to_si

DIAL = Dial(GaugePa(0.0), GaugePa(250e5))
STOPPED = Dial(GaugePa(0.0), GaugePa(250e5), stopped=True)
FORMS: tuple[Callable[[Dial], PossibleError], ...] = (
    lambda dial: ClassError(dial, 2.5),
    lambda dial: ShareError(dial, of_span=0.04, of_reading=0.08),
    lambda dial: FixedError(dial, DifferencePa(5e5)),
    lambda dial: FoundError(ClassError(dial, 1.6), DifferencePa(3e5)),
)


def bar(value: float) -> GaugePa:
    return GaugePa(value * 1e5)


@pytest.mark.parametrize("form", FORMS)
@pytest.mark.parametrize("reading", [-0.001, 250.001, math.nan, math.inf])
def test_a_reading_outside_the_span_has_no_error(form: Callable[[Dial], PossibleError], reading: float) -> None:
    """What the dial cannot show is refused, not guessed."""
    with pytest.raises(OutOfRange, match="reading"):
        form(DIAL)(bar(reading))


@pytest.mark.parametrize("form", FORMS)
def test_a_stopped_dial_says_nothing_below_a_tenth(form: Callable[[Dial], PossibleError]) -> None:
    """Below 10 % of the span the stop pin holds the pointer (common practice, no source)."""
    form(STOPPED)(bar(25.0))
    with pytest.raises(OutOfRange) as raised:
        form(STOPPED)(bar(24.9))
    assert "A stop pin holds the pointer: below 10 % of the span the dial says nothing." == raised.value.reason


def test_the_forms_of_the_error() -> None:
    """Class, shares, plus-minus and found error, each by hand: the found error adds, whatever its sign."""
    assert 6.25e5 == ClassError(DIAL, 2.5)(bar(0.0))
    assert 14e5 == pytest.approx(ShareError(DIAL, of_span=0.04, of_reading=0.08)(bar(50.0)))
    assert 5e5 == FixedError(DIAL, DifferencePa(5e5))(bar(200.0))
    assert 9.25e5 == FoundError(ClassError(DIAL, 2.5), DifferencePa(-3e5))(bar(100.0))
    assert 9.25e5 == FoundError(ClassError(DIAL, 2.5), DifferencePa(3e5))(bar(100.0))


@pytest.mark.parametrize("accuracy_class", [0.0, 2.0, 3.0, 5.0, -1.6, math.nan])
def test_only_classes_of_the_standard(accuracy_class: float) -> None:
    """There is no class 2 or 3 in EN 837-1."""
    with pytest.raises(OutOfRange, match="EN 837-1 has the classes"):
        ClassError(DIAL, accuracy_class)


@pytest.mark.parametrize(
    "build",
    [
        lambda: ShareError(DIAL, of_span=-0.01),
        lambda: ShareError(DIAL, of_reading=1.01),
        lambda: FixedError(DIAL, DifferencePa(-1.0)),
        lambda: FoundError(ClassError(DIAL, 1.0), DifferencePa(math.nan)),
        lambda: Dial(GaugePa(0.0), GaugePa(0.0)),
        lambda: Dial(GaugePa(math.nan), GaugePa(1e5)),
        lambda: Dial(GaugePa(0.0), GaugePa(math.inf)),
    ],
)
def test_dials_and_errors_that_cannot_be(build: Callable[[], object]) -> None:
    """Negative errors, shares above one and scales without length are refused."""
    with pytest.raises(OutOfRange):
        build()


def test_a_range_may_reach_below_zero() -> None:
    """A low reading may stand for an empty cylinder."""
    assert (bar(-1.25), bar(11.25)) == gauges.true_range(bar(5.0), ClassError(DIAL, 2.5))


def test_reading_that_assures_a_pressure() -> None:
    """Ten bar are sure at 16.25 bar on a class 2.5 dial of 250 bar; with shares the reading's own share counts in."""
    assert bar(16.25) == gauges.reading_that_assures(bar(10.0), ClassError(DIAL, 2.5), DIAL)
    shares = ShareError(DIAL, of_span=0.04, of_reading=0.08)
    assert 20.0 / 0.92 == pytest.approx(gauges.reading_that_assures(bar(10.0), shares, DIAL) / 1e5)


def test_reading_that_assures_does_not_leave_the_dial() -> None:
    """The lowest reading assures what it can; more than the highest assures is refused."""
    assert bar(25.0) == gauges.reading_that_assures(bar(10.0), ClassError(STOPPED, 2.5), STOPPED)
    assert bar(0.0) == gauges.reading_that_assures(bar(-10.0), ClassError(DIAL, 2.5), DIAL)
    with pytest.raises(OutOfRange) as raised:
        gauges.reading_that_assures(bar(244.0), ClassError(DIAL, 2.5), DIAL)
    assert "pressure 24400000.0 Pa: allowed None to 24375000.0. No reading of this dial assures that pressure." == str(
        raised.value
    )


def test_headroom() -> None:
    """A dial of 200 bar is right for 150 bar and too short for 151 (a third above, from memory)."""
    dial = Dial(GaugePa(0.0), GaugePa(200e5))
    assert gauges.dial_has_headroom(dial, bar(150.0))
    assert not gauges.dial_has_headroom(dial, bar(151.0))
    assert 5e5 == gauges.half_interval(DifferencePa(10e5))


@pytest.mark.parametrize("kelvin", [200.0, 400.0, math.nan])
def test_no_temperature_effect_where_no_gauge_is(kelvin: float) -> None:
    """Outside -40 to 70 °C nothing is said."""
    with pytest.raises(OutOfRange, match="temperature"):
        gauges.temperature_effect(DIAL, Kelvin(kelvin))


@pytest.mark.parametrize("interval", [0.0, -5.0, math.nan, math.inf])
def test_an_interval_is_a_positive_number(interval: float) -> None:
    """No scale has an interval of zero or less."""
    with pytest.raises(OutOfRange, match="scale interval"):
        gauges.is_scale_interval(interval)


@pytest.mark.parametrize("unit", ["psi", "kPa", "bar", "kgf/cm²", "MPa"])
def test_a_mark_at_a_tenth_of_the_span_is_a_reading_in_any_unit(unit: str) -> None:
    """400 psi on a stopped dial of 4000 psi is the first reading that says something, whatever its last bit in Pa."""
    in_pa = SPELLINGS[unit]
    for tenth in range(1, 700):
        reading, end = (GaugePa(to_si(Decimal(number), in_pa)) for number in (tenth, 10 * tenth))
        dial = Dial(GaugePa(0.0), end, stopped=True)
        dial.require(reading)
        assert dial.shows(reading)
        assert not dial.shows(GaugePa(reading * (1 - 2e-8)))
