"""The one check that each formula's arguments pass: refuse what no real cylinder can be, and what is no number.

It uses nothing but subtraction, order and equality, so that it holds for numbers with units too.
"""

from __future__ import annotations

from yokebook.errors import OutOfRange


def require(
    quantity: str,
    value: float,
    unit: str,
    *,
    low: float | None = None,
    high: float | None = None,
    ends: bool = True,
    reason: str = "",
) -> None:
    """Raise `OutOfRange` where a value is not finite or not from `low` to `high` (an end itself only with `ends`).

    >>> require("share", 1.0, "", low=0.0, high=1.0)
    >>> require("share", 0.0, "", low=0.0, ends=False, reason="Nothing is left.")
    Traceback (most recent call last):
    yokebook.errors.OutOfRange: share 0.0 : allowed 0.0 to None. Nothing is left.
    """
    # Infinity less infinity is not a number, and not a number is unequal to itself.
    if (value - value) != (value - value):
        raise OutOfRange(quantity, value, unit, low=low, high=high, reason=reason or "Not a finite number.")
    below = low is not None and (value < low if ends else value <= low)
    above = high is not None and (value > high if ends else value >= high)
    if below or above:
        raise OutOfRange(quantity, value, unit, low=low, high=high, reason=reason)
