"""Liquefied gas: by weight, by reading once gas alone is left, in the warmth, and at the worst corner."""

from __future__ import annotations

import math
from collections.abc import Callable

import pytest

from yokebook.errors import OutOfRange
from yokebook.gases import CARBON_DIOXIDE, NITROUS_OXIDE, OXYGEN
from yokebook.physics import contents, liquefied, liquefied_bounds, realgas
from yokebook.physics.bounds import Range
from yokebook.physics.gauges import ClassError, Dial, FixedError
from yokebook.quantities import AbsolutePa, CubicMetres, DifferencePa, GaugePa, Kelvin, Kilograms, Moles

SEA_LEVEL, ROOM = AbsolutePa(101325.0), Kelvin(293.15)
E_CYLINDER = CubicMetres(4.68e-3)
CAPACITY = Range(CubicMetres(4.6e-3), E_CYLINDER, CubicMetres(4.76e-3))
PLACE = Range(Kelvin(289.15), ROOM, Kelvin(299.15))
KEEP_BACK = GaugePa(10e5)
DIAL = Dial(GaugePa(0.0), GaugePa(100e5))


def test_by_weight() -> None:
    """Gross less tare, and refused where the cylinder weighs less than its tare."""
    assert 2.0 == pytest.approx(liquefied.mass_by_weight(Kilograms(7.4), Kilograms(5.4)))
    assert 0.0 == liquefied.mass_by_weight(Kilograms(5.4), Kilograms(5.4))
    with pytest.raises(OutOfRange) as raised:
        liquefied.mass_by_weight(Kilograms(5.39), Kilograms(5.40))
    assert "The cylinder weighs less than its tare." == raised.value.reason


def test_the_reading_of_a_closed_cylinder_over_its_life() -> None:
    """Full and warm above the vapour pressure, then on it, and below it when gas alone is left."""
    vapour = liquefied.vapour_reading(NITROUS_OXIDE, Kelvin(303.15), SEA_LEVEL)
    readings = [
        liquefied.closed_reading(NITROUS_OXIDE, Kilograms(mass), E_CYLINDER, Kelvin(303.15), SEA_LEVEL)
        for mass in (3.51, 2.0, 1.2, 0.6)
    ]
    assert [vapour, vapour] == pytest.approx(readings[1:3])
    assert readings[0] > vapour > readings[3]


@pytest.mark.parametrize(("mass", "celsius", "left"), [(3.51, 20, True), (0.7, 20, False), (3.51, 37, False)])
def test_whether_liquid_is_left(mass: float, celsius: float, left: bool) -> None:
    """Liquid is there above the vapour's density, and never above the critical temperature."""
    assert left == liquefied.liquid_is_left(NITROUS_OXIDE, Kilograms(mass), E_CYLINDER, Kelvin(celsius + 273.15))


def test_amount_and_reading_agree_when_gas_alone_is_left() -> None:
    """A reading's amount, put back into a closed cylinder, gives the reading."""
    amount = liquefied.vapour_left(NITROUS_OXIDE, E_CYLINDER, GaugePa(30e5), ROOM, SEA_LEVEL)
    mass = Kilograms(amount * realgas.molar_mass(NITROUS_OXIDE))
    assert 30e5 == pytest.approx(liquefied.closed_reading(NITROUS_OXIDE, mass, E_CYLINDER, ROOM, SEA_LEVEL))


def test_a_reading_within_the_doubt_cannot_tell() -> None:
    """Within the gauge's possible error of the vapour pressure liquid may be left, and the reading is refused."""
    liquefied.vapour_left(NITROUS_OXIDE, E_CYLINDER, GaugePa(47.0e5), ROOM, SEA_LEVEL, DifferencePa(2.5e5))
    with pytest.raises(OutOfRange) as raised:
        liquefied.vapour_left(NITROUS_OXIDE, E_CYLINDER, GaugePa(47.1e5), ROOM, SEA_LEVEL, DifferencePa(2.5e5))
    reason = "Liquid may be left: the reading is the vapour pressure, not the contents. Weigh the cylinder."
    assert reason == raised.value.reason


def test_above_the_critical_temperature_the_critical_pressure_is_the_limit() -> None:
    """At 37 °C there is no liquid, but contents as dense as a liquid are refused by reading all the same."""
    hot = Kelvin(310.15)
    assert 0.0 < liquefied.vapour_left(NITROUS_OXIDE, E_CYLINDER, GaugePa(60e5), hot, SEA_LEVEL)
    with pytest.raises(OutOfRange, match="Liquid may be left"):
        liquefied.vapour_left(NITROUS_OXIDE, E_CYLINDER, GaugePa(72e5), hot, SEA_LEVEL)


def test_there_and_back_on_the_vapour_pressure_curve() -> None:
    """The temperature of a vapour pressure has that vapour pressure."""
    pressure = realgas.saturation(CARBON_DIOXIDE, Kelvin(290.0)).pressure
    assert 290.0 == pytest.approx(liquefied.boiling_temperature(CARBON_DIOXIDE, pressure), abs=2e-3)


@pytest.mark.parametrize(
    "call",
    [
        lambda: liquefied.closed_reading(OXYGEN, Kilograms(1.0), E_CYLINDER, ROOM, SEA_LEVEL),
        lambda: liquefied.vapour_left(OXYGEN, E_CYLINDER, GaugePa(1e5), ROOM, SEA_LEVEL),
        lambda: liquefied.liquid_is_left(OXYGEN, Kilograms(1.0), E_CYLINDER, ROOM),
        lambda: liquefied.boiling_temperature(OXYGEN, SEA_LEVEL),
        lambda: liquefied.full_of_liquid_temperature(OXYGEN, 0.75),
    ],
)
def test_compressed_gas_has_no_liquid(call: Callable[[], object]) -> None:
    """Oxygen in a cylinder is no liquefied gas, and says so."""
    with pytest.raises(OutOfRange) as raised:
        call()
    assert "oxygen is not a liquefied gas." == raised.value.reason


@pytest.mark.parametrize(
    "call",
    [
        lambda: liquefied.filled_mass(1.01, E_CYLINDER),
        lambda: liquefied.filled_mass(0.0, E_CYLINDER),
        lambda: liquefied.filled_mass(math.nan, E_CYLINDER),
        lambda: liquefied.full_of_liquid_temperature(NITROUS_OXIDE, 0.40),
        lambda: liquefied.share_after_plateau(NITROUS_OXIDE, 0.10, ROOM),
        lambda: liquefied.left_after_plateau(NITROUS_OXIDE, E_CYLINDER, Kelvin(310.15)),
        lambda: liquefied.boiling_temperature(NITROUS_OXIDE, AbsolutePa(80e5)),
        lambda: liquefied.vapour_left(NITROUS_OXIDE, E_CYLINDER, GaugePa(-1.0), ROOM, SEA_LEVEL),
        lambda: liquefied_bounds.least_by_weight(
            NITROUS_OXIDE, Kilograms(5.36), Kilograms(5.40), Kilograms(0.02), Kilograms(0.01)
        ),
    ],
)
def test_what_no_cylinder_can_be(call: Callable[[], object]) -> None:
    """Fillings, readings, temperatures and weights that cannot be are refused."""
    with pytest.raises(OutOfRange):
        call()


def test_least_by_weight() -> None:
    """Both tolerances count against the contents, and an empty cylinder within them holds nothing."""
    molar_mass = realgas.molar_mass(NITROUS_OXIDE)
    tolerances = Kilograms(0.02), Kilograms(0.01)
    weighed = liquefied_bounds.least_by_weight(NITROUS_OXIDE, Kilograms(7.40), Kilograms(5.40), *tolerances)
    assert 1.97 == pytest.approx(weighed * molar_mass)
    assert 0.0 == liquefied_bounds.least_by_weight(NITROUS_OXIDE, Kilograms(5.39), Kilograms(5.40), *tolerances)


def test_least_usable_by_weight() -> None:
    """What stays behind at the keep-back is taken off, and never more than is there."""
    given = CAPACITY, KEEP_BACK, PLACE, SEA_LEVEL
    usable = liquefied_bounds.least_usable_by_weight(NITROUS_OXIDE, Moles(40.0), *given)
    stays = contents.left_behind(NITROUS_OXIDE, CAPACITY.high, KEEP_BACK, PLACE.low, SEA_LEVEL)
    assert 40.0 - stays == pytest.approx(usable)
    assert 0.0 == liquefied_bounds.least_usable_by_weight(NITROUS_OXIDE, Moles(1.0), *given)


def test_least_after_the_plateau_counts_from_when_the_fall_is_seen() -> None:
    """A fall that is seen late leaves less; at the plateau's end no more is promised than is there."""
    exactly = Range.exactly(E_CYLINDER), Range.exactly(ROOM)
    early, late = (
        liquefied_bounds.least_after_plateau(
            NITROUS_OXIDE, exactly[0], DifferencePa(fall), GaugePa(0.0), exactly[1], SEA_LEVEL
        )
        for fall in (1.0, 5e5)
    )
    left = liquefied.left_after_plateau(NITROUS_OXIDE, E_CYLINDER, ROOM)
    behind = contents.left_behind(NITROUS_OXIDE, E_CYLINDER, GaugePa(0.0), ROOM, SEA_LEVEL)
    assert left - behind == pytest.approx(early, rel=1e-4)
    assert early > early - late > 2.0


def test_least_after_the_plateau_in_a_place_that_reaches_the_critical_temperature() -> None:
    """A warm end above carbon dioxide's critical temperature does not matter; a place wholly above has no plateau."""
    given = CAPACITY, DifferencePa(2e5), KEEP_BACK
    warm = liquefied_bounds.least_after_plateau(
        CARBON_DIOXIDE, *given, Range(Kelvin(291.15), Kelvin(299.15), Kelvin(306.15)), SEA_LEVEL
    )
    mild = liquefied_bounds.least_after_plateau(
        CARBON_DIOXIDE, *given, Range(Kelvin(291.15), Kelvin(299.15), Kelvin(303.15)), SEA_LEVEL
    )
    assert mild == warm
    with pytest.raises(OutOfRange, match="has no liquid"):
        liquefied_bounds.least_after_plateau(CARBON_DIOXIDE, *given, Range.exactly(Kelvin(306.15)), SEA_LEVEL)


def test_least_vapour() -> None:
    """The worst corner lies below the exact amount, is nothing near the keep-back, and is refused near the plateau."""
    error = FixedError(DIAL, DifferencePa(2.5e5))
    given = KEEP_BACK, PLACE, SEA_LEVEL
    least = liquefied_bounds.least_vapour(NITROUS_OXIDE, CAPACITY, GaugePa(30e5), error, *given)
    exact = contents.usable(NITROUS_OXIDE, E_CYLINDER, GaugePa(30e5), KEEP_BACK, ROOM, SEA_LEVEL)
    assert 0.0 < least < exact
    assert 0.0 == liquefied_bounds.least_vapour(NITROUS_OXIDE, CAPACITY, GaugePa(12e5), error, *given)
    with pytest.raises(OutOfRange, match="Liquid may be left"):
        liquefied_bounds.least_vapour(NITROUS_OXIDE, CAPACITY, GaugePa(43e5), error, *given)
    with pytest.raises(OutOfRange, match="The dial ends there"):
        liquefied_bounds.least_vapour(NITROUS_OXIDE, CAPACITY, GaugePa(101e5), ClassError(DIAL, 1.0), *given)


def test_highest_reading_in_the_warmth() -> None:
    """The most gas in the least room at the highest temperature reads highest: what the dial must show."""
    mass = Range(Kilograms(3.4), Kilograms(3.51), Kilograms(3.6))
    highest = liquefied_bounds.highest_closed_reading(NITROUS_OXIDE, mass, CAPACITY, PLACE, SEA_LEVEL)
    assert highest == liquefied.closed_reading(NITROUS_OXIDE, mass.high, CAPACITY.low, PLACE.high, SEA_LEVEL)
    assert highest > liquefied.vapour_reading(NITROUS_OXIDE, PLACE.high, SEA_LEVEL)


def test_a_cylinder_that_boiling_has_cooled_keeps_more_back() -> None:
    """At 0 °C what stays at the keep-back is denser than at 16 °C, the place's lowest: so much less can be used."""
    error, given = FixedError(DIAL, DifferencePa(2.5e5)), (KEEP_BACK, PLACE, SEA_LEVEL)
    warm, cold = (
        liquefied_bounds.least_vapour(NITROUS_OXIDE, CAPACITY, GaugePa(30e5), error, *given, coldest)
        for coldest in (None, Kelvin(273.15))
    )
    stays = [
        realgas.density(NITROUS_OXIDE, AbsolutePa(KEEP_BACK + SEA_LEVEL), kelvin) * CAPACITY.low
        for kelvin in (PLACE.low, Kelvin(273.15))
    ]
    assert stays[1] - stays[0] == pytest.approx(warm - cold, rel=0.05)
    assert cold < warm
