"""What a flowmeter lets through of another gas than it is marked for, or in another air.

A float in a tube, and a fixed orifice, weigh the stream: at high flow its density decides, at low flow its viscosity.
Which of the two rules is not known of a flowmeter in use, so the one by which more gas flows is counted.
"""

from __future__ import annotations

import math

from yokebook.gases import Gas
from yokebook.physics import realgas
from yokebook.physics.contents import Condition
from yokebook.physics.limits import require
from yokebook.quantities import AbsolutePa

VISCOSITIES = {
    "oxygen": 20.3e-6, "nitrous oxide": 14.6e-6, "air": 18.2e-6, "carbon dioxide": 14.7e-6, "helium": 19.6e-6,
    "nitrogen": 17.6e-6,
}  # fmt: skip
"""Viscosity at 20 °C and 1 atm, Pa s (handbooks of chemistry and physics, from memory; to some 1 %)."""
THICKEST_MIXTURE = 1.15
"""A mixture may be so much more viscous than its most viscous part: oxygen with helium, some 8 % (from memory)."""


def by_density(gas: Gas, marked_for: Gas, condition: Condition) -> float:
    """Return how many times as much `gas` as it shows passes a flowmeter marked for another gas, at high flow.

    Equation: Q / Q_shown = sqrt(density of the gas marked for / density of the gas), both at the condition of the
    litres. The float's own density is some 1000 times that of any gas and falls out.
    Range: float or orifice in turbulent flow; Reference: variable-area flowmeter equation (textbooks of measurement,
    from memory).

    >>> from yokebook.gases import OXYGEN, oxygen_helium
    >>> from yokebook.quantities import Kelvin
    >>> round(by_density(oxygen_helium(0.79), OXYGEN, Condition(Kelvin(293.15), AbsolutePa(101325.0))), 2)
    1.8
    """
    heavy, light = (realgas.density(one, condition.pressure, condition.temperature) for one in (marked_for, gas))
    return math.sqrt(heavy * realgas.molar_mass(marked_for) / (light * realgas.molar_mass(gas)))


def by_viscosity(gas: Gas, marked_for: Gas) -> float:
    """Return how many times as much `gas` as it shows may at most pass a flowmeter marked for another, at low flow.

    Equation: Q / Q_shown = viscosity of the gas marked for / viscosity of the gas. Of a mixture the least viscous part
    counts as the gas that flows; as the gas marked for its most viscous part with 15 % on top. The same gas gives 1.
    Range: laminar flow; Reference: Hagen and Poiseuille's law (textbooks of fluid mechanics, from memory).

    >>> from yokebook.gases import NITROUS_OXIDE, OXYGEN
    >>> round(by_viscosity(NITROUS_OXIDE, OXYGEN), 2)
    1.39
    """
    if gas.name == marked_for.name:
        return 1.0
    thin = min(VISCOSITIES[part] for part, _ in gas.composition)
    thick = max(VISCOSITIES[part] for part, _ in marked_for.composition)
    return thick * (THICKEST_MIXTURE if marked_for.is_mixture else 1.0) / thin


def most_in_thick_air(ambient: AbsolutePa, condition: Condition) -> float:
    """Return how many times as much gas as it shows may at most pass a flowmeter in air thicker than it is marked for.

    Equation: Q / Q_shown = ambient / pressure of the condition, both absolute [Pa], as litres at the condition, at low
    flow (at high flow its square root); 1 in thinner air, where less passes than is shown and so much is in hand.
    Range: above zero. Reference: as `by_density` and `by_viscosity`, with a density that goes with the pressure.

    >>> from yokebook.quantities import Kelvin
    >>> round(most_in_thick_air(AbsolutePa(108e3), Condition(Kelvin(293.15), AbsolutePa(101325.0))), 3)
    1.066
    """
    require("ambient pressure", ambient, "Pa", low=0.0, ends=False)
    return max(1.0, ambient / condition.pressure)


def most_let_through(gas: Gas, marked_for: Gas, condition: Condition, ambient: AbsolutePa) -> float:
    """Return how many times as much `gas` as it shows a flowmeter may at most let through; never below 1.

    Equation: the greatest of `by_density`, `by_viscosity` and 1, times `most_in_thick_air`. Range and reference: as
    those.

    >>> from yokebook.gases import HELIUM, OXYGEN
    >>> from yokebook.quantities import Kelvin
    >>> sea_level = Condition(Kelvin(293.15), AbsolutePa(101325.0))
    >>> most_let_through(OXYGEN, HELIUM, sea_level, sea_level.pressure)
    1.0
    """
    thin = 1.0 if gas.name == marked_for.name else by_density(gas, marked_for, condition)
    return max(1.0, thin, by_viscosity(gas, marked_for)) * most_in_thick_air(ambient, condition)
