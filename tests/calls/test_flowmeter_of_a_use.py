"""A flowmeter marked for another gas, or out by a tolerance of its own: no printed time is too long by it."""

from __future__ import annotations

import random
from pathlib import Path

import pytest

from calls_of import copy_fleet, department, result_of, told, working_of
from demo_site import change
from within_tolerances import Truth
from yokebook import gases
from yokebook.data.load import load
from yokebook.physics import flowmeters, reserve

HELIUM = """
oxygen-helium:
  gas: oxygen/helium
  fractions: {oxygen: 21 %, helium: 79 %}
  valve: integral
  water_capacity: 4.68 L
  water_capacity_tolerance: 1 %
  filling: {pressure: 137 bar, at: 15 °C}
  gauge: integral-dial
  stored: transfer-bay
"""
DIALS = ("integral-dial:\n  gas: oxygen", "integral-dial:\n  gas: oxygen/helium")


def fleet_with(folder: Path, draws: str) -> Path:
    """Return the fleet with a cylinder of helium and oxygen, and the draws of a use."""
    copy_fleet(folder)
    data = folder / "content/data"
    (data / "cylinders.yaml").write_text(
        (data / "cylinders.yaml").read_text(encoding="utf-8") + HELIUM, encoding="utf-8"
    )
    uses = (data / "uses.yaml").read_text(encoding="utf-8")
    (data / "uses.yaml").write_text(f"{uses}\nasked:\n  title: Asked\n  draws:\n    {draws}\n", encoding="utf-8")
    return folder


def numbers_of(call: str, folder: Path) -> tuple[list[float], list[float]]:
    """Return the readings of a table's rows, and its first cells in minutes."""
    numbers = result_of(call, folder).numbers
    assert numbers is not None
    rows = [(head, cells[0]) for head, cells in zip(numbers.rows, numbers.cells, strict=True) if "below" not in head]
    return [float(head) for head, _ in rows], [float(cell.value or 0) for _, cell in rows]


LIGHT = 'reserve_table(cylinder="oxygen-helium", uses=["asked"])'


def test_helium_through_an_oxygen_tube_lasts_so_much_shorter(tmp_path: Path) -> None:
    """79 % helium on a flowmeter for oxygen: 1.80 times the flow shown, so the time divided by 1.80."""
    own = fleet_with(tmp_path / "own", "oxygen/helium: [{fresh gas: 10 L/min, flowmeter_for: oxygen/helium}]")
    oxygen = fleet_with(tmp_path / "oxygen", "oxygen/helium: [{fresh gas: 10 L/min, flowmeter_for: oxygen}]")
    flows = [result_of(LIGHT, folder).as_read["heads"][1] for folder in (own, oxygen)]
    assert ["Asked, 10\xa0L/min set: up to 11\xa0L/min", "Asked, 10\xa0L/min set: up to 19.9\xa0L/min"] == flows
    assert (
        "flowmeter marked for oxygen letting through 10\xa0% more than it shows, and 1.80 times that of "
        in (result_of(LIGHT, oxygen).as_read["condition"])
    )
    for longer, shorter in zip(numbers_of(LIGHT, own)[1], numbers_of(LIGHT, oxygen)[1], strict=True):
        assert shorter <= (longer + 5) / 1.80  # rounded down to 5 min
        assert shorter < longer


@pytest.mark.parametrize(
    ("cylinder", "gas", "draw", "flow", "tolerance", "marked_for"),
    [
        ("oxygen-helium", "oxygen/helium", "{fresh gas: 10 L/min, flowmeter_for: oxygen}", 10.0, 0.1, "oxygen"),
        (
            "oxygen-helium",
            "oxygen/helium",
            "{fresh gas: 4 L/min, flowmeter_for: air, tolerance: 25 %}",
            4.0,
            0.25,
            "air",
        ),
        ("oxygen-transfer", "oxygen", "{fresh gas: 2 L/min, tolerance: 0.5 L/min}", 2.0, 0.25, "oxygen"),
        ("oxygen-transfer", "oxygen", "{fresh gas: 1 L/min, tolerance: 30 %}", 1.0, 0.3, "oxygen"),
    ],
)
def test_no_cell_is_above_the_truth_whatever_the_flowmeter_does(
    cylinder: str, gas: str, draw: str, flow: float, tolerance: float, marked_for: str, tmp_path: Path
) -> None:
    """At 300 random points of gauge, cylinder and flowmeter, by density or by viscosity or between, each cell holds."""
    folder = fleet_with(tmp_path / "site", f"{gas}: [{draw}]")
    here, dice = department(folder), random.Random(20261203)
    readings, minutes = numbers_of(f'reserve_table(cylinder="{cylinder}", uses=["asked"])', folder)
    assert any(minutes)
    for _ in range(300):
        truth = Truth(here, cylinder, "integral-dial", "transfer-bay", dice)
        thin = 1.0
        if marked_for != gas:
            thin = flowmeters.by_density(here.cylinders[cylinder].contents, gases.FIXED[marked_for], truth.condition)
        row = dice.randrange(len(readings))
        rate = truth.rate(flow, tolerance=tolerance, lets_through=(1.0, thin))
        lasts = reserve.duration(truth.usable(readings[row] * 1e5), rate)
        assert minutes[row] * 60 <= lasts * (1 + 1e-9)


def test_two_flowmeters_of_one_use_err_each_by_its_own(tmp_path: Path) -> None:
    """2 L/min within 0.5 L/min and 4 L/min within the department's 10 %: up to 6.9 L/min, both in the condition."""
    folder = fleet_with(tmp_path / "site", "oxygen: [{fresh gas: 2 L/min, tolerance: 0.5 L/min}, {fresh gas: 4 L/min}]")
    call = 'reserve_table(cylinder="oxygen-transfer", uses=["asked"])'
    read = result_of(call, folder).as_read
    assert "Asked, 6\xa0L/min set: up to 6.9\xa0L/min" == read["heads"][1]
    for told_ in ("0.5\xa0L/min more than it shows", "10\xa0% more than it shows"):
        assert f"flowmeter letting through {told_}" in read["condition"]
    assert any(
        "fresh gas 2\xa0L/min (tolerance 0.5\xa0L/min), fresh gas 4\xa0L/min" in line
        for line in working_of(call, folder)
    )
    assert any("department.flowmeter_tolerance" in line for line in working_of(call, folder))


def test_an_outlet_with_its_own_tolerance_hangs_no_longer_on_the_departments(tmp_path: Path) -> None:
    """The department's tolerance is no input of such a number."""
    folder = fleet_with(tmp_path / "site", "oxygen: [{fresh gas: 2 L/min, tolerance: 30 %}]")
    call = 'duration(cylinder="oxygen-transfer", use="asked", reading="15000 kPa")'
    assert not any("department.flowmeter_tolerance" in line for line in working_of(call, folder))


def test_thick_air_counts_and_thin_air_stays_in_hand(tmp_path: Path) -> None:
    """At 104 kPa litres of 101.325 kPa pass 2.7 % more; at 2,240 m no less is counted than is shown."""
    call = 'reserve_table(cylinder="oxygen-transfer", flows=["10 L/min"])'
    for old, new, head in (
        ("ambient_pressure: 101.325 kPa", "ambient_pressure: 104 kPa", "up to 11.3\xa0L/min"),
        ("ambient_pressure: 101.325 kPa", "altitude: 2240 m", "up to 11\xa0L/min"),
    ):
        folder = copy_fleet(tmp_path / new.split(":")[0])
        change(folder / "content/data/department.yaml", old, new)
        read = result_of(call, folder).as_read
        assert head in read["heads"][1]
        assert ("in the air here" in read["condition"]) == ("104" in new)


def test_a_flow_of_a_mixture_is_refused_till_a_use_says_for_which_gas(tmp_path: Path) -> None:
    """In a call there is no room for it: the use says it."""
    folder = fleet_with(tmp_path / "site", "oxygen: [{fresh gas: 2 L/min}]")
    assert [
        (
            "E797",
            "for which gas is the flowmeter marked? One marked for oxygen shows a wrong flow of oxygen/helium",
            "a use whose draw says it with flowmeter_for",
            "draws: {oxygen/helium: [{fresh gas: 10\xa0L/min, flowmeter_for: oxygen}]}",
        )
    ] == told('reserve_table(cylinder="oxygen-helium", flows=["10 L/min"])', folder)


@pytest.mark.parametrize(
    ("draws", "code", "example"),
    [
        ("oxygen: [{fresh gas: 2 L/min, tolerance: 0,5 L/min}]", "E102", "20 %"),
        ("oxygen: [{fresh gas: 2 L/min, tolerance: 60 %}]", "E108", "10 %"),
        ("oxygen: [{fresh gas: 2 L/min, tolerance: 20}]", "E104", "20 %"),
        ("oxygen: [{fresh gas: 2 L/min, flowmeter_for: heliox}]", "E206", "oxygen"),
    ],
)
def test_a_tolerance_or_gas_that_is_none_is_told(draws: str, code: str, example: str, tmp_path: Path) -> None:
    """A decimal comma, more than half, a number without unit, a gas by another name."""
    folder = fleet_with(tmp_path / "site", draws)
    problems = load(folder / "content/data", "content/data")[1]
    assert [(code, True)] == [(problem.code, example in problem.example) for problem in problems]
