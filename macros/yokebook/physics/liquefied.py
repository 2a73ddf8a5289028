"""What a cylinder of liquefied gas (nitrous oxide, carbon dioxide) holds, and what its reading says of that.

While liquid is left the reading is the vapour pressure and says nothing of the contents: they are known by weight.
When the last liquid has gone the reading falls, and only then a reading stands for contents. In the warmth the liquid
can fill the cylinder, and the reading climbs above the vapour pressure.
"""

from __future__ import annotations

from yokebook.errors import OutOfRange
from yokebook.gases import Gas
from yokebook.physics import realgas
from yokebook.physics.limits import require
from yokebook.quantities import (
    AbsolutePa,
    CubicMetres,
    DifferencePa,
    GaugePa,
    Kelvin,
    KelvinDifference,
    Kilograms,
    Moles,
    MolesPerCubicMetre,
    absolute,
    gauge,
)

WATER = 1000.0
"""Density of water that a filling ratio is counted against, kg/m3: 1 kg for each litre of water capacity."""
NO_DOUBT = DifferencePa(0.0)
"""A reading taken as true."""
NEAREST_TO_CRITICAL = KelvinDifference(0.01)
"""How near below the critical temperature liquid and vapour are still told apart, K."""


def filled_mass(filling_ratio: float, water_capacity: CubicMetres) -> Kilograms:
    """Return the mass [kg] of liquefied gas in a cylinder filled to a filling ratio.

    Equation: m = ratio x water capacity x 1000 kg/m3; ratio mass of gas to mass of water that the cylinder holds
    (above 0 to 1; nitrous oxide up to some 0.75), water capacity [m3]. Stamped water capacities count 1 kg of water
    as 1 L, so the water's density is 1000 kg/m3 by definition, not that at a temperature.
    Reference: filling ratio as in the road-transport packing instruction P200 (from memory).

    >>> round(filled_mass(0.75, CubicMetres(4.68e-3)), 3)
    3.51
    """
    require("filling ratio", filling_ratio, "1", low=0.0, high=1.0)
    require("filling ratio", filling_ratio, "1", low=0.0, ends=False)
    require("water capacity", water_capacity, "m3", low=0.0, ends=False)
    return Kilograms(filling_ratio * water_capacity * WATER)


def mass_by_weight(gross: Kilograms, tare: Kilograms) -> Kilograms:
    """Return the mass [kg] of gas in a cylinder that weighs `gross` [kg] and, empty, `tare` [kg].

    Equation: m = gross - tare. The tare must be of the cylinder with the same parts on it (valve, cap, ring). A gross
    weight below the tare raises `OutOfRange`: the tare or the scale is wrong. Reference: common practice, no source.

    >>> mass_by_weight(Kilograms(7.5), Kilograms(5.5))
    2.0
    """
    require("tare", tare, "kg", low=0.0, ends=False)
    require("gross weight less tare", gross - tare, "kg", low=0.0, reason="The cylinder weighs less than its tare.")
    return Kilograms(gross - tare)


def amount_of_mass(mass: Kilograms, molar_mass: float) -> Moles:
    """Return the amount [mol] of a mass [kg] of gas of a molar mass [kg/mol].

    Equation: n = m / M. Reference: definition of the molar mass (`realgas.molar_mass`).

    >>> amount_of_mass(Kilograms(2.0), 0.04)
    50.0
    """
    require("mass", mass, "kg", low=0.0)
    require("molar mass", molar_mass, "kg/mol", low=0.0, ends=False)
    return Moles(mass / molar_mass)


def vapour_reading(gas: Gas, temperature: Kelvin, ambient: AbsolutePa) -> GaugePa:
    """Return the reading [Pa, gauge] of a cylinder with liquid and vapour in it: the vapour pressure.

    Equation: vapour pressure at `temperature` [K] less `ambient` [Pa, absolute]. Range: as `realgas.saturation`,
    below the critical temperature; `OutOfRange` for a gas that is not liquefied. Reference: reference equation of
    state.

    >>> from yokebook.gases import NITROUS_OXIDE
    >>> round(vapour_reading(NITROUS_OXIDE, Kelvin(288.15), AbsolutePa(101325.0)) / 1e5, 2)
    44.02
    """
    return gauge(realgas.saturation(gas, temperature).pressure, ambient)


def liquid_is_left(gas: Gas, mass: Kilograms, water_capacity: CubicMetres, temperature: Kelvin) -> bool:
    """Return whether a mass [kg] of gas in a water capacity [m3] at a temperature [K] has liquid (or liquid alone).

    Equation: mass / (molar mass x water capacity) above the saturated vapour's density. Never above the critical
    temperature.
    Reference: reference equation of state.

    >>> from yokebook.gases import NITROUS_OXIDE
    >>> liquid_is_left(NITROUS_OXIDE, Kilograms(2.0), CubicMetres(4.68e-3), Kelvin(293.15))
    True
    >>> liquid_is_left(NITROUS_OXIDE, Kilograms(0.7), CubicMetres(4.68e-3), Kelvin(293.15))
    False
    """
    held = _density(gas, mass, water_capacity)
    _require_liquefied(gas)
    return temperature < realgas.critical_temperature(gas) and held > realgas.saturation(gas, temperature).vapour


def closed_reading(
    gas: Gas,
    mass: Kilograms,
    water_capacity: CubicMetres,
    temperature: Kelvin,
    ambient: AbsolutePa,
) -> GaugePa:
    """Return the reading [Pa, gauge] of a closed cylinder of liquefied gas, whatever is in it.

    Equation: p(density, T) - ambient, with density = mass / (molar mass x water capacity): the vapour pressure with
    liquid and vapour, above it where liquid fills the cylinder or beyond the critical point, below it with gas alone.
    `mass` [kg], `water_capacity` [m3], `temperature` [K], `ambient` [Pa, absolute]; range as `realgas.pressure`.
    Reference: reference equation of state.

    >>> from yokebook.gases import NITROUS_OXIDE
    >>> sea_level, capacity = AbsolutePa(101325.0), CubicMetres(4.68e-3)
    >>> round(closed_reading(NITROUS_OXIDE, Kilograms(3.51), capacity, Kelvin(303.15), sea_level) / 1e5, 1)
    78.7
    """
    _require_liquefied(gas)
    return gauge(realgas.pressure(gas, _density(gas, mass, water_capacity), temperature), ambient)


def full_of_liquid_temperature(gas: Gas, filling_ratio: float) -> Kelvin:
    """Return the temperature [K] at which the liquid fills its cylinder; above it the reading climbs steeply.

    Equation: T at which the saturated liquid's density is filling ratio x 1000 kg/m3, by bisection. A ratio below the
    critical density (nitrous oxide 0.452, carbon dioxide 0.468) never fills the cylinder: `OutOfRange`.
    Reference: reference equation of state.

    >>> from yokebook.gases import NITROUS_OXIDE
    >>> round(full_of_liquid_temperature(NITROUS_OXIDE, 0.75) - 273.15, 1)
    24.2
    """
    _require_liquefied(gas)
    wanted = _density(gas, filled_mass(filling_ratio, CubicMetres(1.0)), CubicMetres(1.0))
    low, high = realgas.COLDEST, Kelvin(realgas.critical_temperature(gas) - NEAREST_TO_CRITICAL)
    thinnest = realgas.saturation(gas, high).liquid * realgas.molar_mass(gas) / WATER
    require("filling ratio", filling_ratio, "1", low=thinnest, reason="With less the liquid never fills the cylinder.")
    while high - low > 1e-3:
        middle = Kelvin((low + high) / 2.0)
        low, high = (middle, high) if realgas.saturation(gas, middle).liquid > wanted else (low, middle)
    return low


def left_after_plateau(gas: Gas, water_capacity: CubicMetres, temperature: Kelvin) -> Moles:
    """Return the amount [mol] left when the last liquid has gone and the reading begins to fall.

    Equation: water capacity [m3] x density of the saturated vapour at `temperature` [K], that of the contents. Gas
    drawn fast cools the contents: their temperature is then below the room's, and less is left. Range: as
    `realgas.saturation`.
    Reference: reference equation of state.

    >>> from yokebook.gases import NITROUS_OXIDE
    >>> round(left_after_plateau(NITROUS_OXIDE, CubicMetres(4.8e-3), Kelvin(293.15)), 2)
    17.23
    """
    require("water capacity", water_capacity, "m3", low=0.0, ends=False)
    return Moles(water_capacity * realgas.saturation(gas, temperature).vapour)


def share_after_plateau(gas: Gas, filling_ratio: float, temperature: Kelvin) -> float:
    """Return the share (0 to 1) of a cylinder's filling that is left when the reading begins to fall.

    Equation: density of the saturated vapour at `temperature` [K] over that of the filling. A filling that has no
    liquid at that temperature raises `OutOfRange`. Reference: reference equation of state.

    >>> from yokebook.gases import NITROUS_OXIDE
    >>> round(share_after_plateau(NITROUS_OXIDE, 0.75, Kelvin(293.15)), 3)
    0.211
    """
    filled = _density(gas, filled_mass(filling_ratio, CubicMetres(1.0)), CubicMetres(1.0))
    share = realgas.saturation(gas, temperature).vapour / filled
    require("share left", share, "1", low=0.0, high=1.0, reason="So small a filling has no liquid at this temperature.")
    return share


def vapour_left(
    gas: Gas,
    water_capacity: CubicMetres,
    reading: GaugePa,
    temperature: Kelvin,
    ambient: AbsolutePa,
    doubt: DifferencePa = NO_DOUBT,
) -> Moles:
    """Return the amount [mol] in a cylinder with gas alone left, from its reading; refused while liquid may be left.

    Equation: water capacity [m3] x density of the gas at reading + ambient [Pa] and `temperature` [K]. `doubt` [Pa]
    is the gauge's possible error: a reading that comes within it of the vapour pressure cannot tell whether liquid is
    left, and raises `OutOfRange`. Reference: reference equation of state.

    >>> from yokebook.gases import NITROUS_OXIDE
    >>> psi, sea_level, room = 6894.757, AbsolutePa(101325.0), Kelvin(294.2611)
    >>> round(vapour_left(NITROUS_OXIDE, CubicMetres(4.8e-3), GaugePa(500.0 * psi), room, sea_level), 2)
    9.17
    """
    require("water capacity", water_capacity, "m3", low=0.0, ends=False)
    require("possible error", doubt, "Pa", low=0.0)
    require("reading", reading, "Pa", low=0.0)
    require_gas_alone(gas, reading, temperature, ambient, doubt)
    return Moles(water_capacity * realgas.density(gas, absolute(reading, ambient), temperature))


def require_gas_alone(
    gas: Gas,
    reading: GaugePa,
    temperature: Kelvin,
    ambient: AbsolutePa,
    doubt: DifferencePa = NO_DOUBT,
) -> None:
    """Raise `OutOfRange` where a reading [Pa, gauge] with its doubt [Pa] does not prove that no liquid is left.

    Condition: reading + doubt < vapour pressure at `temperature` [K] - ambient. Above the critical temperature, where
    there is no liquid, the critical pressure stands for the vapour pressure: denser contents grow liquid as they cool
    in use.
    Reference: reference equation of state.

    >>> from yokebook.gases import NITROUS_OXIDE
    >>> require_gas_alone(NITROUS_OXIDE, GaugePa(40e5), Kelvin(288.15), AbsolutePa(101325.0), DifferencePa(2.5e5))
    >>> require_gas_alone(NITROUS_OXIDE, GaugePa(44e5), Kelvin(288.15), AbsolutePa(101325.0))  # 44.02 bar is the limit
    """
    _require_liquefied(gas)
    vapour = realgas.critical_pressure(gas)
    if temperature < realgas.critical_temperature(gas):
        vapour = realgas.saturation(gas, temperature).pressure
    limit = GaugePa(gauge(vapour, ambient) - doubt)
    if not reading < limit:
        reason = "Liquid may be left: the reading is the vapour pressure, not the contents. Weigh the cylinder."
        raise OutOfRange("reading", reading, "Pa", high=limit, reason=reason)


def boiling_temperature(gas: Gas, pressure: AbsolutePa) -> Kelvin:
    """Return the temperature [K] at which the vapour pressure is `pressure` [Pa, absolute].

    Equation: vapour pressure(T) = pressure, by bisection; the upper end taken, so that the vapour pressure there is
    above it.
    Range: vapour pressures from -40 °C to just below the critical temperature, else `OutOfRange`.
    Reference: reference equation of state.

    >>> from yokebook.gases import NITROUS_OXIDE
    >>> round(boiling_temperature(NITROUS_OXIDE, AbsolutePa(745 * 6894.757 + 101325.0)) - 273.15, 1)
    21.6
    """
    _require_liquefied(gas)
    low, high = realgas.COLDEST, Kelvin(realgas.critical_temperature(gas) - NEAREST_TO_CRITICAL)
    least, most = (realgas.saturation(gas, temperature).pressure for temperature in (low, high))
    require("vapour pressure", pressure, "Pa", low=least, high=most)
    while high - low > 1e-3:
        middle = Kelvin((low + high) / 2.0)
        low, high = (middle, high) if realgas.saturation(gas, middle).pressure <= pressure else (low, middle)
    return high


def latent_heat(gas: Gas, temperature: Kelvin) -> float:
    """Return the heat [J/mol] that evaporating takes at a temperature [K]: why a cylinder cools when drawn fast.

    Equation: Clapeyron, L = T (1/vapour density - 1/liquid density) dp/dT, the slope taken over 0.02 K about T.
    Range: as `realgas.saturation`, 0.01 K inside it. Reference: reference equation of state.

    >>> from yokebook.gases import NITROUS_OXIDE
    >>> round(latent_heat(NITROUS_OXIDE, Kelvin(293.15)) / realgas.molar_mass(NITROUS_OXIDE) / 1000.0, 1)
    169.9
    """
    step = 0.01
    below, here, above = (realgas.saturation(gas, Kelvin(temperature + move)) for move in (-step, 0.0, step))
    slope = (above.pressure - below.pressure) / (2.0 * step)
    return temperature * (1.0 / here.vapour - 1.0 / here.liquid) * slope


def _density(gas: Gas, mass: Kilograms, water_capacity: CubicMetres) -> MolesPerCubicMetre:
    require("water capacity", water_capacity, "m3", low=0.0, ends=False)
    require("mass", mass, "kg", low=0.0, ends=False)
    return MolesPerCubicMetre(amount_of_mass(mass, realgas.molar_mass(gas)) / water_capacity)


def _require_liquefied(gas: Gas) -> None:
    if not gas.liquefied:
        reason = f"{gas.name} is not a liquefied gas."
        raise OutOfRange("critical temperature", float("nan"), "K", reason=reason)
