"""The keep-back of one regulator in the numbers: which one counts, what it takes, where a reader is told."""

from __future__ import annotations

import random
from pathlib import Path

import pytest

from calls_of import copy_fleet, department, result_of, working_of
from demo_site import change
from within_tolerances import Truth, readings_of
from yokebook.number_list import CallNumbers
from yokebook.physics import reserve

ON = 'cylinder="oxygen-e", machine="theatre-1"'
OWN = 'cylinder="oxygen-transfer"'
LIQUID = 'cylinder="nitrous-oxide-e", machine="theatre-1"'
OF_YOKE = ", keep_back: 20 bar, keep_back_measured: 2026-05-12"
LEAST = (
    f'reserve_table({ON}, flows=["2 L/min"])',
    f'reserve_table({OWN}, flows=["2 L/min"])',
    f'contents({ON}, reading="60 bar")',
    f'duration({ON}, flow="2 L/min", reading="60 bar")',
    f'vapour_table({LIQUID}, flows=["2 L/min"], readings=["25 bar"])',
    'weight_table(cylinder="nitrous-oxide-e", scale="store-scale", weights=["6.00 kg"])',
    'leak_table(machine="theatre-1", flows=["1 L/min"])',
    'machine_reserve_table(machine="theatre-1", flows=["5 L/min"], spare="140 bar")',
    'indicator_table(machine="theatre-1", uses=["mask"])',
)
MOST = (f'change_at({ON}, flow="5 L/min", time="20 min")',)


@pytest.fixture
def measured(tmp_path: Path) -> Path:
    """A fleet in which 20 bar were measured on the second oxygen yoke of theatre-1, its third, and one valve."""
    folder = copy_fleet(tmp_path / "site")
    data = folder / "content/data"
    lines = (data / "machines.yaml").read_text(encoding="utf-8").splitlines(keepends=True)
    at = [number for number, line in enumerate(lines) if line.startswith("    - {gas: ")]
    for number in at[1:3]:
        lines[number] = lines[number].replace(", plug:", f"{OF_YOKE}, plug:")
    (data / "machines.yaml").write_text("".join(lines), encoding="utf-8")
    own = "  gauge: integral-dial\n"
    change(data / "cylinders.yaml", own, f"{own}  keep_back: 20 bar\n  keep_back_measured: 2026-05-12\n")
    return folder


def numbers_of(call: str, folder: Path | None = None) -> CallNumbers:
    numbers = (result_of(call, folder) if folder else result_of(call)).numbers
    assert numbers is not None
    return numbers


@pytest.mark.parametrize("call", [*LEAST, *MOST])
def test_a_greater_keep_back_promises_less_in_each_call(call: str, measured: Path) -> None:
    """What is left falls, what is to be reached rises; the working and the keys name where it was measured."""
    before, after = (
        [cell.value or 0 for row in numbers_of(call, folder).cells for cell in row] for folder in (None, measured)
    )
    pairs = list(zip(before, after, strict=False))
    assert all(then <= now if call in LEAST else then >= now for now, then in pairs), pairs
    assert any(then != now for now, then in pairs)
    key = next(key for key in numbers_of(call, measured).keys if key.endswith("keep_back"))
    assert "department.keep_back" != key
    whose = {"oxygen-transfer": "the cylinder's own regulator", "nitrous-oxide-e": "theatre-1, yoke 3"}
    where = next((name for cylinder, name in whose.items() if cylinder in call), "theatre-1, yoke 2")
    line = f"Keep-back (true pressure): 20\u00a0bar (measured on {where}), 2026-05-12 ({key})"
    assert line in working_of(call, measured)


@pytest.mark.parametrize("call", [LEAST[0], LEAST[1], LEAST[4], LEAST[5], LEAST[6]])
def test_the_condition_names_the_regulator(call: str, measured: Path) -> None:
    """A reader sees whose limit counts; the department's stands without a name, as it is everybody's."""
    assert "down to a true pressure of 20\u00a0bar (measured on " in result_of(call, measured).as_read["condition"]
    assert "down to a true pressure of 10\u00a0bar" in result_of(call).as_read["condition"]


def test_near_empty_nothing_moves_a_number_more(measured: Path) -> None:
    """Of 40 bar, 13.65 may be error: 16.35 bar lie above 10 and 6.35 above 20; by Boyle's law 0.39 of it is left."""
    call = f'contents({ON}, reading="40 bar")'
    ((before,),), ((after,),) = numbers_of(call).cells, numbers_of(call, measured).cells
    assert before.value is not None
    assert after.value is not None
    assert 6.35 / 16.35 == pytest.approx(float(after.value / before.value), abs=0.06)


def test_another_machine_is_not_held_to_it(measured: Path) -> None:
    """induction-1 hangs the same cylinder on the same kind of dial; nothing was measured on it."""
    call = 'reserve_table(cylinder="oxygen-e", machine="induction-1", flows=["2 L/min"])'
    assert numbers_of(call).cells == numbers_of(call, measured).cells


@pytest.mark.parametrize(
    ("call", "cylinder", "gauge", "place", "machine"),
    [
        (LEAST[0], "oxygen-e", "yoke-oxygen", "theatre", "theatre-1"),
        (LEAST[1], "oxygen-transfer", "integral-dial", "transfer-bay", ""),
        (LEAST[4], "nitrous-oxide-e", "yoke-nitrous-oxide", "theatre", "theatre-1"),
    ],
    ids=["either of two yokes", "its own valve", "liquefied"],
)
def test_no_cell_is_above_the_truth_whichever_regulator_it_is(
    call: str, cylinder: str, gauge: str, place: str, machine: str, measured: Path
) -> None:
    """At 2000 random points within the tolerances, hung in one yoke or another, each cell holds."""
    numbers, here, dice = numbers_of(call, measured), department(measured), random.Random(20261201)
    readings = readings_of(numbers)
    for _ in range(2000):
        truth = Truth(here, cylinder, gauge, place, dice, machine)
        row = dice.randrange(len(readings))
        exact = reserve.duration(truth.usable(readings[row] * 1e5), truth.rate(2.0))
        assert float(numbers.cells[row][0].value or 0) * 60 <= exact * (1 + 1e-9)
