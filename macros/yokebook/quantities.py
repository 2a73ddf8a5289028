"""The types that stop a mix-up: SI floats that a type checker tells apart.

A gauge pressure is not an absolute one, a temperature is not a difference of two, litres at the flowmeter are not
litres of water capacity. Each is a plain float when the program runs.
"""

from __future__ import annotations

from typing import NewType

GaugePa = NewType("GaugePa", float)
"""Pressure above the ambient pressure, Pa."""
AbsolutePa = NewType("AbsolutePa", float)
"""Pressure above vacuum, Pa."""
DifferencePa = NewType("DifferencePa", float)
"""Difference of two pressures (a gauge's possible error, a fall of the reading), Pa."""
Kelvin = NewType("Kelvin", float)
"""Thermodynamic temperature, K."""
KelvinDifference = NewType("KelvinDifference", float)
"""Difference of two temperatures, K."""
CubicMetres = NewType("CubicMetres", float)
"""Volume of a vessel: water capacity, trapped volume, m3."""
Moles = NewType("Moles", float)
"""Amount of gas, mol: the contents, before a stated condition turns them into litres."""
MolesPerSecond = NewType("MolesPerSecond", float)
"""Flow of gas as an amount, mol/s."""
GasCubicMetres = NewType("GasCubicMetres", float)
"""Volume of gas at a stated condition, m3."""
GasCubicMetresPerSecond = NewType("GasCubicMetresPerSecond", float)
"""Flow of gas at a stated condition, m3/s."""
Kilograms = NewType("Kilograms", float)
"""Mass, kg."""
Seconds = NewType("Seconds", float)
"""Duration, s."""
MolesPerCubicMetre = NewType("MolesPerCubicMetre", float)
"""Molar density, mol/m3."""


def absolute(pressure: GaugePa, ambient: AbsolutePa) -> AbsolutePa:
    """Return the absolute pressure [Pa] behind a gauge pressure [Pa] at an ambient pressure [Pa].

    Reference: p_abs = p_gauge + p_ambient (common practice, no source).

    >>> absolute(GaugePa(137e5), AbsolutePa(101325.0))
    13801325.0
    """
    return AbsolutePa(pressure + ambient)


def gauge(pressure: AbsolutePa, ambient: AbsolutePa) -> GaugePa:
    """Return the gauge pressure [Pa] of an absolute pressure [Pa] at an ambient pressure [Pa].

    >>> gauge(AbsolutePa(13801325.0), AbsolutePa(101325.0))
    13700000.0
    """
    return GaugePa(pressure - ambient)
