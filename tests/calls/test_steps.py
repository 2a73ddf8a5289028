"""Rows of a table in round steps of an instrument."""

from __future__ import annotations

import random
from decimal import Decimal
from itertools import pairwise

import pytest

from yokebook.calls.steps import steps_down


def test_rows_are_few_round_and_within_their_ends() -> None:
    """At 500 random ranges: whole intervals, one step between them, no more than asked for, none outside."""
    dice = random.Random(20260314)
    for _ in range(500):
        interval = Decimal(dice.choice(["0.01", "0.02", "1", "5", "100"]))
        top = interval * dice.randrange(1, 3000) + interval * Decimal("0.3")
        bottom, most = top * Decimal(dice.random()), dice.randrange(3, 16)
        rows = steps_down(top, bottom, interval, most)
        assert len(rows) <= most
        assert all(bottom <= row <= top and row % interval == 0 for row in rows)
        assert len({upper - lower for upper, lower in pairwise(rows)}) <= 1
        assert not rows or rows[0] - bottom >= 0
    assert () == steps_down(Decimal("14"), Decimal("11"), Decimal(5), 4)


def test_a_range_of_too_many_intervals_is_a_fault_of_the_program() -> None:
    """Ten thousand million intervals are no instrument's."""
    with pytest.raises(ValueError, match="lies too many intervals"):
        steps_down(Decimal("1e10"), Decimal(0), Decimal(1), 4)
