"""What an author most likely meant by a value that cannot be: the same number in another unit."""

from __future__ import annotations

from collections.abc import Iterable

from yokebook.units import SPELLINGS, Quantity, to_si


def in_another_unit(quantity: Quantity, symbols: Iterable[str], low: float, high: float) -> str:
    """Return the number with the first unit in which it lies from `low` to `high` [SI units]; "" where there is none.

    >>> from yokebook.units import AbsolutePressure
    >>> in_another_unit(AbsolutePressure.read("101.325 bar"), ("kPa", "psi"), 50e3, 110e3)
    '101.325 kPa'
    """
    for symbol in symbols:
        if low <= to_si(quantity.number, SPELLINGS[symbol]) <= high:
            return f"{quantity.number} {symbol}"
    return ""
