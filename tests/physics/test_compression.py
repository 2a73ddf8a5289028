"""Sudden compression: what is refused, and what must hold of both forms."""

from __future__ import annotations

import math
from collections.abc import Callable

import pytest

from yokebook.errors import OutOfRange
from yokebook.gases import OXYGEN
from yokebook.physics import compression
from yokebook.quantities import AbsolutePa, Kelvin

ROOM, ATMOSPHERE, FULL = Kelvin(293.15), AbsolutePa(101325.0), AbsolutePa(138e5)


def test_no_compression_no_heat() -> None:
    """Where the pressure does not rise the temperature does not."""
    assert ROOM == compression.ideal_temperature(ROOM, FULL, FULL)
    assert ROOM == pytest.approx(compression.sudden_temperature(OXYGEN, ROOM, FULL, FULL), abs=1e-6)


@pytest.mark.parametrize(
    "call",
    [
        lambda: compression.ideal_temperature(ROOM, FULL, ATMOSPHERE),
        lambda: compression.sudden_temperature(OXYGEN, ROOM, FULL, ATMOSPHERE),
        lambda: compression.ideal_temperature(Kelvin(0.0), ATMOSPHERE, FULL),
        lambda: compression.ideal_temperature(ROOM, AbsolutePa(0.0), FULL),
        lambda: compression.sudden_temperature(OXYGEN, ROOM, AbsolutePa(0.0), FULL),
        lambda: compression.sudden_temperature(OXYGEN, ROOM, ATMOSPHERE, AbsolutePa(math.inf)),
        lambda: compression.ideal_temperature(ROOM, ATMOSPHERE, FULL, 0.9),
        lambda: compression.ideal_temperature(ROOM, ATMOSPHERE, FULL, 1.7),
    ],
)
def test_what_no_compression_is(call: Callable[[], object]) -> None:
    """Expansion, vacuum, absolute zero and impossible heat capacities are refused."""
    with pytest.raises(OutOfRange):
        call()
