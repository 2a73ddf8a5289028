"""The values of the family reserve: what a reading leaves, how long, from when, and how many cylinders."""

from __future__ import annotations

import random
import re
from pathlib import Path

import pytest

from calls_of import cell_of, copy_fleet, department, label_of, result_of, told, working_of
from demo_site import change
from published import row_id, rows
from within_tolerances import Truth, drive_of_machine
from yokebook.physics import reserve
from yokebook.physics.reserve import lasts_in_turn, needed_in_turn
from yokebook.quantities import Seconds

ON = 'cylinder="oxygen-e", machine="theatre-1"'
CONTENTS = f'contents({ON}, reading="100 bar")'
DURATION = f'duration({ON}, use="bellows", reading="100 bar")'
CHANGE_AT = f'change_at({ON}, use="bellows", time="15 min")'
NEEDED = 'cylinders_needed(cylinder="oxygen-transfer", use="mask", time="4 h")'


def overseas(folder: Path, water_capacity: str) -> Path:
    """Return a demo whose E cylinder is the 1900 psi one at 70 °F throughout, litres at 70 °F, used down to 0."""
    copy_fleet(folder)
    data = folder / "content/data"
    change(data / "cylinders.yaml", "  size: E\n  country: UK\n  valve: pin-index\n  water_capacity: 4.68 L\n"
           "  water_capacity_tolerance: 1 %\n  filling: {pressure: 137 bar, at: 15 °C}",
           f"  valve: pin-index\n  water_capacity: {water_capacity} L\n"
           "  water_capacity_tolerance: 1 %\n  filling: {pressure: 2200 psi, at: 70 °F}")  # fmt: skip
    change(data / "department.yaml", "keep_back: 10 bar", "keep_back: 0 bar")
    change(data / "department.yaml", "flowmeter_reference: {temperature: 20", "flowmeter_reference: {temperature: 21")
    change(data / "department.yaml", "{temperature: 21 °C", "{temperature: 70 °F")
    change(data / "places.yaml", "scanner-suite:\n  temperature: {low: 16 °C, usual: 20 °C",
           "scanner-suite:\n  temperature: {low: 16 °C, usual: 70 °F")  # fmt: skip
    change(data / "machines.yaml", "standing_draw: 0.1 L/min", "standing_draw: 0 L/min")
    return folder


@pytest.mark.parametrize(("reading", "published"), [("1900 psi", 660), ("2200 psi", 766), ("1000 psi", 340)])
def test_the_nominal_contents_are_the_published_ones(reading: str, published: int, tmp_path: Path) -> None:
    """E oxygen (4.80 L) at 70 °F down to 0: 660 L at 1900 psi (from memory), 766 and 340 L (reference equation).

    Tolerance 2.5 %: rounding of the handbook tables. What is shown lies below, for nothing is promised.
    """
    call = f'contents(cylinder="oxygen-e", gauge="yoke-oxygen-psi", reading="{reading}")'
    cell = cell_of(call, overseas(tmp_path / "site", "4.80"))
    assert published == pytest.approx(float(cell.nominal or 0), rel=0.025)
    assert (cell.value or 0) < published


@pytest.mark.parametrize("row", [row for row in rows("durations.csv") if row["unit"] == "min"], ids=row_id)
def test_the_nominal_duration_is_the_published_one_or_the_row_says_why_not(row: dict[str, str], tmp_path: Path) -> None:
    """Each published duration of an E cylinder; the rows name their sources and findings."""
    flow, reading = row["flow_l_per_min"], row["reading_psi"]
    call = f'duration(cylinder="oxygen-e", machine="scanner-1", flow="{flow} L/min", reading="{reading} psi")'
    cell = cell_of(call, overseas(tmp_path / "site", row["water_capacity_l"]))
    minutes = float(cell.nominal or 0)
    assert float(row["computed"]) == pytest.approx(minutes, rel=0.001)
    apart = abs(float(row["published"]) - minutes) / minutes
    assert bool(row["finding"]) == (apart > float(row["tolerance_percent"]) / 100)


@pytest.mark.parametrize(
    ("call", "label", "shown"),
    [
        (CONTENTS,
            "Oxygen left for use at 100 bar, for cylinders stamped 4.68 L (size E, UK), on theatre-1, for "
            "dials that end at 250 bar, down to a true pressure of 10 bar, in litres at 20 °C and 101.325 kPa",
            "at least 360 L",
        ),
        (DURATION,
            "How long one cylinder of oxygen lasts, Ventilator, 1 L/min set: up to 10.1 L/min, at 100 bar, for "
            "cylinders "
            "stamped 4.68 L (size E, UK), on theatre-1, for dials that end at 250 bar",
            "at least 35 min",
        ),
        (CHANGE_AT,
            "The lowest reading from which one cylinder of oxygen still lasts 15 min and the 5 min that a "
            "change takes, Ventilator, 1 L/min set: up to 10.1 L/min, for cylinders stamped 4.68 L (size E, UK), "
            "on theatre-1, for "
            "dials that end at 250 bar",
            "70 bar",
        ),
        (NEEDED,
            "Cylinders of oxygen for 4 h, one after the other, each but the last changed at 85 kPa × 100 with 15 min "
            "in hand, "
            "Mask on transfer, 6 L/min set: up to 6.6 L/min, each full, showing 205 kPa × 100 or more, for cylinders "
            "stamped 2.0 L, for dials that end at 315 kPa × 100",
            "at least 8 cylinders",
        ),
    ],
    ids=["contents", "duration", "change_at", "cylinders_needed"],
)  # fmt: skip
def test_what_a_reader_reads(call: str, label: str, shown: str) -> None:
    """Each value with its bound in words; what it is, for which cylinder, where, on which dial stands in its label."""
    assert {"shown": shown} == {key: text.replace("\u00a0", " ") for key, text in result_of(call).as_read.items()}
    assert label == label_of(call).replace("\u00a0", " ")


def test_the_working_of_a_threshold_is_read_line_by_line() -> None:
    """Tolerances, equation, how the reading is found, the proof with its numbers, the source."""
    condition, equation, found, proof, source = (line.replace("\u00a0", " ") for line in working_of(CHANGE_AT)[-5:])
    assert condition == (
        "Worked with each tolerance at its worst and rounded up to the next scale mark of the dial (they stand 10 bar "
        "apart): gauge out by class 2.5 (± 2.5 % of the span, EN 837-1) and the 2 bar found at its check, and by its "
        "own temperature, read half a mark wrong (5 bar), water capacity 1 % less than stamped, cylinder at 18.0 °C "
        "to 24.0 °C, flowmeter letting "
        "through 10 % more than it shows, drive gas at its high value, down to a true pressure of 10 bar. Litres are "
        "litres at 20 °C and 101.325 kPa."
    )
    assert equation.startswith("Time = water capacity × ")
    assert found.startswith("The lowest reading is the one from which")
    assert proof == (
        "From 67.02 bar: the true pressure may be as low as 53.37 bar; molar density there at 24.0 °C: 2.2723 mol/L; "
        "at the keep-back at 18.0 °C: 0.4585 mol/L (reference equation of state); 4.6332 L × (2.2723 − 0.4585) mol/L "
        "= 8.403 mol; the use takes at most 10.100 L/min × 0.041601 mol/L = 0.42017 mol/min; that is 20 min, asked "
        "for: 20 min (15 min + 5 min). Rounded up to a scale mark: 70 bar."
    )
    assert source == "Source of the densities: reference equation of state (oxygen: Schmidt and Wagner 1985)."


def test_the_working_of_contents_can_be_followed_by_hand() -> None:
    """The numbers of the working, multiplied out, give its litres."""
    worked = next(line for line in working_of(CONTENTS) if line.startswith("Worked through"))
    found = re.search(r"([\d.]+) L × \(([\d.]+) − ([\d.]+)\) mol/L = ([\d.]+) mol", worked)
    assert found
    capacity, start, end, amount = map(float, found.groups())
    assert amount == pytest.approx(capacity * (start - end), rel=2e-4)
    found = re.search(r"mol ÷ ([\d.]+) mol/L = ([\d.]+)\u00a0L, shown as at\u00a0least\u00a0360\u00a0L", worked)
    assert found
    per_litre, litres = map(float, found.groups())
    assert litres == pytest.approx(amount / per_litre, rel=2e-4)


def test_the_working_of_a_count_shows_one_fewer_too_short() -> None:
    """Seven cylinders are reckoned and found too short, eight enough."""
    lines = [line.replace("\u00a0", " ") for line in working_of(NEEDED)]
    assert "7 cylinders: 6 × 29.83 min + 57.07 min = 236.06 min; asked for: 240 min, so too short." in lines
    assert "8 cylinders: 7 × 29.83 min + 57.07 min = 265.89 min; asked for: 240 min, so enough." in lines


def test_where_one_cylinder_is_enough_one_is_named() -> None:
    """One cylinder, in the singular, and no cylinder fewer in its working."""
    call = 'cylinders_needed(cylinder="oxygen-e", machine="theatre-1", use="bag-low-flow", time="1 h")'
    assert "at least 1\u00a0cylinder" == cell_of(call).text
    assert [] == [line for line in working_of(call) if "too short" in line]


@pytest.mark.parametrize(
    ("call", "shown"),
    [
        (f'contents({ON}, reading="10 bar")', ("nothing to count on: change now", 0)),
        (f'duration({ON}, use="bellows", reading="10 bar")', ("nothing to count on: change now", 0)),
        (f'duration({ON}, flow="0.2 L/min", reading="140 bar")', ("more than 12\u00a0h", 720)),
        (f'contents({ON}, reading="30 bar")', ("at\u00a0least\u00a025\u00a0L", 25)),
    ],
)
def test_the_bound_stands_in_words(call: str, shown: tuple[str, int]) -> None:
    """Nothing left, more than is told, and the usual case."""
    cell = cell_of(call)
    assert shown == (cell.text, cell.value)


def test_what_a_reading_leaves_and_how_long_is_never_above_the_truth() -> None:
    """At random points within the tolerances of oxygen and of the mixture, with each of its models."""
    here, dice = department(), random.Random(20260302)
    for _ in range(60):
        reading = dice.randrange(20, 141, 10)
        on = 'cylinder="fifty-fifty-d"'
        litres = cell_of(f'contents({on}, reading="{reading} bar")').value
        minutes = cell_of(f'duration({on}, use="demand-valve", reading="{reading} bar")').value
        assert litres is not None
        assert minutes is not None
        for _ in range(20):
            truth = Truth(here, "fifty-fifty-d", "integral-dial-fifty-fifty", "transfer-bay", dice)
            amount = truth.usable(reading * 1e5)
            assert float(litres) <= truth.litres(amount) * (1 + 1e-9)
            assert float(minutes) * 60 <= reserve.duration(amount, truth.rate(8.0, leak=0.2)) * (1 + 1e-9)


def test_from_a_threshold_the_time_is_always_there() -> None:
    """At random points the time that was asked for and the change are there; one mark lower they may not be."""
    here, dice = department(), random.Random(20260303)
    drive = drive_of_machine(here, "theatre-1")
    for minutes in range(1, 51, 7):
        threshold = cell_of(f'change_at({ON}, use="bellows", time="{minutes} min")').value
        assert threshold is not None
        for _ in range(200):
            truth = Truth(here, "oxygen-e", "yoke-oxygen", "theatre", dice)
            exact = reserve.duration(truth.usable(float(threshold) * 1e5), truth.rate(1.0, drive))
            assert exact * (1 + 1e-9) >= (minutes + 5) * 60
        lower = cell_of(f'duration({ON}, use="bellows", reading="{threshold - 10} bar")').value
        assert lower is not None
        assert lower < minutes + 5


def test_so_many_cylinders_always_last_the_time() -> None:
    """At random points within the tolerances, each cylinder on its own, changed when its dial is read at the mark."""
    here, dice = department(), random.Random(20260304)
    for hours, in_hand in ((1, 15), (2, 15), (4, 15), (9, 15), (2, 0), (4, 30)):
        more = f'cylinder="oxygen-transfer", use="mask", time="{hours} h", in_hand="{in_hand} min"'
        count = cell_of(f"cylinders_needed({more})").value
        assert count is not None
        mark = mark_of(in_hand)
        for _ in range(200):
            truth = Truth(here, "oxygen-transfer", "integral-dial", "transfer-bay", dice)
            rate = truth.rate(6.0)
            given = [truth.till_changed(205e5, mark) for _ in range(int(count) - 1)] + [truth.usable(205e5)]
            assert sum(given) / rate >= hours * 3600


def mark_of(in_hand: int) -> float:
    """Return the reading [Pa] at which a transfer cylinder with a mask is changed, as a page orders it."""
    mark = cell_of(f'change_at(cylinder="oxygen-transfer", use="mask", time="{in_hand} min")').value
    assert mark is not None
    return float(mark) * 1e5


def test_a_count_is_the_least_that_is_enough() -> None:
    """Of random cylinders, each but the last changed early, so many last the time, and one fewer does not."""
    dice = random.Random(20260307)
    for _ in range(2000):
        till_change, time = Seconds(dice.uniform(60, 7200)), Seconds(dice.uniform(60, 40000))
        last = Seconds(till_change + dice.uniform(0, 900))
        count = needed_in_turn(till_change, last, time)
        assert lasts_in_turn([till_change] * (count - 1), last) >= time * (1 - 1e-9)
        assert count == 1 or lasts_in_turn([till_change] * (count - 2), last) < time


def test_a_flow_that_is_set_takes_the_standing_draw_of_its_machine_with_it(tmp_path: Path) -> None:
    """1 L/min on a machine with a standing draw of 0.1 L/min lasts as the use of 1 L/min there, and shorter than 0.

    The gauge alone leads to the same machine, so the draw counts there too.
    """
    on = 'cylinder="oxygen-e", {}, reading="1000 psi", {}'
    call = "duration(" + on.format('machine="scanner-1"', 'flow="1 L/min"') + ")"
    flow, use = cell_of(call), cell_of("duration(" + on.format('machine="scanner-1"', 'use="bag-low-flow"') + ")")
    by_gauge = cell_of("duration(" + on.format('gauge="yoke-oxygen-psi"', 'flow="1 L/min"') + ")")
    folder = copy_fleet(tmp_path / "site")
    change(folder / "content/data/machines.yaml", "standing_draw: 0.1 L/min", "standing_draw: 0 L/min")
    without = cell_of(call, folder)
    assert flow == use == by_gauge
    # 1.1 against 1.0 L/min.
    assert 1.1 == pytest.approx(float((without.nominal or 0) / (flow.nominal or 1)))
    assert (flow.value or 0) < (without.value or 0)


def test_each_depends_on_the_change_time_only_where_it_is_in() -> None:
    """The list of numbers names the change time where it counts."""
    for call, is_in in ((CONTENTS, False), (DURATION, False), (CHANGE_AT, True), (NEEDED, True)):
        numbers = result_of(call).numbers
        assert numbers is not None
        assert is_in == ("department.change_time" in numbers.keys)


NO_USE = "use= with a name of uses.yaml, or flow= with a flow"
UNIT, OWN_UNIT = "the dial reads in bar, this is in psi", "a number of bar, as the dial shows it"
FULL = "not even a full cylinder in the warm, on a gauge that reads high, shows so much"


@pytest.mark.parametrize(
    ("call", "problems"),
    [
        (
            'duration(cylinder="oxigen-e", machine="theatre-9", use="belows", reading="100 bar")',
            [
                ("E521", "cylinders.yaml has no entry of this name", "fifty-fifty-d, nitrous-oxide-e, oxygen-e, "
                 "oxygen-transfer", 'cylinder="oxygen-e"'),
                ("E521", "machines.yaml has no entry of this name", "induction-1, scanner-1, theatre-1",
                 'machine="induction-1"'),
                ("E521", "uses.yaml has no entry of this name", "bag-low-flow, bellows, demand-valve, "
                 "low-flow-with-nitrous-oxide, mask", 'use="bellows"'),
            ],
        ),
        (f'duration({ON}, reading="100 bar")',
         [("E529", "neither use nor flow is given", NO_USE, 'flow="2 L/min"')]),
        (f'duration({ON}, reading="100 bar", use="bellows", flow="1 L/min")',
         [("E529", "use and flow are both given", NO_USE, 'flow="2 L/min"')]),
        (f'duration({ON}, reading="100 bar", flow="0 L/min")',
         [("E108", "this flow is to be above 0", "more than 0", 'flow="6 L/min"')]),
        (f'cylinders_needed({ON}, flow="1 L/min", time="0 min")',
         [("E108", "this duration is to be above 0", "more than 0", 'time="15 min"')]),
        ('contents(cylinder="oxygen-e", mashine="theatre-1", reading="100 bar")',
         [("E201", "contents has no such argument", "cylinder, machine, gauge, reading", 'machine="theatre-1"')]),
        ('contents(machine="theatre-1", reading="100 bar")',
         [("E202", "cylinder is missing: the entry of cylinders.yaml", "cylinder, machine, gauge, reading",
           'cylinder="oxygen-e"')]),
        (f'contents({ON}, reading="260 bar")',
         [("E524", "the dial cannot show this reading", "0 bar to 250 bar", 'reading="250 bar"')]),
        (f'contents({ON}, reading="165 bar")', [("E525", FULL, "at most 160 bar", 'reading="160 bar"')]),
        (f'contents({ON}, reading="1000 psi")', [("E223", UNIT, OWN_UNIT, 'reading="60 bar"')]),
        (f'duration({ON}, flow="1 L/min", reading="1000 psi")', [("E223", UNIT, OWN_UNIT, 'reading="60 bar"')]),
        (f'cylinders_needed({ON}, flow="1 L/min", time="1 h", reading="1000 psi")',
         [("E223", UNIT, OWN_UNIT, 'reading="60 bar"')]),
    ],
    ids=["three names", "nothing taken", "two ways", "no flow", "no time", "misspelt", "missing", "off", "above full",
         "contents in psi", "duration in psi", "count in psi"],
)  # fmt: skip
def test_what_is_wrong_is_told_in_one_run(call: str, problems: list[tuple[str, str, str, str]]) -> None:
    """Each mistake with what is allowed and an example; several that are independent in one run."""
    assert problems == [tuple(text.replace("\u00a0", " ") for text in problem) for problem in told(call)]


def test_the_reading_that_a_refusal_allows_is_allowed() -> None:
    """The example of a reading above a full cylinder, and that of a time longer than it lasts, both work."""
    ((code, _, _, example),) = told(f'contents({ON}, reading="200 bar")')
    assert "E525" == code
    assert cell_of(f"contents({ON}, {example})").text.startswith("at\u00a0least")
    ((code, _, _, example),) = told(f'change_at({ON}, use="bellows", time="3 h")')
    assert "E531" == code
    assert cell_of(f'change_at({ON}, use="bellows", {example}, or_more=true)').text.endswith("or more")
