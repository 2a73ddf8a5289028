"""The calls by weight: litres and times that a scale assures."""

from __future__ import annotations

import random
import re
from itertools import pairwise
from pathlib import Path

import pytest

from calls_of import cell_of, copy_fleet, department, label_of, result_of, told, working_of
from demo_site import change
from published import row_id, rows
from within_tolerances import Truth
from yokebook.physics import contents, realgas, reserve
from yokebook.quantities import CubicMetres, Kelvin, Moles

ON_SCALE = 'cylinder="nitrous-oxide-e", scale="store-scale"'
TABLE = f'weight_table({ON_SCALE}, flows=["2 L/min", "5 L/min"])'
MIXTURE = 'weight_table(cylinder="fifty-fifty-d", scale="store-scale", flows=["8 L/min"])'


def by_weight(kg: float) -> str:
    return f'contents_by_weight({ON_SCALE}, weight="{kg:.2f} kg")'


def litres_between(light: float, heavy: float, folder: Path) -> float:
    """Return the nominal litres between two weights [kg]: what stays in the cylinder falls out."""
    nominal = [float(cell_of(by_weight(kg), folder).nominal or 0) for kg in (light, heavy)]
    return nominal[1] - nominal[0]


def with_litres_at(celsius: str, folder: Path) -> Path:
    """Return a demo whose litres are counted at another temperature."""
    copy_fleet(folder)
    change(
        folder / "content/data/department.yaml",
        "flowmeter_reference: {temperature: 20",
        f"flowmeter_reference: {{temperature: {celsius}",
    )
    return folder


@pytest.mark.parametrize(
    "row", [row for row in rows("litres_per_kilogram.csv") if row["gas"] == "nitrous oxide"], ids=row_id
)
def test_a_kilogram_is_so_many_litres(row: dict[str, str], tmp_path: Path) -> None:
    """Litres of a kilogram of nitrous oxide by the reference equation, at the temperature at which litres count."""
    folder = with_litres_at(row["temperature_c"], tmp_path / "site")
    tolerance = float(row["tolerance_percent"]) / 100
    assert float(row["computed_l_per_kg"]) == pytest.approx(litres_between(7.0, 8.0, folder), rel=tolerance)


@pytest.mark.parametrize(
    "row",
    [row for row in rows("contents_by_mass.csv") if row["gas"] == "nitrous oxide" and float(row["mass_kg"]) < 3],
    ids=row_id,
)
def test_the_litres_of_a_tabulated_filling(row: dict[str, str], tmp_path: Path) -> None:
    """Litres of a mass in a table of fillings: as published, or the row's finding says why not and ours is right."""
    folder = with_litres_at(row["temperature_c"], tmp_path / "site")
    litres = litres_between(5.90, 5.90 + float(row["mass_kg"]), folder)
    assert float(row["computed_l"]) == pytest.approx(litres, rel=0.001)
    apart = abs(float(row["published_l"]) - litres) / litres
    assert (apart > float(row["tolerance_percent"]) / 100) == bool(row["finding"])


def test_the_mixtures_litres_do_not_hang_on_a_model() -> None:
    """1 kg of 50:50 is 1000 / 38.006 mol of 24.055 L at 20 °C, 633 L: molar masses of IUPAC, ideal gas.

    Tolerance 0.5 %: the real gas at ambient pressure.
    """
    one = 'contents_by_weight(cylinder="fifty-fifty-d", scale="store-scale", weight="{} kg")'
    heavy, light = (float(cell_of(one.format(kg)).nominal or 0) for kg in ("4.60", "4.10"))
    assert 633 / 2 == pytest.approx(heavy - light, rel=0.005)


@pytest.mark.parametrize(
    ("call", "cylinder", "flows"), [(TABLE, "nitrous-oxide-e", (5, 2)), (MIXTURE, "fifty-fifty-d", (8,))]
)
def test_no_cell_is_above_the_truth_anywhere_within_the_tolerances(
    call: str, cylinder: str, flows: tuple[float, ...]
) -> None:
    """At 1000 random points of scale, tare, capacity, temperature, model and flowmeter, each cell holds."""
    here, numbers = department(), result_of(call).numbers
    assert numbers is not None
    entry, scale = here.cylinders[cylinder], here.scales["store-scale"]
    place = here.places["transfer-bay"].temperature if entry.gauge else here.settings.room_temperature
    dice = random.Random(20260311)
    assert entry.tare is not None
    assert entry.water_capacity_tolerance is not None
    for _ in range(1000):
        truth = Truth(here, cylinder, entry.gauge or "yoke-nitrous-oxide", "theatre", dice)
        row = dice.randrange(len(numbers.rows))
        gross = float(numbers.rows[row]) + dice.uniform(-1, 1) * (scale.tolerance.kg + scale.interval.kg / 2)
        mass = gross - entry.tare.kg - dice.uniform(-1, 1) * 0.005
        size = entry.water_capacity.m3 * (1 + dice.uniform(-1, 1) * entry.water_capacity_tolerance.fraction)
        end = Kelvin(dice.uniform(place.low.k, place.high.k))
        stays = contents.left_behind(
            entry.contents, CubicMetres(size), here.settings.keep_back.pa, end, here.ambient, truth.model
        )
        usable = Moles(max(mass / realgas.molar_mass(entry.contents) - stays, 0.0))
        litres, *times = numbers.cells[row]
        assert float(litres.value or 0) <= truth.litres(usable) * (1 + 1e-9)
        for flow, cell in zip(flows, times, strict=True):
            assert float(cell.value or 0) * 60 <= reserve.duration(usable, truth.rate(flow)) * (1 + 1e-9)


def test_rows_are_steps_of_the_scale_from_full_to_nothing_left() -> None:
    """Full first, then multiples of one step, the heaviest first, at most 16; the last row says to change."""
    read = result_of(TABLE).as_read
    weights = [float(row[0]) for row in read["rows"]]
    assert sorted(weights, reverse=True) == weights
    assert len(weights) <= 16
    assert 8.91 == weights[0]  # 5.40 kg + 0.75 × 4.68 kg
    assert [0.25] * (len(weights) - 2) == [round(heavy - light, 2) for heavy, light in pairwise(weights[1:])]
    assert ["change now"] * 3 == read["rows"][-1][1:]
    assert "change now" not in read["rows"][-2]


def test_what_a_reader_reads_by_weight() -> None:
    """The whole table for two weights asked for, in whatever order."""
    assert {
        "caption": "At least what is left in one cylinder of nitrous oxide, by its weight: for cylinders stamped "
        "4.68\xa0L (size E, UK) and tare 5.40\xa0kg, weighed with its valve, at most 8.91\xa0kg when full",
        "condition": "Worked with each tolerance at its worst and rounded down: scale out by 0.02\xa0kg and half a "
        "step, "
        "tare out by half of its last figure, water capacity 1\xa0% more than stamped, cylinder at 16.0\xa0°C to "
        "26.0\xa0°C, flowmeter letting through 10\xa0% more than it shows, down to a true pressure of 10\xa0bar. "
        "Litres are litres at 20\xa0°C and 101.325\xa0kPa. In use, boiling may cool the contents to −21.2\xa0°C: that "
        "is counted in. The litres hold where so little is drawn that the cylinder stays warm.",
        "heads": ["Weight (kg)", "Usable", "5\xa0L/min set: up to 5.5\xa0L/min"],
        "rows": [
            ["7.40", "1000\xa0L", "3\u00a0h"],
            ["6.00", "250\xa0L", "40\u00a0min"],
            ["below 6.00", "change now", "change now"],
        ],
        "cautions": [
            "WARNING: Weigh the cylinder with its valve and nothing else on it: no cap, no key, no plug. If the weight "
            "lies between two rows, use the lower one.",
            "WARNING: The tare is stamped on each cylinder. Where it is more than 5.40\xa0kg, take the difference off "
            "the weight before you read this table: it would promise too much.",
            "NOTICE: While liquid is left, a gauge of nitrous oxide shows the vapour pressure, not the contents.",
            "WARNING: The gauge stands still only while nothing is drawn. In use, boiling cools the cylinder: with the "
            "most that is drawn here its reading may sink to 16\xa0bar while liquid is left. Closed and left to stand, "
            "it climbs again. If it sinks further before the time is nearly up, the times do not hold: change the "
            "cylinder.",
            "NOTICE: These numbers do not replace watching the gauge, the manufacturer's instructions, local rules or "
            "licensed practice.",
        ],
    } == result_of(f'weight_table({ON_SCALE}, flows=["5 L/min"], weights=["6.00 kg", "7.40 kg"])').as_read


def test_what_a_reader_reads_in_a_sentence() -> None:
    """The bound stands in the words; what it holds for stands in the label."""
    assert {"shown": "at\xa0least\xa01000\xa0L"} == result_of(by_weight(7.4)).as_read
    assert (
        "Usable nitrous oxide in one cylinder that weighs 7.40\xa0kg with its valve, for cylinders stamped 4.68\xa0L "
        "(size E, UK) and tare 5.40\xa0kg."
    ) == label_of(by_weight(7.4)).split(" Worked")[0]
    assert "nothing to count on: change now" == result_of(by_weight(5.45)).as_read["shown"]


def test_a_mixture_is_weighed_without_the_doubt_of_its_reading() -> None:
    """The notice says why a scale tells more than a gauge; a liquefied gas has the other one."""
    notice = (
        "NOTICE: What a reading of nitrous oxide/oxygen 50:50 means is not known exactly; by weight that doubt is gone."
    )
    assert notice in result_of(MIXTURE).as_read["cautions"]


def test_a_gas_whose_reading_tells_all_has_no_notice_of_its_gauge(tmp_path: Path) -> None:
    """Oxygen with a tare is weighed like any gas; its gauge tells as much, so nothing is said of it."""
    folder = copy_fleet(tmp_path / "site")
    filling = "  filling: {pressure: 137 bar, at: 15 °C}\n  stored: theatre\n"
    change(
        folder / "content/data/cylinders.yaml",
        f"{filling}\nnitrous-oxide-e",
        f"{filling}  tare: 6.0 kg\n  tare_includes: valve\n\nnitrous-oxide-e",
    )
    cautions = result_of('weight_table(cylinder="oxygen-e", scale="store-scale")', folder).as_read["cautions"]
    assert ["WARNING", "WARNING", "NOTICE"] == [caution.split(":")[0] for caution in cautions]


def test_the_working_can_be_followed_by_hand() -> None:
    """The numbers of the worked row, put together, give what it says."""
    lines = working_of(TABLE)
    row = next(line for line in lines if line.startswith("First row"))
    gross, tare, scale, last, mass = re.search(
        r": ([\d.]+) − ([\d.]+) − ([\d.]+) − ([\d.]+) = ([\d.]+) kg", row
    ).groups()  # type: ignore[union-attr]
    molar, held = re.search(r"÷ ([\d.]+) kg/mol = ([\d.]+) mol", row).groups()  # type: ignore[union-attr]
    size, density, stays = re.search(r"([\d.]+) L × ([\d.]+) mol/L = ([\d.]+) mol", row).groups()  # type: ignore[union-attr]
    usable, per_litre, litres = re.search(r"usable: ([\d.]+) mol; ÷ ([\d.]+) mol/L = ([\d.]+) L", row).groups()  # type: ignore[union-attr]
    assert float(mass) == pytest.approx(float(gross) - float(tare) - float(scale) - float(last))
    assert float(held) == pytest.approx(float(mass) / float(molar), rel=1e-4)
    assert float(stays) == pytest.approx(float(size) * float(density), rel=1e-3)
    assert float(usable) == pytest.approx(float(held) - float(stays), abs=2e-3)
    assert float(litres) == pytest.approx(float(usable) / float(per_litre), rel=1e-4)
    time = next(line for line in lines if line.startswith("The same row"))
    amount, rate, minutes, shown = re.search(
        r"([\d.]+) mol ÷ ([\d.]+) mol/min = ([\d.]+) min, shown as (.+)\.", time
    ).groups()  # type: ignore[union-attr]
    assert float(minutes) == pytest.approx(float(amount) / float(rate), rel=1e-3)
    assert result_of(TABLE).as_read["rows"][0][2] == shown


def test_a_row_without_anything_is_worked_too() -> None:
    """A weight that leaves nothing says so in its working."""
    worked = working_of(f'weight_table({ON_SCALE}, flows=["5 L/min"], weights=["5.45 kg"])')
    assert (
        "First row, 5.45\xa0kg: less both doubts and the tare, no more than what stays below the keep-back is left: "
        "nothing to count on."
    ) in worked
    assert not [line for line in worked if line.startswith("The same row")]


def test_a_machine_brings_its_place_and_its_drive_gas() -> None:
    """Named, the machine's place is the cylinder's."""
    keys = result_of(f'weight_table({ON_SCALE}, machine="theatre-1")').numbers.as_plain()["keys"]  # type: ignore[union-attr]
    assert "places.theatre.temperature" in keys
    assert "department.room_temperature" not in keys


def test_a_scale_in_pounds_keeps_its_own_numbers(tmp_path: Path) -> None:
    """Rows in the scale's unit and steps: full is 8.91 kg, 19.64 lb (international pound: 0.45359237 kg)."""
    folder = copy_fleet(tmp_path / "site")
    change(
        folder / "content/data/scales.yaml",
        "interval: 0.01 kg, tolerance: 0.02 kg",
        "interval: 0.02 lb, tolerance: 0.04 lb",
    )
    read = result_of(f"weight_table({ON_SCALE})", folder).as_read
    assert "Weight (lb)" == read["heads"][0]
    assert ["19.64", "19.00", "18.00"] == [row[0] for row in read["rows"][:3]]


def test_a_tare_with_its_cap_is_weighed_with_it(tmp_path: Path) -> None:
    """What was on the scale for the tare is to be on it again."""
    folder = copy_fleet(tmp_path / "site")
    change(
        folder / "content/data/cylinders.yaml",
        "tare: 5.40 kg\n  tare_includes: valve",
        "tare: 5.4 kg\n  tare_includes: valve and cap",
    )
    read = result_of(f"weight_table({ON_SCALE})", folder).as_read
    assert "weighed with its valve and cap" in read["caption"]
    assert "with its valve and its cap and nothing else on it: no key, no plug." in read["cautions"][0]
    # One figure fewer on the stamp: ten times the doubt, 0.045 kg, some 24 L, so a step less is shown.
    assert cell_of(by_weight(6.5)).value > cell_of(by_weight(6.5), folder).value  # type: ignore[operator]


RANGE = "5.37\xa0kg to 8.94\xa0kg"


@pytest.mark.parametrize(
    ("call", "expected"),
    [
        (
            by_weight(9.0),
            [
                (
                    "E541",
                    "the cylinder would be heavier than full; something hangs on it, or its tare is another",
                    RANGE,
                    'weight="8.94 kg"',
                )
            ],
        ),
        (
            by_weight(5.3),
            [
                (
                    "E543",
                    "the cylinder would be lighter than empty; the tare, the scale or the cylinder is another",
                    RANGE,
                    'weight="8.94 kg"',
                )
            ],
        ),
        (
            f'contents_by_weight({ON_SCALE}, weight="7.405 kg")',
            [
                (
                    "E544",
                    "the scale store-scale shows no step as small as this",
                    "the weight as the scale shows it, in steps of 0.01\xa0kg",
                    'weight="7.40 kg"',
                )
            ],
        ),
        (
            f'contents_by_weight({ON_SCALE}, weight="7400 g")',
            [
                (
                    "E544",
                    "the scale store-scale shows kg",
                    "the weight as the scale shows it, in steps of 0.01\xa0kg",
                    'weight="7.40 kg"',
                )
            ],
        ),
        (
            'weight_table(cylinder="oxygen-e", scale="store-scale")',
            [
                (
                    "E542",
                    "no tare of this cylinder stands in cylinders.yaml, so its weight says nothing of its contents",
                    "a cylinder with a tare that includes its valve: nitrous-oxide-e, fifty-fifty-d",
                    'cylinder="nitrous-oxide-e"',
                )
            ],
        ),
    ],
)
def test_what_a_scale_cannot_tell_is_refused(call: str, expected: list[tuple[str, str, str, str]]) -> None:
    """Each refusal with its code, what is wrong, what is allowed and an example."""
    assert expected == told(call)


@pytest.mark.parametrize(
    ("call", "codes"),
    [
        (f'weight_table({ON_SCALE}, flows=["2 L/min"], uses=["bellows"])', ["E529"]),
        (
            f'weight_table({ON_SCALE}, flows=["1 L/min", "2 L/min", "3 L/min", "4 L/min", "5 L/min", "6 L/min"])',
            ["E529"],
        ),
        (f"weight_table({ON_SCALE}, weights=[])", ["E529"]),
        (f'weight_table({ON_SCALE}, uses=["bellows"])', ["E528"]),
        (f'weight_table({ON_SCALE}, uses=["bellows"], weights=["9.10 kg", "7 kg", "2 kg"])', ["E528", "E541", "E543"]),
        (
            'weight_table(cylinder="nitrous-oxid-e", scale="shop-scale", machine="theatre-9", uses=["belows"])',
            ["E521"] * 4,
        ),
    ],
)
def test_all_that_is_wrong_with_one_call_is_told_at_once(call: str, codes: list[str]) -> None:
    """Independent mistakes come in one run."""
    assert codes == [problem[0] for problem in told(call)]


def test_a_tare_without_the_valve_is_refused(tmp_path: Path) -> None:
    """A filled cylinder is never weighed without its valve: the valve's mass would count as gas."""
    folder = copy_fleet(tmp_path / "site")
    change(
        folder / "content/data/cylinders.yaml",
        "tare: 5.40 kg\n  tare_includes: valve",
        "tare: 5.40 kg\n  tare_includes: cylinder only",
    )
    ((code, wrong, *_),) = told(by_weight(7.4), folder)
    assert "E542" == code
    assert (
        "the tare is that of the cylinder without its valve, which is always weighed with it: so much would count as "
        "gas" == wrong
    )


def test_a_mixture_in_the_cold_is_refused_by_weight_too(tmp_path: Path) -> None:
    """Its weight tells how much is in it, but not that the first gas to come out is what it should be."""
    folder = copy_fleet(tmp_path / "site")
    change(
        folder / "content/data/places.yaml",
        "{low: 14 °C, usual: 20 °C, high: 28 °C}",
        "{low: -15 °C, usual: 20 °C, high: 28 °C}",
    )
    assert ["E527"] == [problem[0] for problem in told(MIXTURE, folder)]
