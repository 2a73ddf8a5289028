"""Which keep-back counts for a cylinder, and what is wrong or doubtful about one that was measured on a regulator."""

from __future__ import annotations

from pathlib import Path

import pytest

from bad_sites import GOOD
from yokebook.data.keep_back import keep_back
from yokebook.data.load import load
from yokebook.errors import Problem

FIRST = "plug: on a chain at the yoke\n"
MEASURED = "      keep_back: %s\n      keep_back_measured: 2026-05-12\n"


@pytest.fixture
def data(tmp_path: Path) -> Path:
    for file in (GOOD / "content" / "data").iterdir():
        (tmp_path / file.name).write_bytes(file.read_bytes())
    return tmp_path


def change(data: Path, file: str, old: str, new: str) -> None:
    text = (data / file).read_text(encoding="utf-8")
    assert old in text, "a test that changes nothing tests nothing"
    (data / file).write_text(text.replace(old, new, 1), encoding="utf-8")


def second_yoke(data: Path, first: str, second: str) -> None:
    """Give theatre-1 two oxygen yokes, each with what is said of its keep-back."""
    yoke = (
        "    - gas: oxygen\n      cylinder: oxygen-e\n      gauge: yoke-oxygen\n"
        "      regulated_pressure: {low: 40 psi, high: 45 psi}\n      plug: tied on\n"
    )
    change(data, "machines.yaml", "    - gas: oxygen\n", f"{yoke}{second}    - gas: oxygen\n")
    change(data, "machines.yaml", f"      {FIRST}    - gas: nitrous", f"      {FIRST}{first}    - gas: nitrous")


def counted(data: Path, cylinder: str) -> tuple[str, str]:
    department, problems = load(data, "data")
    assert department is not None
    assert [] == problems
    found = keep_back(department, department.cylinders[cylinder])
    return found.pressure.text, found.text


def told(problems: list[Problem]) -> list[tuple[str, str, str]]:
    return [(problem.code, problem.wrong, problem.allowed) for problem in problems]


@pytest.mark.parametrize(
    ("first", "second", "expected"),
    [
        ("", "", "10\u00a0bar"),
        (MEASURED % "14 bar", "", "14\u00a0bar (measured on theatre-1, yoke 2)"),
        (MEASURED % "8 bar", "", "10\u00a0bar"),
        (MEASURED % "8 bar", MEASURED % "9 bar", "9\u00a0bar (measured on theatre-1, yoke 1)"),
        (MEASURED % "12 bar", MEASURED % "20 bar", "20\u00a0bar (measured on theatre-1, yoke 1)"),
    ],
    ids=["none measured", "one, greater", "one, less", "both, less", "both, greater"],
)
def test_the_greatest_of_the_regulators_counts(first: str, second: str, expected: str, data: Path) -> None:
    """What was not measured counts with the department's; less than that counts only where all were measured."""
    second_yoke(data, first, second)
    assert expected == counted(data, "oxygen-e")[1]


def test_an_integral_valve_has_its_own(data: Path) -> None:
    """It is no yoke's and no other cylinder's."""
    change(data, "cylinders.yaml", "  gauge: transfer-dial\n",
           "  gauge: transfer-dial\n  keep_back: 15 bar\n  keep_back_measured: 2026-05-12\n")  # fmt: skip
    assert "15\u00a0bar (measured on the cylinder's own regulator)" == counted(data, "oxygen-transfer")[1]
    assert "10\u00a0bar" == counted(data, "oxygen-e")[1]


@pytest.mark.parametrize(
    ("lines", "wrong"),
    [
        ("      keep_back: 14 bar\n", "keep_back_measured is missing: keep_back of one regulator is one that was "
         "measured, and is worth what its day says"),
        ("      keep_back_measured: 2026-05-12\n", "keep_back is missing: keep_back_measured is given"),
    ],
)  # fmt: skip
def test_keep_back_and_its_day_stand_together(lines: str, wrong: str, data: Path) -> None:
    """A figure without its day was perhaps never measured; a day without a figure says nothing. Both files alike."""
    change(data, "machines.yaml", f"      {FIRST}", f"      {FIRST}{lines}")
    assert [("E202", wrong)] == [(code, what) for code, what, _ in told(load(data, "data")[1])]
    change(data, "machines.yaml", lines, "")
    change(
        data, "cylinders.yaml", "  gauge: transfer-dial\n", f"  gauge: transfer-dial\n{lines.replace('      ', '  ')}"
    )
    assert [("E202", wrong)] == [(code, what) for code, what, _ in told(load(data, "data")[1])]


@pytest.mark.parametrize(
    ("keep_back", "code", "wrong", "allowed"),
    [
        ("140 bar", "E245", "this keep-back is not below the filling of oxygen-e (137\u00a0bar): nothing would "
         "be usable",
         "less than 137\u00a0bar"),
        ("5 bar", "W305", "the gauge yoke-oxygen may be 6.25\u00a0bar out, more than this keep-back (5\u00a0bar): a "
         "cylinder that reads the keep-back may be empty", "a better gauge, or a higher keep_back"),
        ("12 bar", "W306", "the pointer of yoke-oxygen rests on a stop pin, so below 10 % of its span the dial says "
         "nothing; this keep-back (12\u00a0bar) lies there", "a dial without a stop pin, or a higher keep_back"),
        ("2.9 bar", "W308", "a regulator cannot hold this from a cylinder at the keep-back (2.9\u00a0bar)",
         "at most 2.9\u00a0bar, or a higher keep_back"),
        ("31 bar", "W311", "the indicator turns red when only the keep-back (31\u00a0bar) is left: no time is left to "
         "act", "above 31\u00a0bar"),
    ],
    ids=lambda value: value if len(value) == 4 else "",
)  # fmt: skip
def test_a_measured_keep_back_is_checked_as_the_departments(
    keep_back: str, code: str, wrong: str, allowed: str, data: Path
) -> None:
    """Against the filling, the dial's possible error, its stop, the regulated pressure and the indicator."""
    change(data, "machines.yaml", f"      {FIRST}", f"      {FIRST}{MEASURED % keep_back}")
    if code == "W306":
        change(data, "gauges.yaml", "  accuracy: {class: 2.5}\n", "  accuracy: {class: 2.5}\n  zero: stop\n")
    assert (code, wrong, allowed) in told(load(data, "data")[1])


def test_a_gauge_is_not_blamed_for_a_keep_back_that_no_regulator_has(data: Path) -> None:
    """The department's 5 bar lie within the error of both yoke dials; where the yoke's own counts, one is left."""
    change(data, "department.yaml", "keep_back: 10 bar", "keep_back: 5.1 bar")
    assert [("W305", "yoke-oxygen")] == [(one.code, "yoke-oxygen") for one in load(data, "data")[1]]
    change(data, "machines.yaml", f"      {FIRST}", f"      {FIRST}{MEASURED % '14 bar'}")
    assert [] == load(data, "data")[1]
