"""Dimensions: the arithmetic of the instruments, fed with quantities that carry units, gives the right dimension."""

from __future__ import annotations

from typing import Any

import pint
import pytest

from yokebook.errors import OutOfRange
from yokebook.physics import compression, gauges, leaks, liquefied, regulators
from yokebook.physics.gauges import ClassError, Dial, FixedError, FoundError, ShareError
from yokebook.physics.regulators import Characteristic, Kind

UNITS: Any = pint.UnitRegistry()


def q(value: float, unit: str) -> Any:
    """Return a quantity in SI base units, so that a wrong dimension cannot hide behind a conversion."""
    return UNITS.Quantity(value, unit)


DIAL: Any = Dial(q(0.0, "Pa"), q(250e5, "Pa"), stopped=True)
AREAS = q(2e-6, "m^2"), q(400e-6, "m^2")
OUTLETS = {
    "inlet opens": lambda: regulators.outlet_inlet_opens(q(100.0, "N"), q(137e5, "Pa"), *AREAS),
    "inlet closes": lambda: regulators.outlet_inlet_closes(q(150.0, "N"), q(137e5, "Pa"), *AREAS),
    "from a setting": lambda: regulators.outlet_from_setting(q(3e5, "Pa"), q(137e5, "Pa"), q(37e5, "Pa"), 0.005),
    "measured": lambda: Characteristic(q(137e5, "Pa"), q(3e5, "Pa"), q(17e5, "Pa"), q(2.7e5, "Pa")).outlet(
        q(77e5, "Pa")
    ),
}
PRESSURES = {
    "class": lambda: ClassError(DIAL, 2.5)(q(100e5, "Pa")),
    "shares": lambda: ShareError(DIAL, 0.04, 0.08)(q(100e5, "Pa")),
    "plus-minus": lambda: FixedError(DIAL, q(5e5, "Pa"))(q(100e5, "Pa")),
    "found": lambda: FoundError(ClassError(DIAL, 1.6), q(-3e5, "Pa"))(q(100e5, "Pa")),
    "true range": lambda: gauges.true_range(q(100e5, "Pa"), ClassError(DIAL, 2.5))[0],
    "reading that assures": lambda: gauges.reading_that_assures(q(40e5, "Pa"), ClassError(DIAL, 2.5), DIAL),
    "least full scale": lambda: gauges.least_full_scale(q(137e5, "Pa")),
    "half interval": lambda: gauges.half_interval(q(10e5, "Pa")),
    "ideal fall": lambda: leaks.ideal_fall(q(2e-5, "m^3"), q(1e-6, "m^3/s"), q(60.0, "s"), q(101325.0, "Pa")),
}
OTHERS = {
    "ideal leak": ("m^3/s", lambda: leaks.ideal_leak(
        q(2e-5, "m^3"), q(3e5, "Pa"), q(300.0, "s"), q(101325.0, "Pa"))),
    "mass by weight": ("kg", lambda: liquefied.mass_by_weight(q(7.4, "kg"), q(5.4, "kg"))),
    "amount of mass": ("mol", lambda: liquefied.amount_of_mass(q(2.0, "kg"), q(0.044, "kg/mol"))),
    "area ratio": ("", lambda: regulators.area_ratio_for(Kind.INLET_OPENS, q(3e4, "Pa"), q(127e5, "Pa"))),
    "supply effect": ("", lambda: regulators.supply_effect(Kind.INLET_CLOSES, q(100.0, ""))),
    "measured effect": ("", lambda: Characteristic(
        q(137e5, "Pa"), q(3e5, "Pa"), q(17e5, "Pa"), q(2.7e5, "Pa")).effect),
    "ideal temperature": ("K", lambda: compression.ideal_temperature(
        q(293.15, "K"), q(1e5, "Pa"), q(138e5, "Pa"))),
}  # fmt: skip
ALL: dict[str, tuple[str, Any]] = {
    **{name: ("Pa", call) for name, call in (OUTLETS | PRESSURES).items()},
    **OTHERS,
}


@pytest.mark.parametrize("name", ALL)
def test_dimension(name: str) -> None:
    """Each formula's result has the dimension that its docstring states."""
    unit, call = ALL[name]
    result = UNITS.Quantity(1.0) * call()
    assert UNITS.Quantity(1.0, unit).dimensionality == result.dimensionality


@pytest.mark.parametrize(
    "call",
    [
        lambda: regulators.outlet_inlet_opens(q(100.0, "N"), q(137e5, "Pa"), q(2e-3, "m"), q(398e-6, "m^2")),
        lambda: liquefied.mass_by_weight(q(7.4, "kg"), q(5.4, "mol")),
        lambda: gauges.true_range(q(100.0, "kg"), ClassError(DIAL, 2.5)),
    ],
)
def test_a_mix_up_is_seen(call: Any) -> None:
    """A length for an area, an amount for a mass or a weight for a reading does not pass these tests."""
    with pytest.raises(pint.DimensionalityError):
        call()


def test_a_refused_quantity_keeps_its_unit() -> None:
    """The check of the arguments refuses a quantity with a unit as it does a plain number."""
    with pytest.raises(OutOfRange, match="gross weight less tare"):
        liquefied.mass_by_weight(q(5.0, "kg"), q(5.4, "kg"))
