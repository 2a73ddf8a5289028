"""What a full cylinder's gauge stands at: the one place where filling, temperature and real gas come together."""

from __future__ import annotations

from yokebook.data.cylinders import Cylinder
from yokebook.physics import bounds, liquefied
from yokebook.quantities import AbsolutePa, DifferencePa, GaugePa, Kelvin


def full_reading(cylinder: Cylinder, temperature: Kelvin, ambient: AbsolutePa) -> GaugePa:
    """Return the true reading [Pa gauge] of a full cylinder of compressed gas at a temperature [K].

    The highest over the models of its gas: what a dial must bear, and above which no reading of a full one lies.
    `ambient` [Pa, absolute]. Raises ValueError for a cylinder filled by ratio, OutOfRange where temperature or filling
    lie outside what can be computed.
    """
    pressure, at = cylinder.filling.pressure, cylinder.filling.at
    if pressure is None or at is None:
        raise ValueError(f"{cylinder.key} is filled by ratio: its reading does not tell how full it is")
    filled = bounds.Reading(pressure.pa, _exact)
    return bounds.highest_warm_reading(cylinder.contents, filled, bounds.Range.exactly(at.k), temperature, ambient)


def _exact(_shown: GaugePa) -> DifferencePa:
    return DifferencePa(0.0)


def highest_pressure(cylinder: Cylinder, warm: Kelvin, ambient: AbsolutePa) -> GaugePa:
    """Return the pressure [Pa gauge] of a full and closed cylinder of any gas at a temperature [K].

    `ambient` [Pa, absolute]. Raises OutOfRange where temperature or filling lie outside what can be computed.
    """
    if cylinder.filling.ratio is None:
        return full_reading(cylinder, warm, ambient)
    capacity = cylinder.water_capacity.m3
    mass = liquefied.filled_mass(float(cylinder.filling.ratio), capacity)
    return liquefied.closed_reading(cylinder.contents, mass, capacity, warm, ambient)
