"""The family gauge: how far a dial may be out, and what the indicator lamp says."""

from __future__ import annotations

import random
import re
from pathlib import Path

import pytest

from calls_of import copy_fleet, department, result_of, told, working_of
from demo_site import change
from published import rows
from within_tolerances import Truth, drive_of_machine
from yokebook.physics import reserve

CHECKED = "accuracy: {class: 2.5}\n  place: theatre\n  checked: 2026-03-01\n  found_error: 2 bar"
OXYGEN = 'gauge_table(machine="theatre-1", gas="oxygen")'
PUBLISHED = [row for row in rows("gauge_errors.csv") if row["id"] >= "GAU-015"]


@pytest.mark.parametrize("row", [row for row in PUBLISHED if row["what"] != "litres of 680"],
                         ids=lambda row: f"{row['id']} {row['reading_bar']} {row['what']}")  # fmt: skip
def test_the_nominal_error_is_the_published_one(row: dict[str, str], tmp_path: Path) -> None:
    """Error of a class at 20 °C, in bar and as part of the reading (EN 837-1:1996, table 11; computed from it)."""
    folder = copy_fleet(tmp_path / "site")
    gauges = folder / "content/data/gauges.yaml"
    change(gauges, "  found_error: 2 bar\n", "")
    places = folder / "content/data/places.yaml"
    change(places, "theatre:\n  temperature: {low: 18 °C, usual: 20 °C, high: 24 °C}",
           "theatre:\n  temperature: {low: 20 °C, usual: 20 °C, high: 20 °C}")  # fmt: skip
    change(
        gauges,
        "  span: {low: 0 bar, high: 250 bar}\n  scale_interval: 10 bar\n  accuracy: {class: 2.5}",
        f"  span: {{low: 0 bar, high: {row['span_bar']} bar}}\n  scale_interval: 5 bar\n"
        f"  accuracy: {{class: {row['accuracy_class']}}}",
    )
    numbers = result_of(f'gauge_table(gauge="yoke-oxygen", readings=["{row["reading_bar"]} bar"])', folder).numbers
    assert numbers is not None
    error, part, *_ = numbers.cells[0]
    cell = error if row["what"] == "bar" else part
    half_a_mark = 2.5 if row["what"] == "bar" else 2.5 / float(row["reading_bar"]) * 100
    alone = float(cell.nominal or 0) - half_a_mark
    assert float(row["value"]) == pytest.approx(alone, abs=0.05 if row["what"] != "bar" else 1e-9)
    assert cell.value >= cell.nominal


def test_the_whole_of_a_gauge_table() -> None:
    """Errors and the highest truth up, the lowest truth down; each tolerance named; no zones, no colours."""
    assert {
        "caption": 'How far a reading of the gauge "Oxygen, cylinder" may be out, for dials that end at 250\u00a0bar',
        "condition": "Accuracy: class 2.5 (± 2.5 % of the span, EN 837-1), and the 2\u00a0bar found at its check more, "
        "and what its own temperature of 18\u00a0°C to 24\u00a0°C adds, and half a mark of reading (5\u00a0bar). "
        "Errors and the "
        "highest true pressure are rounded "
        "up, the lowest down, to 1\u00a0bar; parts up to 1\u00a0%.",
        "heads": [
            "Reading (bar)",
            "Out by up to (± bar)",
            "Part of the reading, up to",
            "True pressure at least (bar)",
            "True pressure at most (bar)",
        ],
        "rows": [
            ["250", "14", "6\u00a0%", "236", "264"],
            ["200", "14", "7\u00a0%", "186", "214"],
            ["150", "14", "10\u00a0%", "136", "164"],
            ["100", "14", "14\u00a0%", "86", "114"],
            ["50", "14", "28\u00a0%", "36", "64"],
        ],
        "cautions": [
            "CAUTION: Believe a low reading least: near the low end of a dial the possible error is a large part of "
            "what "
            "is left."
        ],
    } == result_of(OXYGEN).as_read


def test_a_machine_and_a_gas_lead_to_the_same_dial_as_its_name() -> None:
    """Two ways to say which, one table; how the machine leads there stands in the list's keys."""
    by_machine, by_name = result_of(OXYGEN), result_of('gauge_table(gauge="yoke-oxygen")')
    assert by_name.as_read == by_machine.as_read
    assert by_machine.numbers is not None
    assert 'machines["theatre-1"].yokes[0].gauge' in by_machine.numbers.keys


def test_the_working_of_a_gauge_table_can_be_followed_by_hand() -> None:
    """What the class says, what was found and what the warmth adds, and the truth between its two ends."""
    assert (
        "First row, 250\u00a0bar: class 2.5 (± 2.5 % of the span, EN 837-1) is 6.25\u00a0bar, and 2\u00a0bar found "
        "at its "
        "check, counted either way; with what its own temperature adds and half a mark of reading (5\u00a0bar) "
        "13.65\u00a0bar, shown as 14; true pressure 236.35\u00a0bar to 263.65\u00a0bar, shown as 236 to 264."
    ) in working_of(OXYGEN)
    psi = working_of('gauge_table(gauge="yoke-oxygen-psi", readings=["2000 psi"])')
    # 48 + 2 % of 2050, 7.2 for 6 K, 50 for half a mark.
    assert (
        "First row, 2000\u00a0psi: ± (1.6\u00a0% of the span + 2\u00a0% of the reading) is 89\u00a0psi half a mark "
        "higher, "
        "where it may truly stand; with what its own temperature adds and half a mark of reading (50\u00a0psi) "
        "146.2\u00a0psi, shown as 150; true pressure 1853.8\u00a0psi to 2146.2\u00a0psi, shown as 1850 to 2150."
    ) in psi
    assert [] == [line for line in psi if line.startswith("Source of the class")]


def test_a_dial_in_hundreds_of_kilopascals_keeps_its_own_numbers() -> None:
    """Class 1.6 of 315\u00a0kPa\u00a0×\u00a0100 is 5.04, 8 K add 1.008, half a mark 2.5; steps are a tenth of a "
    "mark."""
    result = result_of('gauge_table(gauge="integral-dial", readings=["500 kPa", "13700 kPa"])')
    assert [["137", "9", "7\u00a0%", "128", "146"], ["5", "9", "171\u00a0%", "may be empty", "14"]] == [
        list(row) for row in result.as_read["rows"]
    ]
    assert "Reading (kPa\u00a0×\u00a0100)" == result.as_read["heads"][0]
    assert "to 0.5\u00a0kPa\u00a0×\u00a0100" in result.as_read["condition"]


def test_below_the_stop_a_dial_says_nothing(tmp_path: Path) -> None:
    """A pointer on a stop pin: no row below a tenth of the span, and a row that says so."""
    folder = copy_fleet(tmp_path / "site")
    change(folder / "content/data/gauges.yaml", CHECKED, CHECKED.replace("  checked", "  zero: stop\n  checked"))
    result = result_of(OXYGEN, folder)
    assert ["below 25", *["says nothing"] * 4] == list(result.as_read["rows"][-1])
    assert "below 10\u00a0% of its span a dial says nothing" in result.as_read["condition"]
    ((code, _, allowed, _),) = told(OXYGEN.replace('"oxygen")', '"oxygen", readings=["20 bar"])'), folder)
    assert ("E524", "25\u00a0bar to 250\u00a0bar") == (code, allowed)


def test_the_truth_lies_within_what_the_gauge_table_shows() -> None:
    """At 2000 random errors within the accuracy and 0.04 % of the span a kelvin, in bar, psi and kPa × 100."""
    dice, here = random.Random(20260305), department()
    for name, error_of in {
        "yoke-oxygen": lambda _: 6.25 + 2 + 4 * 0.1,
        "yoke-oxygen-psi": lambda reading: 0.016 * 3000 + 0.02 * reading + 6 * 1.2,
        "integral-dial": lambda _: 0.016 * 315 + 8 * 0.126,
    }.items():
        assert name in here.gauges
        numbers = result_of(f'gauge_table(gauge="{name}")').numbers
        assert numbers is not None
        for _ in range(2000):
            row = dice.randrange(len(numbers.rows))
            reading = float(numbers.rows[row])
            moved = dice.uniform(-1, 1) * error_of(reading)
            out, part, least, most = (float(cell.value or 0) for cell in numbers.cells[row])
            assert abs(moved) <= out
            assert abs(moved) / reading * 100 <= part
            assert least <= reading + moved <= most


LAMP = 'indicator_table(machine="theatre-1", uses=["bag-low-flow", "bellows"])'


def test_the_whole_of_an_indicator_table() -> None:
    """Each state in words; green promises only what the threshold does, red nothing, dark says nothing."""
    assert {
        "caption": "What the oxygen indicator lamp of theatre-1 says, and at least how long one cylinder lasts while "
        "it is "
        "in that state: for cylinders stamped 4.68\u00a0L (size E, UK)",
        "condition": "Worked with each tolerance at its worst and rounded down: gauge out by class 2.5 (± 2.5 % of the "
        "span, EN 837-1) and the 2\u00a0bar found at its check, and by its own temperature, read half a mark "
        "wrong (5\u00a0bar), water capacity 1\u00a0% less than stamped, cylinder at "
        "18.0\u00a0°C to 24.0\u00a0°C, flowmeter letting through 10\u00a0% more than it shows, drive gas at its high "
        "value, "
        "down to a true pressure of 10\u00a0bar. Litres are litres at 20\u00a0°C and 101.325\u00a0kPa. The lamp "
        "turns red "
        "below 30\u00a0bar as read on the gauge, whose possible error is in; an error of the lamp's own is not known "
        "and "
        "not in.",
        "heads": [
            "Lamp",
            "What it says",
            "Ventilator, 1\u00a0L/min set: up to 10.1\u00a0L/min",
            "By hand at low flow, 1\u00a0L/min set: up to 1.1\u00a0L/min",
        ],
        "rows": [
            ["Green", "the pressure is above 30\u00a0bar, nobody knows by how much", "2\u00a0min", "25\u00a0min"],
            ["Red", "the pressure is below 30\u00a0bar, perhaps nothing is left", "change now", "change now"],
            [
                "Dark",
                "no pressure reaches the lamp, or it has no power: it says nothing",
                "not known",
                "not known",
            ],
        ],
        "cautions": [
            "WARNING: The lamp tells pressure, not minutes, and green may be just above its threshold. Gas that stays "
            "trapped after the cylinder is closed keeps it green. Open the cylinder and read the gauge; where the "
            "two do "
            "not agree, believe the lower.",
            "NOTICE: These numbers do not replace watching the gauge, the manufacturer's instructions, local rules or "
            "licensed practice.",
        ],
    } == result_of(LAMP).as_read


def test_green_never_promises_more_than_there_is() -> None:
    """At 2000 random points from the threshold up, within the tolerances, what the green row shows holds."""
    here, dice = department(), random.Random(20260306)
    numbers = result_of(LAMP).numbers
    assert numbers is not None
    drives = [drive_of_machine(here, "theatre-1"), (0.0, 0.0)]
    for _ in range(2000):
        truth = Truth(here, "oxygen-e", "yoke-oxygen", "theatre", dice)
        column = dice.randrange(2)
        shown = 30e5 + dice.choice((0.0, dice.uniform(0, 100e5)))
        exact = reserve.duration(truth.usable(shown), truth.rate(1.0, drives[column]))
        assert float(numbers.cells[0][column + 1].value or 0) * 60 <= exact * (1 + 1e-9)


def test_the_working_of_the_lamp_goes_from_its_threshold() -> None:
    """The worked cell begins at the threshold less the possible error, and ends at what is shown."""
    line = next(line for line in working_of(LAMP) if line.startswith("Green, Ventilator"))
    assert "the true pressure may be as low as 16.35\u00a0bar" in line
    amount, rate, minutes = re.search(
        r"= ([\d.]+) mol; .*= ([\d.]+) mol/min; that is ([\d.]+)\u00a0min, shown as 2\u00a0min\.", line
    ).groups()  # type: ignore[union-attr]
    assert float(minutes) == pytest.approx(float(amount) / float(rate), rel=1e-3)


def test_without_uses_the_lamp_is_told_for_all_that_the_machine_can_do() -> None:
    """Every use of oxygen that fits the machine, the greediest first; uses of other gases are left out."""
    heads = result_of('indicator_table(machine="theatre-1")').as_read["heads"][2:]
    assert [
        "Ventilator, 1\u00a0L/min set",
        "Mask on transfer, 6\u00a0L/min set",
        "By hand at low flow, 1\u00a0L/min set",
        "Low flow with nitrous oxide, 1\u00a0L/min set",
    ] == [head.split(":")[0] for head in heads]


def test_a_threshold_that_assures_nothing_says_so(tmp_path: Path) -> None:
    """Red below 15 bar on a dial that may be 8.25 bar out and read 5 wrong: green assures nothing above the "
    "keep-back."""
    folder = copy_fleet(tmp_path / "site")
    change(folder / "content/data/machines.yaml", "{red_below: 30 bar}", "{red_below: 15 bar}")
    assert ["nothing sure", "nothing sure"] == list(result_of(LAMP, folder).as_read["rows"][0][2:])


def test_two_kinds_of_oxygen_cylinder_give_the_shorter_time(tmp_path: Path) -> None:
    """A machine with a smaller cylinder on its second yoke promises what the smaller one holds."""
    folder = copy_fleet(tmp_path / "site")
    data = folder / "content/data"
    small = (
        "\noxygen-d:\n  gas: oxygen\n  valve: pin-index\n  water_capacity: 2.32 L\n  water_capacity_tolerance: 1 %\n"
    )
    small += "  filling: {pressure: 137 bar, at: 15 °C}\n  stored: theatre\n"
    text = (data / "cylinders.yaml").read_text(encoding="utf-8")
    (data / "cylinders.yaml").write_text(text + small, encoding="utf-8")
    machines = (data / "machines.yaml").read_text(encoding="utf-8")
    first = machines.index("cylinder: oxygen-e") + 1
    changed = machines[:first] + machines[first:].replace("cylinder: oxygen-e", "cylinder: oxygen-d", 1)
    (data / "machines.yaml").write_text(changed, encoding="utf-8")
    read = result_of(LAMP, folder).as_read
    assert "stamped 4.68\u00a0L (size E, UK); for cylinders stamped 2.32\u00a0L" in read["caption"]
    assert ["1\u00a0min", "12\u00a0min"] == list(read["rows"][0][2:])


@pytest.mark.parametrize(
    ("call", "codes"),
    [
        ("gauge_table()", ["E529"]),
        ('gauge_table(machine="theatre-1")', ["E529"]),
        ('gauge_table(gauge="yoke-oxygen", gas="oxygen")', ["E529"]),
        ('gauge_table(gauge="yoke-oxygin")', ["E521"]),
        ('gauge_table(machine="theatre-1", gas="air")', ["E553"]),
        ('gauge_table(gauge="yoke-oxygen", readings=[])', ["E529"]),
        ('gauge_table(gauge="yoke-oxygen", readings=["260 bar", "300 bar"])', ["E524", "E524"]),
        ('indicator_table(machine="scanner-1")', ["E553"]),
        ('indicator_table(machine="theatre-1", uses=[])', ["E529"]),
        ('indicator_table(machine="theatre-1", uses=["bellow", "demand-valve"])', ["E521"]),
        ('indicator_table(machine="theatre-1", uses=["demand-valve"])', ["E528"]),
    ],
)
def test_what_a_gauge_cannot_say_is_refused(call: str, codes: list[str]) -> None:
    """Each mistake with its code."""
    assert codes == sorted(code for code, *_ in told(call))


def test_an_accuracy_that_nobody_knows_is_refused(tmp_path: Path) -> None:
    """Neither table nor lamp: nothing can be promised; and a gas on two gauges must be told apart."""
    folder = copy_fleet(tmp_path / "site")
    data = folder / "content/data"
    change(data / "gauges.yaml", CHECKED, "accuracy: unknown\n  place: theatre")
    assert ["E523"] == [code for code, *_ in told(OXYGEN, folder)]
    assert ["E523"] == [code for code, *_ in told(LAMP, folder)]
    machines = (data / "machines.yaml").read_text(encoding="utf-8")
    changed = re.sub(r"gauge: yoke-oxygen(?![-\w])", "gauge: yoke-oxygen-psi", machines, count=1)
    (data / "machines.yaml").write_text(changed, encoding="utf-8")
    ((code, wrong, _, example),) = told(OXYGEN, folder)
    assert ("E522", 'gauge="yoke-oxygen-psi"') == (code, example)
    assert (
        "oxygen is read on several gauges of theatre-1 (yoke-oxygen-psi, yoke-oxygen), and their numbers differ"
        == wrong
    )


def test_a_lamp_without_an_oxygen_yoke_or_with_too_many_uses_is_refused(tmp_path: Path) -> None:
    """No cylinder that it could tell of; more uses than a page's columns."""
    folder = copy_fleet(tmp_path / "site")
    data = folder / "content/data"
    more = "".join(
        f"\nmask-{flow}:\n  title: Mask {flow}\n  draws:\n    oxygen: [{{fresh gas: {flow} L/min}}]\n"
        for flow in (2, 4)
    )
    text = (data / "uses.yaml").read_text(encoding="utf-8")
    (data / "uses.yaml").write_text(text + more, encoding="utf-8")
    ((code, wrong, allowed, _),) = told('indicator_table(machine="theatre-1")', folder)
    assert ("E529", "uses= with 1 to 5 of them") == (code, allowed)
    assert "6 uses of uses.yaml can be done with oxygen on theatre-1" == wrong
    machines = (data / "machines.yaml").read_text(encoding="utf-8")
    (data / "machines.yaml").write_text(
        re.sub(r"yokes:\n(    .*\n)+", "yokes: []\n", machines, count=1), encoding="utf-8"
    )
    ((code, wrong, *_),) = told('indicator_table(machine="theatre-1")', folder)
    assert ("E553", "theatre-1 has no oxygen yoke in use, so its lamp tells of no cylinder") == (code, wrong)
    ((code, *_),) = told('gauge_table(machine="theatre-1", gas="oxygen")', folder)
    assert "E553" == code


@pytest.mark.parametrize(
    ("gauge", "gas", "reads", "reading"),
    [
        ("yoke-oxygen", "nitrous oxide", "oxygen", "50 bar"),
        ("yoke-nitrous-oxide", "oxygen", "nitrous oxide", "50 bar"),
        ("integral-dial", "air", "oxygen", "5000 kPa"),
        ("integral-dial-fifty-fifty", "oxygen", "nitrous oxide/oxygen 50:50", "50 bar"),
    ],
)
def test_a_dial_is_never_drawn_with_the_name_of_another_gas(gauge: str, gas: str, reads: str, reading: str) -> None:
    """The yokes and cylinders that are read on it say what its name is."""
    assert [("E556", f"the gauge {gauge} reads {reads}", reads, f'gas="{reads}"')] == told(
        f'gauge_figure(gauge="{gauge}", gas="{gas}", reading="{reading}")'
    )
    assert (
        result_of(f'gauge_figure(gauge="{gauge}", gas="{reads}", reading="{reading}")')
        .as_read["title"]
        .startswith(f"Dial of the {reads} gauge that ends at ")
    )


def test_a_gauge_that_nothing_is_read_on_takes_the_name_that_it_is_given(tmp_path: Path) -> None:
    """A test gauge hangs on no yoke: nobody but its author knows for which gas it is."""
    folder = copy_fleet(tmp_path / "site")
    gauges = folder / "content/data/gauges.yaml"
    more = "\ntest-gauge:\n  unit: bar\n  span: {low: 0 bar, high: 250 bar}\n  scale_interval: 5 bar\n"
    more += "  accuracy: {class: 0.6}\n"
    gauges.write_text(gauges.read_text(encoding="utf-8") + more, encoding="utf-8")
    read = result_of('gauge_figure(gauge="test-gauge", gas="air", reading="70 bar")', folder).as_read
    assert "Dial of the air gauge that ends at 250\u00a0bar, at 70\u00a0bar" == read["title"]
