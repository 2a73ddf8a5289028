"""How hot a gas can get when a cylinder is opened suddenly onto a closed space: why cylinders are opened slowly."""

from __future__ import annotations

from yokebook.gases import Gas
from yokebook.physics import realgas
from yokebook.physics.limits import require
from yokebook.quantities import AbsolutePa, Kelvin


def ideal_temperature(
    start_temperature: Kelvin,
    start_pressure: AbsolutePa,
    end_pressure: AbsolutePa,
    heat_capacity_ratio: float = 1.4,
) -> Kelvin:
    """Return the temperature [K] after sudden compression of an ideal gas with constant heat capacity.

    Equation: T2 = T1 (p2 / p1) ** ((g - 1) / g); T1 start temperature [K], p1 and p2 pressures [Pa, absolute], g
    ratio of the heat capacities (1 to 5/3; 1.4 for a gas of two atoms near room temperature). Above some 300 °C the
    real heat capacity is higher and this number is too hot: use `sudden_temperature`. No heat is lost: an upper
    bound. Compression only: p2 >= p1 > 0.
    Reference: ASTM STP 1395 (2000), abstract: practice treats oxygen so; real-fluid temperatures differ.

    >>> round(ideal_temperature(Kelvin(293.15), AbsolutePa(101325.0), AbsolutePa(13.8e6)) - 273.15)
    920
    """
    require("start temperature", start_temperature, "K", low=0.0, ends=False)
    require("start pressure", start_pressure, "Pa", low=0.0, ends=False)
    require("heat capacity ratio", heat_capacity_ratio, "1", low=1.0, high=5.0 / 3.0)
    compression = end_pressure / start_pressure
    require("compression", compression, "1", low=1.0, reason="The end pressure must not lie below the start pressure.")
    return Kelvin(start_temperature * compression ** ((heat_capacity_ratio - 1.0) / heat_capacity_ratio))


def sudden_temperature(
    gas: Gas,
    start_temperature: Kelvin,
    start_pressure: AbsolutePa,
    end_pressure: AbsolutePa,
) -> Kelvin:
    """Return the temperature [K] after sudden compression of the real gas without loss of heat: an upper bound.

    Equation: s(T2, p2) = s(T1, p1) with the reference equation of state; T1 start temperature [K], p1 and p2 pressures
    [Pa, absolute], p2 >= p1 > 0. A pressure rise of some 20 ms comes close; one of seconds stays near room temperature.
    Range: that of `realgas.isentropic_temperature`.
    Reference: Schmidt and Wagner, equation of state of oxygen, 1985 (as in CoolProp).

    >>> from yokebook.gases import OXYGEN
    >>> round(sudden_temperature(OXYGEN, Kelvin(293.15), AbsolutePa(101325.0), AbsolutePa(13.801325e6)) - 273.15)
    787
    """
    require("start pressure", start_pressure, "Pa", low=0.0, ends=False)
    compression = end_pressure / start_pressure
    require("compression", compression, "1", low=1.0, reason="The end pressure must not lie below the start pressure.")
    return realgas.isentropic_temperature(gas, start_temperature, start_pressure, end_pressure)
