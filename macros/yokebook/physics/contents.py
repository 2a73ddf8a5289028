"""What a cylinder of compressed gas holds at a reading, and which reading belongs to what it holds.

Real gas throughout: contents are water capacity times molar density. A liquefied gas is seen here as vapour alone,
below its vapour pressure; while liquid is left, `realgas.density` refuses it, for then no reading tells the contents.
Each function takes one model and one corner; `bounds` works out the worst of them.
"""

from __future__ import annotations

from dataclasses import dataclass

from yokebook.gases import Gas
from yokebook.physics import realgas
from yokebook.physics.limits import require
from yokebook.physics.realgas import Model
from yokebook.quantities import (
    AbsolutePa,
    CubicMetres,
    GasCubicMetres,
    GaugePa,
    Kelvin,
    Moles,
    MolesPerCubicMetre,
    absolute,
    gauge,
)


@dataclass(frozen=True)
class Condition:
    """The state in which litres of gas are stated: temperature [K] and absolute pressure [Pa]."""

    temperature: Kelvin
    pressure: AbsolutePa


def amount_in(volume: float, density: MolesPerCubicMetre) -> Moles:
    """Return the amount of gas [mol] in a volume [m3] at a molar density [mol/m3].

    Equation: n = V density. Range: volume above zero, density not below zero; raises `OutOfRange` outside.
    Reference: definition of molar density.

    >>> round(amount_in(0.00468, MolesPerCubicMetre(6000.0)), 2)
    28.08
    """
    require("volume", volume, "m3", low=0.0, ends=False)
    require("molar density", density, "mol/m3", low=0.0)
    return Moles(volume * density)


def gas_volume(gas: Gas, amount: Moles, condition: Condition, model: Model | None = None) -> GasCubicMetres:
    """Return the volume [m3] that an amount of gas [mol] takes up at a stated condition.

    Equation: V = n / density(p, T) of the real gas at the condition (for all gases here within 0.8 % of the
    ideal gas at 101.325 kPa from 0 °C on: nitrous oxide at 0 °C 0.72 %).
    Range: amount not below zero; the condition as in `realgas.density`. Raises `OutOfRange` outside.
    Reference: ISO 13443:1996 for the usual conditions, 15 °C and 101.325 kPa (read in an encyclopaedia).

    >>> from yokebook.gases import OXYGEN
    >>> fifteen = Condition(Kelvin(288.15), AbsolutePa(101325.0))
    >>> round(gas_volume(OXYGEN, Moles(28.97), fifteen) * 1000, 1)
    684.5
    """
    require("amount", amount, "mol", low=0.0)
    return GasCubicMetres(amount / realgas.density(gas, condition.pressure, condition.temperature, model))


def amount_of(gas: Gas, volume: GasCubicMetres, condition: Condition, model: Model | None = None) -> Moles:
    """Return the amount [mol] of a volume of gas [m3] at a stated condition; the inverse of `gas_volume`.

    Equation: n = V density(p, T). Range: volume not below zero; the condition as in `realgas.density`. Raises
    `OutOfRange` outside. Reference: as `gas_volume`.

    >>> from yokebook.gases import OXYGEN
    >>> round(amount_of(OXYGEN, GasCubicMetres(0.6845), Condition(Kelvin(288.15), AbsolutePa(101325.0))), 2)
    28.97
    """
    require("volume of gas", volume, "m3", low=0.0)
    return Moles(volume * realgas.density(gas, condition.pressure, condition.temperature, model))


def total(
    gas: Gas,
    water_capacity: CubicMetres,
    reading: GaugePa,
    temperature: Kelvin,
    ambient: AbsolutePa,
    model: Model | None = None,
) -> Moles:
    """Return all gas [mol] in a cylinder at a true reading, the part that stays behind at 0 gauge included.

    Equation: n = V density(p_gauge + p_ambient, T).
    Parameters: water capacity V [m3], true reading p_gauge [Pa], temperature of the gas T [K], ambient pressure [Pa].
    Range: reading not below zero, water capacity above zero, the rest as in `realgas.density`. Raises `OutOfRange`
    outside.
    Reference: definition of the molar density of a real gas.

    >>> from yokebook.gases import OXYGEN
    >>> ambient = AbsolutePa(101325.0)
    >>> amount = total(OXYGEN, CubicMetres(0.00468), GaugePa(137e5), Kelvin(288.15), ambient)
    >>> round(gas_volume(OXYGEN, amount, Condition(Kelvin(288.15), ambient)) * 1000, 1)
    684.4
    """
    return amount_in(water_capacity, _density(gas, reading, temperature, ambient, model))


def usable(
    gas: Gas,
    water_capacity: CubicMetres,
    reading: GaugePa,
    keep_back: GaugePa,
    temperature: Kelvin,
    ambient: AbsolutePa,
    model: Model | None = None,
    end_temperature: Kelvin | None = None,
) -> Moles:
    """Return the gas [mol] that a cylinder gives from a true reading down to the keep-back; never below zero.

    Equation: n = V (density(reading + ambient, T) - density(keep_back + ambient, T_end)), or 0 where that is negative
    or the reading is not above the keep-back.
    Parameters: water capacity V [m3], true reading and true keep-back [Pa gauge], temperature of the gas at the
    reading T [K], ambient pressure [Pa], temperature at which the keep-back is reached T_end [K] (left out: T).
    Range: as `total`; keep-back not below zero. At keep-back 0 one water capacity of gas stays behind.
    Raises `OutOfRange` outside. Reference: as `total`.

    >>> from yokebook.gases import OXYGEN
    >>> ambient, warm = AbsolutePa(101325.0), Kelvin(294.2611)
    >>> amount = usable(OXYGEN, CubicMetres(0.0048), GaugePa(13.1e6), GaugePa(0.0), warm, ambient)
    >>> round(gas_volume(OXYGEN, amount, Condition(warm, ambient)) * 1000, 1)
    660.2
    """
    start = total(gas, water_capacity, reading, temperature, ambient, model)
    end = left_behind(
        gas, water_capacity, keep_back, temperature if end_temperature is None else end_temperature, ambient, model
    )
    return Moles(max(0.0, start - end)) if reading > keep_back else Moles(0.0)


def left_behind(
    gas: Gas,
    water_capacity: CubicMetres,
    keep_back: GaugePa,
    temperature: Kelvin,
    ambient: AbsolutePa,
    model: Model | None = None,
) -> Moles:
    """Return the gas [mol] that stays in a cylinder which has fallen to the keep-back.

    Equation, parameters, range and reference: as `total`, at the true keep-back [Pa gauge].

    >>> from yokebook.gases import OXYGEN
    >>> amount = left_behind(OXYGEN, CubicMetres(0.00468), GaugePa(10e5), Kelvin(288.15), AbsolutePa(101325.0))
    >>> round(amount, 3)
    2.169
    """
    require("keep-back", keep_back, "Pa", low=0.0)
    return total(gas, water_capacity, keep_back, temperature, ambient, model)


def reading_of(
    gas: Gas,
    water_capacity: CubicMetres,
    amount: Moles,
    temperature: Kelvin,
    ambient: AbsolutePa,
    model: Model | None = None,
) -> GaugePa:
    """Return the true reading [Pa gauge] of a cylinder that holds an amount of gas [mol]; the inverse of `total`.

    Equation: p_gauge = p(n / V, T) - p_ambient.
    Range: as `total`: an amount that leaves a reading below zero, above the highest pressure of `realgas`, or liquid
    in the cylinder raises `OutOfRange`. Reference: as `total`.

    >>> from yokebook.gases import OXYGEN
    >>> reading = reading_of(OXYGEN, CubicMetres(0.00468), Moles(28.968448), Kelvin(288.15), AbsolutePa(101325.0))
    >>> round(reading / 1e5, 2)
    137.0
    """
    reading = _reading(gas, water_capacity, amount, temperature, ambient, model)
    require("reading", reading, "Pa", low=0.0, reason="So little gas lies below the ambient pressure.")
    return reading


def reading_with_usable(
    gas: Gas,
    water_capacity: CubicMetres,
    amount: Moles,
    keep_back: GaugePa,
    temperature: Kelvin,
    ambient: AbsolutePa,
    model: Model | None = None,
    end_temperature: Kelvin | None = None,
) -> GaugePa:
    """Return the true reading [Pa gauge] at which a cylinder still gives an amount [mol]; the inverse of `usable`.

    Equation: p_gauge = p(density(keep_back + ambient, T_end) + n / V, T) - p_ambient, but never below the keep-back.
    Parameters, range and reference: as `usable` and `reading_of`; the amount not below zero.

    >>> from yokebook.gases import OXYGEN
    >>> cylinder = OXYGEN, CubicMetres(0.00468)
    >>> reading = reading_with_usable(*cylinder, Moles(10.0), GaugePa(10e5), Kelvin(288.15), AbsolutePa(101325.0))
    >>> round(reading / 1e5, 1)
    58.8
    """
    require("amount", amount, "mol", low=0.0)
    end = left_behind(
        gas, water_capacity, keep_back, temperature if end_temperature is None else end_temperature, ambient, model
    )
    reading = _reading(gas, water_capacity, Moles(end + amount), temperature, ambient, model)
    return GaugePa(max(reading, keep_back))


def reading_at(
    gas: Gas,
    reading: GaugePa,
    temperature: Kelvin,
    new_temperature: Kelvin,
    ambient: AbsolutePa,
    model: Model | None = None,
) -> GaugePa:
    """Return the true reading [Pa gauge] of a closed cylinder once its gas has come to another temperature.

    Equation: p_gauge' = p(density(p_gauge + p_ambient, T), T') - p_ambient; the density stays. The
    metal's own growth is left out: an aluminium cylinder's volume grows by 3 alpha = 6.9e-5 for each kelvin (alpha
    2.3e-5 1/K from memory), 0.4 % from 15 °C to either end of -40 to 70 °C and 0.8 % from end to end; steel about half.
    Range: as `total`; a vapour that falls to its vapour pressure reads that. The result is below zero for a cylinder
    that is empty and grows cold. Raises `OutOfRange` outside. Reference: as `total`.

    >>> from yokebook.gases import OXYGEN
    >>> reading = reading_at(OXYGEN, GaugePa(137e5), Kelvin(288.15), Kelvin(303.15), AbsolutePa(101325.0))
    >>> round(reading / 1e5, 1)
    147.1
    """
    density = _density(gas, reading, temperature, ambient, model)
    return gauge(realgas.pressure(gas, density, new_temperature, model), ambient)


def share_left(
    gas: Gas,
    reading: GaugePa,
    full_reading: GaugePa,
    temperature: Kelvin,
    ambient: AbsolutePa,
    model: Model | None = None,
) -> float:
    """Return the share (0 to 1) of a full cylinder's gas that is left at a true reading, all gas counted.

    Equation: density(reading + ambient, T) / density(full_reading + ambient, T).
    Range: as `total`; the reading from zero to the full reading. Raises `OutOfRange` outside. Reference: as `total`.

    >>> from yokebook.gases import FIFTY_FIFTY
    >>> half = share_left(FIFTY_FIFTY, GaugePa(68.5e5), GaugePa(137e5), Kelvin(288.15), AbsolutePa(101325.0))
    >>> round(half, 3)
    0.397
    """
    require("reading", reading, "Pa", low=0.0, high=full_reading)
    full = _density(gas, full_reading, temperature, ambient, model)
    return _density(gas, reading, temperature, ambient, model) / full


def reading_with_share(
    gas: Gas, share: float, full_reading: GaugePa, temperature: Kelvin, ambient: AbsolutePa, model: Model | None = None
) -> GaugePa:
    """Return the true reading [Pa gauge] with a share of a full cylinder's gas left; the inverse of `share_left`.

    Equation: p(share density(full_reading + ambient, T), T) - p_ambient.
    Range: as `reading_of`; the share above 0 and up to 1. Raises `OutOfRange` outside. Reference: as `total`.

    >>> from yokebook.gases import OXYGEN
    >>> reading = reading_with_share(OXYGEN, 0.5, GaugePa(137e5), Kelvin(288.15), AbsolutePa(101325.0))
    >>> round(reading / 1e5, 2)
    69.74
    """
    require("share", share, "", low=0.0, ends=False)
    require("share", share, "", high=1.0)
    full = _density(gas, full_reading, temperature, ambient, model)
    return reading_of(gas, CubicMetres(1.0), Moles(share * full), temperature, ambient, model)


def _density(
    gas: Gas, reading: GaugePa, temperature: Kelvin, ambient: AbsolutePa, model: Model | None
) -> MolesPerCubicMetre:
    require("reading", reading, "Pa", low=0.0)
    require("ambient pressure", ambient, "Pa", low=0.0, ends=False)
    return realgas.density(gas, absolute(reading, ambient), temperature, model)


def _reading(
    gas: Gas, water_capacity: CubicMetres, amount: Moles, temperature: Kelvin, ambient: AbsolutePa, model: Model | None
) -> GaugePa:
    require("water capacity", water_capacity, "m3", low=0.0, ends=False)
    require("amount", amount, "mol", low=0.0, ends=False)
    require("ambient pressure", ambient, "Pa", low=0.0, ends=False)
    pressure = realgas.pressure(gas, MolesPerCubicMetre(amount / water_capacity), temperature, model)
    # A liquefied gas with liquid left has a reading, but one that belongs to many amounts: this refuses it.
    realgas.density(gas, pressure, temperature, model)
    return gauge(pressure, ambient)
