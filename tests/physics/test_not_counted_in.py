"""How much of a number may be taken by what is not counted in: each size on the method page, worked out once more.

With teqp alone (its own code and its own copy of the published equations), in the plainest arithmetic: pressures in
bar, temperatures in °C, nothing at its worst but what the row is about.
"""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import numpy
import pytest
import teqp

PAGE = Path(__file__).parents[2] / "content/pages/reference/how-the-numbers-are-made.md"
AIR = 1.01325
KEPT = 10.0
WARM, COLD = 28.0, 5.0
"""The ends of the demo's gas store, which lie outside those of each of its other places."""
DIAL = 6.25 + 2.0 + 4 * 0.1 + 5.0
"""What yoke-oxygen may be out: class 2.5 of 250 bar (EN 837-1), 2 found, 4 K of 0.04 % (from memory); half a mark."""
OXYGEN = teqp.build_multifluid_model(["Oxygen"], teqp.get_datapath())


def density(model: Any, reading: float, celsius: float, shares: tuple[float, ...] = (1.0,)) -> float:
    """Return mol/m3 of the gas at a true reading [bar]: Newton's method, begun from the ideal gas."""
    z, kelvin, pressure = numpy.array(shares), celsius + 273.15, (reading + AIR) * 1e5
    found = pressure / (8.314462618 * kelvin)
    for _ in range(100):
        _, first, second = model.get_Ar02n(kelvin, found, z)
        energy = model.get_R(z) * kelvin
        missed = found * energy * (1.0 + first) - pressure
        found -= missed / (energy * (1.0 + 2.0 * first + second))
    assert missed == pytest.approx(0.0, abs=1e-6 * pressure)
    return float(found)


def oxygen_left(true: float, start: float = WARM, end: float = COLD) -> float:
    """Return the oxygen [mol/m3] between a true reading [bar] and the keep-back, at two temperatures [°C]."""
    return density(OXYGEN, true, start) - density(OXYGEN, KEPT, end)


def row(words: str) -> str:
    """Return the sizes that the page gives in the row about something."""
    (found,) = [line for line in PAGE.read_text(encoding="utf-8").splitlines() if line.startswith(f"| {words}")]
    return re.sub(r'\{\{ typed\(text="([^"]+)"[^}]*\}\}', r"\1", found.split("|")[2])


def test_a_cylinder_hotter_than_its_place() -> None:
    """45 °C in place of 28: 8 % less oxygen at 140 bar, 10.1 % at 40 less the dial's error, never more than 11."""
    less = [1.0 - oxygen_left(reading - DIAL, 45.0) / oxygen_left(reading - DIAL) for reading in (140.0, 60.0, 40.0)]
    assert [0.077, 0.080, 0.101] == pytest.approx(less, abs=0.001)
    assert "at 45 °C" in row("a cylinder hotter")
    assert "up to 11 % less" in row("a cylinder hotter")
    assert 0.10 < max(less) < 0.11


def test_a_cylinder_colder_than_its_place_when_it_ends() -> None:
    """15 °C colder at the keep-back: half a per cent less at 140 bar, up to 5 at 40 less the dial's error."""
    full, low = (
        1.0 - oxygen_left(reading - DIAL, WARM, COLD - 15.0) / oxygen_left(reading - DIAL) for reading in (140.0, 40.0)
    )
    assert "15 °C colder: 1 % less at 140 bar, 5 % less at 40 bar" in row("a cylinder colder")
    assert 0.0 < full < 0.01
    assert 0.04 < low < 0.05


def test_a_reading_wrong_by_a_whole_mark() -> None:
    """10 bar of yoke-oxygen: 9 % at 140 bar and 29 at 60, the dial's own error and half a mark taken off before."""
    full, low = (1.0 - oxygen_left(reading - 10.0 - DIAL) / oxygen_left(reading - DIAL) for reading in (140.0, 60.0))
    assert "9 % less at 140 bar, 29 % less at 60 bar" in row("a reading taken wrong")
    assert 0.08 < full < 0.09
    assert 0.28 < low < 0.29


def test_fifty_fifty_off_its_nominal() -> None:
    """48:52 at 140 bar and 20 °C: 2.4 to 3.0 % less, by Peng-Robinson and Soave-Redlich-Kwong with kij 0 to 0.0478."""
    critical = [309.52, 154.581], [7.245e6, 5.043e6], [0.1613, 0.0222]
    less = []
    for build, kij in ((teqp.canonical_PR, 0.0478), (teqp.canonical_PR, 0.0), (teqp.canonical_SRK, 0.0)):
        model = build(*critical, numpy.array([[0.0, kij], [kij, 0.0]]))
        nominal, off = (
            density(model, 140.0, 20.0, shares) - density(model, KEPT, 20.0, shares)
            for shares in ((0.5, 0.5), (0.48, 0.52))
        )
        less.append(1.0 - off / nominal)
    assert "up to 3 % less at 140 bar" in row("50:50 filled off its nominal")
    assert 0.024 < min(less)
    assert 0.028 < max(less) < 0.030


def test_the_air_at_a_flowmeter_with_a_float() -> None:
    """What hovers weighs the same: at high flow litres of the mark go as sqrt(pressure), at low flow as the pressure.

    A float's equation (common practice, no source); the air at 2240 m by the barometric formula of ISO 2533, from
    memory: 101.325 (1 - 2.25577e-5 h) ** 5.25588 kPa.
    """
    hills = 101.325 * (1.0 - 2.25577e-5 * 2240) ** 5.25588
    assert "at 108 kPa up to 7 % more passes" in row("air that is thicker")
    assert 0.06 < 108 / 101.325 - 1.0 < 0.07
    assert "at 2240 m a cylinder lasts 15 % longer" in row("air that is thicker")
    assert 0.15 == pytest.approx((101.325 / hills) ** 0.5 - 1.0, abs=0.005)
