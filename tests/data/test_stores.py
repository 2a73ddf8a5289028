"""Where a cylinder waits: its temperatures join those of the place, and cold there separates 50:50."""

from __future__ import annotations

from pathlib import Path

import pytest

from bad_sites import GOOD
from yokebook.data.department import Department
from yokebook.data.load import load
from yokebook.data.stores import with_store
from yokebook.errors import Problem

STORE = "gas-store:\n  temperature: {low: %s, usual: 12 °C, high: 28 °C}\n"
MIXTURE = (
    "fifty-fifty-d:\n  gas: nitrous oxide/oxygen 50:50\n  valve: %s\n  water_capacity: 2.32 L\n"
    "  water_capacity_tolerance: 1 %%\n  filling: {pressure: 137 bar, at: 15 °C}\n"
)
DIAL = (
    "mixture-dial:\n  unit: bar\n  span: {low: 0 bar, high: 250 bar}\n  scale_interval: 10 bar\n"
    "  accuracy: {class: 2.5}\n  checked: 2026-03-01\n"
)


def laid_out(folder: Path, stored: str = "theatre", **more: str) -> tuple[Department, list[Problem]]:
    """Return the good base, the transfer cylinder kept in a store, more text at the end of some files, loaded."""
    own = "gauge: transfer-dial\n  stored: "
    for file in (GOOD / "content" / "data").iterdir():
        text = file.read_text("utf-8").replace(f"{own}theatre", f"{own}{stored}")
        (folder / file.name).write_text(text + more.get(file.stem, ""), "utf-8")
    department, problems = load(folder, "data")
    assert department is not None
    return department, problems


def test_temperatures_of_store_and_place_together(tmp_path: Path) -> None:
    """The lowest and the highest of both; the usual one is the place's."""
    department, problems = laid_out(tmp_path, stored="gas-store", places=STORE % "5 °C")
    assert [] == problems
    place = department.places["theatre"].temperature
    both = with_store(department, department.cylinders["oxygen-transfer"], place)
    assert (278.15, 293.15, 301.15) == (both.low.k, both.usual.k, both.high.k)
    assert place == with_store(department, department.cylinders["oxygen-e"], place)
    inner = place.model_copy(update={"low": both.low, "high": both.high})
    assert inner == with_store(department, department.cylinders["oxygen-transfer"], inner)


def test_a_store_that_is_not_there_is_told(tmp_path: Path) -> None:
    """Its name leads nowhere, and the place alone counts."""
    department, problems = laid_out(tmp_path, stored="gas-stor", places=STORE % "5 °C")
    assert [("E240", "gas-stor", "gas-store")] == [(one.code, one.written, one.suggestion) for one in problems]
    place = department.places["theatre"].temperature
    assert place == with_store(department, department.cylinders["oxygen-transfer"], place)


def test_a_warm_store_counts_for_the_headroom_of_a_dial(tmp_path: Path) -> None:
    """A cylinder just brought from there reads as it did there: a dial of 100 bar is too short for 34 °C."""
    warm = "attic:\n  temperature: {low: 10 °C, usual: 20 °C, high: 34 °C}\n"
    laid_out(tmp_path, places=warm)
    file = tmp_path / "cylinders.yaml"
    file.write_text(
        file.read_text("utf-8").replace("includes: valve\n  stored: theatre", "includes: valve\n  stored: attic"),
        "utf-8",
    )
    assert [("W302", "yoke-nitrous-oxide")] == [(one.code, one.written) for one in load(tmp_path, "data")[1]]


@pytest.mark.parametrize(("low", "codes"), [("2.1 °C", []), ("2 °C", ["W312"])])
def test_a_cold_store_separates_the_mixture(tmp_path: Path, low: str, codes: list[str]) -> None:
    """The limit of a filling of 137 bar is 2.1 °C: -4 °C by the named model, 6 K of doubt, kept at 5 °C in 1968.

    The last is of BMJ 1968;3:715 (abstract): cylinders kept at 5 °C or more for 24 h before use.
    """
    mixture = MIXTURE % "integral" + "  gauge: mixture-dial\n  stored: gas-store\n"
    dial = DIAL + "  place: theatre\n"
    _, problems = laid_out(tmp_path, cylinders=mixture, gauges=dial, places=STORE % low)
    assert codes == [problem.code for problem in problems]


def test_each_place_of_the_mixture_is_looked_at(tmp_path: Path) -> None:
    """Its store, the place of its own dial, the room where the dial has none, the machine at which it hangs."""
    mixture = MIXTURE % "integral" + "  gauge: mixture-dial\n  stored: gas-store\n"
    dial = DIAL + "  place: gas-store\n"
    _, problems = laid_out(tmp_path, cylinders=mixture, gauges=dial, places=STORE % "-5 °C")
    assert [("W312", "mixture-dial"), ("W312", "gas-store")] == [(one.code, one.written) for one in problems]
    laid_out(tmp_path, cylinders=MIXTURE % "integral" + "  gauge: mixture-dial\n  stored: theatre\n", gauges=DIAL)
    file = tmp_path / "department.yaml"
    file.write_text(file.read_text("utf-8").replace("{low: 16 °C", "{low: 1 °C"), "utf-8")
    assert [("W312", "mixture-dial")] == [(one.code, one.written) for one in load(tmp_path, "data")[1]]
    yoke = (
        "    - gas: nitrous oxide/oxygen 50:50\n      cylinder: fifty-fifty-d\n      gauge: yoke-oxygen\n"
        "      regulated_pressure: {low: 40 psi, high: 45 psi}\n      plug: on a chain\n"
    )
    mixture = MIXTURE % "pin-index" + "  stored: gas-store\n"
    laid_out(tmp_path, cylinders=mixture, machines=yoke, places=STORE % "11 °C")
    file = tmp_path / "places.yaml"
    file.write_text(file.read_text("utf-8").replace("{low: 18 °C", "{low: 1 °C"), "utf-8")
    assert [("W312", "data/machines.yaml", "fifty-fifty-d")] == [
        (one.code, one.file, one.written) for one in load(tmp_path, "data")[1]
    ]


def test_a_mixture_filled_beyond_what_can_be_computed_is_told_once(tmp_path: Path) -> None:
    """With the dial, not a second time with its store."""
    mixture = (MIXTURE % "integral").replace("137 bar", "450 bar") + "  gauge: mixture-dial\n  stored: gas-store\n"
    _, problems = laid_out(tmp_path, cylinders=mixture, gauges=DIAL, places=STORE % "-5 °C")
    assert ["E250"] == [problem.code for problem in problems]
