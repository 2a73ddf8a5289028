"""The reserve table, from the data's text to what a reader reads."""

from __future__ import annotations

import json
import random
from decimal import Decimal
from pathlib import Path

import pytest

from bad_sites import GOOD
from demo_site import ROOT, change
from yokebook.calls import registry
from yokebook.calls.result import Result
from yokebook.data.department import Department
from yokebook.data.load import load
from yokebook.pages.syntax import Call, parse
from yokebook.physics import contents, reserve
from yokebook.physics.contents import Condition
from yokebook.quantities import AbsolutePa, CubicMetres, GasCubicMetresPerSecond, GaugePa, Kelvin


def department(folder: Path) -> Department:
    """Return the department of a folder, which is to be without errors."""
    found, problems = load(folder / "content/data", "content/data")
    assert found is not None
    assert [] == [problem for problem in problems if problem.code.startswith("E")]
    return found


def table(call: str, folder: Path) -> Result:
    """Return what a call gives with the data of a folder."""
    parsed = parse(call, "page", 1, 1)
    assert isinstance(parsed, Call)
    result, problems = registry.run(parsed.name, parsed.arguments, department(folder), "page")
    assert [] == problems
    assert result is not None
    return result


def copy_good(folder: Path) -> Path:
    """Return a copy of the small department that the tests of mistakes start from."""
    import shutil

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
    text = (data / "department.yaml").read_text(encoding="utf-8")
    assert "flowmeter_reference: {temperature: 20 °C, pressure: 101.325 kPa}" in text
    change(
        data / "department.yaml", "flowmeter_reference: {temperature: 20 °C", "flowmeter_reference: {temperature: 70 °F"
    )
    result = table(
        'reserve_table(cylinder="oxygen-e", machine="theatre-1", flows=["2 L/min"], readings=["1000 psi"])', folder
    )
    assert result.numbers is not None
    ((cell,),) = result.numbers.cells
    assert Decimal("170.2") == round(cell.nominal, 1)
    assert cell.value < cell.nominal


CALL = 'reserve_table(cylinder="oxygen-e", machine="theatre-1", uses=["bag-low-flow", "bellows"])'


def test_what_is_shown_is_never_above_the_truth_anywhere_within_the_tolerances() -> None:
    """At 2000 random points of gauge, temperatures, capacity, flowmeter and drive gas, each cell holds."""
    here = department(ROOT)
    result = table(CALL, ROOT)
    assert result.numbers is not None
    cylinder, machine, settings = here.cylinders["oxygen-e"], here.machines["theatre-1"], here.settings
    gauge = here.gauges[next(yoke.gauge for yoke in machine.yokes if yoke.cylinder == "oxygen-e") or ""]
    place = here.places[machine.place].temperature
    assert gauge.accuracy is not None
    error = float(gauge.accuracy.accuracy_class or 0) / 100 * gauge.span.width_pa
    error += abs(gauge.found_error.pa) if gauge.found_error else 0
    assert cylinder.water_capacity_tolerance is not None
    assert machine.drive.usual is not None
    assert machine.drive.high is not None
    condition = Condition(settings.flowmeter_reference.temperature.k, settings.flowmeter_reference.pressure.pa)
    dice = random.Random(20260301)
    drive_of = {"Ventilator": (machine.drive.usual.si, machine.drive.high.si), "By hand at low flow": (0.0, 0.0)}
    for _ in range(2000):
        row = dice.randrange(len(result.numbers.rows))
        column = dice.randrange(len(result.numbers.columns))
        drive = drive_of[result.numbers.columns[column].split(":")[0]]
        true = float(result.numbers.rows[row]) * 1e5 + dice.uniform(-error, error)
        start, end = (Kelvin(dice.uniform(place.low.k, place.high.k)) for _ in range(2))
        capacity = cylinder.water_capacity.m3 * (1 + dice.uniform(-1, 1) * cylinder.water_capacity_tolerance.fraction)
        fresh = 1e-3 / 60 * (1 + dice.uniform(-1, 1) * settings.flowmeter_tolerance.fraction)
        draw = reserve.Draw(
            GasCubicMetresPerSecond(fresh),
            GasCubicMetresPerSecond(dice.uniform(*drive)),
            GasCubicMetresPerSecond(machine.standing_draw.si),
        )
        amount = contents.usable(
            cylinder.contents,
            CubicMetres(capacity),
            GaugePa(max(true, 0.0)),
            settings.keep_back.pa,
            start,
            AbsolutePa(here.ambient),
            end_temperature=end,
        )
        exact = reserve.duration(amount, reserve.amount_rate(cylinder.contents, draw, condition))
        assert float(result.numbers.cells[row][column].value) * 60 <= exact * (1 + 1e-9)


def test_the_greediest_use_stands_first_whatever_the_order_of_the_call() -> None:
    """A finger that follows a row meets the shortest time first."""
    result = table(CALL, ROOT)
    assert result.numbers is not None
    assert ["Ventilator", "By hand at low flow"] == [column.split(":")[0] for column in result.numbers.columns]
    for row in result.numbers.cells:
        assert [cell.value for cell in row] == sorted(cell.value for cell in row)


def test_rows_are_steps_of_the_dial_from_a_full_cylinder_down() -> None:
    """Readings in the dial's own unit, multiples of one step of it, the highest first, at most eight."""
    for cylinder, multiple, highest in (("oxygen-e", 10, 141), ("oxygen-transfer", 5, 206)):
        result = table(f'reserve_table(cylinder="{cylinder}", machine="theatre-1", flows=["2 L/min"])', ROOT)
        assert result.numbers is not None
        rows = [int(row) for row in result.numbers.rows]
        assert rows == sorted(rows, reverse=True)
        assert len(rows) <= 8
        assert rows[0] <= highest
        assert [] == [row for row in rows if row % multiple]


def test_where_nothing_is_left_the_cell_says_so() -> None:
    """A reading that may be the keep-back leaves no time."""
    result = table(
        'reserve_table(cylinder="oxygen-e", machine="theatre-1", flows=["2 L/min"], readings=["10 bar"])', ROOT
    )
    assert result.numbers is not None
    ((cell,),) = result.numbers.cells
    assert ("change now", 0) == (cell.text, cell.value)


def test_a_dial_in_hundreds_of_kilopascals_keeps_its_own_numbers() -> None:
    """150 on a dial of kPa × 100 is 15 000 kPa; the caption tells unit, multiplier and end of scale."""
    result = table(
        'reserve_table(cylinder="oxygen-transfer", machine="theatre-1", flows=["2 L/min"], readings=["15000 kPa"])',
        ROOT,
    )
    assert result.numbers is not None
    assert ["150"] == list(result.numbers.rows)
    assert "for dials that end at 315\u00a0kPa × 100" in result.as_read["caption"]
    assert "Reading (kPa × 100)" == result.as_read["heads"][0]


def test_the_working_can_be_followed_by_hand() -> None:
    """The worked cell's own numbers, multiplied out, give what it says, and what the table shows."""
    html = table(CALL, ROOT).html
    worked = next(line for line in html.splitlines() if "First cell" in line)
    import re

    capacity, start, end, amount = re.search(
        r"([\d.]+) L × \(([\d.]+) − ([\d.]+)\) mol/L = ([\d.]+) mol", worked
    ).groups()  # type: ignore[union-attr]
    flow, density, rate = re.search(r"([\d.]+)\xa0L/min × ([\d.]+) mol/L = ([\d.]+) mol/min", worked).groups()  # type: ignore[union-attr]
    minutes, shown = re.search(r"that is ([\d.]+)\xa0min, shown as (.+)\.</p>", worked).groups()  # type: ignore[union-attr]
    assert float(amount) == pytest.approx(float(capacity) * (float(start) - float(end)), rel=2e-4)
    assert float(rate) == pytest.approx(float(flow) * float(density), rel=2e-4)
    assert float(minutes) == pytest.approx(float(amount) / float(rate), rel=2e-4)
    assert shown == table(CALL, ROOT).as_read["rows"][0][1]


def test_the_list_of_numbers_names_each_data_key_once() -> None:
    """Each key that the call depends on, as calls and traces write it, and each leads to a value or to entries."""
    numbers = table(CALL, ROOT).numbers
    assert numbers is not None
    plain = numbers.as_plain()
    assert sorted(set(plain["keys"])) == plain["keys"]
    assert {'machines["theatre-1"].drive', 'cylinders["oxygen-e"].water_capacity', "department.keep_back"} <= set(
        plain["keys"]
    )
    assert json.dumps(plain, ensure_ascii=False)
