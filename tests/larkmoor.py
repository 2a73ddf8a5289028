"""How Larkmoor Infirmary came to its three editions: its content taken back to what it was, then every step run again.

Each step is an edit that its educator made, or one of the program's own commands. What stands in the repository is the
end of it; `python tests/larkmoor.py published` makes the records anew and publishes the editions into a folder.
"""

from __future__ import annotations

import json
import os
import shutil
import subprocess
import sys
from dataclasses import dataclass
from pathlib import Path
from tempfile import TemporaryDirectory

from demo_site import LATER, ROOT, change, copy_demo

RECORDS = Path("content/control")
INCIDENTS = Path("content/pages/incidents")
CARDS = RECORDS / "cards.yaml"
_DATA, _PROCEDURES = "content/data", "content/pages/procedures"


@dataclass(frozen=True)
class Edit:
    """One edit of a file: what stood there, and what stands there since."""

    file: str
    before: str
    after: str


SECOND = (
    Edit(f"{_DATA}/department.yaml", "transfer_margin: 1.5\n", "transfer_margin: 2\n"),
    Edit(f"{_PROCEDURES}/leaving-with-a-patient.md", "2.  Read the gauge on the way. You",
         "2.  Read the gauge at each door and each lift. You"),
    Edit(f"{_PROCEDURES}/leaving-with-a-patient.md", "12. Look at the patient, still beside the wall.\n    You",
         '12. Stay beside the wall for\n    {{ typed(text="2 min", why="a rule of this department: long enough to see '
         'a saturation that falls, no published value") }}.\n    You'),
)  # fmt: skip
"""What was changed for the second edition, after the review of the transfer on which oxygen ran low."""

THIRD = (
    Edit(f"{_DATA}/machines.yaml", "high: 8 L/min, measured: 2025-09-15", "high: 9 L/min, measured: 2026-05-12"),
    Edit(f"{_PROCEDURES}/plugging-an-empty-yoke.md", "15. Write the record.\n",
         "15. Write the record. Write that the yoke is empty on the machine's label too.\n"),
    Edit("content/pages/index.md", "the corridor board](procedures/corridor-board.md)\n",
         "the corridor board](procedures/corridor-board.md), withdrawn\n"),
    Edit(f"{INCIDENTS}/low-on-the-way.md", "  reviewed: 2026-02-05\n",
         "  reviewed: 2026-02-05\n  closed: 2026-03-20\n"),
)  # fmt: skip
"""What was changed for the third edition: the drive gas measured again, a yoke found without its plug."""

_HANGING = """\
# The laminated cards that hang at the machines, each copy with the issue that hangs there.
cards:
  - {{card: theatre-1-oxygen, machine: theatre-1, place: left column of the machine, copy: 1, issue: {theatre}}}
  - {{card: theatre-1-oxygen, machine: theatre-1, place: lid of the spare's trolley, copy: 2, issue: {theatre}}}
  - {{card: scanner-1-oxygen, machine: scanner-1, place: beside the gauges, copy: 1, issue: 1}}
"""
_LEAD = ("--role", "equipment lead", "--name", "Larkmoor equipment lead")
_APPROVER = ("--role", "approver", "--name", "Larkmoor approver")


@dataclass(frozen=True)
class Department:
    """A department's folder and where it publishes; each command runs as its own process, as on its own machine."""

    folder: Path
    target: Path

    def run(self, *arguments: str | Path) -> str:
        """Run one command, which has to be good, and return what it prints."""
        command = [sys.executable, "-m", "yokebook", *map(str, arguments)]
        result = subprocess.run(
            command, cwd=self.folder, capture_output=True, text=True, check=False, encoding="utf-8",
            env={**os.environ, **LATER},
        )  # fmt: skip
        assert result.returncode == 0, f"{' '.join(map(str, arguments))}\n{result.stdout}{result.stderr}"
        return result.stdout

    def drafts(self) -> list[str]:
        """Return the numbers of the procedures that are not approved as they are."""
        told = json.loads(self.run("check", "--format", "json"))
        return [entry["procedure"] for entry in told["register"] if entry["state"] == "draft"]

    def approve(self, numbers: list[str], on: str, reason: str, *further: str) -> None:
        """Approve procedures as they are."""
        self.run("approve", *numbers, *_APPROVER, "--on", on, "--reason", reason, *further, "--yes")

    def edit(self, *edits: Edit) -> None:
        """Make edits in the department's files."""
        for one in edits:
            change(self.folder / one.file, one.before, one.after)


def tell(department: Department) -> None:
    """Take a copy of the demo's content back to its beginning, and make its three editions by the real commands."""
    incidents = _take_back(department)
    run, target = department.run, department.target

    department.approve(department.drafts(), "2026-01-05", "The department's first issue")
    run("publish", target, "--in-force", "2026-01-12")
    (department.folder / CARDS).write_text(_HANGING.format(theatre=1), encoding="utf-8")

    first = incidents["low-on-the-way.md"]
    run("incident", "low-on-the-way", "--title", "Oxygen low on the way to the scanner", "--happened", "2026-01-22")
    (department.folder / INCIDENTS / "low-on-the-way.md").write_text(first, encoding="utf-8")
    department.edit(*SECOND)
    reason = "The review found the margin too small, and nobody reading on the way"
    department.approve(["CYL-07", "REF-04"], "2026-03-09", reason, "--incident", "low-on-the-way")
    department.approve(department.drafts(), "2026-03-09", "The margin of all transfers was raised")
    run("publish", target, "--in-force", "2026-03-16")
    run("withdraw", target, "CYL-11", "--on", "2026-04-02", "--instead", "CYL-07", "--by", "Larkmoor equipment lead",
        "--reason", "The times on the board were those of another cylinder, and were believed", "--yes")  # fmt: skip

    second = incidents["yoke-without-its-plug.md"]
    run("incident", "yoke-without-its-plug", "--title", "An empty yoke without its plug", "--happened", "2026-04-14")
    (department.folder / INCIDENTS / "yoke-without-its-plug.md").write_text(second, encoding="utf-8")
    department.edit(*THIRD)
    reason = "Nobody could see from the record of the evening that a yoke was empty"
    department.approve(["CYL-02"], "2026-05-22", reason, "--incident", "yoke-without-its-plug")
    department.approve(department.drafts(), "2026-05-22", "The drive gas was measured again at the service in May")
    run("publish", target, "--in-force", "2026-06-01")
    # The old cards were taken down and the new ones hung.
    (department.folder / CARDS).write_text(_HANGING.format(theatre=2), encoding="utf-8")


def _take_back(department: Department) -> dict[str, str]:
    """Undo the edits and take out what came later; return the incidents' pages as they were first written."""
    shutil.rmtree(department.folder / RECORDS, ignore_errors=True)
    (department.folder / RECORDS).mkdir()
    for one in (*reversed(THIRD), *reversed(SECOND)):
        change(department.folder / one.file, one.after, one.before)
    pages = sorted((department.folder / INCIDENTS).glob("*.md"))
    texts = {page.name: page.read_text(encoding="utf-8") for page in pages}
    for page in pages:
        page.unlink()
    return texts


def main(target: Path) -> None:
    """Publish the editions into a folder, anew, and put the records that come of it into the demo's content."""
    with TemporaryDirectory() as temporary:
        department = Department(copy_demo(Path(temporary) / "larkmoor"), Path(temporary) / target.name)
        tell(department)
        shutil.rmtree(ROOT / RECORDS)
        shutil.copytree(department.folder / RECORDS, ROOT / RECORDS)
        shutil.rmtree(target, ignore_errors=True)
        shutil.copytree(department.target, target)
    print(f"Published three editions. Open {target.resolve() / 'index.html'} in a browser.")  # noqa: T201  # a command's answer


if __name__ == "__main__":
    main(Path(sys.argv[1]))
