"""Separation of 50:50: the named model's curve, the safe limit over all models, closed cylinders."""

from __future__ import annotations

import math

import pytest

from yokebook.errors import OutOfRange
from yokebook.gases import FIFTY_FIFTY
from yokebook.physics import contents, realgas, separation
from yokebook.physics.realgas import Model
from yokebook.quantities import AbsolutePa, GaugePa, Kelvin

SEA_LEVEL, FIFTEEN = AbsolutePa(101325.0), Kelvin(288.15)


def at(reading_bar: float) -> AbsolutePa:
    return AbsolutePa(reading_bar * 1e5 + SEA_LEVEL)


def test_the_curve_is_highest_near_100_bar() -> None:
    """The separation temperature rises to its top and falls again: the safe limit may stop at the top."""
    top = separation.separation_temperature(separation.TOP_PRESSURE)
    for pressure in (60e5, 90e5, 101e5, 104e5, 115e5, 130e5):
        assert top >= separation.separation_temperature(AbsolutePa(pressure))
    assert -4.0 < top - 273.15 < -3.9


@pytest.mark.parametrize("pressure", [1e5, 132e5, math.nan, math.inf])
def test_outside_the_curve_nothing_is_said(pressure: float) -> None:
    """Where nitrous oxide would freeze, and where the models part, no temperature is given."""
    with pytest.raises(OutOfRange, match="absolute pressure"):
        separation.separation_temperature(AbsolutePa(pressure))


def test_the_safe_limit_never_falls_with_pressure() -> None:
    """A cylinder passes all lower pressures as it empties, so the limit holds the highest of them."""
    limits = [separation.refuse_below(AbsolutePa(bar * 1e5)) for bar in (0.5, 2, 20, 60, 100, 120, 138, 200, 399)]
    assert sorted(limits) == limits
    assert separation.MODEL_SPREAD == pytest.approx(limits[3] - separation.separation_temperature(AbsolutePa(60e5)))


def test_the_safe_limit_lies_above_published_temperatures() -> None:
    """-5.5 °C at 117 bar (from memory) is below the limit, and the limit below the 5 °C of storage (BMJ 1968;3:715)."""
    assert -5.5 < separation.refuse_below(at(117.0)) - 273.15 < 5.0


@pytest.mark.parametrize("reading", [0.0, 401.0, math.nan])
def test_the_safe_limit_of_no_cylinder(reading: float) -> None:
    """Pressures that no cylinder has are refused."""
    with pytest.raises(OutOfRange):
        separation.refuse_below(AbsolutePa(reading * 1e5))


@pytest.mark.parametrize("reading", [60.0, 100.0, 137.0, 170.0])
def test_a_closed_cylinder_separates_on_the_curve(reading: float) -> None:
    """At the temperature found the cylinder's own reading lies on the curve (density: CoolProp's Peng-Robinson)."""
    found = separation.closed_separation(GaugePa(reading * 1e5), FIFTEEN, SEA_LEVEL)
    pressure = AbsolutePa(found.reading + SEA_LEVEL)
    assert separation.separation_temperature(pressure) == pytest.approx(found.temperature, abs=0.01)
    cold = contents.reading_at(
        FIFTY_FIFTY, GaugePa(reading * 1e5), FIFTEEN, found.temperature, SEA_LEVEL, Model.PENG_ROBINSON
    )
    assert cold == pytest.approx(found.reading, rel=1e-4)


def test_a_full_closed_cylinder_separates_near_minus_5() -> None:
    """Full and unused, it separates near -5 °C at about 110 bar (Peng-Robinson at constant density, computed apart)."""
    found = separation.closed_separation(GaugePa(137e5), FIFTEEN, SEA_LEVEL)
    assert -5.0 == pytest.approx(found.temperature - 273.15, abs=1.0)
    assert 110.0 == pytest.approx(found.reading / 1e5, abs=2.0)


@pytest.mark.parametrize("reading", [0.5, 250.0])
def test_a_closed_cylinder_off_the_curve_is_refused(reading: float) -> None:
    """Nearly empty it never separates; filled far too high it would do so where the models part."""
    with pytest.raises(OutOfRange) as raised:
        separation.closed_separation(GaugePa(reading * 1e5), FIFTEEN, SEA_LEVEL)
    assert "absolute pressure" in raised.value.quantity


def test_own_equation_is_that_of_the_library() -> None:
    """The pressure of the mixture by our own Peng-Robinson is CoolProp's, so both stand on the same constants."""
    found = separation.closed_separation(GaugePa(137e5), FIFTEEN, SEA_LEVEL)
    density = realgas.density(FIFTY_FIFTY, at(137.0), FIFTEEN, Model.PENG_ROBINSON)
    pressure = realgas.pressure(FIFTY_FIFTY, density, found.temperature, Model.PENG_ROBINSON)
    assert pressure == pytest.approx(found.reading + SEA_LEVEL, rel=1e-6)


def test_a_cylinder_read_warm_separates_colder() -> None:
    """The same reading at 70 °C stands for less gas than at 15 °C, so that it separates at a lower pressure."""
    warm = separation.closed_separation(GaugePa(100e5), Kelvin(343.15), SEA_LEVEL)
    mild = separation.closed_separation(GaugePa(100e5), FIFTEEN, SEA_LEVEL)
    assert warm.reading < mild.reading
    assert warm.temperature < mild.temperature
