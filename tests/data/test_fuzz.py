"""Whatever stands behind a key of the data, loading ends with a department or with problems, never otherwise."""

from __future__ import annotations

import random
from collections.abc import Iterator
from pathlib import Path

import pytest

from yokebook import yamlfile
from yokebook.data.load import load

DATA = Path(__file__).parents[2] / "content" / "data"
WRITTEN = (
    "0 bar", "1 bar", "999 bar", "137 psi", "1 mL", "0.001 L", "99999 L", "0 K", "-40 °C", "69 °C", "0 %", "50 %",
    "100 %", "1", "0", "true", "null", "''", "x", "[a]", "{a: b}", "101.325 bar", "-1 m", "2,5", "0 L/min", "1000 kg",
    "nitrous oxide",
)  # fmt: skip
ROUNDS, LOADS = 10, 25
"""So many tests of so many loads each: a sample, the same each time, that takes a few seconds."""


def scalars(node: yamlfile.Node) -> Iterator[yamlfile.Scalar]:
    if isinstance(node, yamlfile.Scalar):
        yield node
    elif isinstance(node, yamlfile.Items):
        for item in node.items:
            yield from scalars(item)
    else:
        for value in node.values.values():
            yield from scalars(value)


def places() -> list[tuple[str, yamlfile.Scalar]]:
    files = sorted(DATA.glob("*.yaml"))
    return [
        (file.name, scalar) for file in files for scalar in scalars(yamlfile.read(file.read_text("utf-8"), file.name))
    ]


@pytest.mark.parametrize("number", range(ROUNDS))
def test_law_no_value_stops_the_program(number: int, tmp_path: Path) -> None:
    """Each value of the demonstration in turn becomes something else; each round takes its own share of the sample."""
    pairs = [(file, scalar, written) for file, scalar in places() for written in WRITTEN]
    dice = random.Random(137)
    dice.shuffle(pairs)
    for file in DATA.glob("*.yaml"):
        (tmp_path / file.name).write_bytes(file.read_bytes())
    for file, scalar, written in pairs[number : ROUNDS * LOADS : ROUNDS]:
        lines = (DATA / file).read_text("utf-8").split("\n")
        line, start = lines[scalar.line - 1], scalar.column - 1
        assert line[start:].startswith(scalar.text), "a value of the demonstration stands on one line, without quotes"
        lines[scalar.line - 1] = line[:start] + written + line[start + len(scalar.text) :]
        (tmp_path / file).write_text("\n".join(lines), "utf-8")
        department, problems = load(tmp_path, "data")
        assert department is not None or problems
        (tmp_path / file).write_bytes((DATA / file).read_bytes())
