"""Reads `tests/reference/*.csv`: values from outside, each row with its id, source, certainty and tolerance."""

from __future__ import annotations

import csv
from pathlib import Path

REFERENCE = Path(__file__).parent / "reference"


def rows(name: str) -> list[dict[str, str]]:
    """Return the rows of one reference file, each by its column heads."""
    with (REFERENCE / name).open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def row_id(row: dict[str, str]) -> str:
    """Return the name of a row in a test report."""
    return " ".join(value for key, value in row.items() if key in {"id", "gas", "model", "temperature_c"})
