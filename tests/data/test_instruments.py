"""Checks of dials against cylinders, keep-back and indicator, beyond the mistakes that have a folder of their own."""

from __future__ import annotations

from pathlib import Path

import pytest

from bad_sites import GOOD
from yokebook.data import dials
from yokebook.data.department import Department
from yokebook.data.filling import full_reading, highest_pressure
from yokebook.data.load import load
from yokebook.errors import Problem
from yokebook.quantities import AbsolutePa, GaugePa, Kelvin

AMBIENT = AbsolutePa(101_325.0)


@pytest.fixture
def data(tmp_path: Path) -> Path:
    for file in (GOOD / "content" / "data").iterdir():
        (tmp_path / file.name).write_bytes(file.read_bytes())
    return tmp_path


def problems_after(data: Path, file: str, *changes: tuple[str, str]) -> list[Problem]:
    text = (data / file).read_text(encoding="utf-8")
    for old, new in changes:
        assert old in text, "a test that changes nothing tests nothing"
        text = text.replace(old, new)
    (data / file).write_text(text, encoding="utf-8")
    return load(data, "data")[1]


def good() -> Department:
    department, _ = load(GOOD / "content" / "data", "data")
    assert department is not None
    return department


def test_a_full_cylinder_in_the_warm() -> None:
    """Oxygen of 137 bar at 15 °C: 0.67 bar for each kelvin (real gas; the ideal 0.48 would be too little)."""
    oxygen = good().cylinders["oxygen-e"]
    warm, warmer = (highest_pressure(oxygen, Kelvin(kelvin), AMBIENT) for kelvin in (293.15, 303.15))
    assert 0.67e5 == pytest.approx((warmer - warm) / 10, rel=0.02)


def test_a_full_reading_is_that_of_the_filling_at_its_own_temperature() -> None:
    """137 bar at 15 °C, by the filling itself; a liquefied gas has no such reading."""
    entries = good().cylinders
    assert 137e5 == pytest.approx(full_reading(entries["oxygen-e"], Kelvin(288.15), AMBIENT), rel=1e-6)
    with pytest.raises(ValueError, match="nitrous-oxide-e is filled by ratio"):
        full_reading(entries["nitrous-oxide-e"], Kelvin(288.15), AMBIENT)


def test_nitrous_oxide_that_fills_its_cylinder_reads_above_its_vapour_pressure() -> None:
    """79 bar at 30 °C in place of the 62 of the vapour (ratio 0.75; computed with the reference equation of state)."""
    nitrous_oxide = good().cylinders["nitrous-oxide-e"]
    assert nitrous_oxide.liquefied
    assert 79e5 == pytest.approx(highest_pressure(nitrous_oxide, Kelvin(303.15), AMBIENT), rel=0.01)


def test_a_liquefied_gas_needs_headroom_for_its_warmest_day(data: Path) -> None:
    """A dial of 100 bar is enough at 24 °C and too short at 34 °C, where the liquid fills the cylinder."""
    problems = problems_after(data, "places.yaml", ("high: 24 °C", "high: 34 °C"))
    assert ["W302"] == [problem.code for problem in problems]
    assert "yoke-nitrous-oxide" == problems[0].written
    assert problems[0].wrong.startswith("a full nitrous-oxide-e comes to 9")


def test_a_place_too_hot_to_compute_is_told(data: Path) -> None:
    """No cylinder is kept so warm: told where it is typed, before anything is computed, with what was meant."""
    problems = problems_after(data, "places.yaml", ("high: 24 °C", "high: 71 °C"))
    assert [("E811", "−40\u00a0°C to 60\u00a0°C", "71 °F")] == [
        (problem.code, problem.allowed, problem.suggestion) for problem in problems
    ]


def test_a_dial_of_its_own_is_judged_in_its_place_or_in_the_room(data: Path) -> None:
    """A cylinder with an integral valve is as warm as its gauge's place, and as the room where none is given."""
    (data / "places.yaml").write_text(
        (data / "places.yaml").read_text(encoding="utf-8")
        + "hot-bay:\n  temperature: {low: 20 °C, usual: 30 °C, high: 55 °C}\n",
        encoding="utf-8",
    )
    assert [] == problems_after(data, "gauges.yaml", ("  unit: kPa\n", "  unit: kPa\n  place: theatre\n"))
    problems = problems_after(data, "gauges.yaml", ("  place: theatre\n", "  place: hot-bay\n"))
    assert [("W302", "data/cylinders.yaml", 25)] == [(problem.code, problem.file, problem.line) for problem in problems]


def test_an_indicator_that_is_red_with_a_full_cylinder_is_told(data: Path) -> None:
    """A threshold on the dial and above the filling says nothing to anybody."""
    problems = problems_after(data, "machines.yaml", ("red_below: 30 bar", "red_below: 137 bar"))
    assert [("E244", "the indicator would be red even with a full oxygen-e", "less than 137\u00a0bar")] == [
        (problem.code, problem.wrong, problem.allowed) for problem in problems
    ]


def test_a_mixture_that_might_separate_is_told(data: Path) -> None:
    """More carbon dioxide than the equations hold for is told at the filling."""
    problems = problems_after(
        data, "cylinders.yaml",
        ("oxygen-transfer:\n  gas: oxygen\n",
         "oxygen-transfer:\n  gas: oxygen/carbon dioxide\n  fractions: {oxygen: 60 %, carbon dioxide: 40 %}\n"),
    )  # fmt: skip
    assert [("E250", "at most 0.2")] == [(problem.code, problem.allowed) for problem in problems]


def test_possible_errors_in_each_form(data: Path) -> None:
    """Class 2.5 of 250 bar is 6.25 bar (EN 837-1:1996, table 11); found errors add; unknown is none."""
    gauge = good().gauges["yoke-oxygen"]
    stated = dials.stated_error(gauge)
    assert stated is not None
    assert 6.25e5 == pytest.approx(stated(GaugePa(100e5)), rel=1e-12)
    forms = {
        "{plus_minus: 5 bar}": 5e5,
        "{of_span: 4 %, of_reading: 8 %}": 18e5,
        "{class: 1.6}\n  checked: 2026-03-01\n  found_error: -3 bar": 7e5,
    }
    text = (data / "gauges.yaml").read_text(encoding="utf-8")
    for form, pascals in forms.items():
        new = text.replace("{class: 2.5}\n  checked: 2026-03-01", form, 1)
        assert new != text, "a test that changes nothing tests nothing"
        (data / "gauges.yaml").write_text(new, encoding="utf-8")
        department, _ = load(data, "data")
        assert department is not None
        possible = dials.possible_error(department.gauges["yoke-oxygen"])
        assert possible is not None
        assert pascals == pytest.approx(possible(GaugePa(100e5)), rel=1e-12)
    assert dials.possible_error(gauge.model_copy(update={"accuracy": None})) is None


def test_the_nearest_reading_is_one_that_says_something() -> None:
    """On a stopped dial the lowest tenth says nothing, and no dial shows more than its end."""
    gauge = good().gauges["yoke-oxygen"]
    stopped = gauge.model_copy(update={"zero": "stop"})
    assert 10e5 == dials.nearest_reading(gauge, GaugePa(10e5))
    assert 25e5 == pytest.approx(dials.nearest_reading(stopped, GaugePa(10e5)), rel=1e-12)
    assert 250e5 == dials.nearest_reading(gauge, GaugePa(300e5))


def test_recommendations_count_yokes_in_use(data: Path) -> None:
    """A second oxygen yoke that is not used is no second cylinder; one of nitrous oxide not used has its reason."""
    problems = problems_after(
        data, "machines.yaml",
        ("used_without_pipeline: false", "used_without_pipeline: true"),
        ("      cylinder: nitrous-oxide-e\n      gauge: yoke-nitrous-oxide\n"
         "      regulated_pressure: {low: 40 psi, high: 45 psi}\n", "      not_used: no scavenging in this room\n"),
        ("    - gas: nitrous oxide\n", "    - gas: oxygen\n      not_used: its check valve leaks\n"
         "      plug: fitted and tightened\n    - gas: nitrous oxide\n"),
    )  # fmt: skip
    assert ["N404"] == [problem.code for problem in problems]


def test_a_recommendation_is_answered_with_a_reason(data: Path) -> None:
    """The note goes where its answer comes."""
    answer = "  answers:\n    two-oxygen-yokes: the second yoke is taken by air\n  yokes:\n"
    problems = problems_after(
        data, "machines.yaml", ("used_without_pipeline: false", "used_without_pipeline: true"), ("  yokes:\n", answer)
    )
    assert [] == problems


def test_a_keep_back_at_a_tenth_of_a_stopped_dial_is_not_near_the_stop(data: Path) -> None:
    """300 psi is the lowest reading of a stopped dial of 3000 psi, whatever its last bit in Pa."""
    (data / "department.yaml").write_text(
        (data / "department.yaml").read_text(encoding="utf-8").replace("keep_back: 10 bar", "keep_back: 300 psi"),
        encoding="utf-8",
    )
    problems = problems_after(
        data, "gauges.yaml",
        ("  unit: bar\n  span: {low: 0 bar, high: 250 bar}\n  scale_interval: 10 bar\n",
         "  unit: psi\n  zero: stop\n  span: {low: 0 psi, high: 3000 psi}\n  scale_interval: 100 psi\n"),
    )  # fmt: skip
    assert [] == problems
