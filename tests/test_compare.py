"""Comparing editions and the draft on the command line: what moved, why, and which edition was in force on a day."""

from __future__ import annotations

import json
from datetime import date
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from changing_site import change_data, change_page, lay_out, publish
from yokebook.cli import main
from yokebook.control.editions import SCRIPT, read_script
from yokebook.control.standing import Withdrawal


@pytest.fixture(scope="module")
def published(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Path]:
    """A department and a target with two editions; the draft has gone on since."""
    folder = tmp_path_factory.mktemp("published")
    site, target = lay_out(folder / "site"), folder / "target"
    publish(site, target, date(2026, 1, 5), CYL_01=1, CARD_01=1)
    change_data(site, "department.yaml", "change_time: 5 min", "change_time: 9 min")
    publish(site, target, date(2026, 3, 2), CYL_01=2, CARD_01=1)
    change_page(site, "words.md", "A yoke", "A hanger yoke")
    return site, target


def printed(result: Result) -> str:
    """Return what a command printed, spaces that do not break as plain ones."""
    return result.stdout.replace("\u00a0", " ")


def compare(published: tuple[Path, Path], *arguments: str) -> Result:
    site, target = published
    return CliRunner().invoke(main, ["compare", "--site", str(site), "--target", str(target), *arguments])


LABEL = (
    "The lowest reading from which one cylinder of oxygen still lasts 15 min and the 5 min → 9 min that a change "
    "takes, Ventilator: up to 10.1 L/min, for cylinders stamped 4.68 L (size E, UK), on theatre-1, for dials that "
    "end at 250 bar"
)


def test_two_editions_are_compared_by_their_numbers(published: tuple[Path, Path]) -> None:
    """The whole report: from what to what, words, numbers, what moved them, how many pages."""
    result = compare(published, "1", "2")
    expected = f"""From edition 1, in force from 2026-01-05, to edition 2, in force from 2026-03-02.

CYL-01  Changing a cylinder  (changing.md)
  {LABEL}
    70 bar or more → 80 bar or more
    because department.change_time: 5 min → 9 min

1 page moved.
"""
    assert (0, expected) == (result.exit_code, printed(result))


def test_without_numbers_the_newest_edition_is_compared_with_the_draft(published: tuple[Path, Path]) -> None:
    """What a next edition would change."""
    result = compare(published)
    expected = """From edition 2, in force from 2026-03-02, to the draft.

Words  (words.md)
  Paragraph:
    A{+ hanger+} yoke holds a cylinder.

1 page moved.
"""
    assert (0, expected) == (result.exit_code, printed(result))
    assert expected == compare(published, "2", "draft").output


def test_an_edition_is_the_same_as_itself(published: tuple[Path, Path]) -> None:
    """Nothing moved, and the report says so."""
    assert compare(published, "2", "2").output.endswith("\n\nNothing moved.\n")


def test_the_edition_of_a_day_is_found(published: tuple[Path, Path]) -> None:
    """For an incident review: which edition was in force then, where its pages lie, and what has changed since."""
    result = compare(published, "--on", "2026-03-01")
    first, *pages = printed(result).splitlines()
    assert (0, "On 2026-03-01 edition 1 was in force, since 2026-01-05.") == (result.exit_code, first)
    address = published[1] / "editions/0001/changing.md"
    assert ["CYL-01   issue 1   Changing a cylinder", f"{'':8} {address}"] == pages[2:]
    result = compare(published, "--on", "2026-03-01", "2")
    assert "On 2026-03-01 edition 1 was in force, since 2026-01-05.\n" == result.stderr
    assert result.stdout.startswith("From edition 1, in force from 2026-01-05, to edition 2")


def withdraw(target: Path, number: int, told: Withdrawal) -> None:
    """Withdraw an edition in the list of a target."""
    script = target / SCRIPT
    script.write_bytes(read_script(script.read_bytes()).with_edition_withdrawn(number, told).as_script())


@pytest.fixture
def withdrawn(tmp_path: Path) -> tuple[Path, Path]:
    """A target of whose three editions the third was withdrawn in favour of the first."""
    site, target = lay_out(tmp_path / "site"), tmp_path / "target"
    for day in (date(2026, 1, 5), date(2026, 3, 2), date(2026, 5, 4)):
        publish(site, target, day, CYL_01=1, CARD_01=1)
    withdraw(target, 3, Withdrawal(date(2026, 6, 5), "a table was wrong", "edition 1"))
    return site, target


@pytest.mark.parametrize(
    ("day", "told"),
    [
        ("2026-02-01", "On 2026-02-01 edition 1 was in force, since 2026-01-05."),
        (
            "2026-06-04",
            "On 2026-06-04 edition 3 was in force, since 2026-05-04. "
            "Edition 3 was withdrawn on 2026-06-05, to use instead: edition 1. Reason: a table was wrong.",
        ),
        (
            "2026-06-10",
            "On 2026-06-10 edition 1 was in force again, since 2026-06-05. "
            "Edition 3 was withdrawn on 2026-06-05, to use instead: edition 1. Reason: a table was wrong.",
        ),
    ],
)
def test_a_day_is_told_as_the_list_of_editions_tells_it(day: str, told: str, withdrawn: tuple[Path, Path]) -> None:
    """An edition that came back is in force since it came back, and what went is named with its reason."""
    assert told == printed(compare(withdrawn, "--on", day)).splitlines()[0]


def test_a_day_on_which_nothing_was_in_force_is_told(withdrawn: tuple[Path, Path]) -> None:
    """Words took the place of the editions: each that was withdrawn is named, and what was to be used."""
    withdraw(withdrawn[1], 1, Withdrawal(date(2026, 7, 1), "It never fitted.", "the poster in the store"))
    result = compare(withdrawn, "--on", "2026-09-01")
    told = (
        "Error: no edition was in force on 2026-09-01. "
        "Edition 3 was withdrawn on 2026-06-05, to use instead: edition 1. Reason: a table was wrong. "
        "Edition 1 was withdrawn on 2026-07-01, to use instead: the poster in the store. Reason: It never fitted."
    )
    assert (2, "", told) == (result.exit_code, result.stdout, result.stderr.splitlines()[-1])


def test_the_same_for_other_programs(published: tuple[Path, Path]) -> None:
    """From, to, and each page with its words and numbers."""
    told = json.loads(compare(published, "1", "2", "--format", "json").output)
    assert {"edition": 1, "in_force": "2026-01-05"} == told["from"]
    (page,) = told["pages"]
    (number,), (head,) = page["numbers"], page["heads"]
    assert ("caption", "5\u00a0min", "9\u00a0min") == (
        head["part"],
        *(_minutes(head[which]) for which in ("old", "new")),
    )
    assert ("CYL-01", "70", "80", "bar") == (
        page["procedure"], number["old_value"], number["new_value"], number["unit"]
    )  # fmt: skip
    assert [{"key": "department.change_time", "old": "5 min", "new": "9 min"}] == number["causes"]


def _minutes(label: str) -> str:
    return label.partition(" that a change takes")[0].rpartition(" the ")[2]


@pytest.mark.parametrize(
    ("arguments", "wrong"),
    [
        (["3", "draft"], "there is no edition 3; there are 1, 2, and draft"),
        (["latest"], "there is no edition latest; there are 1, 2, and draft"),
        (["0"], "there is no edition 0; there are 1, 2, and draft"),
        (["1", "2", "draft"], "two states are compared, FROM and TO; with --on only TO is given"),
        (["--on", "2026-01-05", "1", "2"], "two states are compared, FROM and TO; with --on only TO is given"),
        (["--on", "2026-01-04"], "no edition was in force on 2026-01-04; the first one is in force from 2026-01-05"),
    ],
)
def test_what_cannot_be_compared_is_said(published: tuple[Path, Path], arguments: list[str], wrong: str) -> None:
    """Wrong use, with what can be given instead."""
    result = compare(published, *arguments)
    assert (2, f"Error: {wrong}") == (result.exit_code, result.stderr.splitlines()[-1])


def test_editions_want_a_target(published: tuple[Path, Path]) -> None:
    """Nothing is guessed."""
    result = CliRunner().invoke(main, ["compare", "1", "2", "--site", str(published[0])])
    expected = "Error: where the editions lie was not said; give the folder: --target FOLDER"
    assert (2, expected) == (result.exit_code, result.stderr.splitlines()[-1])


def test_a_target_without_editions_is_said_to_be_empty(published: tuple[Path, Path], tmp_path: Path) -> None:
    """Before the first publishing there is nothing to compare with."""
    result = CliRunner().invoke(main, ["compare", "--site", str(published[0]), "--target", str(tmp_path)])
    assert (2, f"Error: {tmp_path} holds no edition yet") == (result.exit_code, result.stderr.splitlines()[-1])


def test_an_edition_that_is_damaged_is_named(published: tuple[Path, Path], tmp_path: Path) -> None:
    """With the file that cannot be read."""
    site, target = lay_out(tmp_path / "site"), tmp_path / "target"
    publish(site, target, date(2026, 1, 5), CYL_01=1)
    (target / "editions/0001/words/words.json").write_text("{", encoding="utf-8")
    result = compare((site, target), "1")
    assert 2 == result.exit_code
    assert result.stderr.splitlines()[-1].startswith("Error: edition 1 cannot be read: ")
    assert "words.json: this is no page as it was read" in result.stderr


def test_a_draft_with_problems_gives_its_report(tmp_path: Path) -> None:
    """As check does, and nothing is compared."""
    site, target = lay_out(tmp_path / "site"), tmp_path / "target"
    publish(site, target, date(2026, 1, 5), CYL_01=1)
    change_data(site, "department.yaml", "change_time: 5 min", "change_time: 5")
    result = compare((site, target))
    assert 1 == result.exit_code
    assert "content/data/department.yaml, line 23, column 14: error E104, missing unit" in result.output
    assert "    |              ^" in result.output
