"""`withdraw` as a department uses it: what is shown and asked before readers are told anything."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from approvals import approve, small_department
from demo_site import change
from site_contents import content_of
from test_cli_approve import yokebook
from test_publishing import CARD, published
from yokebook.control.target import Target

TOLD = ["--on", "2026-05-01", "--reason", "Its dial has gone.", "--instead", "CYL-01"]
SHOWN = """\
CARD-01  Card: theatre-1
  Machines: theatre-1
  Card that hangs: one, copy 1, at theatre-1: left column
  Readers are told at once: withdrawn on 2026-05-01. Its dial has gone. Use instead: CYL-01

"""


@pytest.fixture
def site(tmp_path: Path) -> Path:
    """A department with a card that hangs, and an edition in `published`."""
    site = small_department(tmp_path / "site")
    (site / "content/pages/cards").mkdir()
    (site / "content/pages/cards/one.md").write_text(CARD, encoding="utf-8")
    approve(site, "CYL-01", "CYL-02", "CARD-01")
    register = "cards:\n  - {card: one, machine: theatre-1, place: left column, copy: 1, issue: 1}\n"
    (site / "content/control/cards.yaml").write_text(register, encoding="utf-8")
    published(site, site / "published")
    return site


def test_withdraw_shows_what_it_is_and_asks(site: Path) -> None:
    """Number, title, machines, cards, what readers are told; at a yes it is done."""
    result = yokebook("withdraw", "published", "card-01", *TOLD, cwd=site, typed="y\n")
    assert (0, "") == (result.returncode, result.stderr)
    assert result.stdout.startswith(f"{SHOWN}Withdraw this? [y/N]: ")
    assert "Withdrawn: CARD-01. Use instead: CYL-01\n" in result.stdout
    assert {"CARD-01"} == set(Target(site / "published").editions().withdrawn)


@pytest.mark.parametrize(("typed", "status"), [("n\n", 1), (None, 2)], ids=["no", "nobody there"])
def test_without_a_yes_nothing_is_withdrawn(typed: str | None, status: int, site: Path) -> None:
    """Who says no is shown it all the same, and so is a program that gave no --yes."""
    before = content_of(site / "published"), content_of(site / "content")
    result = yokebook("withdraw", "published", "CARD-01", *TOLD, cwd=site, typed=typed)
    assert status == result.returncode
    assert result.stdout.startswith(SHOWN)
    wanted = "nobody is there to be asked: look at what is shown, then give --yes"
    assert (wanted in result.stderr) == (typed is None)
    assert before == (content_of(site / "published"), content_of(site / "content"))


def test_what_cannot_be_withdrawn_is_told_before_anyone_is_asked(site: Path) -> None:
    """The report, and no question."""
    result = yokebook("withdraw", "published", "CYL-02", *TOLD[:-1], "CYL-01 or CYL-70", cwd=site, typed="y\n")
    assert (1, "") == (result.returncode, result.stderr)
    assert (
        """\
--instead: error E628, not to be used instead
  Written:       CYL-01 or CYL-70
  Wrong:         the newest edition has no procedure CYL-70 in use
  Allowed:       CARD-01, CYL-01, or words

1 error, 0 warnings, 0 notes.
"""
        == result.stdout
    )


def test_an_edition_is_shown_with_all_that_it_holds(site: Path) -> None:
    """For programs the answer alone goes to the output."""
    told = [*TOLD[:-1], "the printed copies in the store"]
    result = yokebook("withdraw", "published", "--edition", "1", *told, "--yes", "--format", "json", cwd=site)
    assert 0 == result.returncode
    assert (
        """\
Edition 1, in force from 2026-03-09
  CARD-01  issue 1: Card: theatre-1
  CYL-01  issue 1: Changing a cylinder on the yoke
  CYL-02  issue 1: Reading the gauge
  Readers are told at once: withdrawn on 2026-05-01. Its dial has gone. Use instead: the printed copies in the store

"""
        == result.stderr
    )
    assert [] == json.loads(result.stdout)["problems"]


def test_a_procedure_whose_page_has_gone_is_shown_with_the_title_that_was_published(site: Path) -> None:
    """Withdrawing is what makes that good."""
    (site / "content/pages/other.md").unlink()
    change(site / "content/pages/page.md", "owner: approver", "owner: [")
    result = yokebook("withdraw", "published", "CYL-02", *TOLD, "--yes", cwd=site)
    assert (0, "CYL-02  Reading the gauge") == (result.returncode, result.stdout.split("\n")[0])
