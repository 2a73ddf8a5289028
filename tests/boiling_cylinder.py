"""A cylinder of liquefied gas drawn step by step, by a balance of energy of its own: what boils, cools and warms again.

Energies and enthalpies come from CoolProp directly; contents and metal are of one temperature. It shares with the
calls only the correlation of free convection.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cache
from typing import Any

from yokebook.physics.cooling import free_convection
from yokebook.quantities import AbsolutePa, Kelvin

STEFAN_BOLTZMANN = 5.670374e-8
STEPS = 150


@dataclass(frozen=True)
class Boiling:
    """One cylinder: fluid, water capacity [m3], heat capacity of the metal [J/K], body [m, m2], heat of the room."""

    fluid: str
    capacity: float
    metal: float
    height: float
    surface: float
    share_of_convection: float
    emissivity: float
    air: float
    ambient: float

    def heat(self, wall: float) -> float:
        """Return what the room gives [W] to a wall [K]."""
        if wall >= self.air:
            return 0.0
        coefficient = free_convection(self.height, Kelvin(wall), Kelvin(self.air), AbsolutePa(self.ambient))
        radiation = self.emissivity * STEFAN_BOLTZMANN * (self.air**4 - wall**4)
        return self.surface * (self.share_of_convection * coefficient * (self.air - wall) + radiation)

    def lasts(self, moles: float, kelvin: float, rate: float, keep_back: float) -> tuple[float, float]:
        """Return how long [s] gas flows at a rate [mol/s] until the pressure is at a keep-back [Pa, absolute].

        Also the coldest that the contents get [K]. Starts with an amount [mol] at a temperature [K].
        """
        step = moles / rate / STEPS
        time, coldest = 0.0, kelvin
        while True:
            pressure, energy, leaving = _state(self.fluid, moles / self.capacity, kelvin)
            if pressure <= keep_back or moles <= rate * step:
                return time, coldest
            warmer = _state(self.fluid, moles / self.capacity, kelvin + 0.1)[1]
            held = self.metal + moles * (warmer - energy) / 0.1
            taken = rate * step
            # What leaves takes its enthalpy along; what stays spreads thinner: energy at the same temperature first.
            rest = moles - taken
            thinner = _state(self.fluid, rest / self.capacity, kelvin)[1]
            balance = moles * energy - taken * leaving + self.heat(kelvin) * step - rest * thinner
            moles, kelvin, time = rest, kelvin + balance / held, time + step
            coldest = min(coldest, kelvin)


def body(capacity: float, diameters_long: float) -> tuple[float, float]:
    """Return height [m] and surface [m2] of a body of a water capacity [m3] that is so many diameters long."""
    diameter = (4 * capacity / (math.pi * diameters_long)) ** (1 / 3)
    return diameters_long * diameter, (diameters_long + 0.5) * math.pi * diameter**2


@cache
def _fluid(name: str) -> Any:
    from CoolProp import CoolProp

    return CoolProp.AbstractState("HEOS", name)


def _state(name: str, density: float, kelvin: float) -> tuple[float, float, float]:
    """Return pressure [Pa], energy [J/mol], and the enthalpy [J/mol] of the gas that leaves from the top."""
    from CoolProp import CoolProp

    state = _fluid(name)
    state.update(CoolProp.DmolarT_INPUTS, density, kelvin)
    both = 0.0 <= state.Q() <= 1.0
    leaving = state.saturated_vapor_keyed_output(CoolProp.iHmolar) if both else state.hmolar()
    return state.p(), state.umolar(), leaving
