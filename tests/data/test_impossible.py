"""What no machine can be or do is an error just beyond its limit, not at it, with what was most likely meant."""

from __future__ import annotations

from pathlib import Path

import pytest

from bad_sites import GOOD
from calls_of import result_of, run
from yokebook.data.load import load
from yokebook.errors import Problem

DRIVE, FRESH = "usual: 6 L/min, high: 9 L/min", "{fresh gas: 1 L/min}"
REGULATED, STANDING = "regulated_pressure: {low: 40 psi, high: 45 psi}", "  standing_draw: 0 L/min\n"
CLASS, MULTIPLIER = "accuracy: {class: 2.5}", "dial_multiplier: 100"

# File, what stands there in the good base, what can just be, what cannot, the code, and what was perhaps meant.
LIMITS = (
    ("machines", STANDING, f"{STANDING}  trapped_volume: 1 L\n", f"{STANDING}  trapped_volume: 9 L\n", "E278", "9 mL"),
    ("machines", STANDING, f"{STANDING}  trapped_volume: 0.1 mL\n", f"{STANDING}  trapped_volume: 1.1 L\n", "E278",
     "1.1 mL"),
    ("cylinders", "water_capacity: 4.68 L", "water_capacity: 12 L", "water_capacity: 12.1 L", "E272", ""),
    ("machines", DRIVE, "usual: 20 mL/min, high: 9 L/min", "usual: 19 mL/min, high: 9 L/min", "E273", "19 L/min"),
    ("machines", DRIVE, "usual: 6 L/min, high: 200 L/min", "usual: 6 L/min, high: 201 L/min", "E273", "201 mL/min"),
    ("uses", FRESH, "{fresh gas: 20 mL/min}", "{fresh gas: 1 mL/min}", "E273", "1 L/min"),
    ("uses", FRESH, "{fresh gas: 1 L/min}, {leak: 1 mL/min}", "{leak: 250 L/min}", "E273", "250 mL/min"),
    ("uses", "{drive gas: of the machine}", "{drive gas: 20 mL/min}", "{drive gas: 9 mL/min}", "E273", "9 L/min"),
    ("machines", REGULATED, REGULATED.replace("45 psi", "25 bar"), REGULATED.replace("45 psi", "45 bar"), "E274",
     "45 psi"),
    ("machines", REGULATED, REGULATED.replace("40 psi", "0.5 bar"), REGULATED.replace("40 psi", "2.8 psi"), "E274",
     "2.8 bar"),
    ("machines", "oxygen: {low: 50 psi, high: 55 psi}", "oxygen: {low: 50 psi, high: 25 bar}",
     "oxygen: {low: 50 psi, high: 400 bar}", "E274", "400 kPa"),
    ("machines", "      plug: on a chain at the yoke\n",
     "      measured_outlets: [{inlet: 130 bar, outlet: 3.1 bar}, {inlet: 30 bar, outlet: 0.5 bar}]\n",
     "      measured_outlets: [{inlet: 130 bar, outlet: 3.1 bar}, {inlet: 30 bar, outlet: 2.8 psi}]\n", "E274",
     "2.8 bar"),
    ("places", "high: 24 °C", "high: 60 °C", "high: 60.1 °C", "E811", "60.1 °F"),
    ("places", "low: 18 °C", "low: -40 °C", "low: -40.1 °C", "E811", ""),
    ("department", "high: 26 °C", "high: 60 °C", "high: 71 °C", "E811", "71 °F"),
    ("department", "change_time: 5 min", "change_time: 30 s", "change_time: 5 s", "E276", "5 min"),
    ("department", "change_time: 5 min", "change_time: 2 h", "change_time: 5 h", "E276", "5 min"),
)  # fmt: skip


def problems_after(folder: Path, file: str, old: str, new: str) -> list[Problem]:
    """Return the errors of the good base with one text in it changed."""
    for each in (GOOD / "content" / "data").iterdir():
        (folder / each.name).write_bytes(each.read_bytes())
    text = (folder / f"{file}.yaml").read_text(encoding="utf-8")
    assert old in text, "a test that changes nothing tests nothing"
    (folder / f"{file}.yaml").write_text(text.replace(old, new, 1), encoding="utf-8")
    return [problem for problem in load(folder, "data")[1] if problem.code.startswith("E")]


@pytest.mark.parametrize(("file", "old", "possible", "impossible", "code", "meant"), LIMITS)
def test_a_limit_is_refused_beyond_it(
    tmp_path: Path, file: str, old: str, possible: str, impossible: str, code: str, meant: str
) -> None:
    """At the limit no error, beyond it one, with the same number in a unit in which it can be (common practice)."""
    assert [] == problems_after(tmp_path, file, old, possible)
    assert [(code, meant)] == [
        (problem.code, problem.suggestion) for problem in problems_after(tmp_path, file, old, impossible)
    ]


@pytest.mark.parametrize(
    ("old", "usual", "slip", "code", "answer"),
    [
        (CLASS, "accuracy: {class: 0.6}", "accuracy: {class: 0.25}", "E275", "accuracy-class"),
        (MULTIPLIER, "dial_multiplier: 1000", "dial_multiplier: 10", "E277", "dial-multiplier"),
    ],
)
def test_what_could_be_after_all_is_meant_with_a_reason(
    tmp_path: Path, old: str, usual: str, slip: str, code: str, answer: str
) -> None:
    """An error, until the department says why it is right."""
    assert code not in [problem.code for problem in problems_after(tmp_path, "gauges", old, usual)]
    assert [code] == [problem.code for problem in problems_after(tmp_path, "gauges", old, slip)]
    answered = f"{slip}\n  answers: {{{answer}: looked at twice and found right}}"
    assert [] == problems_after(tmp_path, "gauges", old, answered)


@pytest.mark.parametrize("flow", ["20 mL/min", "200 L/min"])
def test_a_flow_that_a_flowmeter_has_is_taken(flow: str) -> None:
    """From what a vaporiser's test takes to the fastest flush."""
    assert result_of(f'reserve_table(cylinder="oxygen-e", machine="theatre-1", flows=["{flow}"])').as_read["rows"]


@pytest.mark.parametrize(("flow", "meant"), [("2 mL/min", "2 L/min"), ("500 L/min", "500 mL/min")])
def test_a_flow_that_no_flowmeter_has_is_refused_in_a_call(flow: str, meant: str) -> None:
    """At its item of the list, with the same number in the other unit."""
    call = f'reserve_table(cylinder="oxygen-e", machine="theatre-1", flows=["{flow}"])'
    (problem,) = run(call)[1]
    assert ("E558", f"no flowmeter is set to {flow}", meant) == (
        problem.code, problem.wrong.replace("\xa0", " "), problem.suggestion,
    )  # fmt: skip
