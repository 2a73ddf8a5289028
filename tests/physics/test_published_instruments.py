"""Gauges, regulators, sudden compression and leaks against published values; each row names its own source."""

from __future__ import annotations

from decimal import Decimal

import pytest

from published import row_id, rows
from yokebook.gases import OXYGEN
from yokebook.physics import compression, contents, gauges, leaks, regulators, reserve
from yokebook.physics.contents import Condition
from yokebook.physics.gauges import ClassError, Dial
from yokebook.physics.regulators import Kind
from yokebook.quantities import (
    AbsolutePa,
    CubicMetres,
    DifferencePa,
    GasCubicMetres,
    GasCubicMetresPerSecond,
    GaugePa,
    Kelvin,
    Seconds,
)
from yokebook.units import SPELLINGS, from_si, to_si

PSI = 6894.757293168  # pounds-force per square inch in Pa: NIST SP 811, appendix B
PA = {"bar": 1e5, "psi": PSI}
SEA_LEVEL = AbsolutePa(101325.0)
ROOM = Kelvin(293.15)


def last_figure(figures: str) -> float:
    """Half a unit of the last figure of a number as it is given, a hair more for binary fractions."""
    return 0.5001 * float(10.0 ** -len(figures.partition(".")[2]))


def within(row: dict[str, str], published: str, ours: float) -> None:
    assert float(row[published]) == pytest.approx(ours, rel=float(row["tolerance_percent"]) / 100.0)


@pytest.mark.parametrize("row", rows("gauge_errors.csv"), ids=lambda row: f"{row['id']} {row['what']}")
def test_possible_error_of_a_class(row: dict[str, str]) -> None:
    """A class is a percentage of the span, anywhere on the scale: little of a full reading, much of a low one."""
    dial = Dial(GaugePa(0.0), GaugePa(float(row["span_bar"]) * 1e5))
    reading = GaugePa(float(row["reading_bar"]) * 1e5)
    error = ClassError(dial, float(row["accuracy_class"]))(reading)
    ours = {
        "bar": error / 1e5,
        "% of span": 100.0 * error / dial.span,
        "% of reading": 100.0 * error / reading,
        "litres of 680": 680.0 * error / reading,
    }[row["what"]]
    exact = 1e-12 * ours if row["tolerance_percent"] else 0.0
    assert float(row["value"]) == pytest.approx(ours, abs=exact or last_figure(row["value"]), rel=0)


@pytest.mark.parametrize("row", rows("dial_rules.csv"), ids=row_id)
def test_rule_for_dials(row: dict[str, str]) -> None:
    """Temperature effect and headroom of a dial are those remembered of the standards."""
    dial = Dial(GaugePa(0.0), GaugePa(250e5))
    if row["unit"] == "°C":
        ours = 100.0 * gauges.temperature_effect(dial, Kelvin(float(row["given"]) + 273.15)) / dial.span / 10.0
    else:
        highest = GaugePa(float(row["given"]) * PA[row["unit"]])
        least = gauges.least_full_scale(highest)
        ours = least / PA[row["unit"]] if row["what"] == "least full scale" else 100.0 * highest / least
    within(row, "value", ours)


@pytest.mark.parametrize("row", rows("scale_intervals.csv"), ids=lambda row: row["interval"])
def test_scale_interval(row: dict[str, str]) -> None:
    """A scale interval is 1, 2 or 5 times a power of ten."""
    assert (row["allowed"] == "yes") == gauges.is_scale_interval(float(row["interval"]))


@pytest.mark.parametrize("row", rows("drain_times.csv"), ids=row_id)
def test_time_in_which_the_permitted_leak_empties_a_cylinder(row: dict[str, str]) -> None:
    """At the permitted leak a cylinder takes days to empty."""
    condition = Condition(ROOM, SEA_LEVEL)
    held = contents.amount_of(OXYGEN, GasCubicMetres(float(row["contents_l"]) / 1e3), condition)
    flow = GasCubicMetresPerSecond(float(row["leak_ml_per_min"]) / 60e6)
    rate = reserve.amount_rate(OXYGEN, reserve.Draw(GasCubicMetresPerSecond(0.0), leak=flow), condition)
    within(row, "computed_h", reserve.duration(held, rate) / 3600.0)


@pytest.mark.parametrize("row", rows("pressures_in_other_units.csv"), ids=lambda row: f"{row['id']} {row['given']}")
def test_pressure_in_another_unit(row: dict[str, str]) -> None:
    """A pressure is the published number in the other unit, or the row's finding says why not."""
    pascal = to_si(Decimal(row["given"]), SPELLINGS[row["unit"]], difference=True)
    ours = float(from_si(pascal, SPELLINGS[row["published_unit"]], difference=True))
    apart = abs(float(row["published"]) - ours) / ours
    assert (apart > float(row["tolerance_percent"]) / 100.0) == bool(row["finding"])


@pytest.mark.parametrize("row", rows("regulator_examples.csv"), ids=lambda row: f"{row['id']} {row['inlet_bar']} bar")
def test_regulator_example(row: dict[str, str]) -> None:
    """A regulator set to 3.10 bar at 137 bar gives the example's outlet; the seat's own share moves it a little."""
    kind, ratio = Kind[row["kind"]], float(row["area_ratio"])
    set_outlet, set_inlet, inlet = GaugePa(3.10e5), GaugePa(137e5), GaugePa(float(row["inlet_bar"]) * 1e5)
    plain = regulators.supply_effect(kind, ratio, outlet_on_seat=False)
    outlet = regulators.outlet_from_setting(set_outlet, set_inlet, inlet, plain)
    assert float(row["outlet_bar"]) == pytest.approx(outlet / 1e5, abs=last_figure(row["outlet_bar"]))
    whole = regulators.outlet_from_setting(set_outlet, set_inlet, inlet, regulators.supply_effect(kind, ratio))
    change = ratio / (ratio + 1.0) if kind is Kind.INLET_OPENS else ratio / (ratio - 1.0)
    assert change == pytest.approx((whole - set_outlet) / (outlet - set_outlet))


@pytest.mark.parametrize("row", rows("regulator_laws.csv"), ids=row_id)
def test_regulator_law(row: dict[str, str]) -> None:
    """The two balances of forces have the published slopes: one outlet falls with the supply, the other rises."""
    area, on_seat = 1e-6, row["outlet_on_seat"] == "yes"
    outlet = {
        "INLET_OPENS": regulators.outlet_inlet_opens, "INLET_CLOSES": regulators.outlet_inlet_closes,
    }[row["kind"]]  # fmt: skip
    high, low = (outlet(40.0, GaugePa(p), area, 100.0 * area, outlet_on_seat=on_seat) for p in (137e5, 37e5))
    slope = (high - low) / 100e5
    over = {
        "slope over a/A": 0.01, "slope over a/(A-a)": 1.0 / 99.0, "slope over a/(A+a)": 1.0 / 101.0,
    }[row["what"]]  # fmt: skip
    assert float(row["value_at_ratio_100"]) == pytest.approx(slope / over, abs=float(row["tolerance"]) * 1e3)


def test_area_ratio_that_holds_five_psi() -> None:
    """Holding 5 psi from 137 to 10 bar needs a ratio of some 370 in either kind (the balance of forces, by hand)."""
    five, fall = DifferencePa(5 * PSI), DifferencePa(127e5)
    ours = [regulators.area_ratio_for(kind, five, fall) for kind in (Kind.INLET_OPENS, Kind.INLET_CLOSES)]
    assert [367.4, 369.4] == pytest.approx(ours, abs=0.05)


def test_regulated_pressure_of_a_reserve_cylinder() -> None:
    """A reserve cylinder is regulated to 40 to 45 psi, below a pipeline of 50 to 55 (common practice, no source)."""
    measured = regulators.Characteristic(GaugePa(137e5), GaugePa(45 * PSI), GaugePa(10e5), GaugePa(40 * PSI))
    assert Kind.INLET_OPENS is measured.kind
    assert 42.5 == pytest.approx(measured.outlet(GaugePa(73.5e5)) / PSI)


@pytest.mark.parametrize("row", rows("sudden_compression.csv"), ids=lambda row: f"{row['id']} {row['end']}")
def test_sudden_compression_of_oxygen(row: dict[str, str]) -> None:
    """Constant heat capacity gives the published temperatures; the real gas stays well below them."""
    start = AbsolutePa(float(row["start_bar_abs"]) * 1e5)
    end = AbsolutePa(float(row["end"]) * PSI if row["end_unit"] == "psia" else float(row["end"]) * 1e5 + SEA_LEVEL)
    ideal = compression.ideal_temperature(ROOM, start, end) - 273.15
    real = compression.sudden_temperature(OXYGEN, ROOM, start, end) - 273.15
    assert float(row["real_c"]) == pytest.approx(real, abs=last_figure(row["real_c"]))
    assert real < ideal
    if row["ideal_c"]:
        assert float(row["ideal_c"]) == pytest.approx(ideal, abs=last_figure(row["ideal_c"]))
    if row["published_c"]:
        within(row, "published_c", ideal)


@pytest.mark.parametrize("row", rows("leaks.csv"), ids=lambda row: f"{row['id']} {row['what']}")
def test_leak_from_a_fall(row: dict[str, str]) -> None:
    """A timed fall stands for the published leak, of an ideal gas or of oxygen."""
    volume, fall = CubicMetres(float(row["volume_ml"]) / 1e6), DifferencePa(float(row["fall_psi"]) * PSI)
    duration = Seconds(float(row["minutes"]) * 60.0)
    if row["start_psi"]:
        start = GaugePa(float(row["start_psi"]) * PSI)
        flow = leaks.leak(
            OXYGEN, volume, start, GaugePa(start - fall), duration, ROOM, SEA_LEVEL, Condition(ROOM, SEA_LEVEL),
            valve_open=False,
        )  # fmt: skip
    else:
        flow = leaks.ideal_leak(volume, fall, duration, SEA_LEVEL)
    within(row, "value", flow * 60e6)


@pytest.mark.parametrize("row", rows("falls.csv"), ids=row_id)
def test_fall_from_a_leak(row: dict[str, str]) -> None:
    """The permitted leak empties a small trapped volume fast."""
    volume = CubicMetres(float(row["volume_ml"]) / 1e6)
    flow = GasCubicMetresPerSecond(float(row["leak_ml_per_min"]) / 60e6)
    within(row, "fall_psi_per_min", leaks.ideal_fall(volume, flow, Seconds(60.0), SEA_LEVEL) / PSI)


@pytest.mark.parametrize("row", rows("half_full.csv"), ids=row_id)
def test_reading_of_a_half_full_cylinder(row: dict[str, str]) -> None:
    """Half of a full oxygen cylinder is at the reading given, or the row's finding says why not."""
    full, temperature = GaugePa(float(row["full_psi"]) * PSI), Kelvin(float(row["temperature_c"]) + 273.15)
    ours = contents.reading_with_share(OXYGEN, 0.5, full, temperature, SEA_LEVEL) / PSI
    assert float(row["computed_psi"]) == pytest.approx(ours, abs=last_figure(row["computed_psi"]))
    apart = abs(float(row["published_psi"]) - ours) / ours
    assert (apart > float(row["tolerance_percent"]) / 100.0) == bool(row["finding"])
