"""The demonstration department: no problem, and what a clinical engineer would look for in it."""

from __future__ import annotations

from pathlib import Path

import pytest

from counted import calls
from yokebook import gases
from yokebook.data.department import Department
from yokebook.data.load import load

DATA = Path(__file__).parents[2] / "content" / "data"


@pytest.fixture(scope="module")
def demo() -> Department:
    department, problems = load(DATA, "content/data")
    assert [] == problems
    assert department is not None
    return department


def test_each_entry_knows_its_name(demo: Department) -> None:
    """An entry is handed on alone, and still says under which name it stands."""
    for shelf in (demo.cylinders, demo.gauges, demo.machines, demo.uses, demo.places, demo.scales):
        assert shelf
        assert list(shelf) == [entry.key for entry in shelf.values()]


def test_supplies_of_the_theatre_machine(demo: Department) -> None:
    """Two oxygen yokes and one for nitrous oxide, regulated to 2.8 to 3.1 bar (common practice, no source)."""
    yokes = demo.machines["theatre-1"].yokes
    assert ["oxygen", "oxygen", "nitrous oxide"] == [yoke.gas for yoke in yokes]
    for yoke in yokes:
        assert yoke.regulated_pressure is not None
        assert ("2.8\u00a0bar", "3.1\u00a0bar") == (yoke.regulated_pressure.low.text, yoke.regulated_pressure.high.text)


def test_the_away_machine_has_two_oxygen_yokes_and_no_drive_gas(demo: Department) -> None:
    """What lives without a pipeline has a second oxygen cylinder (common practice, no source)."""
    machine = demo.machines["scanner-1"]
    assert machine.used_without_pipeline
    assert 2 == sum(yoke.gas == "oxygen" and yoke.not_used is None for yoke in machine.yokes)
    assert "" == machine.drive_gas


def test_dials_in_three_units(demo: Department) -> None:
    """The demonstration shows dials in bar, in psi and in hundreds of kPa."""
    assert {("bar", 1), ("psi", 1), ("kPa", 100)} == {
        (gauge.unit.symbol, int(gauge.dial_multiplier)) for gauge in demo.gauges.values()
    }


def test_every_gas_that_a_yoke_may_be_for_has_a_pin_code(demo: Department) -> None:
    """Each gas of the data has a code, so that no pin-indexed cylinder is without one."""
    mixtures = (gases.oxygen_carbon_dioxide(0.05), gases.oxygen_helium(0.79))
    assert set(gases.NAMES) == {gas.name for gas in (*gases.FIXED.values(), *mixtures)}
    assert all(gas.pins for gas in (*gases.FIXED.values(), *mixtures))
    assert all(cylinder.contents.pins for cylinder in demo.cylinders.values())


MOST_CALLS = 420_000
"""Of functions, in one reading of the demo's data: a third more than its 310,000."""


def test_loading_is_little_work_once_the_states_are_known(demo: Department) -> None:
    """The whole of the data is read and checked in a count of calls that grows only with the data."""
    assert calls(lambda: load(DATA, "content/data")) < MOST_CALLS
