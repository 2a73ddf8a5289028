"""One quantity in another unit, with as many digits as a reader may trust."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from yokebook import units
from yokebook.data.faults import Fault, Path
from yokebook.number_list import SIGNIFICANT_DIGITS, Shown, significant

LEAST_DIGITS = 3
"""A conversion is given to 3 figures at least, so that it is never more than 0.5 % off what the author wrote."""
SOURCE = "Source of the factors: the definitions of the units."


@dataclass(frozen=True)
class Conversion:
    """A quantity with the same in another unit: unrounded to 10 figures, and as it is shown."""

    quantity: units.Quantity
    unit: units.Unit
    exact: Decimal
    shown: Decimal

    @property
    def cell(self) -> Shown:
        """The number as the list of numbers holds it."""
        return Shown(self.text, significant(self.shown), self.exact)

    @property
    def text(self) -> str:
        """The number as a reader sees it, without its unit."""
        return units.group(self.shown)

    @property
    def with_unit(self) -> str:
        """The number as a reader sees it, with its unit."""
        return units.with_unit(self.text, self.unit)

    @property
    def worked(self) -> str:
        """How it comes about, for a hand calculator."""
        factor, offset = _line(self.quantity.unit, self.unit)
        number = units.group(self.quantity.number)
        sign = "−" if offset < 0 else "+"
        moved = f" {sign} {units.group(abs(offset))}" if offset else ""
        result = units.with_unit(units.group(self.exact), self.unit)
        return f"{number} × {units.group(factor)}{moved} = {result}, shown as {self.with_unit}."


def convert_to(quantity: units.Quantity, unit: units.Unit) -> Conversion:
    """Return a quantity in another unit, which `unlike` finds no fault with.

    >>> from yokebook.units import SPELLINGS, GaugePressure, Temperature
    >>> convert_to(GaugePressure.read("137 bar"), SPELLINGS["psi"]).with_unit
    '1990\\xa0psi'
    >>> convert_to(Temperature.read("70 °F"), SPELLINGS["°C"]).with_unit
    '21\\xa0°C'
    """
    exact = significant(units.from_si(quantity.si, unit))
    return Conversion(quantity, unit, exact, _rounded(quantity, exact))


def rounding_of(quantity: units.Quantity) -> str:
    """Return how conversions of such a quantity are rounded."""
    if quantity.dimension == "temperature":
        return "Rounding: to the nearest, to as many decimal places as the value has."
    return (
        "Rounding: to the nearest, to as many figures as the value has, one more where the first figure grows smaller, "
        f"and at least {LEAST_DIGITS}."
    )


def unlike(quantity: units.Quantity, unit: units.Unit, at: Path) -> Fault | None:
    """Return the fault of a quantity that cannot stand in a unit, None where it can."""
    allowed = ", ".join(
        other.symbol
        for other in units.UNITS
        if other.dimension == quantity.dimension and _counts_alike(quantity.unit, other) and other is not quantity.unit
    )
    if unit.dimension != quantity.dimension:
        wrong = f"{unit.symbol} measures a {unit.dimension}, and {quantity.text} is a {quantity.dimension}"
        return Fault("E106", wrong, at, allowed=allowed)
    if not _counts_alike(quantity.unit, unit):
        wrong = f"{quantity.text} and {unit.symbol} do not count from the same zero: the ambient pressure lies between"
        return Fault("E107", wrong, at, allowed=allowed)
    if unit is quantity.unit:
        return Fault("E551", f"the value stands in {unit.symbol} already and needs no conversion", at, allowed=allowed)
    return None


def _counts_alike(one: units.Unit, other: units.Unit) -> bool:
    """Return whether both count from vacuum, or neither: a gauge pressure stays one."""
    return (one.counts_from == "absolute") == (other.counts_from == "absolute")


def _line(one: units.Unit, other: units.Unit) -> tuple[Decimal, Decimal]:
    """Return (factor, offset) with: number of `other` = factor × number of `one` + offset."""
    zero, unity = (units.from_si(units.to_si(Decimal(number), one), other) for number in (0, 1))
    return significant(unity - zero), significant(round(zero, SIGNIFICANT_DIGITS))


def _rounded(quantity: units.Quantity, exact: Decimal) -> Decimal:
    """Return a conversion rounded as `rounding_of` says: after NIST SP 811, B.7.2 (from memory); the 3 are ours."""
    number = quantity.number
    if quantity.dimension == "temperature":
        return _to_place(exact, min(_exponent(number), 0))
    if not exact:
        return Decimal(0)
    digits = _digits(number)
    wanted = min(max(digits + (_first(exact) < _first(number)), LEAST_DIGITS), SIGNIFICANT_DIGITS)
    place = exact.adjusted() - wanted + 1
    shown = _to_place(exact, place)
    if shown == exact:
        # Zeros behind the point would promise more than the value has.
        return _to_place(exact, min(exact.adjusted() - digits + 1, _exponent(exact.normalize())))
    return _to_place(exact, place + shown.adjusted() - exact.adjusted())


def _to_place(number: Decimal, place: int) -> Decimal:
    """Return a number rounded to a power of ten, with the zeros behind its point that say so."""
    rounded = units.round_to(number, Decimal(1).scaleb(place), units.Rounding.NEAREST)
    return rounded.quantize(Decimal(1).scaleb(min(place, 0)))


def _digits(number: Decimal) -> int:
    """Return how many figures of a number count: zeros that end a whole number do up to the third."""
    digits = "".join(str(digit) for digit in number.as_tuple().digits)
    return max(len(digits.rstrip("0")), min(len(digits), LEAST_DIGITS)) if _exponent(number) >= 0 else len(digits)


def _exponent(number: Decimal) -> int:
    exponent = number.as_tuple().exponent
    assert isinstance(exponent, int)
    return exponent


def _first(number: Decimal) -> int:
    return number.as_tuple().digits[0]
