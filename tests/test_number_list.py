"""The list of numbers and the rounding of durations."""

from __future__ import annotations

import json
import math
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from yokebook import number_list
from yokebook.number_list import CallNumbers, Shown


@pytest.mark.parametrize(
    ("minutes", "shown"),
    [
        (0.99, "change now"),
        (1.0, "1\u00a0min"),
        (19.99, "19\u00a0min"),
        (20, "20\u00a0min"),
        (24.99, "20\u00a0min"),
        (119.99, "1\u00a0h\u00a055\u00a0min"),
        (120, "2\u00a0h"),
        (134.99, "2\u00a0h"),
        (140, "2\u00a0h\u00a015\u00a0min"),
        (719.99, "11\u00a0h\u00a045\u00a0min"),
        (720, "12\u00a0h"),
        (734.99, "12\u00a0h"),
        (735, "more than 12\u00a0h"),
        (100_000, "more than 12\u00a0h"),
    ],
)
def test_a_duration_is_told_downwards_in_steps(minutes: float, shown: str) -> None:
    """Under 20 min to 1 min, under 2 h to 5 min, else to 15 min, above 12 h no more."""
    assert shown == number_list.duration_down(minutes * 60, minutes * 60).text


def test_a_value_above_twelve_hours_does_not_move_what_is_compared() -> None:
    """What reads the same is the same in the list of numbers."""
    assert number_list.duration_down(50_000, 1).value == number_list.duration_down(500_000, 1).value == Decimal(720)


@given(st.floats(min_value=0, max_value=1e7))
def test_a_shown_duration_is_never_above_the_exact_one(seconds: float) -> None:
    """Rounding down never promises more (within the 10 digits that the list keeps)."""
    assert number_list.whole_minutes_down(seconds) * 60 <= seconds * (1 + 1e-9)


@given(st.floats(min_value=0, max_value=1e7), st.floats(min_value=0, max_value=1e7))
def test_more_time_never_shows_less(one: float, other: float) -> None:
    """Rounding keeps the order."""
    low, high = sorted((one, other))
    assert number_list.whole_minutes_down(low) <= number_list.whole_minutes_down(high)


@pytest.mark.parametrize("value", [math.nan, math.inf, -math.inf])
def test_what_is_no_number_never_reaches_the_list(value: float) -> None:
    """A value that is not finite is refused."""
    with pytest.raises(ValueError, match="is no number that a reader could be shown"):
        number_list.significant(value)


@pytest.mark.parametrize(
    ("value", "text"),
    [(684.4123456789, "684.4123457"), (0.1 + 0.2, "0.3"), (1e-7, "0.0000001"), (2e12, "2000000000000")],
)
def test_values_have_ten_significant_digits(value: float, text: str) -> None:
    """The last bits of a float never decide whether a number has moved."""
    assert text == number_list.decimal_text(number_list.significant(value))


def test_a_list_of_numbers_is_written_in_its_order() -> None:
    """The file is one object with the calls of the page, their cells as rows × columns, their keys sorted and once."""
    call = CallNumbers(
        "reserve_table",
        {"cylinder": "oxygen-e"},
        ("137 bar",),
        ("Bellows",),
        ((Shown("1 h", Decimal(60), Decimal("71.5")),),),
        "min",
        "down",
        ("gauges.a", "cylinders.b", "gauges.a"),
    )
    expected = {
        "calls": [
            {
                "name": "reserve_table",
                "arguments": {"cylinder": "oxygen-e"},
                "rows": ["137 bar"],
                "columns": ["Bellows"],
                "shown": [["1 h"]],
                "value": [["60"]],
                "nominal": [["71.5"]],
                "unit": "min",
                "rounding": "down",
                "keys": ["cylinders.b", "gauges.a"],
                "inputs": {},
                "texts": {},
            }
        ]
    }
    text = number_list.page_json([call])
    assert expected == json.loads(text)
    assert list(expected["calls"][0]) == list(json.loads(text)["calls"][0])
