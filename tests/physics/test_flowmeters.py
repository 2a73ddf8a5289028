"""What a flowmeter lets through of a gas that it is not marked for: against ratios worked by hand and a library."""

from __future__ import annotations

import math
from itertools import product

import pytest

from yokebook.errors import OutOfRange
from yokebook.gases import (
    AIR,
    CARBON_DIOXIDE,
    NITROUS_OXIDE,
    OXYGEN,
    PURE,
    oxygen_carbon_dioxide,
    oxygen_helium,
)
from yokebook.physics import flowmeters
from yokebook.physics.contents import Condition
from yokebook.quantities import AbsolutePa, Kelvin

TWENTY = Condition(Kelvin(293.15), AbsolutePa(101325.0))


@pytest.mark.parametrize(("helium", "times"), [(0.79, 1.80), (0.70, 1.61)])
def test_helium_and_oxygen_through_an_oxygen_tube(helium: float, times: float) -> None:
    """79:21 passes 1.8 times, 70:30 1.6 times the flow shown on an oxygen tube (anaesthesia textbooks, from memory).

    By hand: sqrt(31.999 / (0.79 x 4.0026 + 0.21 x 31.999)) = 1.80.
    """
    by_hand = math.sqrt(31.999 / (helium * 4.0026 + (1 - helium) * 31.999))
    assert times == pytest.approx(by_hand, abs=0.005)
    assert by_hand == pytest.approx(flowmeters.by_density(oxygen_helium(helium), OXYGEN, TWENTY), rel=0.002)
    assert by_hand <= flowmeters.most_let_through(oxygen_helium(helium), OXYGEN, TWENTY, TWENTY.pressure) * 1.002


@pytest.mark.parametrize(
    ("name", "fluid"),
    [("oxygen", "Oxygen"), ("air", "Air"), ("carbon dioxide", "CarbonDioxide"), ("helium", "Helium"),
     ("nitrogen", "Nitrogen")],
)  # fmt: skip
def test_viscosities_are_those_of_a_reference_library(name: str, fluid: str) -> None:
    """Within 2 % of the transport equations in CoolProp; nitrous oxide has none there."""
    from CoolProp.CoolProp import PropsSI

    by_library = PropsSI("viscosity", "T", 293.15, "P", 101325, fluid)
    assert by_library == pytest.approx(flowmeters.VISCOSITIES[name], rel=0.02)


def test_each_pure_gas_has_its_viscosity() -> None:
    """The table serves each gas that a mixture may hold."""
    assert {gas.name for gas in PURE} == set(flowmeters.VISCOSITIES)


def test_at_low_flow_the_thinner_gas_passes_more_though_it_is_denser() -> None:
    """Nitrous oxide is denser than oxygen, so at high flow less of it passes; at low flow 1.39 times as much does."""
    assert flowmeters.by_density(NITROUS_OXIDE, OXYGEN, TWENTY) < 1
    times = flowmeters.most_let_through(NITROUS_OXIDE, OXYGEN, TWENTY, TWENTY.pressure)
    assert 20.3 / 14.6 == pytest.approx(times, rel=1e-9)


def test_a_flowmeter_for_its_own_gas_lets_through_what_it_shows() -> None:
    """Of each gas, and of a mixture with other fractions of the same name: exactly once."""
    for gas in (*PURE, oxygen_helium(0.79), oxygen_carbon_dioxide(0.05)):
        assert 1.0 == flowmeters.most_let_through(gas, gas, TWENTY, TWENTY.pressure)


def test_never_less_than_is_shown_is_counted() -> None:
    """Whatever the two gases, the factor is at least 1, and at least that of either rule."""
    for gas, marked_for in product((*PURE, oxygen_helium(0.79)), PURE):
        times = flowmeters.most_let_through(gas, marked_for, TWENTY, TWENTY.pressure)
        assert times >= max(1.0, flowmeters.by_density(gas, marked_for, TWENTY) * (gas.name != marked_for.name))
        assert times >= flowmeters.by_viscosity(gas, marked_for)


def test_thick_air_lets_through_more_and_thin_air_less() -> None:
    """At 108 kPa up to 6.6 % more, of which the root, 3.2 %, is sure; at 2,240 m less, which stays in hand."""
    assert 1.066 == pytest.approx(flowmeters.most_in_thick_air(AbsolutePa(108e3), TWENTY), abs=0.0005)
    assert 1.0 == flowmeters.most_in_thick_air(AbsolutePa(77e3), TWENTY)
    assert flowmeters.most_let_through(AIR, AIR, TWENTY, AbsolutePa(108e3)) == pytest.approx(1.066, abs=0.0005)


def test_mixtures_count_at_their_worst() -> None:
    """Of oxygen with carbon dioxide the thinner part counts; a tube marked for a mixture as its thicker part."""
    wet = oxygen_carbon_dioxide(0.05)
    assert 20.3 / 14.7 == pytest.approx(flowmeters.by_viscosity(wet, OXYGEN), rel=1e-9)
    assert 1.15 * 20.3 / 14.7 == pytest.approx(flowmeters.by_viscosity(CARBON_DIOXIDE, wet), rel=1e-9)


def test_no_air_at_all_is_refused() -> None:
    """An ambient pressure of 0 is none."""
    with pytest.raises(OutOfRange):
        flowmeters.most_in_thick_air(AbsolutePa(0.0), TWENTY)
