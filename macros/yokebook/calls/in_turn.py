"""Several cylinders, opened one after the other: how long they last together, and how many a time needs.

Each is changed while it would still last for the change time, so that those minutes count only for the last one.
"""

from __future__ import annotations

from collections.abc import Sequence
from decimal import ROUND_CEILING

from yokebook.numbers import significant
from yokebook.quantities import Seconds

TOGETHER = (
    "One after the other: each cylinder but the last is changed while it would still last for the change time, so the "
    "change time is taken off; one that would not last so long counts as nothing."
)


def lasts_in_turn(lasts: Sequence[Seconds], change: Seconds) -> Seconds:
    """Return how long [s] cylinders last one after the other, from how long each lasts [s] and the change time [s].

    Equation: the sum of max(0, t - change) over all but the last, plus t of the last.

    >>> lasts_in_turn([Seconds(3600.0), Seconds(120.0), Seconds(1800.0)], Seconds(300.0))
    5100.0
    """
    return Seconds(sum(max(0.0, each - change) for each in lasts[:-1]) + lasts[-1])


def needed_in_turn(each: Seconds, change: Seconds, time: Seconds) -> int:
    """Return how many like cylinders a time [s] needs, each of which lasts longer [s] than the change time [s].

    Equation: the least whole k with k each - (k - 1) change >= time.

    >>> needed_in_turn(Seconds(3600.0), Seconds(300.0), Seconds(7200.0))
    3
    """
    if time <= each:
        return 1
    further = significant((time - each) / (each - change))
    return 1 + int(further.to_integral_value(ROUND_CEILING))
