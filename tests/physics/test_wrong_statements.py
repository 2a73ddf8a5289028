"""Wrong statements that are in print: what the program says instead; the rows name the statements."""

from __future__ import annotations

from collections.abc import Callable
from decimal import Decimal

import pytest

from published import row_id, rows
from yokebook.errors import OutOfRange
from yokebook.gases import AIR, CARBON_DIOXIDE, FIFTY_FIFTY, HELIUM, NITROUS_OXIDE, OXYGEN, oxygen_carbon_dioxide
from yokebook.physics import contents, liquefied, pins
from yokebook.physics.contents import Condition
from yokebook.quantities import AbsolutePa, CubicMetres, GaugePa, Kelvin
from yokebook.units import SPELLINGS, from_si, to_si

SEA_LEVEL, FIFTEEN = AbsolutePa(101325.0), Kelvin(288.15)


def litres_of_oxygen(water_capacity_l: float, reading_bar: float) -> float:
    """Return litres at 15 °C and one atmosphere in an oxygen cylinder at 15 °C."""
    held = contents.total(OXYGEN, CubicMetres(water_capacity_l / 1e3), GaugePa(reading_bar * 1e5), FIFTEEN, SEA_LEVEL)
    return float(contents.gas_volume(OXYGEN, held, Condition(FIFTEEN, SEA_LEVEL)) * 1e3)


def air_is_not_nitrous_oxide() -> None:
    assert not pins.fits((3, 5), AIR.pins).fits
    assert (1, 5) == AIR.pins


def air_is_not_oxygen() -> None:
    assert pins.Fit(fits=False, without_hole=(2,)) == pins.fits((2, 5), AIR.pins)


def there_is_no_position_8() -> None:
    with pytest.raises(OutOfRange, match="pin position 8"):
        pins.code((3, 8))
    assert (1, 6) == CARBON_DIOXIDE.pins


def helium_has_pins() -> None:
    assert (4, 6) == HELIUM.pins


def two_five_are_positions() -> None:
    assert (2, 5) == OXYGEN.pins
    assert {1, 2, 3, 4, 5, 6} == {position for code in pins.two_pin_codes() for position in code}


def pins_stand_on_the_yoke() -> None:
    assert (5,) == pins.fits(yoke_pins=(2, 5), valve_holes=(2, 4)).without_hole


def the_limit_of_carbon_dioxide_is_7_percent() -> None:
    assert (2, 6) == oxygen_carbon_dioxide(0.07).pins
    assert (1, 6) == oxygen_carbon_dioxide(0.075).pins


def two_thousand_psi_are_141_kilograms_force() -> None:
    pascal = to_si(Decimal(2000), SPELLINGS["psi"], difference=True)
    assert 140.6 == pytest.approx(float(from_si(pascal, SPELLINGS["kgf/cm²"], difference=True)), abs=0.05)
    assert 137.9 == pytest.approx(pascal / 1e5, abs=0.05)


def two_litres_at_137_bar_hold_292() -> None:
    assert 292.0 == pytest.approx(litres_of_oxygen(2.0, 137.0), abs=0.6)
    assert 460.0 < litres_of_oxygen(2.0, 230.0)


def an_f_is_no_17_litres() -> None:
    assert 1360.0 == pytest.approx(litres_of_oxygen(9.43, 137.0), rel=0.025)
    assert 2400.0 < litres_of_oxygen(17.0, 137.0)


def a_g_is_no_39_litres() -> None:
    assert 3400.0 == pytest.approx(litres_of_oxygen(23.6, 137.0), rel=0.025)
    assert 5600.0 < litres_of_oxygen(39.0, 137.0)


def a_letter_is_no_size() -> None:
    assert 0.2 < litres_of_oxygen(2.88, 137.0) / litres_of_oxygen(2.32, 137.0) - 1.0


def not_every_reading_is_proportional() -> None:
    half, full = GaugePa(68.5e5), GaugePa(137e5)
    assert 0.40 == pytest.approx(contents.share_left(FIFTY_FIFTY, half, full, FIFTEEN, SEA_LEVEL), abs=0.01)
    with pytest.raises(OutOfRange, match="Liquid may be left"):
        liquefied.vapour_left(NITROUS_OXIDE, CubicMetres(4.68e-3), GaugePa(44.1e5), FIFTEEN, SEA_LEVEL)


WHAT_IS_RIGHT: dict[str, Callable[[], None]] = {
    "NEG-001": air_is_not_nitrous_oxide,
    "NEG-002": air_is_not_oxygen,
    "NEG-003": there_is_no_position_8,
    "NEG-004": helium_has_pins,
    "NEG-005": two_five_are_positions,
    "NEG-006": pins_stand_on_the_yoke,
    "NEG-007": the_limit_of_carbon_dioxide_is_7_percent,
    "NEG-008": two_thousand_psi_are_141_kilograms_force,
    "NEG-009": two_litres_at_137_bar_hold_292,
    "NEG-010": an_f_is_no_17_litres,
    "NEG-011": a_g_is_no_39_litres,
    "NEG-014": a_letter_is_no_size,
    "NEG-015": not_every_reading_is_proportional,
}


@pytest.mark.parametrize("row", rows("wrong_statements.csv"), ids=row_id)
def test_wrong_statement_is_not_ours(row: dict[str, str]) -> None:
    """What the program says is what the row calls right, and not what was seen in print."""
    WHAT_IS_RIGHT[row["id"]]()
