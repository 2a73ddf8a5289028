"""Gauge and absolute pressure, and two units that look alike."""

from __future__ import annotations

from decimal import Decimal

import pytest

from yokebook.quantities import AbsolutePa, GaugePa, absolute, gauge
from yokebook.units import SPELLINGS, to_si


def test_absolute_is_gauge_plus_ambient() -> None:
    """There and back, at any ambient pressure (UNI-043: common practice)."""
    for ambient in (101325.0, 70000.0):
        assert 137e5 + ambient == absolute(GaugePa(137e5), AbsolutePa(ambient))
        assert 137e5 == pytest.approx(
            gauge(absolute(GaugePa(137e5), AbsolutePa(ambient)), AbsolutePa(ambient)), rel=1e-15
        )


def test_a_millimetre_of_mercury_is_no_torr() -> None:
    """They differ by 1.4 parts in ten million (UNI-031, from both definitions): neither stands for the other."""
    torr = to_si(Decimal(1), SPELLINGS["atm"]) / 760
    assert 1.424663212435e-7 == pytest.approx(to_si(Decimal(1), SPELLINGS["mmHg"]) / torr - 1, rel=1e-8)
    assert "torr" not in {spelling.lower() for spelling in SPELLINGS}
