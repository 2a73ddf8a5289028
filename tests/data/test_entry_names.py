"""Which entry a misspelt name meant: a slip of the pen is mended, another dial or cylinder never put in its place."""

from __future__ import annotations

from pathlib import Path

import pytest

from calls_of import copy_fleet, run
from demo_site import change
from yokebook.data.entry_names import nearest_entry
from yokebook.data.load import load

NAMES = ("oxygen-e", "oxygen-d", "yoke-oxygen", "yoke-oxygen-psi", "theatre-1", "helium-e", "bag-low-flow")


@pytest.mark.parametrize(
    ("written", "meant"),
    [
        ("oxigen-e", "oxygen-e"),
        ("oxgyen-d", "oxygen-d"),
        ("Oxygen-E", "oxygen-e"),
        ("yoke_oxygen", "yoke-oxygen"),
        ("yokeoxygen", "yoke-oxygen"),
        ("yoke-oxygem-psi", "yoke-oxygen-psi"),
        ("theater-1", "theatre-1"),
        ("theatre-2", ""),
        ("theatre", ""),
        ("oxygen-f", ""),
        ("yoke-oxygen-bar", ""),
        ("scanner-oxygen", ""),
        ("heliox-e", ""),
        ("bag-high-flow", ""),
    ],
)
def test_a_slip_is_mended_and_another_entry_never_suggested(written: str, meant: str) -> None:
    """One letter in four, two in eight; nothing where a number, a size letter, a unit or a word differs."""
    assert meant == nearest_entry(written, NAMES)


def test_two_that_could_be_meant_are_none() -> None:
    """Nobody can say which."""
    assert nearest_entry("store-l", ["store-a", "store-b"]) == ""
    assert nearest_entry("wards", ["wardx", "wardy"]) == ""


def test_a_deleted_gauge_suggests_no_dial_of_another_unit(tmp_path: Path) -> None:
    """In the data and in a call: what may be named is told with its unit, and nothing put forward."""
    folder = copy_fleet(tmp_path / "site")
    gauges = folder / "content/data/gauges.yaml"
    change(gauges, "\nyoke-oxygen:", "\nother-oxygen:")
    found = [problem for problem in load(folder / "content/data", "data")[1] if problem.written == "yoke-oxygen"]
    assert found
    assert {""} == {problem.suggestion for problem in found}
    assert all("yoke-oxygen-psi (in psi)" in problem.allowed for problem in found)
    assert all("psi" not in problem.example for problem in found)
    _, (problem,) = run('gauge_figure(gauge="yoke-oxygen-bar", gas="oxygen", reading="80 bar")')
    assert ("E521", "") == (problem.code, problem.suggestion)


@pytest.mark.parametrize(
    ("call", "example"),
    [
        ('gauge_figure(gauge="yoke-oxygen-psi", gas="oxygen", reading="80 bar")', 'reading="1100 psi"'),
        ('gauge_table(gauge="yoke-oxygen-psi", readings=["80 bar"])', 'readings=["1100 psi"]'),
        (
            'pressure_fall(machine="theatre-1", cylinder="oxygen-e", from="1900 psi", to="120 bar", time="5 min", '
            'valve="closed")',
            'from="130 bar"',
        ),
    ],
)
def test_a_reading_in_another_unit_than_the_dials_is_refused(call: str, example: str) -> None:
    """A number of one dial is not one of another: 80 bar is no 1160.301902 psi that anybody could read."""
    _, (problem,) = run(call)
    assert ("E223", example) == (problem.code, problem.example)
