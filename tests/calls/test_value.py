"""A data value that stands in a sentence: as its author wrote it, or told at the step that leads nowhere."""

from __future__ import annotations

from pathlib import Path

import pytest

from calls_of import copy_fleet, department
from demo_site import change
from yokebook.calls.result import Result
from yokebook.calls.value import look_up_value
from yokebook.data.load import load
from yokebook.errors import Problem
from yokebook.pages.syntax import Lookup, parse


def looked_up(text: str, folder: Path | None = None) -> tuple[Result | None, list[Problem]]:
    """Return what stands in a page for a data key, with its problems."""
    found = parse(text, "page", 1, 4)
    assert isinstance(found, Lookup)
    here = department() if folder is None else load(folder / "content/data", "content/data")[0]
    assert here is not None
    return look_up_value(found.path, here, "page", found.steps)


@pytest.mark.parametrize(
    ("key", "text", "number"),
    [
        ("department.keep_back", "10\u00a0bar", ("10", "bar")),
        ("department.transfer_margin", "2", ("2", "")),
        ('cylinders["oxygen-e"].water_capacity_tolerance', "1\u00a0%", ("1", "%")),
        ('cylinders["nitrous-oxide-e"].filling.ratio', "0.75", ("0.75", "")),
        ('gauges["integral-dial"].span.high', "31\u202f500\u00a0kPa", ("31500", "kPa")),
        ('machines["theatre-1"].yokes[0].regulated_pressure.low', "40\u00a0psi", ("40", "psi")),
    ],
)
def test_a_number_stands_as_it_was_written_and_in_the_list_of_numbers(
    key: str, text: str, number: tuple[str, str]
) -> None:
    """Unrounded, in its own unit, with its key; what an approval covers is its text."""
    result, problems = looked_up(key)
    assert [] == problems
    assert result is not None
    assert (text, key, {"value": text}, False) == (result.html, result.canonical, result.as_read, result.is_block)
    assert result.numbers is not None
    ((cell,),) = result.numbers.cells
    assert (number, (key,)) == ((str(cell.value), result.numbers.unit), result.numbers.keys)
    assert cell.value == cell.nominal


@pytest.mark.parametrize(
    ("key", "text"),
    [
        ("department.name", "Larkmoor Infirmary, Theatre Equipment Group"),
        ("department.review_interval", "12 months"),
        ('gauges["yoke-oxygen"].unit', "bar"),
        ('gauges["yoke-oxygen"].checked', "2026-03-01"),
        ('machines["theatre-1"].used_without_pipeline', "no"),
        ('machines["scanner-1"].used_without_pipeline', "yes"),
    ],
)
def test_a_word_has_no_place_in_the_list_of_numbers(key: str, text: str) -> None:
    """A name, a day, yes and no stand in the page alone."""
    result, problems = looked_up(key)
    assert [] == problems
    assert result is not None
    assert (text, None) == (result.html, result.numbers)


def test_a_sign_of_html_in_the_data_is_only_a_sign(tmp_path: Path) -> None:
    """Whatever stands in the data cannot become a tag of the page."""
    folder = copy_fleet(tmp_path / "site")
    change(folder / "content/data/department.yaml", "Larkmoor Infirmary,", "Larkmoor <b>Infirmary</b> &")
    result, _ = looked_up("department.name", folder)
    assert result is not None
    assert "Larkmoor &lt;b&gt;Infirmary&lt;/b&gt; &amp; Theatre Equipment Group" == result.html


def test_a_key_that_leads_nowhere_is_told_at_its_step() -> None:
    """The mark stands under the misspelt step; a key that ends too early has no example of its own."""
    _, (problem,) = looked_up('cylinders["oxygen-e"].filing.pressure')
    assert ("E521", 1, 26, "filing", 'cylinders["oxygen-e"] has no filing', "filling") == (
        problem.code,
        problem.line,
        problem.column,
        problem.written,
        problem.wrong,
        problem.suggestion,
    )
    assert '{{ cylinders["oxygen-e"].filling }}' == problem.example
    _, (problem,) = looked_up('cylinders["oxygen-transfer"].size')
    assert ("size", "a key that is given", "") == (problem.written, problem.allowed, problem.example)


def test_of_an_entry_that_could_not_be_read_nothing_more_is_said(tmp_path: Path) -> None:
    """Its file's report says it; the page is not reproached with it, whether it asks for a part or for the whole."""
    folder = copy_fleet(tmp_path / "site")
    change(folder / "content/data/cylinders.yaml", "water_capacity: 4.68 L", "water_capacity: 4,68 L")
    for key in ('cylinders["oxygen-e"].water_capacity', 'cylinders["oxygen-e"]'):
        assert (None, []) == looked_up(key, folder)
    assert looked_up('cylinders["oxygen-transfer"].water_capacity', folder)[0] is not None
