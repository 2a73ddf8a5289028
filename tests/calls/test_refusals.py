"""Calls that give nothing: what is said, where, and what an author may write instead."""

from __future__ import annotations

from pathlib import Path

import pytest

from calls_of import cell_of, copy_fleet, result_of, told, working_of
from demo_site import change
from yokebook.calls import registry
from yokebook.data.load import load
from yokebook.pages.syntax import Call, parse

ON = 'cylinder="oxygen-e", machine="theatre-1"'
IN_TURN = 'machine_reserve_table(machine="{}", flows=["2 L/min"], spare="{}")'
TOO_LITTLE = (
    "even a full cylinder may not last {}\u00a0min and 5\u00a0min more for the change (100\u00a0L/min set: up to "
    "110\u00a0L/min)"
)
LESS = "a larger cylinder, or a use that takes less"


def test_an_unknown_call_is_told_with_all_that_there_are() -> None:
    """The nearest name is offered."""
    ((code, wrong, allowed, _),) = told("reserve_tabel()")
    assert ("E520", "there is no such call") == (code, wrong)
    assert ", ".join(sorted(registry.CALLS)) == allowed


def test_each_call_knows_its_family() -> None:
    """The family is the module that works it out."""
    assert {"reserve": 7, "weight": 4, "units": 3, "yoke": 7, "gauge": 5, "regulator": 2, "figure": 2, "card": 1} == {
        family: sum(definition.family == family for definition in registry.CALLS.values())
        for family in {definition.family for definition in registry.CALLS.values()}
    }


@pytest.mark.parametrize(
    ("call", "expected"),
    [
        (
            'duration(cylinder="oxygen-transfer", use="bellows", reading="100 bar")',
            ("E528", "the use bellows takes the drive gas of a machine, and none is named",
             "machine= with the name of a machine", 'machine="theatre-1"'),
        ),
        (
            'duration(cylinder="oxygen-e", machine="scanner-1", use="bellows", reading="1000 psi")',
            ("E528", "the use bellows takes oxygen as drive gas, and the ventilator of scanner-1 is driven without gas",
             "a machine whose drive gas is oxygen", "drive: {gas: oxygen, usual: 6 L/min, high: 9 L/min}"),
        ),
        (
            'cylinders_needed(cylinder="oxygen-transfer", flow="100 L/min", time="1 h")',
            ("E531", TOO_LITTLE.format(15), LESS, 'flow="2 L/min"'),
        ),
        (
            'cylinders_needed(cylinder="oxygen-transfer", flow="100 L/min", time="1 h", in_hand="0 min")',
            ("E531", TOO_LITTLE.format(0), LESS, 'flow="2 L/min"'),
        ),
        (
            'cylinders_needed(cylinder="oxygen-transfer", flow="20 L/min", time="1 h")',
            ("E531", "even a full cylinder may not last 15\u00a0min and 5\u00a0min more for the change (20\u00a0L/min "
             "set: up to 22\u00a0L/min)", f"{LESS}, or another time in hand for this call: at most 12\u00a0min",
             'in_hand="12 min"'),
        ),
        (
            'cylinders_needed(cylinder="oxygen-transfer", flow="15 L/min", time="1 h")',
            ("E532", "a full cylinder may have come to 185\u00a0kPa\u00a0×\u00a0100, where it is changed (15\u00a0min "
             "in hand, 15\u00a0L/min set: up to 16.5\u00a0L/min), before it has given anything: no number of them is "
             "enough", f"{LESS}; or less time in hand", 'flow="2 L/min"'),
        ),
        (
            'contents(cylinder="nitrous-oxide-e", machine="theatre-1", reading="40 bar")',
            ("E526", "a gauge of nitrous oxide shows its vapour pressure, not its contents, for as long as liquid is "
             "left", "a cylinder of compressed gas; for this one weight_table, or vapour_table with only gas left",
             'cylinder="oxygen-e"'),
        ),
        (
            IN_TURN.format("induction-1", "100 bar"),
            ("E533", "induction-1 has one cylinder of oxygen in its yokes, so there is no spare to turn to",
             "a machine with two yokes or more for oxygen; for one cylinder call reserve_table",
             'reserve_table(cylinder="oxygen-e", machine="theatre-1", uses=["bellows"])'),
        ),
        (
            IN_TURN.format("theatre-1", "10 bar"),
            ("E532", "less what the gauge may be out, this reading is not above the keep-back: the spare may give "
             "nothing", "at least 30\u00a0bar", 'spare="30 bar"'),
        ),
    ],
    ids=["no machine", "no drive gas", "full gives too little", "with none in hand", "too much in hand",
         "in hand till nothing is left", "liquefied",
         "one cylinder", "spare"],
)  # fmt: skip
def test_what_cannot_be_worked_out_is_refused(call: str, expected: tuple[str, str, str, str]) -> None:
    """Each with its code, what is wrong, what is allowed and an example."""
    assert [expected] == told(call)


def test_the_reading_that_a_count_asks_for_is_enough() -> None:
    """From it a cylinder lasts a minute till it is changed at 70 bar: from one mark lower it does not."""
    call = f'cylinders_needed({ON}, use="bellows", time="1 h", reading="{{}} bar")'
    ((code, _, allowed, example),) = told(call.format(20))
    assert ("E532", "at least 110\u00a0bar", 'reading="110 bar"') == (code, allowed, example)
    assert cell_of(call.format(110)).text.startswith("at least")
    assert ["E532"] == [code for code, *_ in told(call.format(90))]


def test_the_spare_that_a_refusal_asks_for_is_above_the_keep_back(tmp_path: Path) -> None:
    """Where reading less error is just the keep-back at a mark, the next mark is asked for: that leaves something."""
    folder = copy_fleet(tmp_path / "site")
    data = folder / "content/data"
    checked = "accuracy: {class: 2.5}\n  place: theatre\n  checked: 2026-03-01\n  found_error: 2 bar"
    change(data / "gauges.yaml", checked, "accuracy: {plus_minus: 5 bar}\n  place: theatre")
    change(data / "places.yaml", "theatre:\n  temperature: {low: 18 °C, usual: 20 °C, high: 24 °C}",
           "theatre:\n  temperature: {low: 20 °C, usual: 20 °C, high: 20 °C}")  # fmt: skip
    ((code, _, allowed, example),) = told(IN_TURN.format("theatre-1", "20 bar"), folder)
    assert ("E532", "at least 30\u00a0bar", 'spare="30 bar"') == (code, allowed, example)
    assert result_of(IN_TURN.format("theatre-1", "30 bar"), folder).numbers is not None


def test_yokes_that_are_not_alike_are_refused_and_the_example_works(tmp_path: Path) -> None:
    """One column of readings cannot serve two dials; the call that is offered for one of them gives its table."""
    folder = copy_fleet(tmp_path / "site")
    machines = folder / "content/data/machines.yaml"
    text = machines.read_text(encoding="utf-8")
    at = text.index("gauge: yoke-oxygen,") + len("gauge: yoke-oxygen,")
    machines.write_text(text[:at] + text[at:].replace("gauge: yoke-oxygen,", "gauge: yoke-oxygen-psi,", 1), "utf-8")
    ((code, wrong, _, example),) = told(IN_TURN.format("theatre-1", "100 bar"), folder)
    assert "E534" == code
    assert (
        "the yokes for oxygen are not alike (oxygen-e on yoke-oxygen, oxygen-e on yoke-oxygen-psi), so that one column "
        "of readings cannot serve them all" == wrong
    )
    assert result_of(example, folder).numbers is not None


def test_a_dial_that_a_full_cylinder_does_not_move_is_refused(tmp_path: Path) -> None:
    """Marks 100 bar apart, and 50 bar when full: there is no row to print."""
    folder = copy_fleet(tmp_path / "site")
    data = folder / "content/data"
    dial = "span: {{low: 0 kPa, high: {} kPa}}\n  dial_multiplier: 100\n  scale_interval: {} kPa"
    change(data / "gauges.yaml", dial.format(31500, 500), dial.format(30000, 10000))
    change(data / "cylinders.yaml", "{pressure: 200 bar, at: 15 °C}", "{pressure: 50 bar, at: 15 °C}")
    ((code, wrong, allowed, _),) = told('reserve_table(cylinder="oxygen-transfer", flows=["2 L/min"])', folder)
    assert ("E530", "a dial on which a full cylinder can be read") == (code, allowed)
    assert "a full cylinder does not reach the first mark of its dial, integral-dial" == wrong


@pytest.mark.parametrize(
    ("file", "old", "new", "call"),
    [
        ("cylinders.yaml", "water_capacity: 4.68 L", "water_capacity: 4,68 L", f'contents({ON}, reading="100 bar")'),
        ("gauges.yaml", "high: 250 bar", "high: 250", f'contents({ON}, reading="100 bar")'),
        ("places.yaml", "high: 24 °C", "high: 24", f'contents({ON}, reading="100 bar")'),
        ("machines.yaml", "trapped_volume: 20 mL", "trapped_volume: 20", f'contents({ON}, reading="100 bar")'),
        (
            "machines.yaml", "trapped_volume: 20 mL", "trapped_volume: 20",
            'vapour_table(cylinder="nitrous-oxide-e", flows=["2 L/min"])',
        ),
    ],
    ids=["its cylinder", "its gauge", "its place", "its machine", "the machine on which it hangs"],
)  # fmt: skip
def test_an_entry_that_could_not_be_read_is_told_once(file: str, old: str, new: str, call: str, tmp_path: Path) -> None:
    """Its file's report says it: the call gives nothing, and nothing more is said."""
    folder = copy_fleet(tmp_path / "site")
    change(folder / "content/data" / file, old, new)
    department, problems = load(folder / "content/data", "content/data")
    assert [problem for problem in problems if problem.code == "E102" or problem.code == "E104"]
    assert department is not None
    parsed = parse(call, "page", 1, 1)
    assert isinstance(parsed, Call)
    assert (None, []) == registry.run(parsed.name, parsed.arguments, department, "page")


def test_a_department_in_the_hills_states_its_height_in_the_working(tmp_path: Path) -> None:
    """1600 m are some 83.5 kPa (ISO 2533:1975, 835.23 hPa at 1600 m, from memory); there less is left below 0 gauge."""
    folder = copy_fleet(tmp_path / "site")
    change(folder / "content/data/department.yaml", "ambient_pressure: 101.325 kPa", "altitude: 1600 m")
    call = f'contents({ON}, reading="100 bar")'
    (line,) = [line for line in working_of(call, folder) if line.startswith("Height above sea level")]
    assert line.startswith("Height above sea level: 1600\u00a0m, so 83.5")
    assert line.endswith("\u00a0kPa (absolute) (department.altitude)")
