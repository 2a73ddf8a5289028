"""Cylinders one after the other, each but the last changed by the department's own rule; and half a mark of reading."""

from __future__ import annotations

import random
from dataclasses import dataclass
from pathlib import Path

import pytest
from CoolProp.CoolProp import PropsSI

from calls_of import cell_of, copy_fleet, department, label_of, result_of, told, working_of
from demo_site import change
from within_tolerances import Truth, drive_of_machine
from yokebook.number_list import CallNumbers

RULE = "\ntime_in_hand: 15 min\n"
AMBIENT, STANDARD = 101325.0, PropsSI("Dmolar", "P", 101325.0, "T", 293.15, "Oxygen")


def numbers_of(call: str) -> CallNumbers:
    """Return the list of numbers of a call."""
    numbers = result_of(call).numbers
    assert numbers is not None
    return numbers


def density(gauge_bar: float, celsius: float) -> float:
    """Return the molar density of oxygen [mol/m3], by the reference equation that its library has."""
    return float(PropsSI("Dmolar", "P", gauge_bar * 1e5 + AMBIENT, "T", celsius + 273.15, "Oxygen"))


@dataclass(frozen=True)
class ByHand:
    """What a reviewer takes from the data: capacity [m3], place [°C], error as read [bar], flow [L/min]."""

    capacity: float
    cold: float
    warm: float
    out: float
    flow: float

    def minutes(self, first: float, last: float) -> float:
        """Return how long [min] a cylinder lasts from a true pressure, in the warm, to one in the cold [bar]."""
        amount = self.capacity * (density(first, self.warm) - density(last, self.cold))
        return amount / (self.flow * 1e-3 * STANDARD)

    def needed(self, minutes: float) -> float:
        """Return the reading [bar] from which so many minutes are left down to 10 bar, the dial reading high."""
        first = density(10.0, self.cold) + minutes * self.flow * 1e-3 * STANDARD / self.capacity
        return float(PropsSI("P", "Dmolar", first, "T", self.warm + 273.15, "Oxygen") - AMBIENT) / 1e5 + self.out


def test_the_table_of_a_machine_is_the_one_worked_out_by_hand() -> None:
    """theatre-1, 4.68 L less 1 %, 18 to 24 °C, ventilator 1.1 + 9 L/min.

    Class 2.5 of 250 bar, 2 bar found, 4 K of 0.1 bar and half of 10 bar: 13.65 bar. The mark of 20 min is 70 bar, which
    may truly be 83.65: 140 bar then lasts no longer than from 126.35 to that, and the spare of 100 bar to 10 bar.
    """
    hand = ByHand(4.68e-3 * 0.99, 18.0, 24.0, 6.25 + 2.0 + 0.4 + 5.0, 10.1)
    assert 60.0 < hand.needed(20.0) <= 70.0
    assert "70\u00a0bar" in cell_of('change_at(cylinder="oxygen-e", machine="theatre-1", use="bellows")').text
    first, last = hand.minutes(140 - hand.out, 70 + hand.out), hand.minutes(100 - hand.out, 10)
    call = 'machine_reserve_table(machine="theatre-1", uses=["bellows"], spare="100 bar")'
    assert (
        f"Together: {first:.2f}\u00a0min + {last:.2f}\u00a0min = {first + last:.2f}\u00a0min, shown as 55\u00a0min."
        in (working_of(call))
    )
    assert 55 == first + last - (first + last) % 5 == numbers_of(call).cells[0][0].value


def test_a_count_of_cylinders_is_the_one_worked_out_by_hand() -> None:
    """Transfer cylinder, 2 L, 14 to 28 °C, 6.6 L/min, each full: 205 on its dial.

    Class 1.6 of 315 bar, 8 K of 0.126 bar and half of 5 bar: 8.548 bar. With 15 min in hand the mark is 85.
    """
    hand = ByHand(2.0e-3, 14.0, 28.0, 5.04 + 8 * 0.126 + 2.5, 6.6)
    assert 80.0 < hand.needed(20.0) <= 85.0
    each, last = hand.minutes(205 - hand.out, 85 + hand.out), hand.minutes(205 - hand.out, 10)
    count = 1 + -(-(240 - last) // each)
    assert 8 == count == cell_of('cylinders_needed(cylinder="oxygen-transfer", use="mask", time="4 h")').value


def test_a_single_cylinder_is_read_half_a_mark_too_high() -> None:
    """By hand at 100 bar on theatre-1: 86.35 bar at 24 °C down to 10 bar at 18 °C is 361 L, 35.8 min at 10.1 L/min."""
    hand = ByHand(4.68e-3 * 0.99, 18.0, 24.0, 13.65, 10.1)
    minutes = hand.minutes(100 - hand.out, 10.0)
    on = 'cylinder="oxygen-e", machine="theatre-1", reading="100 bar"'
    assert 360 == cell_of(f"contents({on})").value == minutes * 10.1 - minutes * 10.1 % 10
    assert 35 == cell_of(f'duration({on}, use="bellows")').value == minutes - minutes % 5


MACHINES = [
    ("theatre-1", "yoke-oxygen", "theatre", "bar", 1e5, ("100 bar", "140 bar"), 0.0),
    ("scanner-1", "yoke-oxygen-psi", "scanner-suite", "psi", 6894.757293168361, ("1000 psi", "2000 psi"), 0.1),
]


@pytest.mark.parametrize(("machine", "gauge", "place", "unit", "pa", "spares", "standing"), MACHINES)
def test_a_department_that_changes_by_its_own_rule_has_the_time_that_is_printed(
    machine: str, gauge: str, place: str, unit: str, pa: float, spares: tuple[str, ...], standing: float
) -> None:
    """At random points: each dial out on its own, read half a mark wrong, changed when it comes to the rule's mark.

    The mark is the one that change_at prints with the rule of the data.
    """
    here, dice = department(), random.Random(20261202)
    # The greediest first, as in the table.
    uses = {"mask": (6.0, (0.0, 0.0)), "bag-low-flow": (1.0, (0.0, 0.0))}
    if machine == "theatre-1":
        uses = {"bellows": (1.0, drive_of_machine(here, machine)), **uses}
    marks = [cell_of(f'change_at(cylinder="oxygen-e", machine="{machine}", use="{use}")').value for use in uses]
    named = ", ".join(f'"{use}"' for use in uses)
    for spare in spares:
        numbers = numbers_of(f'machine_reserve_table(machine="{machine}", uses=[{named}], spare="{spare}")')
        held = float(spare.removesuffix(f" {unit}")) * pa
        for _ in range(250):
            truth = Truth(here, "oxygen-e", gauge, place, dice)
            row, column = dice.randrange(len(numbers.rows)), dice.randrange(len(uses))
            flow, drive = tuple(uses.values())[column]
            first = truth.till_changed(float(numbers.rows[row]) * pa, float(marks[column] or 0) * pa)
            lasts = (first + truth.usable(held)) / truth.rate(flow, drive, standing)
            assert float(numbers.cells[row][column].value or 0) * 60 <= lasts * (1 + 1e-9)


def test_a_misreading_by_half_a_mark_the_wrong_way_is_in_the_time_printed() -> None:
    """The pointer stands at 65 bar, half a mark below what is read; all else is as bad as it may be."""
    hand = ByHand(4.68e-3 * 0.99, 18.0, 24.0, 13.65, 10.1)
    shown = cell_of('duration(cylinder="oxygen-e", machine="theatre-1", use="bellows", reading="70 bar")').value
    assert shown is not None
    truly = hand.minutes(65.0 - (13.65 - 5.0), 10.0)
    assert float(shown) <= truly
    assert float(shown) + 5 > truly


def test_the_rule_of_a_machine_comes_before_the_departments_and_the_calls_before_both() -> None:
    """scanner-1 has 30 min of its own; the list of numbers names where the rule stands."""
    table = 'machine_reserve_table(machine="{}", flows=["2 L/min"], spare="{}"{})'
    scanner, theatre = table.format("scanner-1", "1000 psi", "{}"), table.format("theatre-1", "100 bar", "{}")
    for call, key in (
        (scanner.format(""), 'machines["scanner-1"].time_in_hand'),
        (theatre.format(""), "department.time_in_hand"),
        ('cylinders_needed(cylinder="oxygen-transfer", use="mask", time="1 h")', "department.time_in_hand"),
        ('change_at(cylinder="oxygen-e", machine="scanner-1", use="mask")', 'machines["scanner-1"].time_in_hand'),
    ):
        keys = numbers_of(call).keys
        assert [key] == [one for one in keys if "time_in_hand" in one]
        assert "department.change_time" in keys
    of_call = numbers_of(scanner.format(', in_hand="15 min"'))
    assert [] == [one for one in of_call.keys if "time_in_hand" in one]
    assert "the first changed with 15\u00a0min in hand" in of_call.texts["caption"]
    assert "the first changed with 30\u00a0min in hand" in numbers_of(scanner.format("")).texts["caption"]


def test_the_reading_to_change_at_and_the_tables_keep_the_same_rule(tmp_path: Path) -> None:
    """The rule moved in the data moves both; the mark in the table's condition is the one that change_at prints."""
    folder = copy_fleet(tmp_path / "site")
    change(folder / "content/data/department.yaml", RULE, "\ntime_in_hand: 30 min\n")
    table = 'machine_reserve_table(machine="theatre-1", uses=["bellows"], spare="140 bar")'
    at = 'change_at(cylinder="oxygen-e", machine="theatre-1", use="bellows")'
    for site in (None, folder):
        numbers = (result_of(table, site) if site else result_of(table)).numbers
        mark = (cell_of(at, site) if site else cell_of(at)).value
        assert numbers is not None
        assert f"for the change: {mark}\u00a0bar (Ventilator, 1\u00a0L/min set)." in numbers.texts["condition"]


def test_with_nothing_in_hand_the_change_alone_is_left() -> None:
    """In the words of change_at, and in fewer cylinders."""
    on = 'cylinder="oxygen-transfer", flow="15 L/min"'
    assert "still lasts the 5\u00a0min that a change takes" in label_of(f'change_at({on}, time="0 min")')
    more, fewer = (
        cell_of(f'cylinders_needed(cylinder="oxygen-transfer", use="mask", time="4 h", in_hand="{hand} min")').value
        for hand in (15, 0)
    )
    assert (8, 6) == (more, fewer)


def test_without_a_rule_nothing_is_counted_from_it(tmp_path: Path) -> None:
    """Neither the tables nor the reading are told; the call's own time does."""
    folder = copy_fleet(tmp_path / "site")
    change(folder / "content/data/department.yaml", RULE, "\n")
    at = 'change_at(cylinder="oxygen-e", machine="theatre-1", use="bellows"{})'
    for call in (
        at.format(""),
        'machine_reserve_table(machine="theatre-1", uses=["bellows"], spare="100 bar")',
        'cylinders_needed(cylinder="oxygen-transfer", use="mask", time="4 h")',
    ):
        assert ["E790"] == [code for code, *_ in told(call, folder)]
    assert 70 == cell_of(at.format(', time="15 min"'), folder).value


def test_alike_machines_that_differ_in_the_rule_are_told_apart(tmp_path: Path) -> None:
    """theatre-1 and its twin with another rule: a reading to change at asks which, how long it lasts does not."""
    folder = copy_fleet(tmp_path / "site")
    machines = folder / "content/data/machines.yaml"
    text = machines.read_text(encoding="utf-8")
    first = text[text.index("theatre-1:") : text.index("# The scanner suite")]
    twin = first.replace("theatre-1:", "theatre-2:").replace("  trapped", "  time_in_hand: 20 min\n  trapped")
    machines.write_text(f"{text}\n{twin}", encoding="utf-8")
    on = 'cylinder="oxygen-e", gauge="yoke-oxygen", use="bag-low-flow"'
    text = machines.read_text(encoding="utf-8")
    induction = text[text.index("# The induction-room") : text.index("theatre-2:")]
    machines.write_text(text.replace(induction, ""), encoding="utf-8")
    ((code, wrong, allowed, example),) = told(f"change_at({on})", folder)
    assert ("E522", "say which: machine=", 'machine="theatre-1"') == (code, allowed, example)
    assert "oxygen-e hangs on several machines (theatre-1, theatre-2), and they differ in the time in hand" == wrong
    assert cell_of(f'duration({on}, reading="100 bar")', folder).value
