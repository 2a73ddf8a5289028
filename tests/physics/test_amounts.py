"""What an amount is to those who use it: litres and time, and of a mixture in the worst of its models."""

from __future__ import annotations

import pytest

from published import row_id, rows
from yokebook.gases import FIFTY_FIFTY, FIXED, OXYGEN
from yokebook.physics import amounts, contents, liquefied_bounds, realgas, reserve
from yokebook.physics.bounds import Range, Use
from yokebook.physics.contents import Condition
from yokebook.quantities import AbsolutePa, CubicMetres, GasCubicMetresPerSecond, GaugePa, Kelvin, Moles

SEA_LEVEL = AbsolutePa(101325.0)
TWENTY = Condition(Kelvin(293.15), SEA_LEVEL)
NONE = Range.exactly(GasCubicMetresPerSecond(0.0))
EIGHT_LITRES = Use(GasCubicMetresPerSecond(8e-3 / 60), 0.1, NONE, NONE, TWENTY)


@pytest.mark.parametrize("row", rows("litres_per_kilogram.csv"), ids=row_id)
def test_litres_of_a_kilogram(row: dict[str, str]) -> None:
    """A pure gas has one model: its litres are the published ones; each row names its source."""
    gas = FIXED[row["gas"]]
    condition = Condition(Kelvin(float(row["temperature_c"]) + 273.15), SEA_LEVEL)
    litres = amounts.least_volume(gas, Moles(1.0 / realgas.molar_mass(gas)), condition) * 1000
    assert float(row["computed_l_per_kg"]) == pytest.approx(litres, rel=float(row["tolerance_percent"]) / 100)


def test_no_model_of_a_mixture_gives_fewer_litres_or_less_time() -> None:
    """The least of the four models of 50:50; each alone gives as much or more."""
    amount = Moles(20.0)
    litres = [contents.gas_volume(FIFTY_FIFTY, amount, TWENTY, model) for model in realgas.models(FIFTY_FIFTY)]
    rates = [
        reserve.amount_rate(FIFTY_FIFTY, EIGHT_LITRES.highest, TWENTY, model) for model in realgas.models(FIFTY_FIFTY)
    ]
    assert min(litres) == amounts.least_volume(FIFTY_FIFTY, amount, TWENTY)
    assert min(litres) < max(litres)
    assert amount / max(rates) == amounts.least_time(FIFTY_FIFTY, amount, EIGHT_LITRES)


def test_litres_and_time_agree() -> None:
    """20 mol of oxygen at 8.8 L/min last their litres over 8.8 (the flowmeter lets 10 % more through)."""
    litres = amounts.least_volume(OXYGEN, Moles(20.0), TWENTY) * 1000
    assert litres / 8.8 == pytest.approx(amounts.least_time(OXYGEN, Moles(20.0), EIGHT_LITRES) / 60)


def test_what_stays_in_a_weighed_cylinder_is_that_of_the_densest_model() -> None:
    """Of a weighed mixture, the models differ in what stays below the keep-back alone: the most of it is taken off."""
    size, place, keep_back = CubicMetres(2.32e-3), Range.exactly(Kelvin(288.15)), GaugePa(10e5)
    usable = liquefied_bounds.least_usable_by_weight(
        FIFTY_FIFTY, Moles(20.0), Range.exactly(size), keep_back, place, SEA_LEVEL
    )
    stays = [
        contents.left_behind(FIFTY_FIFTY, size, keep_back, place.low, SEA_LEVEL, model)
        for model in realgas.models(FIFTY_FIFTY)
    ]
    assert 20.0 - max(stays) == usable
    assert min(stays) < max(stays)
