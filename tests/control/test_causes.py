"""What moved a number: the values of the data that changed, each by its own key and once."""

from __future__ import annotations

from collections.abc import Mapping

import pytest

from pages_to_compare import inline, page
from yokebook.control.causes import causes
from yokebook.control.comparison import compare_pages


def told(before: Mapping[str, str], after: Mapping[str, str], *, all_keys: bool = True) -> list[str]:
    return [cause.as_text for cause in causes(before, after, all_keys=all_keys)]


@pytest.mark.parametrize(
    ("key", "old", "new", "expected"),
    [
        ('machines["theatre-1"].drive', "gas: oxygen, usual: 6 L/min, high: 9 L/min",
         "gas: oxygen, usual: 6 L/min, high: 10 L/min", ["machines.theatre-1.drive.high: 9 L/min → 10 L/min"]),
        ("uses.mask.draws.oxygen", "{fresh gas: 6 L/min}, {drive gas: of the machine}",
         "{fresh gas: 7 L/min}, {drive gas: of the machine}",
         ['uses.mask.draws.oxygen[0]["fresh gas"]: 6 L/min → 7 L/min']),
        ("gauges.dial.accuracy", "class: 2.5", "plus_minus: 5 bar",
         ["gauges.dial.accuracy.class: 2.5 → not given", "gauges.dial.accuracy.plus_minus: not given → 5 bar"]),
        ("machines.a.yokes", "{gas: oxygen, regulated_pressure: {low: 40 psi, high: 45 psi}}",
         "{gas: oxygen, regulated_pressure: {low: 40 psi, high: 50 psi}}",
         ["machines.a.yokes[0].regulated_pressure.high: 45 psi → 50 psi"]),
        ("machines.a.yokes[0].plug", "on a chain, at the yoke", "on a chain, in a drawer",
         ["machines.a.yokes[0].plug: on a chain, at the yoke → on a chain, in a drawer"]),
        ("machines.a.yokes[0]", "gas: oxygen, plug: on a chain, at the yoke",
         "gas: oxygen, plug: on a hook, at the yoke",
         ["machines.a.yokes[0].plug: on a chain, at the yoke → on a hook, at the yoke"]),
        ("machines.a.drive", "not given", "gas: oxygen, high: 9 L/min",
         ["machines.a.drive: not given → gas: oxygen, high: 9 L/min"]),
        ("cylinders.o.filling", "pressure: 137 bar, at: 15 °C", "ratio: 0.75",
         ["cylinders.o.filling.pressure: 137 bar → not given", "cylinders.o.filling.at: 15 °C → not given",
          "cylinders.o.filling.ratio: not given → 0.75"]),
    ],
)  # fmt: skip
def test_a_branch_is_told_by_the_values_within_it_that_changed(
    key: str, old: str, new: str, expected: list[str]
) -> None:
    """By the key that trace takes; a comma within a value does not end it."""
    assert expected == told({key: old}, {key: new})


def test_a_value_is_told_once() -> None:
    """Though a call depends on its branch and on itself."""
    before = {"a.b": "low: 1, high: 2", "a.b.high": "2", "c": "3"}
    after = {"a.b": "low: 1, high: 4", "a.b.high": "4", "c": "3", "d": "5"}
    assert ["a.b.high: 2 → 4", "d: not given → 5"] == told(before, after)
    assert ["a.b.high: 2 → 4"] == told(before, after, all_keys=False)


def test_an_entry_too_long_to_be_kept_is_said_to_have_changed() -> None:
    """Its digest tells nobody anything; where something within it is told, that is enough."""
    old, new = (inline(shown, inputs={'machines["a"]': f"entry {shown}"}) for shown in ("4", "5"))
    (change,) = compare_pages(page(calls=(old,)), page(calls=(new,))).numbers
    assert "machines.a was changed" == change.because
    before, after = ({'machines["a"]': f"entry {number}", 'machines["a"].draw': number} for number in ("4", "5"))
    assert ["machines.a.draw: 4 → 5"] == told(before, after)
