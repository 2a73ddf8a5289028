"""Reads `tests/reference/*.csv`: each row with its id, source, certainty and tolerance.

Most values come from outside. Two kinds do not, and are no sources, however they agree: a regression value, which the
equations of the library that the program itself asks once gave, so that a change is seen; and one worked out for the
test from a definition or a formula, which holds the program's arithmetic. The column `computed` of any row is of the
first kind.
"""

from __future__ import annotations

import csv
from pathlib import Path

OUTSIDE = {
    "definition",
    "read-primary",
    "read-secondary",
    "read-wrong",
    "weak",
    "memory-high",
    "memory-medium",
    "memory-low",
}
"""How certain a value from outside is: by definition; read, and in what; read and found wrong; weak; from memory."""
REGRESSION, WORKED = "regression", "worked"
REFERENCE = Path(__file__).parent / "reference"


def rows(name: str) -> list[dict[str, str]]:
    """Return the rows of one reference file, each by its column heads."""
    with (REFERENCE / name).open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def row_id(row: dict[str, str]) -> str:
    """Return the name of a row in a test report."""
    return " ".join(value for key, value in row.items() if key in {"id", "gas", "model", "temperature_c"})
