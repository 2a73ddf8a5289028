"""How cold a liquefied gas makes its own cylinder while it is drawn: what boiling takes against what the room gives.

Contents and wall are taken to be of one temperature. It falls until the room gives as much heat as boiling takes, and
never below that, however long gas is drawn: the balance is worked out, and the heat that contents and metal give up
on the way there is not counted. The heat of the room is counted at its least: still air, the smallest surface that a
cylinder of its water capacity has, free convection a quarter below its correlation, and the radiation of the dullest
paint or frost. Not counted: what comes
through valve and yoke, dew that settles, air that moves.

Limits: metal above the liquid is warmer than the liquid and passes its heat on badly, so that the last of the liquid
of a cylinder drawn for hours may be colder than the balance says; the surface that is counted is some two thirds of a
common cylinder's for that reason too. Metal that is bare and dry radiates little; before it is so cold that it draws
dew, it may be colder than the balance says. No measurement stands behind the whole.
"""

from __future__ import annotations

import math

from yokebook.gases import Gas
from yokebook.physics import realgas
from yokebook.physics.limits import require
from yokebook.physics.liquefied import boiling_temperature, latent_heat
from yokebook.quantities import AbsolutePa, CubicMetres, Kelvin, MolesPerSecond

STANDARD_GRAVITY = 9.80665
"""m/s2 (ISO 80000-3, from memory)."""
GAS_CONSTANT_OF_AIR = 287.05287
"""J/(kg K) (ISO 2533:1975, from memory)."""
HEAT_CAPACITY_OF_AIR = 1005.0
"""J/(kg K), at constant pressure (heat transfer textbooks, from memory)."""
STEFAN_BOLTZMANN = 5.670374e-8
"""W/(m2 K4) (CODATA 2018, from memory)."""
LEAST_DIAMETERS_LONG = 3.0
"""No cylinder's body is shorter, in diameters (common practice, no source); a longer one has more surface."""
LEAST_SHARE_OF_CONVECTION = 0.75
"""Measurements lie within some 25 % of such correlations (heat transfer textbooks, from memory)."""
LEAST_EMISSIVITY = 0.8
"""Of paint of any colour, of dew and of frost: 0.8 to 0.98 (heat transfer textbooks, from memory)."""
_STEPS_A_DEGREE = 10
"""Temperatures are looked for in tenths of a degree."""
_INSIDE = 0.02
"""How far inside the range of the equation of state the slope of the vapour pressure can be taken, K."""


def heat_of_drawing(gas: Gas, temperature: Kelvin) -> float:
    """Return the heat [J/mol] that drawing gas takes from a cylinder with liquid in it, at a temperature [K].

    Equation: q = L rho_l / (rho_l - rho_v), with the latent heat L [J/mol] and the molar densities of liquid and
    vapour: more boils than is drawn, since vapour also fills the room that the liquid leaves. Equal to
    T (dp/dT) / rho_v. With gas alone left, drawing takes less. Range: as `liquefied.latent_heat`.
    Reference: energy balance of an open vessel of fixed volume; reference equation of state.

    >>> from yokebook.gases import NITROUS_OXIDE
    >>> round(heat_of_drawing(NITROUS_OXIDE, Kelvin(273.15)))
    11302
    """
    state = realgas.saturation(gas, temperature)
    return latent_heat(gas, temperature) * state.liquid / (state.liquid - state.vapour)


def nusselt(rayleigh: float, prandtl: float) -> float:
    """Return the Nusselt number of free convection at an upright wall, by its Rayleigh and Prandtl numbers.

    Equation: Nu = (0.825 + 0.387 Ra^(1/6) / (1 + (0.492 / Pr)^(9/16))^(8/27))^2. Range: Ra from 0 to 1e12, Pr above 0.
    Reference: Churchill and Chu 1975, Int. J. Heat Mass Transfer 18, 1323 (from memory).

    >>> round(nusselt(1.813e9, 0.690))
    147
    """
    require("Rayleigh number", rayleigh, "", low=0.0, high=1e12)
    require("Prandtl number", prandtl, "", low=0.0, ends=False)
    damped = (1.0 + (0.492 / prandtl) ** (9.0 / 16.0)) ** (8.0 / 27.0)
    return float((0.825 + 0.387 * rayleigh ** (1.0 / 6.0) / damped) ** 2)


def free_convection(height: float, wall: Kelvin, air: Kelvin, ambient: AbsolutePa) -> float:
    """Return the heat transfer coefficient [W/(m2 K)] of free convection from still air to an upright wall.

    Equation: h = Nu k / height (`nusselt`), with Ra = g (air - wall) height^3 Pr / (T_film nu^2). Air as an ideal gas,
    its viscosity and conductivity at the film temperature by the formulas of the US Standard Atmosphere 1976 (from
    memory).
    Parameters: `height` of the wall [m], temperature of `wall` and `air` [K], `ambient` pressure [Pa, absolute].
    Range: Ra below 1e12, wall from -60 °C to the air's temperature, air up to 70 °C. Holds for a cylinder too where its
    diameter is above 35 height / Gr^(1/4).
    Reference: as `nusselt`.

    >>> round(free_convection(0.38, Kelvin(273.15), Kelvin(293.15), AbsolutePa(101325.0)), 2)
    4.38
    """
    require("height", height, "m", low=0.0, ends=False)
    require("temperature of the air", air, "K", low=213.15, high=343.15)
    require("temperature of the wall", wall, "K", low=213.15, high=air)
    require("ambient pressure", ambient, "Pa", low=0.0, ends=False)
    film = (wall + air) / 2.0
    density = ambient / (GAS_CONSTANT_OF_AIR * film)
    viscosity = 1.458e-6 * film**1.5 / (film + 110.4)
    conductivity = 2.64638e-3 * film**1.5 / (film + 245.4 * 10.0 ** (-12.0 / film))
    prandtl = viscosity * HEAT_CAPACITY_OF_AIR / conductivity
    kinematic = viscosity / density
    rayleigh = STANDARD_GRAVITY * (air - wall) * height**3 * prandtl / (film * kinematic**2)
    return float(nusselt(rayleigh, prandtl) * conductivity / height)


def least_heat(water_capacity: CubicMetres, wall: Kelvin, air: Kelvin, ambient: AbsolutePa) -> float:
    """Return the heat [W] that a cylinder as cold as `wall` [K] gets at least from a room with still air at `air` [K].

    Equation: Q = A (0.75 h (air - wall) + 0.8 sigma (air^4 - wall^4)), with h of `free_convection` at the height of
    the body. The body is the shortest that a cylinder has: three diameters d long, with water capacity = 3 pi d^3 / 4
    and the surface A = 3.5 pi d^2 (ends flat). Its outside, rounded ends and any longer body have more surface.
    Parameters: `water_capacity` [m3]; the others as `free_convection`. Range: as there.
    Reference: as `free_convection`; Stefan and Boltzmann's law for a small body in a large room.

    >>> round(least_heat(CubicMetres(4.68e-3), Kelvin(253.15), Kelvin(293.15), AbsolutePa(101325.0)), 1)
    54.6
    """
    require("water capacity", water_capacity, "m3", low=0.0, ends=False)
    diameter = (4.0 * water_capacity / (LEAST_DIAMETERS_LONG * math.pi)) ** (1.0 / 3.0)
    surface = (LEAST_DIAMETERS_LONG + 0.5) * math.pi * diameter**2
    convection = free_convection(LEAST_DIAMETERS_LONG * diameter, wall, air, ambient) * (air - wall)
    radiation = STEFAN_BOLTZMANN * (air**4 - wall**4)
    return float(surface * (LEAST_SHARE_OF_CONVECTION * convection + LEAST_EMISSIVITY * radiation))


def coldest_to_use(gas: Gas, keep_back: AbsolutePa) -> Kelvin:
    """Return the temperature [K] that liquid must not fall below, so that its vapour pressure stays at the keep-back.

    Equation: `liquefied.boiling_temperature` of the keep-back [Pa, absolute], up to the next tenth of a degree; the
    least temperature of the equation of state where the keep-back is lower. Range and reference: as there.

    >>> from yokebook.gases import NITROUS_OXIDE
    >>> round(coldest_to_use(NITROUS_OXIDE, AbsolutePa(1101325.0)) - 273.15, 2)
    -35.3
    """
    least = Kelvin(realgas.COLDEST + _INSIDE)
    cold = least
    if keep_back > realgas.saturation(gas, least).pressure:
        cold = boiling_temperature(gas, keep_back)
    return _at(math.ceil(_steps(cold)))


def greatest_rate(
    gas: Gas, water_capacity: CubicMetres, coldest: Kelvin, air: Kelvin, ambient: AbsolutePa
) -> MolesPerSecond:
    """Return the greatest rate [mol/s] that can be drawn for any time without the contents getting colder than a limit.

    Equation: n' = `least_heat` / `heat_of_drawing`, both at the limit `coldest` [K]; 0 where the air is no warmer.
    Parameters: `water_capacity` [m3], `air` [K], `ambient` [Pa, absolute]. Range and reference: as those.

    >>> from yokebook.gases import NITROUS_OXIDE
    >>> given = NITROUS_OXIDE, CubicMetres(4.68e-3), Kelvin(237.8), Kelvin(291.15), AbsolutePa(101325.0)
    >>> round(greatest_rate(*given) * 60 * 24.04, 1)  # L/min at 20 °C
    7.8
    """
    if air <= coldest:
        return MolesPerSecond(0.0)
    return MolesPerSecond(least_heat(water_capacity, coldest, air, ambient) / heat_of_drawing(gas, coldest))


def coldest_contents(
    gas: Gas,
    water_capacity: CubicMetres,
    rate: MolesPerSecond,
    limit: Kelvin,
    air: Kelvin,
    ambient: AbsolutePa,
) -> Kelvin:
    """Return how cold [K] the contents may get while gas is drawn at a rate [mol/s], starting no colder than that.

    Equation: the temperature T at which `least_heat`(T) = rate x `heat_of_drawing`(T), down to the next tenth of a
    degree. The left side rises and the right side hardly does as T falls, so there is one. Parameters: `limit` [K],
    which must not be reached (`coldest_to_use`); the others as `greatest_rate`. A greater rate than that at the limit
    raises `OutOfRange`. Range and reference: as there.

    >>> from yokebook.gases import NITROUS_OXIDE
    >>> rest = Kelvin(237.8), Kelvin(291.15), AbsolutePa(101325.0)
    >>> round(coldest_contents(NITROUS_OXIDE, CubicMetres(4.68e-3), MolesPerSecond(1.525e-3), *rest) - 273.15, 1)
    4.4
    """
    require("rate", rate, "mol/s", low=0.0, ends=False)
    most = greatest_rate(gas, water_capacity, limit, air, ambient)
    require("rate", rate, "mol/s", high=most, reason="Liquid would get too cold to keep up its pressure.")
    warmest = min(air, Kelvin(realgas.critical_temperature(gas) - 1.0 / _STEPS_A_DEGREE))
    low, high = math.ceil(_steps(limit) - 1e-6), math.floor(_steps(warmest))
    while high - low > 1:
        middle = (low + high) // 2
        balanced = greatest_rate(gas, water_capacity, _at(middle), air, ambient) >= rate
        low, high = (middle, high) if balanced else (low, middle)
    return _at(low)


def _steps(temperature: Kelvin) -> float:
    return (temperature - 273.15) * _STEPS_A_DEGREE


def _at(steps: int) -> Kelvin:
    return Kelvin(273.15 + steps / _STEPS_A_DEGREE)
