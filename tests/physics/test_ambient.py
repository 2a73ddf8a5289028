"""Ambient pressure at an altitude, against the tables of the standard atmosphere."""

from __future__ import annotations

import math

import pytest

from yokebook.errors import OutOfRange
from yokebook.physics.ambient import pressure_at_altitude


@pytest.mark.parametrize(
    ("altitude_m", "pressure_pa"),
    [
        # ISO 2533:1975, table 5, and U.S. Standard Atmosphere 1976, table I, by geometric altitude (both from memory).
        (0.0, 101325.0),
        (500.0, 95461.0),
        (1000.0, 89876.0),
        (2000.0, 79501.0),
        (3000.0, 70121.0),
        (5000.0, 54048.0),
    ],
)
def test_standard_atmosphere(altitude_m: float, pressure_pa: float) -> None:
    """The pressure at an altitude is the tabulated one, to the last figure of the table's five."""
    assert pressure_pa == pytest.approx(pressure_at_altitude(altitude_m), abs=1.0)


@pytest.mark.parametrize(
    ("altitude_m", "message"),
    [
        (-1.0, "altitude -1.0 m: allowed 0.0 to 5000.0."),
        (5001.0, "altitude 5001.0 m: allowed 0.0 to 5000.0."),
        (math.nan, "altitude nan m: allowed 0.0 to 5000.0. Not a finite number."),
    ],
)
def test_altitude_of_no_hospital(altitude_m: float, message: str) -> None:
    """An altitude outside the range is refused with its limits."""
    with pytest.raises(OutOfRange) as raised:
        pressure_at_altitude(altitude_m)
    assert message == str(raised.value)
