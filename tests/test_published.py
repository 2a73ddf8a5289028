"""The values to test against: each has its source, its certainty and a place in a test, or a reason for having none."""

from __future__ import annotations

import re
from collections import Counter
from pathlib import Path

import pytest

from demo_site import ROOT
from published import OUTSIDE, REFERENCE, REGRESSION, WORKED, rows

FILES = sorted(path.name for path in REFERENCE.glob("*.csv"))
ROWS_AT_LEAST = 430
"""How many published values the project has been checked against or has set aside with a reason; it only grows."""


FROM_OUTSIDE_AT_LEAST = 230
"""How many rows have a source or a memory behind them; it only grows."""
NONE_FROM_OUTSIDE = {
    "closed_separation.csv": "no measured densities of the 50:50 mixture were found; teqp works its models out too",
    "compression_factors.csv": "handbooks print contents: contents.csv; teqp works each density out too",
    "drain_times.csv": "contents over flow: the contents are published in contents.csv",
    "falls.csv": "the ideal law backwards; leaks.csv holds its published cases",
    "latent_heats.csv": "no published value was found that names its temperature",
    "litres_per_kilogram.csv": "contents_by_mass.csv holds the published pairs of litres and kilograms",
    "reference_conditions.csv": "handbooks print litres at one condition only: contents.csv, at 70 °F",
    "regulator_examples.csv": "the law is published in regulator_laws.csv, no worked figures",
    "saturation.csv": "vapour_pressures.csv holds what is published; teqp works both phases out too",
    "vapour_contents.csv": "books give the quarter that is left, after_plateau.csv, not the litres at each reading",
}
"""Why a file has no row from outside, and what stands for one."""
OF_THE_LIBRARY = re.compile(r"CoolProp|\bPR kij|Peng-Robinson")


@pytest.mark.parametrize("file", FILES)
def test_each_value_says_where_it_comes_from(file: str) -> None:
    """An id, and a source with its certainty; or, where nothing is computed, the reason."""
    for row in rows(file):
        assert re.fullmatch(r"[A-Z]{3}-[0-9]{3}", row["id"]), row
        wanted = ["reason"] if file.startswith("left_out") else ["source", "certainty"]
        assert all(row[column].strip() for column in wanted), row


CERTAIN = [file for file in FILES if not file.startswith("left_out")]


@pytest.mark.parametrize("file", CERTAIN)
def test_what_the_library_gave_is_no_source(file: str) -> None:
    """A row computed by the library that the program asks is a regression value, and holds nothing published."""
    for row in rows(file):
        assert row["certainty"] in {*OUTSIDE, REGRESSION, WORKED}, row
        assert (row["certainty"] == REGRESSION) == bool(OF_THE_LIBRARY.search(row["source"])), row
        published = [row[column] for column in row if column.startswith("published") and "unit" not in column]
        assert row["certainty"] != REGRESSION or not any(published), row
        assert row["certainty"] not in OUTSIDE or not published or any(published), row


def test_each_file_has_values_from_outside_or_says_why_not() -> None:
    """Regression values and sums of our own stand beside sources, not in their place."""
    certainties = {file: Counter(row["certainty"] for row in rows(file)) for file in CERTAIN}
    from_outside = {file: sum(counts[word] for word in OUTSIDE) for file, counts in certainties.items()}
    assert {file for file, count in from_outside.items() if not count} == set(NONE_FROM_OUTSIDE)
    assert sum(from_outside.values()) >= FROM_OUTSIDE_AT_LEAST


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
