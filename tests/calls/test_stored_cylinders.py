"""A cylinder that may come from a cold or a warm store just before it is read."""

from __future__ import annotations

import random
import re
from pathlib import Path

import pytest

from calls_of import copy_fleet, department, result_of, told, working_of
from demo_site import change
from within_tolerances import Truth, readings_of
from yokebook.calls import registry
from yokebook.data.load import load
from yokebook.number_list import CallNumbers, Shown
from yokebook.pages.syntax import Call, parse
from yokebook.physics import reserve

ON = 'cylinder="oxygen-e", machine="theatre-1"'
OWN = 'cylinder="oxygen-transfer"'
LIQUID = 'cylinder="nitrous-oxide-e", machine="theatre-1"'
FLOWS = ", ".join(f'"{flow} L/min"' for flow in range(34, 50))
LEAST = (
    f'reserve_table({ON}, flows=["2 L/min", "10 L/min"])',
    f'reserve_table({OWN}, uses=["mask"])',
    f'contents({ON}, reading="140 bar")',
    f'duration({OWN}, flow="2 L/min", reading="20000 kPa")',
    'machine_reserve_table(machine="theatre-1", flows=["5 L/min"], spare="140 bar")',
    f'vapour_table({LIQUID}, flows=["2 L/min"], readings=["10 bar", "15 bar", "20 bar"])',
    'weight_table(cylinder="nitrous-oxide-e", scale="store-scale", weights=["6.00 kg", "6.51 kg", "7.02 kg"])',
    f'leak_table(cylinder="oxygen-e", flows=[{FLOWS}])',
    'indicator_table(machine="theatre-1", uses=["bag-low-flow"])',
)
MOST = (
    f'change_at({ON}, use="bellows", time="35 min")',
    f'leave_with_table({OWN}, uses=["mask"], times=["5 min", "10 min", "15 min", "20 min"])',
    f'cylinders_needed({OWN}, use="mask", time="12 h")',
    f'pressure_fall({ON}, from="140 bar", to="100 bar", time="5 min", valve="open")',
)
WITHIN = "{low: 20 °C, usual: 22 °C, high: 24 °C}"


def stored_in(folder: Path, temperature: str) -> Path:
    """Return a fleet whose cylinders, the mixture's but not among them, wait in a store of such temperatures."""
    copy_fleet(folder)
    data = folder / "content/data"
    change(data / "places.yaml", "{low: 5 °C, usual: 15 °C, high: 28 °C}", temperature)
    text = (data / "cylinders.yaml").read_text(encoding="utf-8")
    for name in ("oxygen-e", "nitrous-oxide-e", "oxygen-transfer"):
        text = re.sub(rf"(?s)^({name}:\n.*?  stored: )[\w-]+$", r"\1gas-store", text, flags=re.MULTILINE)
    (data / "cylinders.yaml").write_text(text, encoding="utf-8")
    return folder


@pytest.fixture
def from_store(tmp_path: Path) -> Path:
    """A fleet whose cylinders come from a store that is far colder and far warmer than where they are used."""
    return stored_in(tmp_path / "site", "{low: -5 °C, usual: 15 °C, high: 45 °C}")


def numbers_of(call: str, folder: Path | None = None) -> CallNumbers:
    numbers = (result_of(call, folder) if folder else result_of(call)).numbers
    assert numbers is not None
    return numbers


def pairs_of(one: CallNumbers, other: CallNumbers) -> list[tuple[Shown, Shown]]:
    """Return the cells of two tables with the same readings; only one may have a last row for what is below them."""
    assert abs(len(one.rows) - len(other.rows)) <= 1
    rows = zip(one.cells, other.cells, strict=False)
    return [pair for row in rows for pair in zip(*row, strict=True)]


@pytest.mark.parametrize("call", [*LEAST, *MOST])
def test_a_store_never_makes_a_number_promise_more(call: str, from_store: Path) -> None:
    """Cell by cell: at-least values fall, values to be reached rise, at least one of them; nominal values stay."""
    pairs = pairs_of(numbers_of(call), numbers_of(call, from_store))
    changes = [(after.value or 0) - (before.value or 0) for before, after in pairs if after.value is not None]
    assert all(change <= 0 if call in LEAST else change >= 0 for change in changes), changes
    assert any(changes)
    assert [before.nominal for before, _ in pairs] == [after.nominal for _, after in pairs]


@pytest.mark.parametrize("temperature", [WITHIN, "{low: -20 °C, usual: 0 °C, high: 10 °C}"])
def test_a_store_adds_to_its_place_and_takes_nothing_away(temperature: str, tmp_path: Path) -> None:
    """One within the place's temperatures changes nothing; a cold one leaves the place's warm end in."""
    folder = stored_in(tmp_path / "site", temperature)
    for call in (LEAST[0], LEAST[2]):
        pairs = pairs_of(numbers_of(call), numbers_of(call, folder))
        changes = [(after.value or 0) - (before.value or 0) for before, after in pairs]
        assert all(change <= 0 for change in changes)
        assert (temperature == WITHIN) != any(changes)


@pytest.mark.parametrize(
    ("call", "cylinder", "gauge", "place", "flows"),
    [
        (LEAST[0], "oxygen-e", "yoke-oxygen", "theatre", (10.0, 2.0)),
        (LEAST[1], "oxygen-transfer", "integral-dial", "transfer-bay", (6.0,)),
        (LEAST[5], "nitrous-oxide-e", "yoke-nitrous-oxide", "theatre", (2.0,)),
    ],
    ids=["on a yoke", "with its own dial", "liquefied"],
)
def test_no_cell_is_above_the_truth_of_a_cylinder_from_its_store(
    call: str, cylinder: str, gauge: str, place: str, flows: tuple[float, ...], from_store: Path
) -> None:
    """At 2000 random points within the tolerances, gas and own dial as cold or warm as the store, each cell holds."""
    numbers, here, dice = numbers_of(call, from_store), department(from_store), random.Random(20260320)
    readings = readings_of(numbers)
    for _ in range(2000):
        truth = Truth(here, cylinder, gauge, place, dice)
        row, column = dice.randrange(len(readings)), dice.randrange(len(flows))
        exact = reserve.duration(truth.usable(readings[row] * 1e5), truth.rate(flows[column]))
        assert float(numbers.cells[row][column].value or 0) * 60 <= exact * (1 + 1e-9)


def test_condition_and_working_name_the_store(tmp_path: Path) -> None:
    """The widened range stands in the condition; the store's own, with where it is kept, in the working."""
    folder = stored_in(tmp_path / "site", "{low: 5 °C, usual: 15 °C, high: 28 °C}")
    assert "cylinder at 5.0\u00a0°C to 28.0\u00a0°C" in result_of(LEAST[0], folder).as_read["condition"]
    lines = working_of(LEAST[0], folder)
    store = 'Temperature of its store: 5\u00a0°C to 28\u00a0°C (places["gas-store"].temperature)'
    assert store in lines
    place = "Temperature of the cylinder: 18\u00a0°C to 24\u00a0°C, usually 20\u00a0°C (places.theatre.temperature)"
    assert place in lines
    assert 'places["gas-store"].temperature' in numbers_of(LEAST[0], folder).keys
    for call in (LEAST[6], LEAST[7]):
        assert store in working_of(call, folder)


def test_its_own_dial_comes_from_the_store_and_a_yokes_stays(tmp_path: Path) -> None:
    """Class 1.6 of 315 is 5.04, 15 K from 20 °C to 5 °C add 15 × 0.126; on a yoke 4 K × 0.1 bar stay 4 K; half a mark.

    0.04 % of the span for each kelvin: EN 837-1, from memory.
    """
    folder = stored_in(tmp_path / "site", "{low: 5 °C, usual: 15 °C, high: 28 °C}")
    own = next(line for line in working_of(LEAST[1], folder) if line.startswith("First cell"))
    assert f"the true pressure may be as low as {200 - 5.04 - 15 * 0.126 - 2.5:.2f}\u00a0bar" in own
    yoke = next(line for line in working_of(LEAST[0], folder) if line.startswith("First cell"))
    assert f"the true pressure may be as low as {140 - 6.25 - 2 - 4 * 0.1 - 5:.2f}\u00a0bar" in yoke
    table = result_of('gauge_table(gauge="integral-dial", readings=["20000 kPa"])', folder)
    assert [["200", "9.5", "5\u00a0%", "190.5", "209.5"]] == table.as_read["rows"]
    assert "its own temperature of 5\u00a0°C to 28\u00a0°C adds" in table.as_read["condition"]
    assert table.numbers is not None
    assert {'places["gas-store"].temperature', 'places["transfer-bay"].temperature'} <= set(table.numbers.keys)


@pytest.mark.parametrize(
    "call",
    [
        'reserve_table(cylinder="fifty-fifty-d", uses=["demand-valve"])',
        'contents(cylinder="fifty-fifty-d", reading="100 bar")',
        'weight_table(cylinder="fifty-fifty-d", scale="store-scale")',
    ],
)
def test_a_mixture_from_a_cold_store_is_refused(call: str, tmp_path: Path) -> None:
    """Read in the warm it would do; from a store at -8 °C it may have separated. From one that stays warmer it does."""
    folder = copy_fleet(tmp_path / "site")
    places = folder / "content/data/places.yaml"
    change(places, "{low: 5 °C, usual: 15 °C", "{low: -8 °C, usual: 15 °C")
    dial = "  gauge: integral-dial-fifty-fifty\n"
    cylinders = folder / "content/data/cylinders.yaml"
    change(cylinders, f"{dial}  stored: transfer-bay\n", f"{dial}  stored: gas-store\n")
    ((code, wrong, allowed, example),) = told(call, folder)
    assert "E527" == code
    assert (
        "the place may be so cold that the mixture separates: first too much oxygen comes out, then too little" == wrong
    )
    found = re.fullmatch("a place that stays above ([\\d.]+)\u00a0°C", allowed)
    assert found
    # It separates below some -6 °C at 137 bar (common practice, no source); a refusal never lies below that.
    assert -6 < float(found[1]) < 5
    assert "temperature: {low: 10 °C, usual: 18 °C, high: 26 °C}" == example
    change(places, "{low: -8 °C, usual: 15 °C", f"{{low: {found[1]} °C, usual: 15 °C")
    assert result_of(call, folder).numbers is not None


@pytest.mark.parametrize("call", [LEAST[0], LEAST[6], LEAST[7], 'gauge_table(gauge="integral-dial")'])
def test_where_the_store_could_not_be_read_nothing_is_promised(call: str, tmp_path: Path) -> None:
    """Its own report tells the slip; without its temperatures the range would be too narrow."""
    folder = stored_in(tmp_path / "site", "{low: 5, usual: 15 °C, high: 28 °C}")
    here, problems = load(folder / "content/data", "content/data")
    assert ["E104"] == [problem.code for problem in problems if problem.code.startswith("E")]
    assert here is not None
    parsed = parse(call, "page", 1, 1)
    assert isinstance(parsed, Call)
    assert (None, []) == registry.run(parsed.name, parsed.arguments, here, "page")
