"""The values from outside: each has its source, its certainty and a place in a test, or a reason for having none."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from demo_site import ROOT
from published import REFERENCE, rows

FILES = sorted(path.name for path in REFERENCE.glob("*.csv"))
ROWS_AT_LEAST = 430
"""How many published values the project has been checked against or has set aside with a reason; it only grows."""


@pytest.mark.parametrize("file", FILES)
def test_each_value_says_where_it_comes_from(file: str) -> None:
    """An id, and a source with its certainty; or, where nothing is computed, the reason."""
    for row in rows(file):
        assert re.fullmatch(r"[A-Z]{3}-[0-9]{3}", row["id"]), row
        wanted = ["reason"] if file.startswith("left_out") else ["source", "certainty"]
        assert all(row[column].strip() for column in wanted), row


def test_no_value_is_both_computed_and_left_out() -> None:
    """A row left out with a reason is left out everywhere."""
    left_out = {row["id"] for file in FILES if file.startswith("left_out") for row in rows(file)}
    computed = {row["id"] for file in FILES if not file.startswith("left_out") for row in rows(file)}
    assert set() == left_out & computed
    assert len(left_out | computed) >= ROWS_AT_LEAST


def test_each_file_of_values_is_read_by_a_test() -> None:
    """No table lies idle."""
    tests = "".join(path.read_text(encoding="utf-8") for path in Path(ROOT / "tests").rglob("test_*.py"))
    assert [] == [file for file in FILES if file not in tests and not file.startswith("left_out")]
