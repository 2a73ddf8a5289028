"""The calls for a liquefied gas of which only gas is left."""

from __future__ import annotations

import random
from itertools import pairwise
from pathlib import Path

import pytest

from calls_of import copy_fleet, department, label_of, result_of, told, working_of
from demo_site import change
from published import row_id, rows
from within_tolerances import Truth
from yokebook.gases import NITROUS_OXIDE
from yokebook.physics import contents, liquefied, realgas, reserve
from yokebook.quantities import AbsolutePa, CubicMetres, GaugePa, Kelvin, Moles

ON = 'cylinder="nitrous-oxide-e", machine="theatre-1"'
TABLE = f'vapour_table({ON}, flows=["2 L/min", "5 L/min"])'
VALUE = f'after_plateau({ON}, flow="5 L/min")'


def changed(folder: Path, file: str, old: str, new: str) -> Path:
    """Return a demo with one text of its data changed."""
    copy_fleet(folder)
    change(folder / "content/data" / file, old, new)
    return folder


def overseas(folder: Path, water_capacity: str = "4.80 L") -> Path:
    """Return a demo with the E cylinder of 4.8 L at 70 °F on a dial in psi, used down to 0, litres at 70 °F."""
    copy_fleet(folder)
    data = folder / "content/data"
    size = "nitrous-oxide-e:\n  gas: nitrous oxide\n  size: E\n  country: UK\n  valve: pin-index\n  water_capacity: {}"
    change(data / "cylinders.yaml", size.format("4.68 L"), size.format(water_capacity).replace("UK", "US"))
    change(data / "department.yaml", "keep_back: 10 bar", "keep_back: 0 bar")
    change(
        data / "department.yaml", "flowmeter_reference: {temperature: 20 °C", "flowmeter_reference: {temperature: 70 °F"
    )
    change(
        data / "places.yaml",
        "theatre:\n  temperature: {low: 18 °C, usual: 20 °C",
        "theatre:\n  temperature: {low: 70 °F, usual: 70 °F",
    )
    change(
        data / "gauges.yaml",
        "unit: bar\n  span: {low: 0 bar, high: 100 bar}\n  scale_interval: 5 bar",
        "unit: psi\n  span: {low: 0 psi, high: 1500 psi}\n  scale_interval: 50 psi",
    )
    return folder


@pytest.mark.parametrize(
    "row",
    [row for row in rows("vapour_contents.csv") if float(row["reading_psi"]) < 690],
    ids=row_id,
)
def test_the_nominal_times_are_those_of_the_tabulated_contents(row: dict[str, str], tmp_path: Path) -> None:
    """E (4.8 L) at 70 °F, gas alone, litres by the reference equation at each reading; at 1 L/min so many minutes.

    The table counts all gas, the time only what comes out above 0 gauge: one water capacity, 4.8 L, less.
    """
    call = f'vapour_table({ON}, flows=["1 L/min"], readings=["{row["reading_psi"]} psi"])'
    cell = result_of(call, overseas(tmp_path / "site")).numbers.cells[0][0]  # type: ignore[union-attr]
    assert float(row["computed_l"]) - 4.8 == pytest.approx(float(cell.nominal or 0), rel=0.002)


def test_the_promise_after_the_plateau_is_within_the_published_contents(tmp_path: Path) -> None:
    """Some 400 L are left in an E (4.8 L) when its reading begins to fall (common practice, no source).

    What is promised is less: the reading has to be surely below the vapour pressure before it tells anything.
    """
    numbers = result_of(f'after_plateau({ON}, flow="1 L/min")', overseas(tmp_path / "site")).numbers
    assert numbers is not None
    ((cell,),) = numbers.cells
    assert 0 < float(cell.value or 0) < 400


def test_no_cell_is_above_the_truth_anywhere_within_the_tolerances() -> None:
    """At 2000 random points of gauge, temperatures, capacity and flowmeter, each cell holds."""
    numbers = result_of(TABLE).numbers
    assert numbers is not None
    here, dice = department(), random.Random(20260312)
    for _ in range(2000):
        truth = Truth(here, "nitrous-oxide-e", "yoke-nitrous-oxide", "theatre", dice)
        row, column = dice.randrange(len(numbers.rows)), dice.randrange(2)
        exact = reserve.duration(truth.usable(float(numbers.rows[row]) * 1e5), truth.rate((5, 2)[column]))
        assert float(numbers.cells[row][column].value or 0) * 60 <= exact * (1 + 1e-9)


def test_a_cylinder_cooled_by_fast_drawing_keeps_the_promise() -> None:
    """Liquid left at a low temperature reads like gas alone; it still gives what is promised at that reading."""
    numbers = result_of(TABLE).numbers
    assert numbers is not None
    here, dice = department(), random.Random(20260313)
    place, condition = here.places["theatre"].temperature, here.settings.flowmeter_reference
    per_litre = realgas.density(NITROUS_OXIDE, condition.pressure.pa, condition.temperature.k)
    promised = [(row, column) for row, cells in enumerate(numbers.cells) for column in range(2) if cells[column].value]
    for row, column in promised * 5:
        true = float(numbers.rows[row]) * 1e5 + dice.uniform(-2.5e5, 2.5e5)
        cold = liquefied.boiling_temperature(NITROUS_OXIDE, AbsolutePa(true + here.ambient))
        capacity = CubicMetres(4.68e-3 * dice.uniform(0.99, 1.01))
        end = Kelvin(dice.uniform(place.low.k, place.high.k))
        stays = contents.left_behind(NITROUS_OXIDE, capacity, GaugePa(10e5), end, here.ambient)
        usable = Moles(max(liquefied.left_after_plateau(NITROUS_OXIDE, capacity, cold) - stays, 0.0))
        taken = (5, 2)[column] * 1.1e-3 * per_litre
        assert float(numbers.cells[row][column].value or 0) <= usable / taken * (1 + 1e-9)


def test_each_row_lies_surely_below_the_vapour_pressure() -> None:
    """At 18 °C nitrous oxide has 47.3 bar gauge (reference equation of state); a class 2.5 dial of 100 bar may be 2.5
    bar out, a little more for its own temperature, and read 2.5 bar wrong, so 40 is the highest mark that tells."""
    rows_read = [float(row[0]) for row in result_of(TABLE).as_read["rows"]]
    assert [40.0, 35.0, 30.0, 25.0, 20.0, 15.0] == rows_read
    lasting = [[cell.value or 0 for cell in row] for row in result_of(TABLE).numbers.cells]  # type: ignore[union-attr]
    assert all(upper[column] >= lower[column] for upper, lower in pairwise(lasting) for column in (0, 1))


def test_what_a_reader_reads_by_reading() -> None:
    """The whole table for two readings asked for."""
    assert {
        "caption": "At least how long one cylinder of nitrous oxide lasts with only gas left in it, by its gauge: for "
        "cylinders stamped 4.68\xa0L (size E, UK), on theatre-1, for dials that end at 100\xa0bar",
        "condition": "Worked with each tolerance at its worst and rounded down: gauge out by class 2.5 (± 2.5 % of the "
        "span, EN 837-1), and by its own temperature, read half a mark wrong (2.5\xa0bar), water capacity 1\xa0% less "
        "than stamped, cylinder at "
        "18.0\xa0°C to 24.0\xa0°C, flowmeter letting through 10\xa0% more than it shows, down to a true pressure of "
        "10\xa0bar. Time to change the cylinder is not counted. Litres are litres at 20\xa0°C and 101.325\xa0kPa. In "
        "use, boiling may cool the contents to 4.3\xa0°C: that is counted in.",
        "heads": ["Reading (bar)", "Low flow with nitrous oxide, 2\xa0L/min set: up to 2.2\xa0L/min"],
        "rows": [["40", "1\u00a0h\u00a05\u00a0min"], ["10", "change now"]],
        "cautions": [
            "WARNING: If the reading lies between two rows, use the lower one. Only one cylinder is open at a time.",
            "WARNING: These times hold only once the reading has fallen to the rows of this table. While liquid is "
            "left and nothing is drawn, the gauge shows the vapour pressure, some 47 to 54\xa0bar at 18.0\xa0°C to "
            "24.0\xa0°C, whatever the contents. Till then only its weight tells.",
            "WARNING: The gauge stands still only while nothing is drawn. In use, boiling cools the cylinder: with the "
            "most that is drawn here its reading may sink to 33\xa0bar while liquid is left. Closed and left to stand, "
            "it climbs again.",
            "NOTICE: From about 24\xa0°C on the liquid of a full cylinder fills it, and its reading climbs above the "
            "vapour pressure: full and warm, no fault of the gauge.",
            "NOTICE: These numbers do not replace watching the gauge, the manufacturer's instructions, local rules or "
            "licensed practice.",
        ],
    } == result_of(f'vapour_table({ON}, uses=["low-flow-with-nitrous-oxide"], readings=["10 bar", "40 bar"])').as_read


def test_what_a_reader_reads_in_a_sentence() -> None:
    """The time, its bound, and the mark from which it counts stand in the words; the plateau in the label."""
    read = result_of(VALUE).as_read
    assert "at\xa0least\xa025\xa0min, from when the reading has fallen to 40\xa0bar" == read["shown"]
    assert (
        "How long one cylinder of nitrous oxide lasts, 5\xa0L/min set: up to 5.5\xa0L/min, once its reading has "
        "fallen so far that little is left: for cylinders stamped 4.68\xa0L (size E, UK), on theatre-1, for dials "
        "that end at 100\xa0bar."
    ) == label_of(VALUE).split(" Worked")[0]
    assert "some 47 to 54\xa0bar" in label_of(VALUE)


def test_the_value_is_the_tables_first_cell() -> None:
    """Both say the same of the same use at the same mark."""
    first = result_of(TABLE).numbers.cells[0][0]  # type: ignore[union-attr]
    ((value,),) = result_of(VALUE).numbers.cells  # type: ignore[union-attr]
    assert (first.value, first.nominal) == (value.value, value.nominal)


def test_the_working_says_why_no_higher_mark_tells() -> None:
    """Vapour pressure, possible error and mark, with their numbers."""
    assert (
        "Gas alone is sure where reading + possible error lies below the lowest vapour pressure, that at 18.0\xa0°C: "
        "47.26\xa0bar, with a possible error of 5.16\xa0bar. The highest mark of the dial for which that holds is "
        "40\xa0bar."
    ) in working_of(TABLE)


@pytest.mark.parametrize(
    ("place", "plateau", "highest"),
    [
        ("{low: 37 °C, usual: 38 °C, high: 39 °C}", "some 71 to 71\xa0bar at 37.0\xa0°C to 39.0\xa0°C", "65"),
        ("{low: 30 °C, usual: 34 °C, high: 38 °C}", "some 62 to 71\xa0bar at 30.0\xa0°C to 38.0\xa0°C", "55"),
    ],
)
def test_above_the_critical_temperature_the_critical_pressure_stands(
    place: str, plateau: str, highest: str, tmp_path: Path
) -> None:
    """Above 36.4 °C there is no vapour pressure: the critical pressure, 71.4 bar gauge, stands for it.

    At 30 °C it is 62.1 bar gauge (reference equation of state).
    """
    folder = changed(tmp_path / "site", "places.yaml", "{low: 18 °C, usual: 20 °C, high: 24 °C}", place)
    change(folder / "content/data/cylinders.yaml", "filling: {ratio: 0.75}", "filling: {ratio: 0.40}")
    read = result_of(TABLE, folder).as_read
    assert plateau in read["cautions"][1]
    assert highest == read["rows"][0][0]


def test_a_small_filling_never_fills_its_cylinder_with_liquid(tmp_path: Path) -> None:
    """Below the critical density (0.452 kg/L, reference equation) nothing is said of a full and warm cylinder."""
    folder = changed(tmp_path / "site", "cylinders.yaml", "filling: {ratio: 0.75}", "filling: {ratio: 0.40}")
    cautions = result_of(TABLE, folder).as_read["cautions"]
    assert 4 == len(cautions)
    assert not [caution for caution in cautions if "full and warm" in caution]


LIQUID = "at this reading liquid may be left: the gauge shows the vapour pressure, not the contents"
WEIGH = "at most 40\xa0bar; above it the cylinder is weighed (weight_table)"


@pytest.mark.parametrize(
    ("call", "expected"),
    [
        (
            f'vapour_table({ON}, flows=["2 L/min"], readings=["45 bar"])',
            [("E546", LIQUID, WEIGH, 'readings=["40 bar"]')],
        ),
        (
            'after_plateau(cylinder="oxygen-e", machine="theatre-1", flow="2 L/min")',
            [
                (
                    "E545",
                    "oxygen is compressed, not liquefied: its reading falls from the first minute and tells its "
                    "contents",
                    "a cylinder of a liquefied gas; reserve_table and duration serve a compressed one",
                    'cylinder="nitrous-oxide-e"',
                )
            ],
        ),
    ],
)
def test_what_the_dial_cannot_tell_is_refused(call: str, expected: list[tuple[str, str, str, str]]) -> None:
    """Each refusal with its code, what is wrong, what is allowed and an example."""
    assert expected == told(call)


@pytest.mark.parametrize(
    ("call", "codes"),
    [
        (f"vapour_table({ON})", ["E529"]),
        (f"after_plateau({ON})", ["E529"]),
        (f'vapour_table({ON}, uses=["bellows"])', ["E528"]),
        (f'vapour_table({ON}, flows=["2 L/min"], readings=["45 bar", "120 bar", "30 bar"])', ["E546", "E524"]),
        (f'vapour_table({ON}, flows=["2 L/min"], readings=["31 bar", "400 psi"])', ["E536", "E223"]),
        (f'vapour_table({ON}, uses=["mask"], readings=["50 bar"])', ["E528", "E546"]),
        ('vapour_table(cylinder="oxygen-e", machine="theatre-7", uses=["belows"])', ["E545", "E521", "E521"]),
        ('vapour_table(cylinder="nitrous-oxide-e", machine="induction-1", flows=["2 L/min"])', ["E522"]),
    ],
)
def test_all_that_is_wrong_with_one_call_is_told_at_once(call: str, codes: list[str]) -> None:
    """Independent mistakes come in one run."""
    assert codes == [problem[0] for problem in told(call)]


def test_a_gauge_too_coarse_to_tell_is_refused(tmp_path: Path) -> None:
    """Where the possible error reaches from the vapour pressure to the keep-back, no mark tells anything."""
    folder = changed(
        tmp_path / "site",
        "gauges.yaml",
        "scale_interval: 5 bar\n  accuracy: {class: 2.5}",
        "scale_interval: 5 bar\n  accuracy: {plus_minus: 38 bar}",
    )
    assert [
        (
            "E546",
            "no mark of this dial above the keep-back tells for sure that no liquid is left",
            "a gauge with a smaller possible error, or the cylinder's weight (weight_table)",
            'weight_table(cylinder="nitrous-oxide-e", scale="store-scale")',
        )
    ] == told(TABLE, folder)
