"""The demo department's story, told by the real commands; and the loop after an incident as the README tells it."""

from __future__ import annotations

import re
import shlex
import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest

from demo_site import ROOT, change, copy_demo
from larkmoor import CARDS, INCIDENTS, Department, tell
from shared import made_once

pytestmark = [pytest.mark.slow, pytest.mark.xdist_group("larkmoor")]

_MANIFEST = re.compile(rb"manifest: [0-9a-f]{64}")
REVIEWED = "  happened: 2026-07-06\n  reviewed: 2026-07-15\n  procedures: [CYL-09]\n"


@pytest.fixture(scope="module")
def larkmoor() -> Department:
    """The department at the end of its story, only read."""

    def make(shared: Path) -> None:
        folder = copy_demo(shared / "larkmoor")
        tell(Department(folder, folder / "published"))

    folder = made_once("story", make) / "larkmoor"
    return Department(folder, folder / "published")


def contents(folder: Path) -> Iterator[tuple[str, bytes]]:
    """Yield each file of a content folder, but for the digests of whole editions: any change of the look moves them."""
    for path in sorted(folder.rglob("*")):
        if path.is_file():
            yield path.relative_to(folder).as_posix(), _MANIFEST.sub(b"manifest:", path.read_bytes())


def test_the_records_in_the_repository_are_what_the_commands_write(larkmoor: Department) -> None:
    """Where a page or a word of a call has moved since, `make editions` makes them anew."""
    assert dict(contents(ROOT / "content")) == dict(contents(larkmoor.folder / "content"))


def test_everything_can_be_seen(larkmoor: Department) -> None:
    """Three editions, a superseded and a withdrawn procedure, a closed and an open incident, cards to take down."""
    published = {path.relative_to(larkmoor.target).as_posix(): path for path in larkmoor.target.rglob("*.html")}
    pages = {name: path.read_text(encoding="utf-8") for name, path in published.items()}
    assert {"0001", "0002", "0003"} == {name.split("/")[1] for name in pages if name.startswith("editions/")}
    assert "Do not use" in pages["editions/0003/procedures/corridor-board.html"]
    assert "superseded" in pages["editions/0003/register.html"]
    assert "withdrawn" in pages["editions/0003/register.html"]
    log = pages["editions/0003/incidents/index.html"]
    assert "closed on 2026-03-20" in re.sub("<[^>]*>", "", log)
    assert "<strong>open</strong>" in log
    assert "<strong>not changed yet</strong>" in log
    assert "the theatre machine" in pages["editions/0003/cards-to-take-down.html"]
    assert "Controlled copy 1" in pages["editions/0003/cards/theatre-1-oxygen.html"]
    assert 'class="yb-changed' in pages["editions/0002/procedures/leaving-with-a-patient.html"]


def test_what_is_published_is_whole_and_each_approval_holds(larkmoor: Department) -> None:
    """Every edition against its manifest, every pointer against the list, every approval against its page."""
    assert "All is as it was published.\n" == larkmoor.run("verify", larkmoor.target, "--site", larkmoor.folder)


def test_the_edition_of_a_day_is_found(larkmoor: Department) -> None:
    """What an auditor asks first."""
    told = larkmoor.run("compare", "--on", "2026-03-03", "--target", larkmoor.target)
    assert "edition 1" in told.lower()


def commands() -> list[list[str]]:
    """Return the commands of the README's section on what follows an incident, in their order."""
    section = (
        (ROOT / "README.md").read_text(encoding="utf-8").partition("## After an incident")[2].partition("\n## ")[0]
    )
    lines = re.findall(r"^ *\.venv/bin/yokebook (.+)$", section, re.MULTILINE)
    return [shlex.split(line) for line in lines]


def test_the_loop_after_an_incident_runs_as_the_readme_tells_it(larkmoor: Department, tmp_path: Path) -> None:
    """Incident, edit, trace, check, approve, publish, briefing, cards, closed: each command as it stands there."""
    folder = tmp_path / "larkmoor"
    shutil.copytree(larkmoor.folder, folder)
    department = Department(folder, folder / "published")
    incident, trace, check, approve, publish, check_again = commands()

    department.run(*incident)
    page = folder / INCIDENTS / "hissing-yoke.md"
    change(page, "  happened: 2026-07-06\n", REVIEWED)
    change(page, "One sentence for the learning log.", "A yoke hissed, and nobody else heard it.")
    asked, what_happened, _ = page.read_text(encoding="utf-8").partition("## What happened\n")
    page.write_text(f"{asked}{what_happened}\nOne person listened, in a loud room.\n", encoding="utf-8")
    assert "10 L/min" in department.run(*trace)
    change(folder / "content/data/machines.yaml", "high: 9 L/min", "high: 10 L/min")
    change(folder / "content/pages/procedures/it-will-not-fit.md", "## Purpose\n", "## Purpose\n\nTwo people listen.\n")
    moved = department.run(*check)
    assert "CYL-09" in moved
    assert "machines.theatre-1.drive.high: 9 L/min → 10 L/min" in moved, "the value that moved the numbers is named"
    assert "Two people listen." in department.run(*approve, "--yes")
    others = department.drafts()
    assert "CYL-06" in others
    assert "CYL-01" in others, "the reading at which it says to change moves by a mark"
    assert "CYL-02" not in others, "nothing on it is worked out from the drive gas"
    department.approve(others, "2026-07-20", "The drive gas was measured again")
    told = department.run(*publish)
    assert "left column of the machine" in told, "the cards to take down are named"
    edition = department.target / "editions" / "0004"
    briefing = (edition / "briefing.html").read_text(encoding="utf-8")
    assert "A yoke that hissed" in briefing
    assert "Two people listen." in briefing
    assert "lid of the spare" in (edition / "cards-to-take-down.html").read_text(encoding="utf-8")
    cards = folder / CARDS
    cards.write_text(cards.read_text(encoding="utf-8").replace("issue: 2", "issue: 3"), encoding="utf-8")
    change(page, "  reviewed: 2026-07-15\n", "  reviewed: 2026-07-15\n  closed: 2026-08-10\n")
    assert "0 errors, 0 warnings, 0 notes.\n" in department.run(*check_again)
    department.run("verify", department.target, "--site", folder)
