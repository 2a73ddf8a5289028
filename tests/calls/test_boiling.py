"""A liquefied gas drawn fast cools its cylinder: no time that a call prints fails by it, and too much is refused."""

from __future__ import annotations

import random
from pathlib import Path

import pytest

from boiling_cylinder import Boiling, body
from calls_of import copy_fleet, department, label_of, result_of, told, working_of
from demo_site import change
from within_tolerances import Truth
from yokebook.data.department import Department
from yokebook.physics import liquefied, realgas
from yokebook.quantities import AbsolutePa, absolute

CARBON_DIOXIDE = """
carbon-dioxide:
  gas: carbon dioxide
  valve: pin-index
  water_capacity: 4.68 L
  water_capacity_tolerance: 1 %
  filling: {ratio: 0.67}
  tare: 5.40 kg
  tare_includes: valve
  stored: gas-store
"""
ON = 'cylinder="nitrous-oxide-e", machine="theatre-1"'


def with_carbon_dioxide(folder: Path) -> Path:
    """Return the fleet with a cylinder of carbon dioxide that comes from a cold store."""
    copy_fleet(folder)
    data = folder / "content/data/cylinders.yaml"
    data.write_text(data.read_text(encoding="utf-8") + CARBON_DIOXIDE, encoding="utf-8")
    return folder


def drawn_from(here: Department, truth: Truth, fluid: str, dice: random.Random, air: tuple[float, float]) -> Boiling:
    """Return a cylinder as it may truly be: its size, its metal, its surface, and how the room warms it."""

    def between(low: float, high: float) -> float:
        return dice.choice((low, high, dice.uniform(low, high)))

    entry = here.cylinders[truth.cylinder]
    assert entry.tare is not None
    capacity = truth.capacity()
    return Boiling(
        fluid,
        capacity,
        entry.tare.kg * between(350.0, 900.0),  # J/(kg K): steel and its brass valve, or aluminium
        *body(capacity, between(3.0, 7.0)),
        between(0.75, 1.25),
        between(0.8, 0.95),
        between(*air),
        here.ambient,
    )


@pytest.mark.parametrize(
    ("cylinder", "fluid", "flows"),
    [
        ("nitrous-oxide-e", "NitrousOxide", ("6.6 L/min", "4 L/min", "2 L/min")),
        ("carbon-dioxide", "CarbonDioxide", ("6 L/min", "3 L/min")),
    ],
)
def test_no_time_by_weight_fails_as_the_cylinder_cools(
    cylinder: str, fluid: str, flows: tuple[str, ...], tmp_path: Path
) -> None:
    """At 60 random points of heat, metal, scale, size and flow a balance of energy lasts as long as each cell says."""
    folder = with_carbon_dioxide(tmp_path / "site")
    here, dice = department(folder), random.Random(20261201)
    asked = ", ".join(f'"{flow}"' for flow in flows)
    numbers = result_of(f'weight_table(cylinder="{cylinder}", scale="store-scale", flows=[{asked}])', folder).numbers
    assert numbers is not None
    room, entry, scale = here.settings.room_temperature, here.cylinders[cylinder], here.scales["store-scale"]
    assert entry.tare is not None
    keep_back = absolute(here.settings.keep_back.pa, here.ambient)
    for _ in range(60):
        truth = Truth(here, cylinder, "yoke-nitrous-oxide", "theatre", dice)
        vessel = drawn_from(here, truth, fluid, dice, (room.low.k, room.high.k))
        row = dice.choice((0, dice.randrange(len(numbers.rows) - 1)))
        gross = float(numbers.rows[row]) + dice.uniform(-1, 1) * (scale.tolerance.kg + scale.interval.kg / 2)
        held = (gross - entry.tare.kg - dice.uniform(-1, 1) * 0.005) / realgas.molar_mass(entry.contents)
        column = dice.randrange(len(flows))
        rate = truth.rate(float(flows[column].split()[0]))
        # Liquid that fills its cylinder in the warmth is let be: it starts no warmer than 22 °C.
        lasts, _coldest = vessel.lasts(held, min(truth.temperature(), 295.15), rate, keep_back)
        step = held / rate / 150
        assert float(numbers.cells[row][1 + column].value or 0) * 60 <= lasts + step


@pytest.mark.parametrize("cold", [False, True])
def test_no_time_by_reading_fails_as_the_cylinder_cools(cold: bool) -> None:
    """At 60 random points: gas alone as warm as its place, or liquid that boiling has cooled to the same reading."""
    here, dice = department(), random.Random(20261202)
    flows = (6.6, 4.0, 2.0)
    numbers = result_of(f'vapour_table({ON}, flows=["6.6 L/min", "4 L/min", "2 L/min"])').numbers
    assert numbers is not None
    promised = [(row, column) for row, cells in enumerate(numbers.cells) for column in range(3) if cells[column].value]
    place, gas = here.places["theatre"].temperature, here.cylinders["nitrous-oxide-e"].contents
    keep_back = absolute(here.settings.keep_back.pa, here.ambient)
    for _ in range(60):
        truth = Truth(here, "nitrous-oxide-e", "yoke-nitrous-oxide", "theatre", dice)
        vessel = drawn_from(here, truth, "NitrousOxide", dice, (place.low.k, place.high.k))
        row, column = dice.choice(promised)
        shown = float(numbers.rows[row]) * 1e5
        true = AbsolutePa(shown + dice.choice((-1, 1, dice.uniform(-1, 1))) * 2.5e5 + here.ambient)
        rate = truth.rate(flows[column])
        if cold:
            kelvin = liquefied.boiling_temperature(gas, true)
            held = vessel.capacity * realgas.saturation(gas, kelvin).vapour * dice.uniform(1.0, 1.1)
        else:
            kelvin = truth.temperature()
            held = vessel.capacity * realgas.density(gas, true, kelvin)
        lasts, _coldest = vessel.lasts(held, kelvin, rate, keep_back)
        assert float(numbers.cells[row][column].value or 0) * 60 <= lasts + held / rate / 150


TOO_MUCH = (
    "up to {} L/min of {} cools the cylinder more than the room surely warms it: the pressure may fall to the "
    "keep-back while liquid is left, and a time would promise too much"
)


@pytest.mark.parametrize(
    ("call", "most", "flow"),
    [
        ('weight_table(cylinder="nitrous-oxide-e", scale="store-scale", flows=["2 L/min", "20 L/min"])', "22.0", "6.6"),
        ('weight_table(cylinder="carbon-dioxide", scale="store-scale", flows=["30 L/min"])', "33.0", "6.6"),
        (f'vapour_table({ON}, flows=["20 L/min"])', "22.0", "6.9"),
        (f'after_plateau({ON}, flow="200 L/min")', "220.0", "6.9"),
    ],
)
def test_more_than_the_room_warms_is_refused(call: str, most: str, flow: str, tmp_path: Path) -> None:
    """20 and 30 L/min, whose printed times were half as long again as the cylinder; the example is then allowed."""
    folder = with_carbon_dioxide(tmp_path / "site")
    ((code, wrong, allowed, example),) = told(call, folder)
    gas = "carbon dioxide" if "carbon" in call else "nitrous oxide"
    assert ("E795", TOO_MUCH.format(most.removesuffix(".0"), gas)) == (code, wrong.replace(".0 L/min", " L/min"))
    assert f"which is {flow} L/min set on the flowmeter; for more, a larger cylinder" in allowed
    asked = call.split("flow")[0] + example + ")"
    assert result_of(asked, folder)


def test_a_use_that_draws_too_much_is_refused_at_its_name(tmp_path: Path) -> None:
    """The example is a draw of the data, since a use is mended there."""
    folder = copy_fleet(tmp_path / "site")
    change(folder / "content/data/uses.yaml", "{fresh gas: 2 L/min}", "{fresh gas: 12 L/min}")
    call = f'after_plateau({ON}, use="low-flow-with-nitrous-oxide")'
    ((code, _, _, example),) = told(call, folder)
    assert ("E795", "draws: {nitrous oxide: [{fresh gas: 6.9 L/min}]}") == (code, example)


def test_the_bound_goes_with_the_air_not_with_the_store(tmp_path: Path) -> None:
    """In a colder room, and higher up, less is allowed; a cold store cools only the start."""
    call = 'weight_table(cylinder="nitrous-oxide-e", scale="store-scale", flows=["20 L/min"])'
    allowed = {}
    for name, file, old, new in (
        ("as it is", "uses.yaml", "By hand", "By  hand"),
        (
            "cold store",
            "cylinders.yaml",
            "tare_includes: valve\n  stored: theatre",
            "tare_includes: valve\n  stored: gas-store",
        ),
        ("cold room", "department.yaml", "room_temperature: {low: 16 °C", "room_temperature: {low: 6 °C"),
        ("high up", "department.yaml", "ambient_pressure: 101.325 kPa", "altitude: 2240 m"),
    ):
        folder = copy_fleet(tmp_path / name)
        change(folder / "content/data" / file, old, new)
        allowed[name] = float(told(call, folder)[0][3].split('"')[1].split()[0])
    assert allowed["as it is"] == allowed["cold store"] > allowed["high up"] > allowed["cold room"]


def test_a_compressed_gas_does_not_boil() -> None:
    """Of oxygen, and of 50:50, nothing is refused and nothing is said of boiling."""
    for call in (
        'reserve_table(cylinder="oxygen-e", machine="theatre-1", flows=["30 L/min"])',
        'weight_table(cylinder="fifty-fifty-d", scale="store-scale", flows=["30 L/min"])',
    ):
        assert "boil" not in str(result_of(call).as_read)


def test_what_is_printed_says_that_the_gauge_sinks() -> None:
    """Beside every number of a liquefied gas: a table's caution, a sentence's label, the curves."""
    for call in (
        f'vapour_table({ON}, flows=["2 L/min"])',
        'weight_table(cylinder="nitrous-oxide-e", scale="store-scale")',
        'plateau_figure(cylinder="nitrous-oxide-e")',
    ):
        assert "The gauge stands still only while nothing is drawn. In use, boiling cools the cylinder" in str(
            result_of(call).as_read
        )
    assert "In use, boiling may cool the contents to" in label_of(f'after_plateau({ON}, flow="5 L/min")')
    by_weight = 'contents_by_weight(cylinder="nitrous-oxide-e", scale="store-scale", weight="7.40 kg")'
    assert "The litres hold where so little is drawn that the cylinder stays warm." in label_of(by_weight)


def test_the_working_has_the_balance_and_the_cells_minutes() -> None:
    """Heat of the room and of boiling agree; the cell follows from what stays at that temperature."""
    for call in (
        'weight_table(cylinder="nitrous-oxide-e", scale="store-scale", flows=["5 L/min"], weights=["7.40 kg"])',
        f'vapour_table({ON}, flows=["5 L/min"])',
    ):
        lines = working_of(call)
        (balance,) = (line for line in lines if line.startswith("The coldest"))
        coldest, given = balance.split(" At ")[1].split(" in ")[0], float(balance.split(" W against")[0].split()[-1])
        assert given == pytest.approx(float(balance.split(" = ")[-1].split(" W")[0]), rel=0.005)
        (worked,) = (line for line in lines if f"{coldest}" in line and "at the keep-back" in line)
        minutes = float(worked.split("min, shown as")[0].split()[-1])
        numbers = result_of(call).numbers
        assert numbers is not None
        assert minutes - 15 < float(numbers.cells[0][-1].value or 0) <= minutes
