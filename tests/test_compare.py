"""Comparing editions and the draft on the command line: what moved, why, and which edition was in force on a day."""

from __future__ import annotations

import json
import shutil
from collections.abc import Callable
from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from approvals import SIGNER, TODAY, approve
from changing_site import change_data, change_page, lay_out, publish
from demo_site import change
from yokebook.cli import main
from yokebook.control import manifest
from yokebook.control.editions import SCRIPT, read_script
from yokebook.control.standing import Withdrawal


@pytest.fixture(autouse=True)
def _today(monkeypatch: pytest.MonkeyPatch) -> None:
    """Let the program take one day for today, whenever the tests run."""
    monkeypatch.setattr("yokebook.cli.changes.today", lambda: TODAY)


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


def numbers_alone(published: tuple[Path, Path]) -> str:
    """What a report says where no records are at hand."""
    return (
        "Issues are told by their numbers alone: who approved each, and why, stands in the department's records, and "
        f"{published[0]}/content/control is not there; give the department's folder: --site DIR."
    )


LABEL = (
    "The lowest reading from which one cylinder of oxygen still lasts 15 min and the 5 min → 9 min that a change "
    "takes, Ventilator, 1 L/min set: up to 10.1 L/min, for cylinders stamped 4.68 L (size E, UK), on theatre-1, "
    "for dials that "
    "end at 250 bar"
)


def test_two_editions_are_compared_by_their_numbers(published: tuple[Path, Path]) -> None:
    """The whole report: from what to what, words, numbers, what moved them, how many pages."""
    result = compare(published, "1", "2")
    expected = f"""From edition 1, in force from 2026-01-05, to edition 2, in force from 2026-03-02.
{numbers_alone(published)}

CYL-01  Changing a cylinder  (changing.md)
  Issue 1 → 2
  {LABEL}
    70 bar → 80 bar
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
    edition = published[1] / "editions/0001"
    expected = f"""On 2026-03-01 edition 1 was in force, since 2026-01-05.
CARD-01  issue 1   Card: oxygen on theatre-1
         {edition}/cards/theatre-1-oxygen.md
CYL-01   issue 1   Changing a cylinder
         {edition}/changing.md
{numbers_alone(published)}
"""
    assert (0, expected) == (result.exit_code, printed(result))
    result = compare(published, "--on", "2026-03-01", "2")
    assert "On 2026-03-01 edition 1 was in force, since 2026-01-05.\n" == result.stderr
    assert result.stdout.startswith("From edition 1, in force from 2026-01-05, to edition 2")


FIRST = replace(SIGNER, on=date(2025, 12, 20))
SECOND = replace(
    FIRST, on=date(2026, 2, 25), reason="the change takes longer than was thought", incident="low-in-theatre"
)
THIRD = replace(FIRST, on=date(2026, 4, 20), reason="both hands are meant")
BY_1 = "approved on 2025-12-20 by the approver (A. Example): first issue of this procedure"
BY_2 = (
    "approved on 2026-02-25 by the approver (A. Example): the change takes longer than was thought; "
    "after: Oxygen low in theatre"
)
BY_3 = "approved on 2026-04-20 by the approver (A. Example): both hands are meant"


@pytest.fixture(scope="module")
def recorded(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Path]:
    """A department with its records, and three editions, each with a further issue of one procedure."""
    folder = tmp_path_factory.mktemp("recorded")
    site, target = lay_out(folder / "site"), folder / "target"
    approve(site, "CYL-01", "CARD-01", signer=FIRST)
    publish(site, target, date(2026, 1, 5), CYL_01=1, CARD_01=1)
    change_data(site, "department.yaml", "change_time: 5 min", "change_time: 9 min")
    approve(site, "CYL-01", signer=SECOND)
    publish(site, target, date(2026, 3, 2), CYL_01=2, CARD_01=1)
    change_page(site, "changing.md", "two hands", "both hands")
    approve(site, "CYL-01", signer=THIRD)
    publish(site, target, date(2026, 5, 4), CYL_01=3, CARD_01=1)
    return site, target


def told_of_issues(result: Result) -> list[str]:
    """Return the lines that speak of issues or of records."""
    assert 0 == result.exit_code, result.output
    return [line.strip() for line in printed(result).splitlines() if line.strip().startswith(("Issue", "A draft"))]


@pytest.mark.parametrize(
    ("sides", "issues"),
    [
        (["1", "2"], [f"Issue 1 → 2, {BY_2}"]),
        (["1", "3"], [f"Issue 1 → 2, {BY_2}", f"Issue 2 → 3, {BY_3}"]),
        (
            ["3", "1"],
            ["Issue 3 → 1, back to the older one; what came between:", f"Issue 1 → 2, {BY_2}", f"Issue 2 → 3, {BY_3}"],
        ),
        (["2", "draft"], [f"Issue 2 → 3, {BY_3}"]),
    ],
)
def test_how_each_issue_came_about_is_told(sides: list[str], issues: list[str], recorded: tuple[Path, Path]) -> None:
    """Who approved it, on which day, why, after which incident: each issue between the two."""
    assert issues == told_of_issues(compare(recorded, *sides))


def test_a_draft_that_went_on_is_not_approved(recorded: tuple[Path, Path], tmp_path: Path) -> None:
    """After the issues that were, it says that it is a draft."""
    site = shutil.copytree(recorded[0], tmp_path / "site")
    change_page(site, "changing.md", "both hands", "all hands")
    change_page(site, "cards/theatre-1-oxygen.md", "# Card", "# The card")
    issues = [f"Issue 2 → 3, {BY_3}", "Issue 3 → a draft, not approved"]
    assert ["Issue 1 → a draft, not approved", *issues] == told_of_issues(compare((site, recorded[1]), "2"))


def test_an_issue_of_the_same_text_is_told(recorded: tuple[Path, Path], tmp_path: Path) -> None:
    """That the issue moved, and that no reader reads another word; it counts as no page that moved."""
    site, target = (shutil.copytree(folder, tmp_path / folder.name) for folder in recorded)
    change_page(site, "changing.md", "both hands", "two hands")
    fourth = replace(THIRD, on=date(2026, 6, 1), reason="two hands after all")
    approve(site, "CYL-01", signer=fourth)
    publish(site, target, date(2026, 6, 8), CYL_01=4, CARD_01=1)
    expected = f"""From edition 2, in force from 2026-03-02, to edition 4, in force from 2026-06-08.

CYL-01  Changing a cylinder  (changing.md)
  Issue 2 → 3, {BY_3}
  Issue 3 → 4, approved on 2026-06-01 by the approver (A. Example): two hands after all
  Nothing that a reader reads moved.

Nothing moved.
"""
    assert expected == printed(compare((site, target), "2", "4"))


def test_the_issues_for_other_programs(recorded: tuple[Path, Path]) -> None:
    """Both issues, and each between with its approvals, reason and incident."""
    (page,) = json.loads(compare(recorded, "1", "2", "--format", "json").stdout)["pages"]
    approval = {"role": "approver", "name": "A. Example", "on": "2026-02-25"}
    told = {
        "number": 2,
        "approvals": [approval],
        "reason": SECOND.reason,
        "incident": "Oxygen low in theatre",
        "altered": "",
    }
    assert (1, 2, [told]) == (page["old_issue"], page["new_issue"], page["issues"])


def test_records_of_another_department_tell_nothing(
    recorded: tuple[Path, Path], published: tuple[Path, Path], tmp_path: Path
) -> None:
    """Issues stay numbers where the records do not agree with the target, and the report says why."""
    site = shutil.copytree(recorded[0], tmp_path / "site")
    shutil.rmtree(site / "content/control")
    approve(site, "CYL-01", signer=FIRST)
    note = (
        "Issues are told by their numbers alone: who approved each, and why, stands in the department's records, and "
        f"those in {site}/content/control do not agree with {recorded[1]}: edition 1 in {recorded[1]} holds CARD-01 "
        "issue 1, of which nothing is known here."
    )
    assert [note, "Issue 1 → 2"] == told_of_issues(compare((site, recorded[1]), "1", "2"))
    (site / "content/control/CYL-01.yaml").write_text("issues: [", encoding="utf-8")
    told = told_of_issues(compare((site, recorded[1]), "1", "2"))[0]
    assert f"and {site}/content/control/CYL-01.yaml cannot be read: " in told


def test_what_a_page_was_on_a_day_is_told(recorded: tuple[Path, Path]) -> None:
    """Its issue, who approved it, on which day, why; and where it lies."""
    edition = recorded[1] / "editions/0002"
    expected = f"""On 2026-03-20 edition 2 was in force, since 2026-03-02.
CARD-01  issue 1   Card: oxygen on theatre-1
         {BY_1}
         {edition}/cards/theatre-1-oxygen.md
CYL-01   issue 2   Changing a cylinder
         {BY_2}
         {edition}/changing.md
"""
    result = compare(recorded, "--on", "2026-03-20")
    assert (0, expected) == (result.exit_code, printed(result))
    told = json.loads(compare(recorded, "--on", "2026-03-20", "--format", "json").stdout)
    assert ("2026-03-20", 2, "", {}) == (told["on"], told["edition"], told["note"], told["withdrawn_before"])
    page = told["procedures"]["CYL-01"]
    assert (2, "changing.md", None, SECOND.reason) == (
        page["issue"], page["page"], page["withdrawn"], page["told"]["reason"]
    )  # fmt: skip


def test_a_procedure_that_was_withdrawn_by_a_day_says_so(recorded: tuple[Path, Path], tmp_path: Path) -> None:
    """Whether the edition of that day still holds its page, or was made since with a notice; not before its day."""
    site, target = (shutil.copytree(folder, tmp_path / folder.name) for folder in recorded)
    script = target / SCRIPT
    editions = read_script(script.read_bytes())
    for number, told in {"CYL-01": "the card", "CYL-04": "CYL-01"}.items():
        withdrawal = Withdrawal(date(2026, 4, 2), "it misled", told)
        editions = editions.with_procedure_withdrawn(number, withdrawal)
    script.write_bytes(editions.as_script())
    lines = printed(compare((site, target), "--on", "2026-04-10")).splitlines()
    at = lines.index("CYL-01   issue 2   Changing a cylinder")
    assert "         Withdrawn on 2026-04-02: it misled. Use instead: the card" == lines[at + 1]
    assert "CYL-04   Withdrawn on 2026-04-02: it misled. Use instead: CYL-01" == lines[-1]
    assert "Withdrawn" not in compare((site, target), "--on", "2026-04-01").stdout


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


def remove_file(edition: Path) -> None:
    (edition / "words/words.json").unlink()


def change_file(edition: Path) -> None:
    change(edition / "numbers/changing.json", "5\u00a0min", "6\u00a0min")


def add_file(edition: Path) -> None:
    shutil.copy(edition / "words/words.json", edition / "words/more.json")


def change_with_its_manifest(edition: Path) -> None:
    change_file(edition)
    (edition / manifest.NAME).write_bytes(manifest.of_folder(edition))


@pytest.mark.parametrize(
    ("damage", "altered"),
    [
        (shutil.rmtree, "missing, or not to be read: the whole folder"),
        (remove_file, "missing: words/words.json"),
        (add_file, "added: words/more.json"),
        (change_file, "changed: numbers/changing.json"),
        (change_with_its_manifest, "changed: MANIFEST.sha256"),
    ],
)
@pytest.mark.parametrize("arguments", [["1", "2"], ["2", "draft"], ["--on", "2026-03-02"]])
def test_nothing_is_told_from_an_edition_that_is_not_as_it_was_published(
    arguments: list[str], damage: Callable[[Path], None], altered: str, published: tuple[Path, Path], tmp_path: Path
) -> None:
    """Which edition, which file, and what helps; never that a page is no longer there."""
    target = shutil.copytree(published[1], tmp_path / "target")
    damage(target / "editions/0002")
    result = compare((published[0], target), *arguments)
    expected = f"""{target}/editions/0002: error E620, edition not whole
  Wrong:         edition 2 is not as it was published, and nothing can be told from it ({altered})
  Allowed:       the edition put back from a backup; yokebook verify {target} names each such file
"""
    assert (1, expected) == (result.exit_code, result.stdout.partition("\n\n")[0] + "\n")


@pytest.mark.parametrize("arguments", [[], ["1", "2"], ["--on", "2026-03-02"]])
def test_a_list_of_editions_that_was_lost_is_told(
    arguments: list[str], published: tuple[Path, Path], tmp_path: Path
) -> None:
    """The editions lie there: it is not said that there are none."""
    target = shutil.copytree(published[1], tmp_path / "target")
    (target / SCRIPT).unlink()
    result = compare((published[0], target), *arguments)
    expected = f"""{target}: error E610, folder of another kind
  Wrong:         it holds editions and no editions.js: the list was lost, or no edition was ever published here
  Allowed:       the folder in which editions were published; editions.js put back from a backup, where it was lost
"""
    assert (1, expected) == (result.exit_code, result.stdout.partition("\n\n")[0] + "\n")


def test_a_draft_with_problems_gives_its_report(tmp_path: Path) -> None:
    """As check does, and nothing is compared."""
    site, target = lay_out(tmp_path / "site"), tmp_path / "target"
    publish(site, target, date(2026, 1, 5), CYL_01=1)
    change_data(site, "department.yaml", "change_time: 5 min", "change_time: 5")
    result = compare((site, target))
    assert 1 == result.exit_code
    assert "content/data/department.yaml, line 23, column 14: error E104, missing unit" in result.output
    assert "    |              ^" in result.output
