"""Pin codes and colour marks against published lists; each row of `tests/reference/` names its own source."""

from __future__ import annotations

from collections.abc import Callable
from itertools import pairwise
from math import dist

import pytest

from published import REFERENCE, row_id, rows
from yokebook.gases import (
    FIFTY_FIFTY,
    FIXED,
    NITROUS_OXIDE,
    OXYGEN,
    PURE,
    SINGLE_ROW_POSITIONS,
    Gas,
    colour_marks,
    oxygen_carbon_dioxide,
    oxygen_helium,
)
from yokebook.physics import pins
from yokebook.physics.pins import Face, Side

MIXTURES: dict[str, Callable[[float], Gas]] = {
    "oxygen/carbon dioxide": oxygen_carbon_dioxide,
    "oxygen/helium": oxygen_helium,
}
CODES = [*rows("pin_codes.csv"), *rows("pin_codes_not_kept.csv")]


def row_name(*columns: str) -> Callable[[dict[str, str]], str]:
    return lambda row: " ".join(row[column] for column in ("id", *columns))


def gas_of(row: dict[str, str]) -> Gas:
    return MIXTURES[row["gas"]](float(row.get("fraction") or 0.05)) if row["gas"] in MIXTURES else FIXED[row["gas"]]


def positions(row: dict[str, str]) -> tuple[int, ...]:
    return tuple(int(position) for position in row["positions"].split())


@pytest.mark.parametrize("row", rows("pin_codes.csv"), ids=row_id)
def test_pin_code(row: dict[str, str]) -> None:
    """Each gas has the code of the published list, and the code is known to serve that gas."""
    gas = gas_of(row)
    assert positions(row) == gas.pins
    assert gas.name in {use.name for use in pins.uses_of(gas.pins)}


@pytest.mark.parametrize("row", CODES, ids=row_id)
def test_published_code_is_a_code(row: dict[str, str]) -> None:
    """Every code of the published list is one that the two systems allow, those of gases not kept here included."""
    assert positions(row) == pins.code(positions(row))


def test_each_pair_is_used_by_exactly_one_row_of_the_published_list() -> None:
    """The ten pairs without neighbours are the ten two-pin codes of the published list, each given once."""
    given = {row["id"]: positions(row) for row in CODES if row["id"].startswith("PIN") and positions(row) != (7,)}
    assert sorted(given.values()) == list(pins.two_pin_codes())


@pytest.mark.parametrize("row", rows("pin_rules.csv"), ids=row_name("what"))
def test_rule_of_the_positions(row: dict[str, str]) -> None:
    """Counts and distances of the positions are those of the published system (schematic: from memory)."""
    angles = [pins.position_angle_deg(position, Face.VALVE, Side.LEFT) for position in SINGLE_ROW_POSITIONS]
    places = [pins.position_mm(position, Face.VALVE, Side.LEFT) for position in SINGLE_ROW_POSITIONS]
    ours = {
        "least distance of two positions of a code": min(high - low for low, high in pins.two_pin_codes()),
        "codes without neighbours": len(pins.two_pin_codes()),
        "codes that the published list uses": len({positions(row) for row in CODES} - {(7,)}),
        "radius of the arc in mm": dist((0.0, 0.0), places[0]),
        "angle between neighbours in degrees": max(high - low for low, high in pairwise(angles)),
        "distance of neighbours in mm, below the pins' 4 mm": dist(places[0], places[1]),
        "positions on the arc": len(set(places)),
        "angle of position 7 in degrees": pins.position_angle_deg(7, Face.VALVE, Side.LEFT),
        "positions 1 2 3 on the side of position 1": sum(1 for angle in angles if angle < 0.0),
    }[row["what"]]
    assert float(row["value"]) == pytest.approx(ours, abs=float(row["tolerance"]) or 1e-12)


@pytest.mark.parametrize("row", rows("colour_marks.csv"), ids=row_name("standard", "gas"))
def test_colour_marks(row: dict[str, str]) -> None:
    """Each gas has the colours of the standard, a mixture those of its components (in which order is not told)."""
    assert set(row["colours"].split()) == set(colour_marks(gas_of(row), row["standard"]))


@pytest.mark.parametrize("row", rows("colour_traps.csv"), ids=row_name("standard", "colour"))
def test_colour_means_other_gases_by_standard(row: dict[str, str]) -> None:
    """One colour stands for different gases, or for none, by the standard: never colour alone."""
    named = sorted(gas.name for gas in PURE if row["colour"] in colour_marks(gas, row["standard"]))
    assert row["gases"].split() == named


@pytest.mark.parametrize(
    ("gas", "code"), [(OXYGEN, (2, 5)), (NITROUS_OXIDE, (3, 5)), (FIXED["air"], (1, 5)), (FIFTY_FIFTY, (7,))]
)
def test_codes_that_every_theatre_knows(gas: Gas, code: tuple[int, ...]) -> None:
    """Oxygen 2-5, nitrous oxide 3-5, air 1-5, 7 for the 50:50 mixture (common practice, no source)."""
    assert code == gas.pins


def test_no_row_is_both_left_out_and_worked_out() -> None:
    """A row that is left out, with its reason, stands in no other file, and each reason says something."""
    left_out = rows("left_out_instruments.csv")
    worked_out = {
        row["id"] for file in REFERENCE.glob("*.csv") if not file.name.startswith("left_out") for row in rows(file.name)
    }
    assert worked_out.isdisjoint(row["id"] for row in left_out)
    assert all(len(row["reason"]) > 20 for row in left_out)
