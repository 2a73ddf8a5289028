"""Liquefied gas and the separation of 50:50 against published values; each row names its own source."""

from __future__ import annotations

import pytest

from published import row_id, rows
from yokebook.gases import FIFTY_FIFTY, FIXED, NITROUS_OXIDE, OXYGEN
from yokebook.physics import contents, liquefied, realgas, separation
from yokebook.physics.contents import Condition
from yokebook.quantities import AbsolutePa, CubicMetres, GaugePa, Kelvin, Kilograms, Moles

PSI = 6894.757293168  # pounds-force per square inch in Pa: NIST SP 811, appendix B
ATM = 101325.0
SEA_LEVEL = AbsolutePa(ATM)
PA = {"bar": 1e5, "psi": PSI, "MPa": 1e6, "atm": ATM}


def kelvin(celsius: str) -> Kelvin:
    return Kelvin(float(celsius) + 273.15)


def last_figure(figures: str) -> float:
    """Half a unit of the last figure of a number as it is given, a hair more for binary fractions."""
    return 0.5001 * float(10.0 ** -len(figures.partition(".")[2]))


def check(ours: float, row: dict[str, str]) -> None:
    """Hold our value against both of a row; a row with a finding must be outside the tolerance, and ours be right."""
    if row["computed"]:
        assert float(row["computed"]) == pytest.approx(ours, abs=max(last_figure(row["computed"]), 0.001 * ours))
    if row["published"]:
        apart = abs(float(row["published"]) - ours) / ours
        assert (apart > float(row["tolerance_percent"]) / 100.0) == bool(row["finding"])


@pytest.mark.parametrize("row", rows("vapour_pressures.csv"), ids=row_id)
def test_vapour_pressure(row: dict[str, str]) -> None:
    """A cylinder with liquid in it reads the published vapour pressure, or the row's finding says why not."""
    reading = liquefied.vapour_reading(FIXED[row["gas"]], kelvin(row["temperature_c"]), SEA_LEVEL)
    check(reading / PA[row["unit"]], row)


@pytest.mark.parametrize(("psi", "celsius"), [(745.0, 21.6)])
def test_temperature_to_which_a_disputed_pressure_belongs(psi: float, celsius: float) -> None:
    """745 psi of nitrous oxide, printed for 20 °C and for 70 °F, belongs to 21.6 °C (reference equation of state)."""
    boiling = liquefied.boiling_temperature(NITROUS_OXIDE, AbsolutePa(psi * PSI + ATM))
    assert celsius == pytest.approx(boiling - 273.15, abs=0.05)


@pytest.mark.parametrize("row", rows("saturation.csv"), ids=row_id)
def test_saturation(row: dict[str, str]) -> None:
    """Vapour pressure and both densities are those of the reference equation."""
    gas, temperature = FIXED[row["gas"]], kelvin(row["temperature_c"])
    reading = liquefied.vapour_reading(gas, temperature, SEA_LEVEL)
    both = realgas.saturation(gas, temperature)
    ours = {
        "reading_bar": reading / 1e5,
        "reading_psi": reading / PSI,
        "liquid_kg_per_m3": both.liquid * realgas.molar_mass(gas),
        "vapour_kg_per_m3": both.vapour * realgas.molar_mass(gas),
    }
    for column, value in ours.items():
        assert float(row[column]) == pytest.approx(value, rel=float(row["tolerance_percent"]) / 100.0)


@pytest.mark.parametrize("row", rows("critical_points.csv"), ids=row_id)
def test_critical_point(row: dict[str, str]) -> None:
    """Critical temperature and pressure are the published ones."""
    gas = FIXED[row["gas"]]
    if row["what"] == "temperature":
        ours = float(realgas.critical_temperature(gas)) - (273.15 if row["unit"] == "°C" else 0.0)
    else:
        ours = realgas.critical_pressure(gas) / PA[row["unit"]]
    assert float(row["published"]) == pytest.approx(ours, rel=float(row["tolerance_percent"]) / 100.0)


@pytest.mark.parametrize("row", rows("warm_fillings.csv"), ids=lambda row: f"{row['id']} {row['temperature_c']}")
def test_filling_in_warmth(row: dict[str, str]) -> None:
    """Liquid fills its cylinder at the temperature given, and the reading above it is far over the vapour pressure."""
    ratio = float(row["filling_ratio"])
    if row["what"] == "full of liquid °C":
        ours = liquefied.full_of_liquid_temperature(NITROUS_OXIDE, ratio) - 273.15
    else:
        mass, litre = liquefied.filled_mass(ratio, CubicMetres(1e-3)), CubicMetres(1e-3)
        ours = liquefied.closed_reading(NITROUS_OXIDE, mass, litre, kelvin(row["temperature_c"]), SEA_LEVEL) / 1e5
    assert float(row["computed"]) == pytest.approx(ours, rel=float(row["tolerance_percent"]) / 100.0)


@pytest.mark.parametrize("row", rows("after_plateau.csv"), ids=row_id)
def test_left_when_the_reading_begins_to_fall(row: dict[str, str]) -> None:
    """When the last liquid has gone a quarter is left: some 400 L of an E cylinder, not the 250 L of Boyle's law."""
    temperature = kelvin(row["temperature_c"])
    if row["what"] == "share %":
        ours = 100.0 * liquefied.share_after_plateau(NITROUS_OXIDE, float(row["filling_ratio"]), temperature)
    else:
        capacity = CubicMetres(float(row["water_capacity_l"]) / 1000.0)
        left = liquefied.left_after_plateau(NITROUS_OXIDE, capacity, temperature)
        ours = contents.gas_volume(NITROUS_OXIDE, left, Condition(kelvin(row["litres_at_c"]), SEA_LEVEL)) * 1000.0
        assert ours > 350.0
    check(ours, row)


@pytest.mark.parametrize("row", rows("vapour_contents.csv"), ids=row_id)
def test_contents_by_reading_with_gas_alone_left(row: dict[str, str]) -> None:
    """With gas alone left a reading stands for the real gas's contents, well above the ideal gas's."""
    temperature, capacity = kelvin(row["temperature_c"]), CubicMetres(float(row["water_capacity_l"]) / 1000.0)
    reading = GaugePa(float(row["reading_psi"]) * PSI)
    left = liquefied.vapour_left(NITROUS_OXIDE, capacity, reading, temperature, SEA_LEVEL)
    ours = contents.gas_volume(NITROUS_OXIDE, left, Condition(temperature, SEA_LEVEL)) * 1000.0
    assert float(row["computed_l"]) == pytest.approx(ours, rel=float(row["tolerance_percent"]) / 100.0)


@pytest.mark.parametrize("row", rows("litres_per_kilogram.csv"), ids=row_id)
def test_litres_of_gas_in_a_kilogram(row: dict[str, str]) -> None:
    """A kilogram gives as many litres as the reference equation says."""
    gas, temperature = FIXED[row["gas"]], kelvin(row["temperature_c"])
    amount = liquefied.amount_of_mass(Kilograms(1.0), realgas.molar_mass(gas))
    ours = contents.gas_volume(gas, amount, Condition(temperature, SEA_LEVEL)) * 1000.0
    assert float(row["computed_l_per_kg"]) == pytest.approx(ours, rel=float(row["tolerance_percent"]) / 100.0)


@pytest.mark.parametrize("row", rows("latent_heats.csv"), ids=row_id)
def test_latent_heat(row: dict[str, str]) -> None:
    """Clapeyron's equation gives the latent heat that the equation of state gives by its enthalpies."""
    gas = FIXED[row["gas"]]
    ours = liquefied.latent_heat(gas, kelvin(row["temperature_c"])) / realgas.molar_mass(gas) / 1000.0
    assert float(row["computed_kj_per_kg"]) == pytest.approx(ours, rel=float(row["tolerance_percent"]) / 100.0)


@pytest.mark.parametrize("row", rows("separation.csv"), ids=lambda row: f"{row['id']} {row['reading_bar']} bar")
def test_separation_temperature(row: dict[str, str]) -> None:
    """50:50 separates at the temperature given for its pressure, or the row's finding says why not."""
    pressure = AbsolutePa(float(row["reading_bar"]) * 1e5 + ATM)
    ours = separation.separation_temperature(pressure) - 273.15
    assert float(row["computed_c"]) == pytest.approx(ours, abs=float(row["own_tolerance_k"]))
    if row["published_c"]:
        assert (abs(float(row["published_c"]) - ours) > float(row["tolerance_k"])) == bool(row["finding"])


@pytest.mark.parametrize("row", rows("closed_separation.csv"), ids=row_id)
def test_closed_cylinder_of_fifty_fifty_in_the_cold(row: dict[str, str]) -> None:
    """A full, closed cylinder's reading falls in the cold, and below some -4 °C its contents separate."""
    temperature = kelvin(row["temperature_c"])
    reading = contents.reading_at(FIFTY_FIFTY, GaugePa(137e5), Kelvin(288.15), temperature, SEA_LEVEL)
    assert float(row["reading_bar"]) == pytest.approx(reading / 1e5, rel=float(row["tolerance_percent"]) / 100.0)
    separated = temperature < separation.separation_temperature(AbsolutePa(reading + ATM))
    assert (row["separated"] == "yes") == separated
    where = separation.closed_separation(GaugePa(137e5), Kelvin(288.15), SEA_LEVEL)
    assert (temperature < where.temperature) == separated


def test_oxygen_litres_in_a_mole_are_those_of_a_thin_gas() -> None:
    """A mole of oxygen at 15 °C and one atmosphere takes up 23.6 L (R T / p: 23.645 L, from memory)."""
    ours = contents.gas_volume(OXYGEN, Moles(1.0), Condition(Kelvin(288.15), SEA_LEVEL)) * 1000.0
    assert 23.645 == pytest.approx(ours, rel=0.001)
