"""The ambient pressure where a department lies: what its gauges count from."""

from __future__ import annotations

from yokebook.physics.limits import require
from yokebook.quantities import AbsolutePa

SEA_LEVEL_PRESSURE = AbsolutePa(101_325.0)
"""From memory of ISO 2533:1975, clause 2: pressure at mean sea level, Pa."""
SEA_LEVEL_TEMPERATURE_K = 288.15
"""From memory of ISO 2533:1975, clause 2: temperature at mean sea level, K."""
LAPSE_K_PER_M = 0.0065
"""From memory of ISO 2533:1975, clause 2: fall of temperature per metre in the troposphere."""
STANDARD_GRAVITY_M_PER_S2 = 9.80665
"""From memory of ISO 2533:1975, clause 2."""
GAS_CONSTANT_OF_AIR_J_PER_KG_K = 287.05287
"""From memory of ISO 2533:1975, clause 2: specific gas constant of air."""
EARTH_RADIUS_M = 6_356_766.0
"""From memory of ISO 2533:1975, clause 2: nominal radius of the Earth, between altitude and geopotential altitude."""
HIGHEST_ALTITUDE_M = 5_000.0
"""Above it no hospital stands and no gauge of this kind is used (our choice, no source)."""


def pressure_at_altitude(altitude_m: float) -> AbsolutePa:
    """Return the standard ambient pressure [Pa] at an altitude [m] above mean sea level.

    Equation: H = r z / (r + z), then p = p0 (1 - L H / T0) ** (g / (R L)).
    Parameters: z altitude as on a map [m]; H geopotential altitude [m]; r nominal radius of the Earth [m]; p0 = 101
    325 Pa; T0 = 288.15 K; L = 0.0065 K/m; g = 9.80665 m/s2; R = 287.05287 J/(kg K).
    Range: 0 to 5000 m; raises `OutOfRange` outside. The weather moves the true pressure by some 3 kPa, which shifts
    reading and keep-back alike and so hardly moves what is left between them.
    Reference: ISO 2533:1975, clauses 2.3 and 2.7 (constants and equations from memory).

    >>> round(pressure_at_altitude(1600.0))
    83528
    """
    require("altitude", altitude_m, "m", low=0.0, high=HIGHEST_ALTITUDE_M)
    geopotential_m = EARTH_RADIUS_M * altitude_m / (EARTH_RADIUS_M + altitude_m)
    exponent = STANDARD_GRAVITY_M_PER_S2 / (GAS_CONSTANT_OF_AIR_J_PER_KG_K * LAPSE_K_PER_M)
    return AbsolutePa(SEA_LEVEL_PRESSURE * (1.0 - LAPSE_K_PER_M * geopotential_m / SEA_LEVEL_TEMPERATURE_K) ** exponent)
