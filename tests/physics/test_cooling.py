"""How cold boiling makes a cylinder: against textbooks, and against a balance of energy of another kind."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from boiling_cylinder import Boiling, body
from yokebook.errors import OutOfRange
from yokebook.gases import CARBON_DIOXIDE, NITROUS_OXIDE, OXYGEN, Gas
from yokebook.physics import cooling, liquefied, realgas
from yokebook.quantities import AbsolutePa, CubicMetres, Kelvin, MolesPerSecond

SEA_LEVEL, CAPACITY, ROOM = AbsolutePa(101325.0), CubicMetres(4.68e-3), Kelvin(291.15)
KEEP_BACK = AbsolutePa(1101325.0)
LITRE_A_MINUTE = 1e-3 / 60 * realgas.density(NITROUS_OXIDE, SEA_LEVEL, Kelvin(293.15))


def test_the_correlation_gives_the_textbooks_worked_example() -> None:
    """A glass door 0.71 m high and 1.02 m wide, 232 °C in a room of 23 °C: Ra 1.813e9, Pr 0.690, Nu 147, 1060 W.

    Worked example of free convection in a textbook of heat transfer (k 0.0338 W/(m K); from memory).
    """
    number = cooling.nusselt(1.813e9, 0.690)
    assert 147 == pytest.approx(number, rel=0.01)
    assert 1060 == pytest.approx(number * 0.0338 / 0.71 * 0.71 * 1.02 * (232 - 23), rel=0.01)


def test_air_is_that_of_tables() -> None:
    """Air at 300 K and 1 atm: viscosity 15.89e-6 m2/s, conductivity 0.0263 W/(m K), Pr 0.707 (textbook, from memory).

    A wall 0.5 m high, 310 K against 290 K: the same as worked with those values.
    """
    rayleigh = 9.81 / 300 * 20 * 0.5**3 / 15.89e-6**2 * 0.707
    by_hand = cooling.nusselt(rayleigh, 0.707) * 0.0263 / 0.5
    assert by_hand == pytest.approx(cooling.free_convection(0.5, Kelvin(290.0), Kelvin(310.0), SEA_LEVEL), rel=0.01)


@pytest.mark.parametrize("gas", [NITROUS_OXIDE, CARBON_DIOXIDE])
@pytest.mark.parametrize("celsius", [-35, -10, 10, 25])
def test_heat_of_drawing_is_the_slope_of_the_vapour_pressure(gas: Gas, celsius: float) -> None:
    """By Clapeyron it is T (dp/dT) / vapour density, here with the slope over 0.2 K, within 0.1 %."""
    kelvin = Kelvin(celsius + 273.15)
    low, high = (realgas.saturation(gas, Kelvin(kelvin + move)).pressure for move in (-0.1, 0.1))
    by_slope = kelvin * (high - low) / 0.2 / realgas.saturation(gas, kelvin).vapour
    assert by_slope == pytest.approx(cooling.heat_of_drawing(gas, kelvin), rel=1e-3)


def test_latent_heat_of_nitrous_oxide() -> None:
    """169.9 kJ/kg at 20 °C, 233 at 0 °C (reference equation of state); as drawn from a vessel a quarter more at 20."""
    here = Kelvin(293.15)
    assert 169.9 == pytest.approx(liquefied.latent_heat(NITROUS_OXIDE, here) / 0.0440128 / 1000, rel=0.002)
    assert 233 == pytest.approx(liquefied.latent_heat(NITROUS_OXIDE, Kelvin(273.15)) / 0.0440128 / 1000, rel=0.005)
    # Liquid 785.1 and vapour 158.0 kg/m3 at 20 °C (the same equation).
    drawn = 169.9 * 785.1 / (785.1 - 158.0)
    assert drawn == pytest.approx(cooling.heat_of_drawing(NITROUS_OXIDE, here) / 0.0440128 / 1000, rel=0.002)


@pytest.mark.parametrize("gas", [NITROUS_OXIDE, CARBON_DIOXIDE])
def test_with_gas_alone_drawing_takes_less_heat(gas: Gas) -> None:
    """With gas alone it is T (dp/dT at fixed density) / density: less at any density down to the keep-back's."""
    for kelvin in (Kelvin(245.0), Kelvin(265.0), Kelvin(285.0)):
        most = cooling.heat_of_drawing(gas, kelvin)
        state = realgas.saturation(gas, kelvin)
        for pressure in (0.98, 0.8, 0.5, 0.3):
            density = realgas.density(gas, AbsolutePa(state.pressure * pressure), kelvin)
            warmer = realgas.pressure(gas, density, Kelvin(kelvin + 0.1))
            assert kelvin * (warmer - state.pressure * pressure) / 0.1 / density < most


def test_a_common_cylinder_has_more_surface_than_is_counted() -> None:
    """An E of 4.68 L is some 102 mm across and 0.7 m long without its valve (common practice, no source)."""
    counted = body(CAPACITY, 3.0)[1]
    assert 0.17 == pytest.approx(counted, rel=0.03)
    assert counted < 0.8 * (math.pi * 0.102 * 0.7 + math.pi / 2 * 0.102**2)


@given(st.floats(0.5, 7.0), st.floats(288.15, 303.15), st.sampled_from([SEA_LEVEL, AbsolutePa(80e3)]))
def test_the_balance_is_where_heat_meets_boiling(flow: float, air: float, ambient: AbsolutePa) -> None:
    """At the coldest the room gives what boiling takes, within a tenth of a kelvin; or so much is refused."""
    rate, limit = MolesPerSecond(flow * LITRE_A_MINUTE), cooling.coldest_to_use(NITROUS_OXIDE, KEEP_BACK)
    given_ = NITROUS_OXIDE, CAPACITY, rate, limit, Kelvin(air), ambient
    if rate > cooling.greatest_rate(NITROUS_OXIDE, CAPACITY, limit, Kelvin(air), ambient):
        with pytest.raises(OutOfRange):
            cooling.coldest_contents(*given_)
        return
    cold = cooling.coldest_contents(*given_)
    for kelvin, least in ((cold, True), (Kelvin(cold + 0.1), False)):
        heat = cooling.least_heat(CAPACITY, kelvin, Kelvin(air), ambient)
        assert least == (heat >= rate * cooling.heat_of_drawing(NITROUS_OXIDE, kelvin))


@pytest.mark.parametrize(("gas", "fluid"), [(NITROUS_OXIDE, "NitrousOxide"), (CARBON_DIOXIDE, "CarbonDioxide")])
@pytest.mark.parametrize("share", [0.2, 0.6, 0.98])
@pytest.mark.parametrize("metal", [0.0, 2300.0])
def test_no_draw_gets_colder_than_the_balance(gas: Gas, fluid: str, share: float, metal: float) -> None:
    """A balance of energy, step by step from full to the keep-back, with the least heat: never colder, never short.

    Within 0.5 K, the length of its steps.
    """
    limit = cooling.coldest_to_use(gas, KEEP_BACK)
    rate = MolesPerSecond(share * cooling.greatest_rate(gas, CAPACITY, limit, ROOM, SEA_LEVEL))
    coldest = cooling.coldest_contents(gas, CAPACITY, rate, limit, ROOM, SEA_LEVEL)
    full = 0.70 * 4.68 / realgas.molar_mass(gas)
    cylinder = Boiling(fluid, CAPACITY, metal, *body(CAPACITY, 3.0), 0.75, 0.8, ROOM, SEA_LEVEL)
    lasts, reached = cylinder.lasts(full, ROOM, rate, KEEP_BACK)
    assert reached > coldest - 0.5
    stays = CAPACITY * realgas.density(gas, KEEP_BACK, coldest)
    assert (full - stays) / rate <= lasts * (1 + 1.5 / 150)


def test_drawn_faster_than_the_bound_a_cylinder_ends_with_liquid_left() -> None:
    """20 L/min from an E at 20 °C, 2 W/K from the room: 59 to 66 min, not the 84 that its contents would last.

    The heat is a guess; with the least heat that is counted it ends earlier still.
    """

    class TwoWattsAKelvin(Boiling):
        def heat(self, wall: float) -> float:
            return 2.0 * (self.air - wall)

    rate, full = 20 * LITRE_A_MINUTE, 3.51 / 0.0440128
    body_and_heat = *body(CAPACITY, 3.0), 0.75, 0.8, 293.15, SEA_LEVEL
    lasts, reached = TwoWattsAKelvin("NitrousOxide", CAPACITY, 2480.0, *body_and_heat).lasts(
        full, 293.15, rate, KEEP_BACK
    )
    assert 59 * 60 < lasts < 68 * 60
    assert reached < 238.5
    least, _ = Boiling("NitrousOxide", CAPACITY, 2480.0, *body_and_heat).lasts(full, 293.15, rate, KEEP_BACK)
    assert least < lasts < (full - 2.3) / rate * 0.85


def test_the_coldest_that_can_be_used() -> None:
    """Vapour pressure 11.01 bar at -35.4 °C; a keep-back below the equation's range counts from its end, -40 °C."""
    assert -35.4 == pytest.approx(cooling.coldest_to_use(NITROUS_OXIDE, KEEP_BACK) - 273.15, abs=0.1)
    assert -39.9 == pytest.approx(cooling.coldest_to_use(NITROUS_OXIDE, AbsolutePa(3e5)) - 273.15, abs=0.06)


def test_what_cannot_be_is_refused() -> None:
    """Air no warmer than the limit gives nothing; compressed gas does not boil; walls and heights of no cylinder."""
    limit = cooling.coldest_to_use(NITROUS_OXIDE, KEEP_BACK)
    assert 0.0 == cooling.greatest_rate(NITROUS_OXIDE, CAPACITY, limit, limit, SEA_LEVEL)
    for refused in (
        lambda: cooling.coldest_to_use(OXYGEN, KEEP_BACK),
        lambda: cooling.free_convection(0.0, ROOM, ROOM, SEA_LEVEL),
        lambda: cooling.free_convection(0.4, Kelvin(ROOM + 1), ROOM, SEA_LEVEL),
        lambda: cooling.least_heat(CubicMetres(0.0), limit, ROOM, SEA_LEVEL),
        lambda: cooling.nusselt(1e13, 0.7),
        lambda: cooling.coldest_contents(NITROUS_OXIDE, CAPACITY, MolesPerSecond(0.0), limit, ROOM, SEA_LEVEL),
    ):
        with pytest.raises(OutOfRange):
            refused()
