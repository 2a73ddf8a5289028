"""Rows of a table in round steps: multiples of one step of an instrument, the highest first."""

from __future__ import annotations

from decimal import Decimal

from yokebook import units

_FACTORS = (Decimal(1), Decimal(2), Decimal("2.5"), Decimal(5))


def steps_down(top: Decimal, bottom: Decimal, interval: Decimal, most: int) -> tuple[Decimal, ...]:
    """Return the multiples of one step from `top` down to `bottom`, the highest first, at most `most` of them.

    The step is the smallest of 1, 2, 2.5 and 5 times a power of ten of the interval that is whole intervals long and
    gives so few. None where no multiple lies between the two.

    >>> steps_down(Decimal("8.91"), Decimal("7.9"), Decimal("0.01"), 4)
    (Decimal('8.750'), Decimal('8.500'), Decimal('8.250'), Decimal('8.000'))
    """
    wide = (interval * factor * 10**power for power in range(7) for factor in _FACTORS)
    for step in wide:
        first = units.round_to(top, step, units.Rounding.DOWN)
        if step % interval == 0 and first - step * most < bottom:
            count = max(int((first - bottom) / step) + 1, 0) if first >= bottom else 0
            return tuple(first - step * number for number in range(count))
    raise ValueError(f"{top} lies too many intervals of {interval} above {bottom}")
