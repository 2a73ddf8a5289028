"""Quantities of any kind, as an author writes them in a call: their kind is told by their unit."""

from __future__ import annotations

from typing import Annotated

from yokebook import units
from yokebook.data.faults import refuse, unit_fault
from yokebook.data.fields import scalar

KINDS: tuple[type[units.Quantity], ...] = (
    units.GaugePressure,
    units.AbsolutePressure,
    units.Temperature,
    units.Volume,
    units.Mass,
    units.Flow,
    units.Duration,
    units.Length,
    units.Share,
)
"""A pressure whose unit does not say what it counts from is a gauge pressure, as on any dial."""


class _Any(units.Quantity):
    """Stands for a kind that is not known yet, so that a slip is told in words that fit every kind."""

    kind = "quantity"
    dimension = "any"
    example = "137 bar"

    @classmethod
    def allowed(cls) -> str:
        return "a number and one of " + ", ".join(unit.symbol for unit in units.UNITS)


def any_quantity(text: str) -> units.Quantity:
    """Return the quantity that a text states, of whatever kind.

    Raises UnitError where it is none, or none that can be.

    >>> any_quantity("20 °C")
    Temperature(number=Decimal('20'), unit=Unit(symbol='°C', dimension='temperature', pint_name='degree_Celsius', \
counts_from=''))
    """
    try:
        _Any.read(text)
    except units.UnitError as error:
        if error.code != "E106":
            raise
    for kind in KINDS:
        try:
            return kind.read(text)
        except units.UnitError as error:
            if error.code not in ("E106", "E107"):
                raise
    raise AssertionError(text)


def _quantity(text: str) -> units.Quantity:
    try:
        return any_quantity(text)
    except units.UnitError as error:
        refuse([unit_fault(error)])


def _unit(text: str) -> units.Unit:
    try:
        return any_unit(text)
    except units.UnitError as error:
        refuse([unit_fault(error)])


def any_unit(text: str) -> units.Unit:
    """Return the unit of a spelling.

    Raises UnitError for what is none.

    >>> any_unit("L/min").symbol
    'L/min'
    """
    unit = units.SPELLINGS.get(text.strip())
    if unit:
        return unit
    try:
        _Any.read(f"1 {text}")
    except units.UnitError as error:
        allowed = "one of " + ", ".join(unit.symbol for unit in units.UNITS)
        code = "E105" if error.code == "E106" else error.code
        raise units.UnitError(
            code,
            f"{text} is not a unit that is read here",
            allowed=allowed,
            example="psi",
            suggestion=error.suggestion,
        ) from None
    raise AssertionError(text)


AnyQuantity = Annotated[units.Quantity, scalar(_quantity)]
AnyUnit = Annotated[units.Unit, scalar(_unit)]
