"""The other tables of the family reserve: leaving with a cylinder, and all cylinders of a machine."""

from __future__ import annotations

import random
from pathlib import Path

import pytest

from calls_of import copy_fleet, department, result_of, told, working_of
from demo_site import change
from within_tolerances import Truth, drive_of_machine
from yokebook.number_list import CallNumbers
from yokebook.physics import reserve
from yokebook.quantities import Moles

LEAVE = 'leave_with_table(cylinder="oxygen-transfer", uses=["mask"], times=["30 min", "10 min", "20 min"])'
BOTH = 'machine_reserve_table(machine="theatre-1", uses=["bag-low-flow", "bellows"], spare="100 bar")'


def numbers_of(call: str, folder: Path | None = None) -> CallNumbers:
    """Return the list of numbers of a call."""
    numbers = (result_of(call, folder) if folder else result_of(call)).numbers
    assert numbers is not None
    return numbers


def plain(text: str) -> str:
    """Return a text with ordinary spaces."""
    return text.replace("\u00a0", " ")


def test_what_a_reader_of_the_transfer_table_reads() -> None:
    """The shortest time first, readings of the cylinder's own dial, and words where one cylinder will not do."""
    read = result_of(LEAVE).as_read
    assert plain(read["caption"]) == (
        "The lowest reading with which a transfer on one cylinder of oxygen may start, by the time that it should "
        "take: for cylinders stamped 2.0 L, for dials that end at 315 kPa × 100. The department's margin is in: 2 "
        "times the time planned"
    )
    assert plain(read["condition"]) == (
        "Worked with each tolerance at its worst and rounded up to the next scale mark of the dial (they stand 5 kPa × "
        "100 apart): gauge out by class 1.6 (± 1.6 % of the span, EN 837-1), never checked, and by its own "
        "temperature, read half a mark wrong (2.5 kPa × 100), cylinder at "
        "14.0 °C to 28.0 °C, flowmeter letting through 10 % more than it shows, down to a true pressure of 10 bar. "
        "Litres are litres at 20 °C and 101.325 kPa."
    )
    assert ["Time planned; readings in kPa × 100", "Mask on transfer, 6 L/min set: up to 6.6 L/min"] == [
        plain(head) for head in read["heads"]
    ]
    assert [["10 min", "85"], ["20 min", "150"], ["30 min", "not with one cylinder"]] == [
        [plain(cell) for cell in row] for row in read["rows"]
    ]
    assert [
        "WARNING: If the planned time lies between two rows, use the longer one. If the gauge shows less than the cell "
        "says, take a fuller cylinder.",
        "NOTICE: These numbers do not replace watching the gauge, the manufacturer's instructions, local rules or "
        "licensed practice.",
    ] == read["cautions"]


def test_the_working_of_the_transfer_table_proves_a_reading_and_says_what_the_words_mean() -> None:
    """The proof ends at the time planned times the margin; a full cylinder's reading stands beside the refusal."""
    lines = [plain(line) for line in working_of(LEAVE)]
    proof = next(
        line for line in lines if line.startswith("Mask on transfer, 6 L/min set for 10 min: From 84.84 kPa × 100: ")
    )
    assert proof.endswith("that is 20 min, asked for: 20 min (10 min × 2). Rounded up to a scale mark: 85 kPa × 100.")
    assert (
        "not with one cylinder: a full cylinder at the usual temperature of its place comes to 205 kPa × 100, and from "
        "there the time does not come out."
    ) in lines


def test_a_transfer_that_leaves_with_the_reading_has_its_time_and_its_margin() -> None:
    """At random points within the tolerances, twice the time planned is there."""
    here, dice = department(), random.Random(20260305)
    times = ", ".join(f'"{minutes} min"' for minutes in range(1, 28, 4))
    numbers = numbers_of(f'leave_with_table(cylinder="oxygen-transfer", uses=["mask"], times=[{times}])')
    for row, (cell,) in zip(numbers.rows, numbers.cells, strict=True):
        assert cell.value is not None
        for _ in range(200):
            truth = Truth(here, "oxygen-transfer", "integral-dial", "transfer-bay", dice)
            exact = reserve.duration(truth.usable(float(cell.value) * 1e5), truth.rate(6.0))
            assert exact * (1 + 1e-9) >= 2 * 60 * int(row.split("\u00a0")[0])


def test_a_longer_way_or_a_greater_margin_never_needs_less(tmp_path: Path) -> None:
    """Readings rise down the rows; with a margin of 3 none is lower, and the caption says 3."""
    times = '["5 min", "10 min", "15 min"]'
    call = f'leave_with_table(cylinder="oxygen-transfer", flows=["2 L/min", "5 L/min"], times={times})'
    twice = numbers_of(call)
    folder = copy_fleet(tmp_path / "site")
    change(folder / "content/data/department.yaml", "transfer_margin: 2", "transfer_margin: 3")
    thrice = numbers_of(call, folder)
    for column in range(2):
        low, high = ([cells[column].value or 0 for cells in numbers.cells] for numbers in (twice, thrice))
        assert low == sorted(low)
        assert all(less <= more for less, more in zip(low, high, strict=True))
    assert "3 times the time planned" in thrice.texts["caption"]
    assert "department.transfer_margin" in twice.keys


def test_a_table_of_words_alone_says_why() -> None:
    """Where no time can be planned on one cylinder, the working says so and no proof is given."""
    call = 'leave_with_table(cylinder="oxygen-transfer", uses=["mask"], times=["2 h"])'
    assert "not with one cylinder" == result_of(call).as_read["rows"][0][1]
    assert [] == [line for line in working_of(call) if "Rounded up" in line]


def test_what_a_reader_of_the_machine_table_reads() -> None:
    """The greediest use first, the spare's reading in the caption, and how each cylinder must have been read."""
    read = result_of(BOTH).as_read
    assert plain(read["caption"]) == (
        "At least how long the 2 cylinders of oxygen last one after the other, the first changed with 15 min in hand, "
        "by the gauge of the one in use, with the other showing 100 bar or more, read on its own: for cylinders "
        "stamped 4.68 L (size E, UK), on theatre-1, for dials that end at 250 bar"
    )
    assert (
        "Each cylinder but the last is changed when its gauge has come to the reading that leaves 15 min and 5 min for "
        "the change: 70 bar (Ventilator, 1 L/min set); 30 bar (By hand at low flow, 1 L/min set). What lies "
        "below it counts in the last cylinder "
        "alone, so one cylinder used down to its end may last longer." in (plain(read["condition"]))
    )
    assert [
        "Reading of the cylinder in use (bar)",
        "Ventilator, 1 L/min set: up to 10.1 L/min",
        "By hand at low flow, 1 L/min set: up to 1.1 L/min",
    ] == [plain(head) for head in read["heads"]]
    assert [
        ["140", "55\u00a0min", "11\u00a0h\u00a015\u00a0min"],
        ["20", "35\u00a0min", "5\u00a0h\u00a015\u00a0min"],
    ] == [
        read["rows"][0],
        read["rows"][-1],
    ]
    assert ["WARNING", "WARNING", "NOTICE"] == [caution.split(":")[0] for caution in read["cautions"]]


def test_the_machine_table_adds_what_each_cylinder_lasts() -> None:
    """The working adds the first till it is changed and the last till it is used up."""
    lines = [plain(line) for line in working_of(BOTH)]
    assert "Together: 19.63 min + 35.79 min = 55.41 min, shown as 55 min." in lines
    low = working_of(BOTH.replace("spare=", 'readings=["10 bar"], spare='))
    assert "Together: 0 min + 35.79 min = 35.79 min, shown as 35 min." in [plain(line) for line in low]


def test_all_cylinders_of_a_machine_never_last_shorter_than_shown() -> None:
    """At random points, each cylinder out on its own, the first changed when its dial is read at the mark."""
    here, dice, numbers = department(), random.Random(20260306), numbers_of(BOTH)
    drives, marks = (drive_of_machine(here, "theatre-1"), (0.0, 0.0)), (70e5, 30e5)
    for _ in range(2000):
        truth = Truth(here, "oxygen-e", "yoke-oxygen", "theatre", dice)
        row, column = dice.randrange(len(numbers.rows)), dice.randrange(2)
        rate = truth.rate(1.0, drives[column])
        first = truth.till_changed(float(numbers.rows[row]) * 1e5, marks[column])
        exact = reserve.duration(Moles(first + truth.usable(100e5)), rate)
        shown = numbers.cells[row][column].value
        assert shown is not None
        assert float(shown) * 60 <= exact * (1 + 1e-9)


def test_a_third_cylinder_adds_another_spare(tmp_path: Path) -> None:
    """Three yokes: the caption says each of the other 2, and each but the last is changed at the mark."""
    folder = copy_fleet(tmp_path / "site")
    after = "    - {gas: nitrous oxide, cylinder"
    third = "    - {gas: oxygen, cylinder: oxygen-e, gauge: yoke-oxygen, plug: on a chain at the yoke}\n"
    change(folder / "content/data/machines.yaml", after, third + after)
    numbers = numbers_of(BOTH, folder)
    assert "the 3 cylinders of oxygen last one after the other" in numbers.texts["caption"]
    assert "with each of the other 2 showing 100\u00a0bar or more" in numbers.texts["caption"]
    total = "Together: 19.63 min + 0.26 min + 35.79 min = 55.67 min, shown as 55 min."
    assert total in [plain(line) for line in numbers.texts["working"]]


def test_a_fuller_spare_never_lasts_shorter() -> None:
    """Cell by cell, with the spare at 60, 100 and 140 bar."""
    tables = [numbers_of(BOTH.replace("100 bar", f"{spare} bar")).cells for spare in (60, 100, 140)]
    for rows in zip(*tables, strict=True):
        for cells in zip(*rows, strict=True):
            values = [cell.value or 0 for cell in cells]
            assert values == sorted(values)


@pytest.mark.parametrize(
    ("call", "problems"),
    [
        (
            'machine_reserve_table(machine="theatre-1", gas="nitrous oxide", flows=["1 L/min"], spare="40 bar")',
            [
                ("E526", "a gauge of nitrous oxide shows its vapour pressure, not its contents, for as long as liquid "
                 "is left", "a compressed gas; what is left of a liquefied one is told by its weight", 'gas="oxygen"')
            ],
        ),
        (
            'machine_reserve_table(machine="theatre-9", uses=["belows"], spare="100 bar")',
            [
                ("E521", "machines.yaml has no entry of this name", "induction-1, scanner-1, theatre-1",
                 'machine="induction-1"'),
                ("E521", "uses.yaml has no entry of this name", "bag-low-flow, bellows, demand-valve, "
                 "low-flow-with-nitrous-oxide, mask", 'uses=["bellows"]'),
            ],
        ),
        (
            'machine_reserve_table(machine="theatre-1", uses=["demand-valve"], spare="300 bar", readings=["260 bar"])',
            [
                ("E524", "the dial cannot show this reading", "0 bar to 250 bar", 'readings=["250 bar"]'),
                ("E524", "the dial cannot show this reading", "0 bar to 250 bar", 'spare="250 bar"'),
                ("E528", "the use demand-valve takes no oxygen", "a use whose draws name oxygen",
                 "draws: {oxygen: [{fresh gas: 1 L/min}]}"),
            ],
        ),
        (
            'leave_with_table(cylinder="oxygen-transfer", uses=["mask"], times=[])',
            [("E529", "times has 0 items", "1 to 16", 'times=["15 min", "30 min"]')],
        ),
    ],
    ids=["liquefied", "two names", "three places", "no times"],
)  # fmt: skip
def test_what_is_wrong_is_told_in_one_run(call: str, problems: list[tuple[str, str, str, str]]) -> None:
    """Each mistake with what is allowed and an example, those that are independent in one run."""
    assert sorted(problems) == sorted(tuple(plain(text) for text in problem) for problem in told(call))


def test_an_unknown_accuracy_of_the_machines_gauge_is_told_at_the_machine(tmp_path: Path) -> None:
    """Nothing can be promised from such a gauge; the call names only the machine, so the mark stands there."""
    folder = copy_fleet(tmp_path / "site")
    change(
        folder / "content/data/gauges.yaml",
        "accuracy: {class: 2.5}\n  place: theatre\n  checked: 2026-03-01\n  found_error: 2 bar",
        "accuracy: unknown\n  answers: {accuracy-unknown: The dial bears no class}\n  place: theatre",
    )
    ((code, wrong, _, _),) = told(BOTH, folder)
    assert "E523" == code
    assert "the accuracy of the gauge yoke-oxygen is unknown, so nothing can be promised from its reading" == wrong
