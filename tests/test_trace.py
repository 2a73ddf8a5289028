"""Tracing a value of the data: where it is used, and what another value would move, before anyone changes it."""

from __future__ import annotations

import json
from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from approvals import SIGNER, approve
from changing_site import change_data, lay_out, read
from site_contents import content_of
from yokebook.cli import main
from yokebook.control.comparison import compare_all
from yokebook.data import keys
from yokebook.reference import tracing
from yokebook.reference.approval import Control, work_out_with_records
from yokebook.reference.new_value import CannotReplaceError, with_value

FILE = """# a comment stays
oxygen-e:
  filling: {pressure: 137 bar, at: 15 °C}   # so does this one
  label: "two: words"
  stored: 'it''s here'
  list:
    - {inlet: 130 bar}
    - second
  long: one
    two
  empty:
"""


@pytest.fixture(scope="module")
def site(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A department whose pages are approved."""
    folder = lay_out(tmp_path_factory.mktemp("fleet") / "site")
    approve(folder, "CYL-01", "CARD-01", signer=replace(SIGNER, role="approver", on=date(2026, 3, 2)))
    return folder


@pytest.fixture(scope="module")
def control(site: Path) -> Control:
    return work_out_with_records(site)


def told(result: Result) -> str:
    """Return what a command printed, spaces that do not break as plain ones."""
    return result.stdout.replace("\u00a0", " ")


def trace(site: Path, *arguments: str) -> Result:
    return CliRunner().invoke(main, ["trace", "--site", str(site), *arguments])


TABLE = (
    "At least how long one cylinder of oxygen lasts, by its gauge: for cylinders stamped 4.68 L (size E, UK), "
    "on theatre-1, for dials that end at 250 bar"
)


def test_where_a_value_is_used_is_told_by_page_table_and_count(site: Path) -> None:
    """The whole report."""
    expected = f"""department.keep_back: 10 bar

CARD-01  Card: oxygen on theatre-1  (content/pages/cards/theatre-1-oxygen.md)
  line 10: {TABLE} (3 numbers)

CYL-01  Changing a cylinder  (content/pages/changing.md)
  line 12: The lowest reading from which one cylinder of oxygen still lasts 15 min and the 5 min that a change \
takes, Ventilator, 1 L/min set: up to 10.1 L/min, for cylinders stamped 4.68 L (size E, UK), on theatre-1, for dials \
that end at 250 bar (1 number)
  line 24: {TABLE} (8 numbers)

2 pages, 12 numbers.
"""
    result = trace(site, "department.keep_back")
    assert (0, expected) == (result.exit_code, told(result))


@pytest.mark.parametrize("key", ['cylinders["oxygen-e"].filling', "cylinders.oxygen-e.filling", "cylinders.oxygen-e"])
def test_a_branch_stands_for_all_below_it(control: Control, key: str) -> None:
    """And a value for the calls that depend on its branch."""
    whole = tracing.trace(control.reference, key)
    one = tracing.trace(control.reference, "cylinders.oxygen-e.filling.pressure")
    assert [page.path for page in one.pages] == [page.path for page in whole.pages] == [
        "cards/theatre-1-oxygen.md", "changing.md"
    ]  # fmt: skip


def test_a_word_of_the_data_in_the_text_is_found(control: Control) -> None:
    """It has no number, and is used all the same."""
    found = tracing.trace(control.reference, "machines.theatre-1.yokes.0.plug")
    assert "machines.theatre-1.yokes[0].plug" == found.key
    assert [("changing.md", 0)] == [(page.path, use.numbers) for page in found.pages for use in page.uses]


def test_a_title_is_told_through_its_entry(site: Path) -> None:
    """No number is worked from it, but what goes to its entry may show it."""
    lines = told(trace(site, "uses.bellows.title")).splitlines()
    expected = "No number is worked from it. What goes to uses.bellows, and may show it in its words:"
    assert ["uses.bellows.title: Ventilator", expected] == lines[:2]
    assert "2 pages, 12 numbers." == lines[-1]


def test_a_value_that_no_page_uses_is_said_to_be_so(site: Path) -> None:
    """A scale that nothing is weighed on."""
    expected = "scales.store-scale.interval: 0.01 kg\nNo page uses it.\n"
    assert expected == told(trace(site, "scales.store-scale.interval"))


@pytest.mark.parametrize(
    ("key", "wrong"),
    [
        ("cylinders.oxygen-e.filling.presure",
         "cylinders.oxygen-e.filling has no presure. Perhaps meant: cylinders.oxygen-e.filling.pressure. "
         "Allowed: pressure, at, ratio"),
        ("cylinder.oxygen-e", "the department's data has no cylinder. Perhaps meant: cylinders. Allowed: department, "
         "cylinders, gauges, machines, uses, places, scales"),
        ("cylinders..gas", "cylinders..gas is not written as a key; for example: cylinders.oxygen-e.filling.pressure"),
        ("", " is not written as a key; for example: cylinders.oxygen-e.filling.pressure"),
    ],
)  # fmt: skip
def test_a_misspelt_key_gets_what_was_surely_meant(site: Path, key: str, wrong: str) -> None:
    """Wrong use, with what there is."""
    result = trace(site, key)
    assert (2, f"Error: {wrong}") == (result.exit_code, result.stderr.splitlines()[-1])


def test_a_new_value_tells_what_would_move_and_which_approvals_would_fall(site: Path) -> None:
    """Old → new, and the procedures to be approved again; nothing of the department's is written."""
    before = content_of(site)
    result = trace(site, "department.change_time", "9 min")
    lines = told(result).splitlines()
    assert "department.change_time: 5 min → 9 min, tried in a copy; nothing was written." == lines[0]
    assert "    70 bar → 80 bar" in lines
    assert ["1 number on 1 page would move.", "To be approved again: CYL-01."] == lines[-2:]
    assert before == content_of(site)


def test_a_new_value_moves_just_what_it_would_move_in_the_file(control: Control, tmp_path: Path) -> None:
    """The trial is what happens when the file is really changed."""
    own = lay_out(tmp_path / "site")
    before = read(own)
    change_data(own, "department.yaml", "keep_back: 10 bar", "keep_back: 12 bar")
    trial = tracing.try_value(control, "department.keep_back", "12 bar")
    assert len(trial.changes) == 2
    assert compare_all(before, read(own)) == list(trial.changes)


def test_a_value_that_moves_nothing_costs_no_approval(control: Control) -> None:
    """No page shows the interval of the scale."""
    trial = tracing.try_value(control, "scales.store-scale.interval", "0.02 kg")
    assert ((), ()) == (trial.changes, trial.approvals)


def test_a_bad_new_value_gives_the_report_of_the_data_file(site: Path) -> None:
    """To the letter: where it would stand, what is wrong, what is allowed."""
    result = trace(site, "department.change_time", "9,5 min")
    line = "change_time: 9,5 min"
    assert 1 == result.exit_code
    assert (
        f"content/data/department.yaml, line 23, column 14: error E102, decimal comma\n  23 | {line}" in result.output
    )
    assert "nothing was written" not in result.output


def test_the_same_for_other_programs(site: Path) -> None:
    """The uses, and the trial where one was asked for."""
    assert json.loads(trace(site, "department.keep_back", "--format", "json").output)["trial"] is None
    plain = json.loads(trace(site, "department.change_time", "9 min", "--format", "json").output)
    assert ("department.change_time", "5 min", ["CYL-01"]) == (
        plain["key"],
        plain["value"],
        plain["trial"]["approvals"],
    )


@pytest.mark.parametrize(
    ("key", "new", "old_line", "new_line"),
    [
        (("oxygen-e", "filling", "pressure"), "135 bar", "pressure: 137 bar,", "pressure: 135 bar,"),
        (("oxygen-e", "filling", "at"), "20 °C", "at: 15 °C}   # so", "at: 20 °C}   # so"),
        (("oxygen-e", "label"), "one word", '"two: words"', "one word"),
        (("oxygen-e", "label"), "a: b", '"two: words"', "'a: b'"),
        (("oxygen-e", "label"), "it's #1 # or 2", '"two: words"', "'it''s #1 # or 2'"),
        (("oxygen-e", "stored"), "there", "'it''s here'", "there"),
        (("oxygen-e", "list", 0, "inlet"), "a, b", "inlet: 130 bar", "inlet: 'a, b'"),
        (("oxygen-e", "list", 1), "{third}", "- second", "- '{third}'"),
    ],
)
def test_a_new_value_changes_its_place_in_the_file_and_nothing_else(
    key: tuple[str | int, ...], new: str, old_line: str, new_line: str
) -> None:
    """Comments and the rest stay to the byte; quotes come where YAML would read something else."""
    assert FILE.replace(old_line, new_line) == with_value(FILE, key, new, "a.yaml")


@pytest.mark.parametrize(
    ("key", "wrong"),
    [
        (("oxygen-e", "filling"), "this key has further keys; only one value can be tried at a time"),
        (("oxygen-e", "list"), "this key has further keys; only one value can be tried at a time"),
        (("oxygen-e", "missing"), "no value is written there; write one into the file first, then try others"),
        (("oxygen-e", "empty"), "no value is written there; write one into the file first, then try others"),
        (("oxygen-e", "long"), "this value goes over several lines; try it in a copy of the file"),
    ],
)
def test_what_cannot_be_tried_is_said(key: tuple[str | int, ...], wrong: str) -> None:
    """In words, before anything is worked out."""
    with pytest.raises(CannotReplaceError) as refused:
        with_value(FILE, key, "x", "a.yaml")
    assert wrong == str(refused.value)


def test_what_is_kept_under_a_key_is_told_as_written(control: Control) -> None:
    """A value, a small branch with its keys, the digest of a large one, and what is not there."""
    assert control.reference.department
    sources = control.reference.department.sources
    asked = ["department.keep_back", 'cylinders["oxygen-e"].filling', "machines", "department.altitude"]
    kept = keys.kept(sources, asked)
    assert "10 bar" == kept["department.keep_back"]
    assert "pressure: 137 bar, at: 15 °C" == kept['cylinders["oxygen-e"].filling']
    assert kept["machines"].startswith(keys.ENTRY)
    assert keys.NOT_GIVEN == kept["department.altitude"]
