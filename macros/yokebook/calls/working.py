"""How numbers by reading come about, in lines that a reviewer follows with a hand calculator."""

from __future__ import annotations

from decimal import Decimal

from yokebook import units
from yokebook.calls.draw import Drawn
from yokebook.calls.supply import Supply
from yokebook.gases import Gas
from yokebook.physics import bounds, realgas
from yokebook.physics.bounds import Corner
from yokebook.quantities import GasCubicMetres, GasCubicMetresPerSecond, GaugePa

ABSOLUTE = "Densities are taken at the absolute pressure: gauge + ambient."
TIME = (
    "Time = water capacity × (molar density at the reading − molar density at the keep-back) ÷ "
    f"(flow × molar density at the condition of the litres). {ABSOLUTE}"
)
LITRES = (
    "Litres = water capacity × (molar density at the reading − molar density at the keep-back) ÷ "
    f"molar density at the condition of the litres. {ABSOLUTE}"
)
_ONE_LITRE_A_MINUTE = GasCubicMetresPerSecond(1e-3 / 60)
NOTHING = "less the possible error, the reading is not above what is kept back, so nothing is counted."
AT_KEEP_BACK = "at the keep-back"
TIMES_DOWN = "Rounding: down, under 20 min to 1 min, under 2 h to 5 min, else to 15 min."


def digits(number: float, step: str) -> str:
    """Return a number as a working writes it, rounded to a step to the nearest."""
    return units.group(units.round_to(Decimal(number), Decimal(step), units.Rounding.NEAREST))


def sources(source: Supply) -> str:
    """Return where the densities of a cylinder's gas come from."""
    return f"Source of the densities: {densities(source.physics.gas)}."


def densities(gas: Gas) -> str:
    """Return by which models a gas's densities are worked out, and who published the equations of its components."""
    models = ", ".join(model.value for model in realgas.models(gas))
    return f"{models} ({'; '.join(f'{name}: {realgas.EQUATIONS[name]}' for name, _ in gas.composition)})"


def corner_of(source: Supply, shown: GaugePa, column: Drawn) -> Corner | None:
    """Return the worst corner of how long a use lasts from a reading [Pa]; None where nothing may be left."""
    return bounds.worst_corner(source.physics, source.reading(shown), column.physics)


def worked_duration(source: Supply, shown: GaugePa, column: Drawn, end: str, kept_back: str = AT_KEEP_BACK) -> str:
    """Return how long a use lasts from a reading [Pa], worked through; `end` says what is made of it.

    `kept_back` says where it ends, in a case of "at the keep-back".
    """
    return worked_corner(source, corner_of(source, shown, column), column, end, kept_back)


def worked_corner(source: Supply, corner: Corner | None, column: Drawn, end: str, kept_back: str = AT_KEEP_BACK) -> str:
    """Return how long a use lasts at a corner, worked through, with the same two ends."""
    if corner is None:
        return NOTHING
    steps = (
        worked_amount(source, corner, kept_back),
        f"the use takes at most {units.shown(column.greatest_flow, 'L/min', '0.001')} × "
        f"{_per_litre(corner, column.greatest_flow)} mol/L = {digits(corner.rate * 60, '0.00001')} mol/min",
        f"that is {units.shown(corner.duration, 'min', '0.01')}, {end}.",
    )
    return "; ".join(steps)


def litres_corner(source: Supply, shown: GaugePa) -> Corner | None:
    """Return the worst corner of what a reading [Pa] leaves: the litres are the minutes that 1 L/min lasts."""
    return bounds.worst_corner(source.physics, source.reading(shown), _one_litre_a_minute(source))


def litres_of(corner: Corner | None) -> GasCubicMetres:
    """Return the gas [m3] of such a corner; 0 where nothing may be left."""
    return GasCubicMetres(corner.duration * _ONE_LITRE_A_MINUTE if corner else 0.0)


def nominal_litres(source: Supply, shown: GaugePa) -> GasCubicMetres:
    """Return the gas [m3] that a reading [Pa] leaves with nominal values."""
    lasts = bounds.nominal_duration(source.physics, shown, _one_litre_a_minute(source))
    return GasCubicMetres(lasts * _ONE_LITRE_A_MINUTE)


def worked_litres(source: Supply, corner: Corner | None, end: str) -> str:
    """Return how many litres a reading leaves, worked through; `end` says what is made of it."""
    if corner is None:
        return NOTHING
    per_litre = _per_litre(corner, _ONE_LITRE_A_MINUTE)
    divided = f"{digits(corner.amount, '0.001')} mol ÷ {per_litre} mol/L"
    return f"{worked_amount(source, corner)}; {divided} = {units.shown(litres_of(corner), 'L', '0.01')}, {end}."


def _one_litre_a_minute(source: Supply) -> bounds.Use:
    none = bounds.Range.exactly(GasCubicMetresPerSecond(0.0))
    return bounds.Use(_ONE_LITRE_A_MINUTE, 0.0, none, none, source.condition)


def worked_amount(source: Supply, corner: Corner, kept_back: str = AT_KEEP_BACK) -> str:
    """Return the gas that a cylinder surely gives at a corner, worked through; `kept_back` says where it ends."""
    start, end = (digits(density / 1000, "0.0001") for density in (corner.start_density, corner.end_density))
    capacity = digits(source.physics.water_capacity.low * 1000, "0.0001")
    steps = (
        f"the true pressure may be as low as {units.shown(corner.lowest, 'bar', '0.01')}",
        f"molar density there at {units.shown(corner.start, '°C', '0.1')}: {start} mol/L",
        f"{kept_back} at {units.shown(corner.end, '°C', '0.1')}: {end} mol/L ({corner.model.value})",
        f"{capacity} L × ({start} − {end}) mol/L = {digits(corner.amount, '0.001')} mol",
    )
    return "; ".join(steps)


def _per_litre(corner: Corner, flow: GasCubicMetresPerSecond) -> str:
    return digits(corner.rate / flow / 1000, "0.000001")
