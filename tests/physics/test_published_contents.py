"""Contents, readings and durations against published values; each row of `tests/reference/` names its own source."""

from __future__ import annotations

import pytest

from published import REFERENCE, row_id, rows
from yokebook.gases import FIXED, OXYGEN, Gas
from yokebook.physics import contents, realgas, reserve
from yokebook.physics.contents import Condition
from yokebook.physics.realgas import Model
from yokebook.quantities import (
    AbsolutePa,
    CubicMetres,
    GasCubicMetres,
    GasCubicMetresPerSecond,
    GaugePa,
    Kelvin,
    Moles,
)

PA = {"bar": 1e5, "psi": 6894.757293168}  # pounds-force per square inch: NIST SP 811, appendix B
AMBIENT = AbsolutePa(101325.0)
GAS_CONSTANT = 8.31446261815324  # J/(mol K): CODATA 2018, exact
SEVENTY_FAHRENHEIT = Kelvin(294.2611)
OWN_CALCULATION = 0.001  # the rows' computed values are given in three to five figures
FIFTY_FIFTY = "nitrous oxide/oxygen 50:50"


def kelvin(celsius: str) -> Kelvin:
    return Kelvin(float(celsius) + 273.15)


def litres(gas: Gas, amount: Moles, temperature: Kelvin, model: Model | None = None) -> float:
    return contents.gas_volume(gas, amount, Condition(temperature, AMBIENT), model) * 1000.0


def rounding(figures: str) -> float:
    """Half a unit of the last figure of a number as it is printed, but at least 0.1 % of it."""
    decimals = len(figures.partition(".")[2])
    return max(0.5001 * 10.0**-decimals, OWN_CALCULATION * float(figures))


def check(ours: float, row: dict[str, str], published: str, computed: str) -> None:
    """Hold our value against both of a row; a row with a finding must be outside the tolerance, and ours be right."""
    assert ours == pytest.approx(float(computed), abs=rounding(computed))
    if published:
        apart = abs(float(published) - ours) / ours
        assert (apart > float(row["tolerance_percent"]) / 100.0) == bool(row["finding"])


@pytest.mark.parametrize("row", rows("contents.csv"), ids=row_id)
def test_contents_of_compressed_gas(row: dict[str, str]) -> None:
    """A cylinder of compressed gas holds what the tables print, or the row's finding says why not."""
    gas, temperature = FIXED[row["gas"]], kelvin(row["temperature_c"])
    water_capacity = CubicMetres(float(row["water_capacity_l"]) / 1000.0)
    reading = GaugePa(float(row["reading"]) * PA[row["reading_unit"]])
    amount = {
        "total": lambda: contents.total(gas, water_capacity, reading, temperature, AMBIENT),
        "usable": lambda: contents.usable(gas, water_capacity, reading, GaugePa(0.0), temperature, AMBIENT),
    }[row["of"]]()
    check(litres(gas, amount, temperature), row, row["published_l"], row["computed_l"])


@pytest.mark.parametrize("row", rows("contents_by_mass.csv"), ids=row_id)
def test_volume_of_a_mass_of_liquefied_gas(row: dict[str, str]) -> None:
    """A mass of a liquefied gas gives as many litres as the tables print, or the row's finding says why not."""
    gas = FIXED[row["gas"]]
    amount = Moles(float(row["mass_kg"]) / realgas.molar_mass(gas))
    check(litres(gas, amount, kelvin(row["temperature_c"])), row, row["published_l"], row["computed_l"])


@pytest.mark.parametrize("row", [row for row in rows("contents_by_mass.csv") if "0.75" in row["finding"]], ids=row_id)
def test_tables_print_less_than_the_filling_ratio(row: dict[str, str]) -> None:
    """Printed contents of liquefied gases lie 3 to 6.5 % under a filling ratio of 0.75, never over it."""
    assert -0.065 <= float(row["published_l"]) / float(row["computed_l"]) - 1.0 <= -0.03


@pytest.mark.parametrize("row", rows("compression_factors.csv"), ids=row_id)
def test_compression_factor(row: dict[str, str]) -> None:
    """The density at a pressure is that of an ideal gas over the compression factor."""
    pressure, temperature = float(row["reading"]) * PA[row["reading_unit"]] + AMBIENT, kelvin(row["temperature_c"])
    density = realgas.density(FIXED[row["gas"]], AbsolutePa(pressure), temperature)
    ours = pressure / (density * GAS_CONSTANT * temperature)
    assert float(row["computed"]) == pytest.approx(ours, rel=float(row["tolerance_percent"]) / 100.0)


@pytest.mark.parametrize("row", rows("mixture_contents.csv"), ids=row_id)
def test_contents_of_fifty_fifty(row: dict[str, str]) -> None:
    """A 50:50 cylinder holds what each model says (litres of an ideal gas at 15 °C, as the tables state them)."""
    water_capacity = CubicMetres(float(row["water_capacity_l"]) / 1000.0)
    reading = GaugePa(float(row["reading_bar"]) * 1e5)
    amount = contents.total(
        FIXED[FIFTY_FIFTY], water_capacity, reading, kelvin(row["temperature_c"]), AMBIENT, Model[row["model"]]
    )
    ours = amount * GAS_CONSTANT * 288.15 / AMBIENT * 1000.0
    check(ours, row, row["published_l"], row["computed_l"])


@pytest.mark.parametrize("row", rows("shares_and_readings.csv"), ids=row_id)
def test_share_and_reading(row: dict[str, str]) -> None:
    """Share at a reading, reading at a share and a closed cylinder's reading are the real gas's, not a rule's."""
    gas, full, temperature = FIXED[row["gas"]], GaugePa(137e5), kelvin(row["temperature_c"])
    model = Model[row["model"]] if row["model"] else None
    given = float(row["given"])
    ours = {
        "share at reading": lambda: (
            100.0 * contents.share_left(gas, GaugePa(given * 1e5), full, temperature, AMBIENT, model)
        ),
        "reading at share": lambda: contents.reading_with_share(gas, given, full, temperature, AMBIENT, model) / 1e5,
        "closed cylinder": lambda: (
            contents.reading_at(gas, full, temperature, kelvin(row["given"]), AMBIENT, model) / 1e5
        ),
    }[row["what"]]()
    check(ours, row, row["published"], row["computed"])


@pytest.mark.parametrize("row", rows("durations.csv"), ids=row_id)
def test_duration_and_factor(row: dict[str, str]) -> None:
    """An oxygen cylinder at 70 °F lasts as long as the real gas says; the row's finding says where a rule is off."""
    water_capacity = CubicMetres(float(row["water_capacity_l"]) / 1000.0)
    reading = GaugePa(float(row["reading_psi"]) * PA["psi"])
    usable = contents.usable(OXYGEN, water_capacity, reading, GaugePa(0.0), SEVENTY_FAHRENHEIT, AMBIENT)
    draw = reserve.Draw(GasCubicMetresPerSecond(float(row["flow_l_per_min"]) / 60e3))
    rate = reserve.amount_rate(OXYGEN, draw, Condition(SEVENTY_FAHRENHEIT, AMBIENT))
    minutes = reserve.duration(usable, rate) / 60.0
    ours = {"min": minutes, "h": minutes / 60.0, "L/psi": minutes / float(row["reading_psi"])}[row["unit"]]
    check(ours, row, row["published"], row["computed"])


@pytest.mark.parametrize("row", rows("contents_factors.csv"), ids=row_id)
def test_contents_factor(row: dict[str, str]) -> None:
    """Contents over reading of a full cylinder are the factor that books print, or the finding says why not."""
    temperature = kelvin(row["temperature_c"])
    water_capacity = CubicMetres(float(row["water_capacity_l"]) / 1000.0)
    amount = contents.total(OXYGEN, water_capacity, GaugePa(float(row["reading_bar"]) * 1e5), temperature, AMBIENT)
    ours = litres(OXYGEN, amount, temperature) / float(row["full_psi"])
    check(ours, row, row["published_l_per_psi"], row["computed_l_per_psi"])


@pytest.mark.parametrize("row", rows("measured_durations.csv"), ids=row_id)
def test_measured_duration_lies_under_contents_over_drive_gas(row: dict[str, str]) -> None:
    """Contents over drive gas alone bound a measured time to the alarm from above (the row's finding says why)."""
    condition = Condition(SEVENTY_FAHRENHEIT, AMBIENT)
    amount = contents.amount_of(OXYGEN, GasCubicMetres(float(row["contents_l"]) / 1000.0), condition)
    drive_gas = GasCubicMetresPerSecond(float(row["flow_l_per_h"]) / 3.6e6)
    rate = reserve.amount_rate(OXYGEN, reserve.Draw(GasCubicMetresPerSecond(0.0), drive_gas), condition)
    minutes = reserve.duration(amount, rate) / 60.0
    assert float(row["computed_min"]) == pytest.approx(minutes, abs=rounding(row["computed_min"]))
    assert float(row["published_min"]) < minutes


@pytest.mark.parametrize("row", rows("molar_volumes.csv"), ids=row_id)
def test_molar_volume(row: dict[str, str]) -> None:
    """A mole of a thin gas takes up the standard volumes, within what a real gas differs from an ideal one."""
    condition = Condition(kelvin(row["temperature_c"]), AbsolutePa(float(row["pressure_kpa"]) * 1000.0))
    ours = contents.gas_volume(FIXED[row["gas"]], Moles(1.0), condition) * 1000.0
    assert float(row["litres_per_mole"]) == pytest.approx(ours, rel=float(row["tolerance_percent"]) / 100.0)


@pytest.mark.parametrize("row", rows("reference_conditions.csv"), ids=row_id)
def test_same_cylinder_in_litres_of_each_condition(row: dict[str, str]) -> None:
    """The same contents are more litres in a warmer reference condition."""
    gas, water_capacity = FIXED[row["gas"]], CubicMetres(float(row["water_capacity_l"]) / 1000.0)
    reading = GaugePa(float(row["reading_bar"]) * 1e5)
    amount = contents.total(gas, water_capacity, reading, kelvin(row["cylinder_temperature_c"]), AMBIENT)
    ours = litres(gas, amount, kelvin(row["litres_at_c"]))
    assert float(row["computed_l"]) == pytest.approx(ours, rel=float(row["tolerance_percent"]) / 100.0)


def test_no_row_is_both_left_out_and_worked_out() -> None:
    """A row that is left out, with its reason, stands in no other file, and each reason says something."""
    left_out = rows("left_out_gas.csv")
    worked_out = {
        row["id"]
        for file in REFERENCE.glob("*.csv")
        if not file.name.startswith("left_out")
        for row in rows(file.name)
        if "id" in row
    }
    assert worked_out.isdisjoint(row["id"] for row in left_out)
    assert all(len(row["reason"]) > 20 for row in left_out)
