"""A gauge whose dial bears the name of a gas, and what may be read on it."""

from __future__ import annotations

from pathlib import Path

import pytest

from bad_sites import GOOD
from demo_site import change
from yokebook.data.load import load


def told(folder: Path, *changes: tuple[str, str, str]) -> list[tuple[str, int, str, str]]:
    """Return the problems of the good data with some texts of its files changed: code, line, allowed, suggestion."""
    data = folder / "data"
    data.mkdir()
    for file in (GOOD / "content/data").iterdir():
        (data / file.name).write_text(file.read_text(encoding="utf-8"), encoding="utf-8")
    for name, old, new in changes:
        change(data / f"{name}.yaml", old, new)
    _, problems = load(data, "data")
    return [(problem.code, problem.line, problem.allowed, problem.suggestion) for problem in problems]


OXYGEN = ("gauges", "yoke-oxygen:\n", "yoke-oxygen:\n  gas: oxygen\n")
ITS_OWN = ("gauges", "transfer-dial:\n", "transfer-dial:\n  gas: air\n")


def test_a_gauge_may_say_nothing_of_its_gas(tmp_path: Path) -> None:
    """The name is optional, and right where the yoke is for the same gas."""
    assert [] == told(tmp_path, OXYGEN)


def test_a_yoke_of_another_gas_is_refused_at_its_gauge(tmp_path: Path) -> None:
    """Nitrous oxide named as read on an oxygen dial; the gauge that fits is offered."""
    wrong = ("machines", "gauge: yoke-nitrous-oxide", "gauge: yoke-oxygen")
    assert [("E271", 17, "yoke-nitrous-oxide", "yoke-nitrous-oxide")] == told(tmp_path, OXYGEN, wrong)


def test_a_cylinders_own_dial_of_another_gas_is_refused(tmp_path: Path) -> None:
    """An integral valve's dial bears the name of what is in the cylinder; no other gauge of the data fits it."""
    assert [("E271", 25, "a gauge of oxygen", "")] == told(tmp_path, ITS_OWN)


@pytest.mark.parametrize("gas", ["oxygn", "laughing gas"])
def test_a_gas_that_there_is_not_is_refused(gas: str, tmp_path: Path) -> None:
    """Names of gases are those that yokes and cylinders take."""
    ((code, line, *_),) = told(tmp_path, ("gauges", "yoke-oxygen:\n", f"yoke-oxygen:\n  gas: {gas}\n"))
    assert ("E206", 2) == (code, line)
