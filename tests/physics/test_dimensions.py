"""The arithmetic of contents and reserves, fed with quantities that carry units, gives the right dimension."""

from __future__ import annotations

from typing import Any

import pint
import pytest

from yokebook.errors import OutOfRange
from yokebook.physics import contents, reserve

UNITS: Any = pint.UnitRegistry()
MOL, SECOND, CUBIC_METRE = UNITS.mol, UNITS.second, UNITS.metre**3


def dimension(value: Any) -> str:
    return str(value.dimensionality)


def test_amount_in_a_volume() -> None:
    """Water capacity times molar density is an amount, whatever the units they come in."""
    amount: Any = contents.amount_in(4.68 * UNITS.litre, 6.0 * MOL / UNITS.litre)
    assert amount.check("[substance]")
    assert amount.to("mol").magnitude == pytest.approx(28.08)


def test_duration() -> None:
    """Amount over rate is a time."""
    time: Any = reserve.duration(9.0 * MOL, 0.3 * MOL / UNITS.minute)
    assert time.check("[time]")
    assert time.to("s").magnitude == pytest.approx(1800.0)


def test_run_out_times() -> None:
    """Each moment at which a cylinder runs out is a time."""
    moments: Any = reserve.run_out_times([9.0 * MOL, 3.0 * MOL], 0.3 * MOL / UNITS.minute)
    assert [1800.0, 2400.0] == pytest.approx([moment.to("s").magnitude for moment in moments])


def test_draw() -> None:
    """The parts of a draw add up to a flow."""
    flow = CUBIC_METRE / SECOND
    draw: Any = reserve.Draw(1e-5 * flow, 1e-4 * flow, 1e-6 * flow)
    assert draw.flow.check("[length] ** 3 / [time]")


def test_cylinders_needed_is_a_number() -> None:
    """Rate times time over the amount of each has no dimension left: a whole number comes out."""
    assert reserve.cylinders_needed(9.0 * MOL, 0.3 * MOL / UNITS.minute, 60.0 * UNITS.minute) == 2


def test_a_wrong_dimension_is_refused() -> None:
    """Parts of a draw in different dimensions do not add up, and a rate below zero is refused with its unit."""
    with pytest.raises(pint.DimensionalityError):
        reserve.Draw(1e-5 * CUBIC_METRE / SECOND, 1e-4 * MOL / SECOND, 0.0 * MOL / SECOND)
    with pytest.raises(OutOfRange):
        reserve.duration(9.0 * MOL, -0.3 * MOL / UNITS.minute)
