"""The reserve table, from the data's text to what a reader reads."""

from __future__ import annotations

import json
import random
import re
import shutil
from decimal import Decimal
from itertools import pairwise
from pathlib import Path

import pytest

from bad_sites import GOOD
from calls_of import copy_fleet, department, told
from calls_of import result_of as table
from demo_site import change
from within_tolerances import Truth, drive_of_machine, readings_of
from yokebook.calls.dial import dial_face
from yokebook.physics import reserve
from yokebook.quantities import GaugePa

VENTILATOR, BY_HAND = "Ventilator, 1\u00a0L/min set", "By hand at low flow, 1\u00a0L/min set"


def copy_good(folder: Path) -> Path:
    """Return a copy of the small department that the tests of mistakes start from."""
    shutil.copytree(GOOD, folder)
    return folder


def test_a_published_worked_example_comes_out_of_the_data(tmp_path: Path) -> None:
    """E oxygen (4.80 L, US) at 1000 psig and 2 L/min, 70 °F, to 0 psig: 170.2 min.

    CoolProp 8; the proportional rule from 660 L at 1900 psig gives 173.7 min (+2.1 %), the factor 0.28 gives
    140 (-17.7 %).
    Source of the rules: common practice, no source; 660 L from memory.
    """
    folder = copy_good(tmp_path / "site")
    data = folder / "content/data"
    change(
        data / "cylinders.yaml",
        "  country: UK\n  valve: pin-index\n  water_capacity: 4.68 L",
        "  country: US\n  valve: pin-index\n  water_capacity: 4.80 L",
    )
    change(data / "cylinders.yaml", "{pressure: 137 bar, at: 15 °C}", "{pressure: 1900 psi, at: 70 °F}")
    change(data / "department.yaml", "keep_back: 10 bar", "keep_back: 0 bar")
    change(data / "places.yaml", "usual: 20 °C", "usual: 70 °F")
    change(
        data / "gauges.yaml",
        "unit: bar\n  span: {low: 0 bar, high: 250 bar}\n  scale_interval: 10 bar",
        "unit: psi\n  span: {low: 0 psi, high: 3000 psi}\n  scale_interval: 100 psi",
    )
    text = (data / "department.yaml").read_text(encoding="utf-8")
    assert "flowmeter_reference: {temperature: 20 °C, pressure: 101.325 kPa}" in text
    change(
        data / "department.yaml", "flowmeter_reference: {temperature: 20 °C", "flowmeter_reference: {temperature: 70 °F"
    )
    result = table(
        'reserve_table(cylinder="oxygen-e", machine="theatre-1", flows=["2 L/min"], readings=["1000 psi"])', folder
    )
    assert result.numbers is not None
    (cell,), _ = result.numbers.cells
    assert Decimal("170.2") == round(cell.nominal, 1)
    assert cell.value < cell.nominal


CALL = 'reserve_table(cylinder="oxygen-e", machine="theatre-1", uses=["bag-low-flow", "bellows"])'


def test_what_is_shown_is_never_above_the_truth_anywhere_within_the_tolerances() -> None:
    """At 2000 random points of gauge, temperatures, capacity, flowmeter and drive gas, each cell holds."""
    numbers = table(CALL).numbers
    assert numbers is not None
    readings = readings_of(numbers)
    here, dice = department(), random.Random(20260301)
    drive_of = {VENTILATOR: drive_of_machine(here, "theatre-1"), BY_HAND: (0.0, 0.0)}
    for _ in range(2000):
        truth = Truth(here, "oxygen-e", "yoke-oxygen", "theatre", dice)
        row, column = dice.randrange(len(readings)), dice.randrange(len(numbers.columns))
        rate = truth.rate(1.0, drive_of[numbers.columns[column].split(":")[0]])
        exact = reserve.duration(truth.usable(readings[row] * 1e5), rate)
        shown = numbers.cells[row][column].value
        assert shown is not None
        assert float(shown) * 60 <= exact * (1 + 1e-9)


def test_the_greediest_use_stands_first_whatever_the_order_of_the_call() -> None:
    """A finger that follows a row meets the shortest time first."""
    result = table(CALL)
    assert result.numbers is not None
    assert [VENTILATOR, BY_HAND] == [column.split(":")[0] for column in result.numbers.columns]
    for row in result.numbers.cells:
        assert [cell.value for cell in row] == sorted(cell.value for cell in row)


def test_rows_are_steps_of_the_dial_from_a_full_cylinder_down() -> None:
    """Multiples of one step of the dial in its own unit, the highest first, at most ten, then what is below.

    137 bar at 15 °C are 140 bar at 20 °C (2030 psi), and 200 bar are 205.
    """
    for cylinder, machine, rows in (
        ("oxygen-e", "theatre-1", ["140", "120", "100", "80", "60", "40", "20"]),
        ("oxygen-e", "scanner-1", [*(str(psi) for psi in range(2000, 0, -200))]),
        ("oxygen-transfer", "theatre-1", ["200", "175", "150", "125", "100", "75", "50", "25", "below 25"]),
    ):
        result = table(f'reserve_table(cylinder="{cylinder}", machine="{machine}", flows=["2 L/min"])')
        assert rows == [row[0] for row in result.as_read["rows"]]
        assert "change now" == result.as_read["rows"][-1][1]


def test_the_last_row_says_what_is_to_be_done_below_the_others() -> None:
    """Where the lowest row asked for leaves something, a last one says to change; where it does not, it says so."""
    call = 'reserve_table(cylinder="oxygen-e", machine="theatre-1", flows=["2 L/min"], readings=[{}])'
    assert [["40", "30\u00a0min"], ["below 40", "change now"]] == table(call.format('"40 bar"')).as_read["rows"]
    assert [["40", "30\u00a0min"], ["10", "change now"]] == table(call.format('"10 bar", "40 bar"')).as_read["rows"]
    assert [["40", "30\u00a0min"], ["35", "20\u00a0min"], ["below 35", "change now"]] == table(
        call.format('"35 bar", "40 bar", "35 bar"')
    ).as_read["rows"]


def test_where_nothing_is_left_the_cell_says_so() -> None:
    """A reading that may be the keep-back leaves no time."""
    result = table('reserve_table(cylinder="oxygen-e", machine="theatre-1", flows=["2 L/min"], readings=["10 bar"])')
    assert result.numbers is not None
    ((cell,),) = result.numbers.cells
    assert ("change now", 0) == (cell.text, cell.value)


def test_a_dial_in_hundreds_of_kilopascals_keeps_its_own_numbers() -> None:
    """150 on a dial of kPa × 100 is 15 000 kPa; the caption tells unit, multiplier and end of scale."""
    result = table(
        'reserve_table(cylinder="oxygen-transfer", machine="theatre-1", flows=["2 L/min"], readings=["15000 kPa"])',
    )
    assert result.numbers is not None
    assert ["150", "below 150"] == list(result.numbers.rows)
    assert "for dials that end at 315\u00a0kPa\u00a0×\u00a0100" in result.as_read["caption"]
    assert "Reading (kPa\u00a0×\u00a0100)" == result.as_read["heads"][0]


def test_the_working_can_be_followed_by_hand() -> None:
    """The worked cell's own numbers, multiplied out, give what it says, and what the table shows."""
    html = table(CALL).html
    worked = next(line for line in html.splitlines() if "First cell" in line)
    capacity, start, end, amount = re.search(
        r"([\d.]+) L × \(([\d.]+) − ([\d.]+)\) mol/L = ([\d.]+) mol", worked
    ).groups()  # type: ignore[union-attr]
    flow, density, rate = re.search(r"([\d.]+)\xa0L/min × ([\d.]+) mol/L = ([\d.]+) mol/min", worked).groups()  # type: ignore[union-attr]
    minutes, shown = re.search(r"that is ([\d.]+)\xa0min, shown as (.+)\.</p>", worked).groups()  # type: ignore[union-attr]
    assert float(amount) == pytest.approx(float(capacity) * (float(start) - float(end)), rel=2e-4)
    assert float(rate) == pytest.approx(float(flow) * float(density), rel=2e-4)
    assert float(minutes) == pytest.approx(float(amount) / float(rate), rel=2e-4)
    assert shown == table(CALL).as_read["rows"][0][1]


def test_the_list_of_numbers_names_each_data_key_once() -> None:
    """Each key that the call depends on, as calls and traces write it, and each leads to a value or to entries."""
    numbers = table(CALL).numbers
    assert numbers is not None
    plain = numbers.as_plain()
    assert sorted(set(plain["keys"])) == plain["keys"]
    assert {'machines["theatre-1"].drive', 'cylinders["oxygen-e"].water_capacity', "department.keep_back"} <= set(
        plain["keys"]
    )
    assert json.dumps(plain, ensure_ascii=False)


ASKED = 'reserve_table(cylinder="oxygen-e", machine="theatre-1", flows=["2 L/min"], readings=[{}])'
UNREADABLE = "nobody can read this on the dial: its marks stand 10\u00a0bar apart"
READABLE = "readings in bar, at a mark or half-way between two"
OWN_UNIT = "a number of bar, as the dial shows it"


@pytest.mark.parametrize(
    ("readings", "expected"),
    [
        ('"1000 psi"', [("E223", "the dial reads in bar, this is in psi", OWN_UNIT, 'readings=["60 bar"]')]),
        ('"10000 kPa"', [("E223", "the dial reads in bar, this is in kPa", OWN_UNIT, 'readings=["100 bar"]')]),
        ('"101 bar"', [("E536", UNREADABLE, READABLE, 'readings=["100 bar"]')]),
        (
            '"102.5 bar", "100 bar", "97 bar"',
            [
                ("E536", UNREADABLE, READABLE, 'readings=["100 bar"]'),
                ("E536", UNREADABLE, READABLE, 'readings=["90 bar"]'),
            ],
        ),
        (
            ", ".join(f'"{bar} bar"' for bar in range(20, 105, 5)),
            [("E529", "readings has 17 items", "1 to 16", 'readings=["100 bar"]')],
        ),
    ],
    ids=["psi", "kPa at a mark", "off a mark", "each of several", "seventeen"],
)
def test_a_row_is_a_reading_that_can_be_read_on_its_dial(
    readings: str, expected: list[tuple[str, str, str, str]]
) -> None:
    """In the dial's unit, at a mark or half-way between two, sixteen of them at most; each other one is told."""
    assert expected == told(ASKED.format(readings))


def test_sixteen_marks_and_halves_are_as_many_rows() -> None:
    """Each reading asked for heads its row, the highest first, each once."""
    asked = range(25, 105, 5)
    rows = table(ASKED.format(", ".join(f'"{bar} bar"' for bar in asked))).as_read["rows"]
    assert [*(str(bar) for bar in reversed(asked)), "below 25"] == [row[0] for row in rows]


@pytest.mark.parametrize("gauge", ["yoke-oxygen", "yoke-oxygen-psi", "integral-dial", "yoke-nitrous-oxide"])
def test_steps_of_a_dial_are_few_and_lie_at_its_marks(gauge: str) -> None:
    """From 200 pressures down: at most ten marks with one step between them, none above, and no room for another."""
    dial, dice = dial_face(department().gauges[gauge]), random.Random(20260321)
    for _ in range(200):
        highest = GaugePa(dice.uniform(0.0, 1.1) * dial.face.high)
        rows = dial.steps_down_from(highest)
        top = min(dial.printed(highest), dial.high)
        assert len(rows) <= 10
        assert all(0 < row <= top and row % dial.interval == 0 for row in rows)
        assert bool(rows) == (top >= dial.interval)
        if len(rows) > 1:
            (step,) = {upper - lower for upper, lower in pairwise(rows)}
            assert rows[0] + step > top
            assert rows[-1] - step <= 0


def test_a_scanner_dial_has_ten_rows() -> None:
    """2000 to 200 psi on a dial of 0 to 3000 with marks 100 apart: a full cylinder shows some 2030."""
    dial = dial_face(department().gauges["yoke-oxygen-psi"])
    assert [*range(2000, 0, -200)] == [*dial.steps_down_from(GaugePa(2030 * 6894.757))]


def test_a_mark_at_the_stop_is_a_reading_in_any_unit(tmp_path: Path) -> None:
    """A tenth of 2500 psi is 250 psi, whatever the last bits of its pascals say; below it the dial says nothing."""
    folder = copy_fleet(tmp_path / "site")
    change(
        folder / "content/data/gauges.yaml",
        "span: {low: 0 psi, high: 3000 psi}\n  scale_interval: 100 psi",
        "span: {low: 0 psi, high: 2500 psi}\n  scale_interval: 50 psi\n  zero: stop",
    )
    call = 'reserve_table(cylinder="oxygen-e", machine="scanner-1", flows=["2 L/min"], readings=["{} psi"])'
    assert "250" == table(call.format(250), folder).as_read["rows"][0][0]
    ((code, _, allowed, _),) = told(call.format(200), folder)
    assert ("E524", "250\u00a0psi to 2500\u00a0psi") == (code, allowed)
