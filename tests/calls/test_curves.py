"""The calls that draw curves: each point is a number of the table below, and agrees with sources from outside."""

from __future__ import annotations

import random
import re
from collections.abc import Callable
from decimal import Decimal
from pathlib import Path
from xml.etree import ElementTree as ET

import pytest

from calls_of import copy_fleet, department, result_of, told
from demo_site import change
from published import row_id, rows
from within_tolerances import Truth, drive_of_machine
from yokebook.gases import FIFTY_FIFTY
from yokebook.number_list import CallNumbers
from yokebook.physics import realgas, reserve
from yokebook.physics.realgas import Model
from yokebook.quantities import AbsolutePa, Kelvin

SVG = "{http://www.w3.org/2000/svg}"
PLATEAU = 'plateau_figure(cylinder="nitrous-oxide-e", temperatures=["{} °C"])'
CONTENTS = 'contents_figure(cylinder="fifty-fifty-d", beside="oxygen-e")'
REGULATOR = 'regulator_figure(machine="theatre-1", gas="oxygen")'
RESERVE = 'reserve_figure(cylinder="oxygen-e", machine="theatre-1", uses=["bellows", "mask", "bag-low-flow"])'
AXIS_ENDS_AT = 200.0  # min: twice what the mask lasts, made round
EVERY = (PLATEAU.format(20), CONTENTS, REGULATOR, RESERVE)


def numbers_of(call: str, folder: Path | None = None) -> CallNumbers:
    numbers = (result_of(call, folder) if folder else result_of(call)).numbers
    assert numbers is not None
    return numbers


def column(numbers: CallNumbers, head: str) -> dict[str, Decimal]:
    """Return the exact values of a column by the heads of its rows."""
    number = list(numbers.columns).index(head)
    found = {row: cells[number].nominal for row, cells in zip(numbers.rows, numbers.cells, strict=True)}
    return {row: value for row, value in found.items() if value is not None}


def lines_of(call: str) -> list[list[tuple[float, float]]]:
    """Return the corners of each curve of a call's drawing."""
    html = result_of(call).html
    root = ET.fromstring(html[html.index("<svg") : html.index("</svg>") + 6])
    lines = [line.attrib["points"] for line in root.iter(SVG + "polyline") if "stroke-dasharray" in line.attrib]
    return [[tuple(map(float, pair.split(","))) for pair in line.split()] for line in lines]  # type: ignore[misc]


def liquefied(folder: Path, gas: str, ratio: str) -> Path:
    """Return a fleet whose liquefied gas is another, or filled otherwise."""
    copy_fleet(folder)
    for file in ("cylinders", "machines", "uses"):
        path = folder / f"content/data/{file}.yaml"
        text = path.read_text(encoding="utf-8")
        path.write_text(re.sub("nitrous oxide(?!/)", gas, text), encoding="utf-8")
    change(folder / "content/data/cylinders.yaml", "filling: {ratio: 0.75}", f"filling: {{ratio: {ratio}}}")
    return folder


# What a liquefied gas shows


@pytest.mark.parametrize("row", rows("saturation.csv"), ids=row_id)
def test_the_reading_stands_on_the_published_vapour_pressure(row: dict[str, str], tmp_path: Path) -> None:
    """With half of the filling left there is liquid and gas; each row names its source and tolerance."""
    folder = liquefied(tmp_path / "site", row["gas"], "0.67")
    readings = column(
        numbers_of(PLATEAU.format(row["temperature_c"]), folder), f"Reading at {row['temperature_c']}\xa0°C"
    )
    assert float(row["reading_bar"]) == pytest.approx(
        float(readings["60 %"]), rel=float(row["tolerance_percent"]) / 100
    )


@pytest.mark.parametrize(
    "row",
    [row for row in rows("warm_fillings.csv") if row["what"] == "reading bar"],
    ids=lambda row: f"{row['id']} {row['temperature_c']}",
)
def test_a_full_cylinder_in_the_warmth_shows_what_is_published(row: dict[str, str], tmp_path: Path) -> None:
    """Its liquid fills it and the reading climbs; each row names its source and tolerance."""
    folder = liquefied(tmp_path / "site", "nitrous oxide", row["filling_ratio"])
    numbers = numbers_of(PLATEAU.format(row["temperature_c"]), folder)
    full = float(column(numbers, f"Reading at {row['temperature_c']}\xa0°C")["100 %"])
    assert float(row["computed"]) == pytest.approx(full, rel=float(row["tolerance_percent"]) / 100)
    shown = numbers.cells[0][1].text
    assert ("more than 100\xa0bar" if full > 100.5 else f"{round(full)}\xa0bar") == shown


@pytest.mark.parametrize(
    "row", [row for row in rows("warm_fillings.csv") if row["what"] == "full of liquid °C"], ids=lambda row: row["id"]
)
def test_a_full_cylinder_is_full_of_liquid_from_the_published_temperature_on(
    row: dict[str, str], tmp_path: Path
) -> None:
    """A tenth of a kelvin below nothing is said of it, a tenth above it is; each row names its source."""
    folder = liquefied(tmp_path / "site", "nitrous oxide", row["filling_ratio"])
    calls = [PLATEAU.format(f"{float(row['computed']) + move:.2f}") for move in (-0.1, 0.1)]
    conditions = [result_of(call, folder).as_read["condition"] for call in calls]
    assert [False, True] == ["is full of liquid" in condition for condition in conditions]


@pytest.mark.parametrize(
    "row", [row for row in rows("after_plateau.csv") if row["what"] == "share %"], ids=lambda row: row["id"]
)
def test_the_reading_begins_to_fall_at_the_published_share(row: dict[str, str], tmp_path: Path) -> None:
    """To the tenth that is printed; a row of the table stands there, so that the bend is drawn where it is."""
    folder = liquefied(tmp_path / "site", "nitrous oxide", row["filling_ratio"])
    result = result_of(PLATEAU.format(row["temperature_c"]), folder)
    found = re.search(r"begins to fall when ([\d.]+) % is left", result.as_read["condition"])
    assert found is not None
    assert float(row["computed"]) == pytest.approx(float(found[1]), abs=0.11)
    assert f"{found[1]} %" in [cells[0] for cells in result.as_read["rows"]]


def test_what_a_reader_of_a_plateau_reads() -> None:
    """Level while liquid is left, falling from 21.1 % on; at 30 °C climbing above 91.7 %."""
    read = result_of('plateau_figure(cylinder="nitrous-oxide-e", temperatures=["30 °C", "20 °C"])').as_read
    assert "The gauge of nitrous oxide at rest: it stands, then falls, and climbs where it is warm" == read["title"]
    assert (
        "What the gauge of nitrous oxide shows at rest, by what is left and how warm it is: for cylinders stamped "
        "4.68\xa0L (size E, UK), on theatre-1, for dials that end at 100\xa0bar"
    ) == read["caption"]
    assert (
        "Worked for a closed cylinder that stands still, of one temperature throughout, on a dial without error, and "
        "rounded to the nearest 1\xa0bar: for understanding, not for reckoning. At 20\xa0°C the reading begins to fall "
        "when 21.1 % is left. At 30\xa0°C the reading begins to fall when 31.1 % is left. At 30\xa0°C a cylinder with "
        "more than 91.7 % in it is full of liquid, and its reading climbs: full and warm, no fault of the gauge."
    ) == read["condition"]
    assert ["Share of a full cylinder", "Gas in it", "Reading at 20\xa0°C", "Reading at 30\xa0°C"] == read["heads"]
    kept = ("100 %", "91.7 %", "60 %", "31.1 %", "21.1 %", "10 %")
    assert [
        ["100 %", "3.51\xa0kg", "50\xa0bar", "79\xa0bar"],
        ["91.7 %", "3.22\xa0kg", "50\xa0bar", "62\xa0bar"],
        ["60 %", "2.11\xa0kg", "50\xa0bar", "62\xa0bar"],
        ["31.1 %", "1.09\xa0kg", "50\xa0bar", "62\xa0bar"],
        ["21.1 %", "0.74\xa0kg", "50\xa0bar", "54\xa0bar"],
        ["10 %", "0.35\xa0kg", "31\xa0bar", "33\xa0bar"],
    ] == [row for row in read["rows"] if row[0] in kept]
    assert read["cautions"][0].startswith("WARNING: For as long as the reading stands it does not tell what is left")


def test_without_temperatures_those_of_the_place_are_drawn() -> None:
    """The theatre of the fleet has 18, 20 and 24 °C."""
    heads = result_of('plateau_figure(cylinder="nitrous-oxide-e")').as_read["heads"][2:]
    assert [f"Reading at {temperature}\xa0°C" for temperature in (18, 20, 24)] == heads


def test_a_dial_of_unknown_accuracy_does_for_a_plateau(tmp_path: Path) -> None:
    """Nothing is promised from it."""
    folder = copy_fleet(tmp_path / "site")
    old = "span: {low: 0 bar, high: 100 bar}\n  scale_interval: 5 bar\n  accuracy: {class: 2.5}"
    change(folder / "content/data/gauges.yaml", old, old.replace("{class: 2.5}", "unknown"))
    assert "50\xa0bar" == result_of(PLATEAU.format(20), folder).as_read["rows"][0][2]


# Contents against reading


@pytest.fixture
def at_137_bar(tmp_path: Path) -> Path:
    """A fleet at 15 °C, its litres counted there, whose dial has a mark at 137 bar: as books print contents."""
    data = copy_fleet(tmp_path / "site") / "content/data"
    change(data / "places.yaml", "{low: 14 °C, usual: 20 °C", "{low: 14 °C, usual: 15 °C")
    change(
        data / "department.yaml", "flowmeter_reference: {temperature: 20 °C", "flowmeter_reference: {temperature: 15 °C"
    )
    text = (data / "gauges.yaml").read_text(encoding="utf-8")
    before, after = text.split("integral-dial-fifty-fifty:")
    after = after.replace("high: 250 bar", "high: 274 bar").replace(
        "scale_interval: 10 bar", "scale_interval: 13.7 bar"
    )
    (data / "gauges.yaml").write_text(f"{before}integral-dial-fifty-fifty:{after}", encoding="utf-8")
    return data.parents[1]


def test_contents_of_the_mixture_span_the_published_models(at_137_bar: Path) -> None:
    """MIX-001: 479.6 L (Lorentz-Berthelot) to 531 L (Peng-Robinson, kij 0) in 2.32 L, litres of an ideal gas.

    The figure counts litres of the real gas, of which the same amount takes up some 0.4 % less.
    """
    gas = "50:50"
    numbers = numbers_of(CONTENTS, at_137_bar)
    first = dict(zip(numbers.columns, numbers.cells[0], strict=True))
    assert "137" == numbers.rows[0]
    litres = {
        row["model"]: float(row["computed_l"]) / float(row["water_capacity_l"]) * _real_over_ideal(Model[row["model"]])
        for row in rows("mixture_contents.csv")
        if row["id"] == "MIX-001"
    }
    assert litres["PENG_ROBINSON"] == pytest.approx(float(first[f"{gas}: litres"].nominal or 0), rel=1e-3)
    assert int(min(litres.values())) == first[f"{gas}: the least of the models"].value
    assert int(max(litres.values())) + 1 == first[f"{gas}: the most of the models"].value


def _real_over_ideal(model: Model) -> float:
    """Return how much less room the mixture takes up at 15 °C and 101.325 kPa than an ideal gas."""
    pressure, temperature = AbsolutePa(101325.0), Kelvin(288.15)
    return pressure / (8.314462618 * temperature) / realgas.density(FIFTY_FIFTY, pressure, temperature, model)


def test_contents_of_oxygen_are_those_of_the_books(at_137_bar: Path) -> None:
    """SIZ-054: 680 L in 4.68 L at 137 bar and 15 °C (UK textbook table, from memory); 684.4 L computed."""
    (row,) = [row for row in rows("contents.csv") if row["id"] == "SIZ-054"]
    litres = float(column(numbers_of(CONTENTS, at_137_bar), "oxygen: litres")["137"]) * 4.68
    assert float(row["computed_l"]) == pytest.approx(litres, rel=1e-3)
    assert float(row["published_l"]) == pytest.approx(litres, rel=float(row["tolerance_percent"]) / 100)


def test_half_the_reading_is_two_fifths_of_the_mixture_and_half_of_the_oxygen(at_137_bar: Path) -> None:
    """MIX-051: 40.57 % by one model, within 5 % of the named one; DUR-027: half of the oxygen is left at 69.7 bar."""
    numbers = numbers_of(CONTENTS, at_137_bar)
    (row,) = [row for row in rows("shares_and_readings.csv") if row["id"] == "MIX-051"]
    share = float(column(numbers, "50:50: share of the first row")["68.5"])
    assert float(row["computed"]) == pytest.approx(share, rel=float(row["tolerance_percent"]) / 100)
    oxygen = float(column(numbers, "oxygen: share of the first row")["68.5"])
    (row,) = [row for row in rows("shares_and_readings.csv") if row["id"] == "DUR-027"]
    assert 50 * 68.5 / float(row["computed"]) == pytest.approx(oxygen, rel=0.01)


# Regulators


@pytest.mark.parametrize("row", rows("regulator_examples.csv"), ids=lambda row: f"{row['id']} {row['inlet_bar']}")
def test_both_kinds_of_regulator_are_those_of_the_books(row: dict[str, str]) -> None:
    """Set to 3.10 bar at 137 bar. Each row names its source and tolerance.

    The books leave the outlet's own push on the seat out: their ratio k is k - 1 where the inlet opens the seat and
    k + 1 where it closes it.
    """
    opens = row["kind"] == "INLET_OPENS"
    ratio = int(row["area_ratio"]) + (-1 if opens else 1)
    numbers = numbers_of(f"regulator_figure(area_ratio={ratio})")
    head = next(head for head in numbers.columns if ("opens" if opens else "closes") in head)
    outlets = {float(inlet): float(outlet) for inlet, outlet in column(numbers, head).items()}
    inlet = float(row["inlet_bar"])
    above, below = min(at for at in outlets if at >= inlet), max(at for at in outlets if at <= inlet)
    share = (inlet - below) / (above - below) if above > below else 0.0
    assert float(row["outlet_bar"]) == pytest.approx(
        outlets[below] + share * (outlets[above] - outlets[below]), abs=0.005
    )


def test_a_machines_line_is_what_was_measured_and_no_more() -> None:
    """3.08 bar at 130 bar and 2.82 bar at 30 bar; beyond the two there is a word instead of a number."""
    read = result_of(REGULATOR).as_read
    told_of = {row[0]: row[3] for row in read["rows"]}
    assert ("3.08\xa0bar", "2.95\xa0bar", "2.82\xa0bar") == (told_of["130"], told_of["80"], told_of["30"])
    assert {"not measured"} == {told_of[inlet] for inlet in ("137", "20", "10")}
    assert "C: theatre-1, yoke 1 (oxygen), as measured" == read["heads"][3]
    assert "NOTICE: C is a straight line between two measurements; beyond them nothing is told." in read["cautions"]


def test_the_example_says_that_it_is_one() -> None:
    """In its title, its caption and its first caution; with no machine there is no third line."""
    read = result_of("regulator_figure()").as_read
    assert "Two kinds of regulator as their cylinder empties: an example for teaching" == read["title"]
    assert read["caption"].endswith("for both kinds: an example for teaching")
    assert (
        "WARNING: A and B are an example for teaching, of no machine: never set, judge or repair a regulator by it. "
        "Names such as direct-acting are used the opposite way round in different books; what counts is what the inlet "
        "does to the seat."
    ) == read["cautions"][0]
    assert 3 == len(read["heads"])


# How a cylinder runs down


@pytest.mark.parametrize("reading", ["140 bar", "95 bar", "30 bar"])
def test_the_stairs_end_where_the_reserve_table_ends(reading: str) -> None:
    """From the same reading down to the keep-back: the last row is that of the table, to the minute."""
    asked = f'cylinder="oxygen-e", machine="theatre-1", uses=["bellows", "mask", "bag-low-flow"]'  # noqa: F541
    figure = numbers_of(f'reserve_figure({asked}, reading="{reading}")')
    table = numbers_of(f'reserve_table({asked}, readings=["{reading}"])')
    assert list(table.columns) == list(figure.columns)
    assert [cell.value for cell in table.cells[0]] == [cell.value for cell in figure.cells[-1]]


def test_no_stair_promises_more_than_anywhere_within_the_tolerances() -> None:
    """30 truths for each pressure and use: the true pressure is above it for at least the time that is told."""
    here, dice = department(), random.Random(5)
    drive = drive_of_machine(here, "theatre-1")
    uses = {"bellows": (1.0, drive), "mask": (6.0, (0.0, 0.0)), "bag-low-flow": (1.0, (0.0, 0.0))}
    for reading in ("140 bar", "70 bar"):
        names = ", ".join(f'"{name}"' for name in uses)
        numbers = numbers_of(
            f'reserve_figure(cylinder="oxygen-e", machine="theatre-1", uses=[{names}], reading="{reading}")'
        )
        for head, cells in zip(numbers.rows, numbers.cells, strict=True):
            for (flow, driven), cell in zip(uses.values(), cells, strict=True):
                for _ in range(30):
                    truth = Truth(here, "oxygen-e", "yoke-oxygen", "theatre", dice)
                    left = truth.usable(float(reading.split()[0]) * 1e5, float(head) * 1e5)
                    assert float(cell.value or 0) * 60 <= reserve.duration(left, truth.rate(flow, driven)) + 1e-6


def test_the_greedier_use_is_down_sooner_and_time_goes_on() -> None:
    """The greediest use stands first; each row lasts at least as long as the one above it."""
    cells = [[cell.value or 0 for cell in row] for row in numbers_of(RESERVE).cells]
    assert all(list(row) == sorted(row) for row in cells)
    assert all(list(times) == sorted(times) for times in zip(*cells, strict=True))


def test_beyond_twelve_hours_nothing_is_drawn() -> None:
    """The stair that goes on at 12 h is the last."""
    call = 'reserve_figure(cylinder="oxygen-e", machine="theatre-1", flows=["0.5 L/min"])'
    texts = [row[1] for row in result_of(call).as_read["rows"]]
    assert "more than 12\u00a0h" == texts[-1] == texts[-2]
    (stairs,) = lines_of(call)
    last, before = stairs[-1], stairs[-2]
    assert last[1] == before[1]
    # 20 bar are left for more than 12 h, 10 bar are not drawn any more.
    assert 1 == sum(1 for x, _ in stairs if x == max(x for x, _ in stairs))


# All of them


@pytest.mark.parametrize(
    ("call", "drawn"),
    [(PLATEAU.format(20), (1,)), (CONTENTS, (0, 4)), (REGULATOR, (0, 1, 2)), (RESERVE, (0, 1, 2))],
    ids=lambda value: value.split("(")[0] if isinstance(value, str) else "",
)
def test_the_points_drawn_are_the_numbers_of_the_table(call: str, drawn: tuple[int, ...]) -> None:
    """By the numbers that stand beside the axes, each number of the table is a corner of its line."""
    numbers, across, upright = numbers_of(call), axis_of(call, "middle"), axis_of(call, "end")
    lines = lines_of(call)
    assert len(drawn) == len(lines)
    for number, line in zip(drawn, lines, strict=True):
        points = [
            (float(re.sub("[^0-9.]", "", head)), float(cells[number].value or 0))
            for head, cells in zip(numbers.rows, numbers.cells, strict=True)
            if cells[number].value is not None
        ]
        if call == RESERVE:
            # What lasts beyond the axis is cut off there.
            points = [(minutes, left) for left, minutes in points if minutes <= AXIS_ENDS_AT]
            assert len(points) > 2
        for x, y in points:
            assert min(abs(across(x) - at[0]) + abs(upright(y) - at[1]) for at in line) < 0.02, (x, y)


def test_a_use_that_outlasts_the_others_by_far_is_cut_off_and_says_how_long_it_goes_on() -> None:
    """The axis is the greedier uses'; the last stair ends at its end, no higher than the table allows, and says so."""
    numbers = numbers_of(RESERVE)
    *_, cut = lines_of(RESERVE)
    across, upright = axis_of(RESERVE, "middle"), axis_of(RESERVE, "end")
    assert abs(across(AXIS_ENDS_AT) - cut[-1][0]) < 0.02
    not_yet = [head for head, cells in zip(numbers.rows, numbers.cells, strict=True) if cells[-1].value > AXIS_ENDS_AT]  # type: ignore[operator]
    assert abs(upright(float(not_yet[0])) - cut[-1][1]) < 0.02
    in_all = numbers.cells[-1][-1].text
    *_, last_use = [text for text in numbers.texts["words"] if text.startswith("C: ")]
    assert last_use.endswith(f"; goes on, at\u00a0least\u00a0{in_all} in all")
    assert [] == [text for text in numbers.texts["words"] if text.startswith(("A: ", "B: ")) and "goes on" in text]


def test_no_row_of_a_run_down_says_nothing() -> None:
    """Pressures that may not be there even at the start head no row, and the condition says where all begins."""
    read = result_of(RESERVE).as_read
    assert all(any(cell != "0\u00a0min" for cell in row[1:]) for row in read["rows"][:-1])
    assert float(read["rows"][0][0]) < 126
    assert "at 126\u00a0bar: all begins there" in read["condition"]


def axis_of(call: str, anchor: str) -> Callable[[float], float]:
    """Return where a value stands in a call's drawing, by two of the numbers beside an axis."""
    html = result_of(call).html
    root = ET.fromstring(html[html.index("<svg") : html.index("</svg>") + 6])
    way = "x" if anchor == "middle" else "y"
    ticks = [
        (float(text.text), float(text.attrib[way]))
        for text in root.iter(SVG + "text")
        if text.attrib.get("text-anchor") == anchor and re.fullmatch("[0-9.]+", text.text or "") and text.text
    ]
    (low, first), (high, last) = ticks[0], ticks[-1]
    return lambda value: first + (value - low) / (high - low) * (last - first)


@pytest.mark.parametrize("call", EVERY, ids=lambda call: call.split("(")[0])
def test_a_figure_is_the_same_each_time(call: str) -> None:
    """The same bytes."""
    assert result_of(call).html == result_of(call).html


def test_a_curve_drawn_through_the_reading_of_a_psi_dial_is_in_psi() -> None:
    """The scanner's dial heads the rows and the axis; the keep-back stands in the department's own words too."""
    numbers = numbers_of('reserve_figure(cylinder="oxygen-e", machine="scanner-1", flows=["2 L/min"])')
    assert "Pressure left, at least (psi)" in numbers.texts["words"]
    # 10 bar are 145.04 psi.
    assert ["200", "145"] == list(numbers.rows[-2:])
    assert "kept back: 10\xa0bar" in numbers.texts["words"]


@pytest.mark.parametrize(
    ("call", "code", "wrong", "allowed"),
    [
        (
            'plateau_figure(cylinder="oxygen-e", machine="theatre-1")',
            "E545",
            "oxygen is compressed, not liquefied: its reading falls from the first minute and tells its contents",
            "a cylinder of a liquefied gas; reserve_table and duration serve a compressed one",
        ),
        (
            'plateau_figure(cylinder="nitrous-oxide-e", temperatures=["1 °C", "2 °C", "3 °C", "4 °C", "5 °C"])',
            "E529",
            "temperatures has 5 items",
            "1 to 4",
        ),
        (
            'contents_figure(cylinder="oxygen-transfer", beside="nitrous-oxide-e")',
            "E526",
            "a gauge of nitrous oxide shows its vapour pressure, not its contents, for as long as liquid is left",
            "a cylinder of compressed gas; for this one weight_table, or vapour_table with only gas left",
        ),
        (
            'contents_figure(cylinder="oxygen-transfer", beside="oxygen-e")',
            "E529",
            "both cylinders hold oxygen: their curves would be one",
            "a cylinder of another gas",
        ),
        (
            'regulator_figure(machine="theatre-1")',
            "E529",
            "a machine is named without the gas of the yoke",
            "machine= and gas= together, or neither",
        ),
        (
            'regulator_figure(set_outlet="3.1 bar", set_inlet="3 bar")',
            "E529",
            "a regulator cannot be set to more than what it is fed with",
            "less than 3\xa0bar",
        ),
        (
            'regulator_figure(machine="theatre-1", gas="nitrous oxide")',
            "E547",
            "no outlets of a regulator for nitrous oxide were measured on theatre-1, and figures of a book are not "
            "those of this machine",
            "a machine whose yoke has measured_outlets in machines.yaml",
        ),
        (
            'reserve_figure(cylinder="oxygen-e", machine="theatre-1", '
            'flows=["1 L/min", "2 L/min", "3 L/min", "4 L/min", "5 L/min"])',
            "E529",
            "flows has 5 items",
            "1 to 4 curves",
        ),
        (
            'reserve_figure(cylinder="oxygen-e", machine="theatre-1", flows=["1 L/min"], reading="1300 psi")',
            "E223",
            "the dial reads in bar, this is in psi",
            "a number of bar, as the dial shows it",
        ),
    ],
)
def test_what_cannot_be_drawn_is_refused(call: str, code: str, wrong: str, allowed: str) -> None:
    """In words for its author, at the argument."""
    assert [(code, wrong, allowed)] == [problem[:3] for problem in told(call)]


def test_a_regulator_that_could_not_hold_is_refused() -> None:
    """With a ratio of 10 the outlet would fall by 11.5 bar, below nothing."""
    ((code, *_),) = told("regulator_figure(area_ratio=10)")
    assert "E530" == code
