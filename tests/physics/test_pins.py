"""Pin index: codes, fits and positions beyond what published lists say."""

from __future__ import annotations

import pytest

from yokebook.errors import OutOfRange
from yokebook.gases import OXYGEN, oxygen_carbon_dioxide, oxygen_helium
from yokebook.physics import pins
from yokebook.physics.pins import CodeUse, Face, Side

ALL_CODES = (*pins.two_pin_codes(), (7,))


@pytest.mark.parametrize(
    ("positions", "message"),
    [
        ((0, 5), "pin position 0 (position): allowed 1 to 6. The row has positions 1 to 6; position 7 stands alone."),
        ((5, 7), "pin position 7 (position): allowed 1 to 6. The row has positions 1 to 6; position 7 stands alone."),
        ((2, 3), "pin position 3 (position): allowed 1 to 6. Neighbours are never used together."),
        ((5, 5), "pin position 5 (position): allowed 1 to 6. Neighbours are never used together."),
        ((2,), "number of pins 1 pins: allowed 2 to 2. Only position 7 stands alone."),
        ((), "number of pins 0 pins: allowed 2 to 2. Only position 7 stands alone."),
        ((1, 3, 5), "number of pins 3 pins: allowed 2 to 2. Only position 7 stands alone."),
    ],
)
def test_what_is_no_code_is_refused(positions: tuple[int, ...], message: str) -> None:
    """Positions that no gas can have raise, with what is wrong: a yoke without a pin is a fault, not a code."""
    with pytest.raises(OutOfRange) as raised:
        pins.fits(OXYGEN.pins, positions)
    assert message == str(raised.value)


def test_a_yoke_with_a_lost_pin_is_refused() -> None:
    """A yoke that has lost a pin would take cylinders of other gases: it is never said to fit."""
    with pytest.raises(OutOfRange, match="number of pins 1 pins"):
        pins.fits((5,), OXYGEN.pins)


@pytest.mark.parametrize("yoke", ALL_CODES)
@pytest.mark.parametrize("valve", ALL_CODES)
def test_a_code_fits_itself_alone(yoke: tuple[int, ...], valve: tuple[int, ...]) -> None:
    """A yoke takes a valve of its own code and no other, and each pin without a hole is named."""
    fit = pins.fits(yoke, valve)
    assert (yoke == valve) == fit.fits
    assert set(fit.without_hole) == set(yoke) - set(valve)


def test_a_code_that_two_gases_share() -> None:
    """1-6 serves carbon dioxide and its rich mixtures with oxygen: that it fits does not say which gas it is."""
    rich = CodeUse("oxygen/carbon dioxide", "carbon dioxide", 0.07, 1.0)
    assert (CodeUse("carbon dioxide"), rich) == pins.uses_of((6, 1))
    assert (CodeUse("helium"), CodeUse("oxygen/helium", "helium", 0.80, 1.0)) == pins.uses_of((4, 6))
    assert (CodeUse("oxygen/helium", "helium", 0.0, 0.80),) == pins.uses_of((2, 4))


def test_a_code_that_no_gas_of_a_department_uses() -> None:
    """3-6 is a code, but of a gas that is no longer kept."""
    assert () == pins.uses_of((3, 6))


@pytest.mark.parametrize("above", [1e-9, 1e-3, 0.05])
def test_the_limits_of_the_mixtures_are_those_of_their_codes(above: float) -> None:
    """A mixture changes its code just above the limit that is told to readers."""
    assert oxygen_carbon_dioxide(pins.CARBON_DIOXIDE_LIMIT).pins != oxygen_carbon_dioxide(
        pins.CARBON_DIOXIDE_LIMIT + above
    ).pins  # fmt: skip
    assert oxygen_helium(pins.HELIUM_LIMIT).pins != oxygen_helium(pins.HELIUM_LIMIT + above).pins


@pytest.mark.parametrize("position", range(1, 8))
@pytest.mark.parametrize("side", Side)
def test_the_yoke_is_the_mirror_image_of_the_valve(position: int, side: Side) -> None:
    """Seen facing it, the yoke has each position on the other side, as has a valve with position 1 on the other."""
    valve = pins.position_mm(position, Face.VALVE, side)
    assert (-valve[0], valve[1]) == pins.position_mm(position, Face.YOKE, side)
    assert pins.position_mm(position, Face.YOKE, side) == pins.position_mm(position, Face.VALVE, side.other)


def test_position_1_is_on_the_side_that_the_department_found() -> None:
    """Position 1 stands on the stated side of the cylinder valve, and position 6 on the other."""
    assert 0.0 > pins.position_mm(1, Face.VALVE, Side.LEFT)[0]
    assert 0.0 < pins.position_mm(1, Face.VALVE, Side.RIGHT)[0]
    assert 0.0 < pins.position_mm(6, Face.VALVE, Side.LEFT)[0]


def test_a_position_that_is_not_there_has_no_place() -> None:
    """There is no position 8 to draw."""
    with pytest.raises(OutOfRange, match="pin position 8"):
        pins.position_angle_deg(8, Face.VALVE, Side.LEFT)
