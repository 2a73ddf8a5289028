"""Values that no department has: each is told at its line, asked about or worked with, and never breaks the program."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from bad_sites import BAD, lay_out
from data_values import DataValue, values_of
from yokebook.data.load import load
from yokebook.reference.whole import work_out

_QUANTITY = re.compile(r"-?[0-9]+(?:\.[0-9]+)?(?P<unit>.*)")
_NUMBERS = ("-40", "0", "71", "99999")
_DAYS = ("0001-01-01", "9999-12-31")


def absurd(value: DataValue) -> tuple[str, ...]:
    """Return what could be typed in the place of a quantity, a plain number or a day."""
    text = value.scalar.text
    if re.fullmatch(r"\d{4}-\d\d-\d\d", text):
        return _DAYS
    found = _QUANTITY.fullmatch(text)
    return tuple(number + found["unit"] for number in _NUMBERS) if found else ()


def test_no_value_of_the_data_stops_the_reading(tmp_path: Path) -> None:
    """Each quantity of each file in turn: a list of problems comes back, and none of them is the program's."""
    data = lay_out(BAD / "E811_temperature_of_no_place", tmp_path / "site") / "content/data"
    (data / "places.yaml").write_bytes((BAD / "good/content/data/places.yaml").read_bytes())
    tried = 0
    for value in list(values_of(data)):
        before = value.file.read_bytes()
        for text in absurd(value):
            value.file.write_text(value.written(text), encoding="utf-8")
            codes = {problem.code for problem in load(data, "data")[1]}
            assert not codes & {"E601", "E602"}, (value.key, text)
            tried += 1
        value.file.write_bytes(before)
    assert tried > 100


@pytest.mark.parametrize(
    ("file", "old", "new"),
    [
        ("places.yaml", "high: 24 °C", "high: 60 °C"),
        ("places.yaml", "high: 24 °C", "high: 71 °C"),
        ("places.yaml", "low: 18 °C", "low: -40 °C"),
        ("department.yaml", "high: 26 °C", "high: 100 °C"),
        ("cylinders.yaml", "{pressure: 137 bar, at: 15 °C}", "{pressure: 399 bar, at: 60 °C}"),
        ("gauges.yaml", "high: 250 bar", "high: 1000 bar"),
    ],
)
def test_calls_on_such_values_are_worked_out_or_refused(tmp_path: Path, file: str, old: str, new: str) -> None:
    """Nobody is told that the program failed and that it is no mistake of theirs: it is one, and is told where."""
    site = lay_out(BAD / "E811_temperature_of_no_place", tmp_path / "site")
    (site / "content/data/places.yaml").write_bytes((BAD / "good/content/data/places.yaml").read_bytes())
    path = site / "content/data" / file
    text = path.read_text(encoding="utf-8")
    assert old in text
    path.write_text(text.replace(old, new, 1), encoding="utf-8")
    calls = (
        'reserve_table(cylinder="oxygen-e", machine="theatre-1", uses=["bellows"])',
        'gauge_table(machine="theatre-1", gas="oxygen")',
        'plateau_figure(cylinder="nitrous-oxide-e", machine="theatre-1")',
    )
    body = "\n\n".join(f"{{{{ {call} }}}}" for call in calls)
    (site / "content/pages").mkdir()
    (site / "content/pages/page.md").write_text(f"---\ntitle: A page\n---\n\n{body}\n", encoding="utf-8")
    problems = list(work_out(site).problems)
    assert not {"E601", "E602"} & {problem.code for problem in problems}
