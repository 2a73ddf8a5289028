"""What is unusual and mostly a slip: noted just beyond its limit, not at it, and silenced by a reason."""

from __future__ import annotations

from pathlib import Path

import pytest

from bad_sites import GOOD
from yokebook.data.load import load

# File, what stands there in the good base, what is still usual, what is not, the code, and the key of its answer.
LIMITS = (
    ("cylinders", "water_capacity: 4.68 L", "water_capacity: 6 L", "water_capacity: 6.1 L", "N410", "water-capacity"),
    ("cylinders", "water_capacity: 2.0 L", "water_capacity: 50 L", "water_capacity: 51 L", "N410", "water-capacity"),
    ("cylinders", "water_capacity: 2.0 L", "water_capacity: 0.2 L", "water_capacity: 20 mL", "N410", "water-capacity"),
    ("uses", "[{fresh gas: 1 L/min}]", "[{fresh gas: 60 mL/min}, {leak: 40 mL/min}]", "[{fresh gas: 99 mL/min}]",
     "N411", "little-drawn"),
    ("machines", "usual: 6 L/min, high: 9 L/min", "usual: 3 L/min, high: 3 L/min", "usual: 2.9 L/min, high: 2.9 L/min",
     "N412", "drive-high"),
    ("machines", "usual: 6 L/min, high: 9 L/min", "usual: 3 L/min, high: 11 L/min", "usual: 1.1 L/min, high: 11 L/min",
     "N412", "drive-high"),
    ("uses", "{drive gas: of the machine}", "{drive gas: 3 L/min}", "{drive gas: 1.1 L/min}", "N412", "little-drive"),
    ("places", "low: 18 °C", "low: -5 °C", "low: -17 °C", "N413", "temperature"),
    ("department", "{low: 16 °C", "{low: -5 °C", "{low: -5.1 °C", "N413", "room-temperature"),
    ("places", "low: 18 °C, usual: 20 °C, high: 24 °C", "low: 4 °C, usual: 5 °C, high: 6 °C",
     "low: 4 °C, usual: 4.9 °C, high: 6 °C", "N413", "temperature"),
    ("department", "{low: 16 °C, usual: 20 °C, high: 26 °C}", "{low: 16 °C, usual: 35 °C, high: 36 °C}",
     "{low: 16 °C, usual: 36 °C, high: 36 °C}", "N413", "room-temperature"),
    ("department", "{low: 16 °C, usual: 20 °C, high: 26 °C}", "{low: -5 °C, usual: 20 °C, high: 45 °C}",
     "{low: -5 °C, usual: 20 °C, high: 45.1 °C}", "N414", "room-temperature-range"),
    ("gauges", "accuracy: {class: 2.5}", "accuracy: {plus_minus: 2.5 bar}", "accuracy: {plus_minus: 2.4 bar}", "N415",
     "fine-accuracy"),
    ("gauges", "accuracy: {class: 2.5}", "accuracy: {of_span: 1 %, of_reading: 0 %}",
     "accuracy: {of_span: 0.9 %, of_reading: 50 %}", "N415", "fine-accuracy"),
    ("gauges", "accuracy: {class: 2.5}", "accuracy: {class: 1}", "accuracy: {class: 0.6}", "N416", "accuracy-class"),
    ("department", "flowmeter_tolerance: 10 %", "flowmeter_tolerance: 2.5 %", "flowmeter_tolerance: 2.4 %", "N417",
     "flowmeter-tolerance"),
    ("uses", "[{fresh gas: 1 L/min}]", "[{fresh gas: 1 L/min, tolerance: 2.5 %}]",
     "[{fresh gas: 1 L/min, tolerance: 2.4 %}]", "W795", "flowmeter-tolerance"),
    ("uses", "[{fresh gas: 1 L/min}]", "[{fresh gas: 2 L/min, tolerance: 50 mL/min}]",
     "[{fresh gas: 2 L/min, tolerance: 49 mL/min}]", "W795", "flowmeter-tolerance"),
    ("uses", "[{fresh gas: 1 L/min}]", "[{fresh gas: 1 L/min, flowmeter_for: oxygen}]",
     "[{fresh gas: 1 L/min, flowmeter_for: air}]", "W796", "flowmeter-gas"),
    ("cylinders", "{ratio: 0.75}", "{ratio: 0.75}", "{ratio: 0.751}", "N418", "filling-ratio"),
    ("department", "ambient_pressure: 101.325 kPa", "ambient_pressure: 106 kPa", "ambient_pressure: 106.1 kPa", "N419",
     "ambient-pressure"),
    ("department", "ambient_pressure: 101.325 kPa", "altitude: 3000 m", "altitude: 3050 m", "N419", "ambient-pressure"),
    ("cylinders", "{pressure: 200 bar, at: 15 °C}", "{pressure: 200 bar, at: 5 °C}", "{pressure: 200 bar, at: 0 °C}",
     "N420", "filling-temperature"),
    ("cylinders", "tare: 5.40 kg", "tare: 2.40 kg", "tare: 2.33 kg", "N421", "tare"),
    ("machines", "  standing_draw: 0 L/min\n", "  standing_draw: 0 L/min\n  trapped_volume: 2 mL\n",
     "  standing_draw: 0 L/min\n  trapped_volume: 1 mL\n", "N422", "trapped-volume"),
    ("machines", "{low: 50 psi, high: 55 psi}", "{low: 50 psi, high: 12 bar}", "{low: 50 psi, high: 13 bar}", "N423",
     "supply-pressure"),
)  # fmt: skip


def codes_after(folder: Path, file: str, old: str, new: str, answer: str = "") -> list[str]:
    for each in (GOOD / "content" / "data").iterdir():
        (folder / each.name).write_bytes(each.read_bytes())
    text = (folder / f"{file}.yaml").read_text(encoding="utf-8")
    assert old in text, "a test that changes nothing tests nothing"
    before, after = text[: text.index(old)], text[text.index(old) + len(old) :]
    reason = f"answers: {{{answer}: looked at and found right}}\n" if answer else ""
    if file == "department":
        after = after + reason
    elif reason:
        head, name, rest = before.rpartition(before.split("\n")[_entry(before)] + "\n")
        before = f"{head}{name}  {reason}{rest}"
    (folder / f"{file}.yaml").write_text(before + new + after, encoding="utf-8")
    return [problem.code for problem in load(folder, "data")[1]]


def _entry(text: str) -> int:
    """Return in which line the last entry of a text begins: the last that is not indented."""
    return max(number for number, line in enumerate(text.split("\n")) if line and not line.startswith(" "))


@pytest.mark.parametrize(("file", "old", "usual", "unusual", "code", "answer"), LIMITS)
def test_a_limit_is_noted_beyond_it_and_silenced_by_a_reason(
    tmp_path: Path, file: str, old: str, usual: str, unusual: str, code: str, answer: str
) -> None:
    """At the limit nothing is said, beyond it a note, and with an answer nothing again (limits: common practice)."""
    assert code not in codes_after(tmp_path, file, old, usual)
    assert [code] == codes_after(tmp_path, file, old, unusual)
    assert [] == codes_after(tmp_path, file, old, unusual, answer)


def test_an_answer_to_what_is_usual_can_go(tmp_path: Path) -> None:
    """An answer that answers nothing is told, in the department's own file too."""
    assert ["W310"] == codes_after(tmp_path, "department", "10 %", "10 %", "flowmeter-tolerance")
    assert ["W310"] == codes_after(tmp_path, "places", "low: 18 °C", "low: 18 °C", "temperature")


def test_degrees_of_the_other_scale_are_noted(tmp_path: Path) -> None:
    """68 °F is 20 °C (definition of the scales): each typed as the other is far from any room."""
    for code, written in (
        ("E811", "low: 64 °C, usual: 68 °C, high: 69 °C"),
        ("N413", "low: 18 °F, usual: 20 °F, high: 24 °F"),
        ("N413", "low: -17 °C, usual: 20 °C, high: 24 °C"),
    ):
        assert code in codes_after(tmp_path, "places", "low: 18 °C, usual: 20 °C, high: 24 °C", written)
    assert [] == codes_after(
        tmp_path, "places", "low: 18 °C, usual: 20 °C, high: 24 °C", "low: 64 °F, usual: 68 °F, high: 75 °F"
    )


def test_a_tolerance_of_nothing_is_no_tolerance(tmp_path: Path) -> None:
    """0 % says that the stamp is exact, and asks for the same reason as none at all."""
    assert ["N409"] == codes_after(tmp_path, "cylinders", "_tolerance: 1 %", "_tolerance: 0 %")
