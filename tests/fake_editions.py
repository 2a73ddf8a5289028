"""Editions of a few files, published as the program does it, and what has to hold of a target at every moment."""

from __future__ import annotations

import json
import re
from collections.abc import Mapping
from datetime import date, timedelta
from pathlib import Path
from tempfile import TemporaryDirectory

from yokebook.control import manifest, pointers, publishing
from yokebook.control.disk import Disk
from yokebook.control.editions import Editions, Listed, read_script
from yokebook.control.publishing import Plan
from yokebook.control.standing import EditionMark, Withdrawal
from yokebook.control.target import Target
from yokebook.errors import Problem

FIRST_DAY = date(2026, 1, 5)
TITLES = {"CYL-01": "Changing a cylinder", "CYL-02": "Plugging an empty yoke"}


class QuickDisk(Disk):
    """A disk that leaves its bytes to the system's memory, of which a killed process loses nothing."""

    def write(self, path: Path, content: bytes) -> None:
        path.write_bytes(content)

    @staticmethod
    def _flush(folder: Path) -> None:
        return None


def page_of(procedure: str) -> str:
    return f"procedures/{procedure.lower()}.html"


def plan_after(before: Editions, issues: Mapping[str, int], in_force: date | None = None) -> Plan:
    """Return the plan of the next edition, a month after the one before."""
    number = len(before.editions) + 1
    day = in_force or FIRST_DAY + timedelta(days=28 * (number - 1))
    procedures = {name: Listed(issue, TITLES[name], page_of(name)) for name, issue in issues.items()}
    return Plan(before, EditionMark(number, day), procedures, before.withdrawn)


def build(plan: Plan, folder: Path) -> list[Problem]:
    """Make an edition: its first page, a page and lists of each procedure, a script."""
    files = {
        "index.html": f"<title>Edition {plan.mark.number}</title><h1>Edition {plan.mark.number}</h1>",
        "assets/page.js": "var shown = true;",
    }
    for name, listed in plan.procedures.items():
        files[listed.page] = f"<title>{name} issue {listed.issue}</title><h1>{listed.title}, issue {listed.issue}</h1>"
        files[f"numbers/{name.lower()}.json"] = f'{{"calls": [], "issue": {listed.issue}}}'
        files[f"words/{name.lower()}.json"] = json.dumps(
            {"procedure": name, "title": listed.title, "files": {}, "words": []}
        )
    for path, text in files.items():
        (folder / path).parent.mkdir(parents=True, exist_ok=True)
        (folder / path).write_text(text + "\n", encoding="utf-8", newline="\n")
    return []


def publish(
    root: Path, issues: Mapping[str, int], in_force: date | None = None, *, disk: Disk | None = None, who: str = "a@b"
) -> Editions:
    """Publish one edition more, as the program does."""
    target = Target(root, disk or QuickDisk())
    plan = plan_after(target.editions(), issues, in_force)
    with TemporaryDirectory() as temporary:
        folder = Path(temporary) / "edition"
        made = publishing.make(target, plan, lambda into, _: build(plan, into), folder)
        return publishing.put(target, plan, made, who, lambda _: None)


def withdrawal(instead: str, on: date = date(2026, 3, 2)) -> Withdrawal:
    return Withdrawal(on, "The machine that it was for has gone.", instead)


def assert_whole(root: Path) -> Editions:
    """Assert what readers rely on at any moment, whatever was stopped; return the list as it is.

    Each listed edition is complete and fits its manifest. Each pointer is whole, follows from the list or from the one
    before it, and leads to a file of a listed edition.
    """
    script = root / "editions.js"
    editions = read_script(script.read_bytes()) if script.exists() else Editions()
    for edition in editions.editions:
        folder = root / edition.address
        content = (folder / manifest.NAME).read_bytes()
        assert edition.manifest == manifest.digest_of(content)
        assert not manifest.differences(folder, content)
    earlier = Editions(editions.editions[:-1], editions.withdrawn)
    allowed = [pointers.of_target(editions), pointers.of_target(earlier) if earlier.editions else {}]
    for path in [*root.glob("*.html"), *root.glob("*.css"), *root.glob("go/*.html")]:
        name, content = path.relative_to(root).as_posix(), path.read_bytes()
        assert content in [files.get(name) for files in allowed], f"{name} follows from no list"
        for address in re.findall(rb'url=([^"]+)', content):
            assert (path.parent / address.decode()).is_file()
    return editions


def assert_finished(root: Path) -> Editions:
    """Assert that everything follows from the list, and nothing lies about; return the list."""
    editions = assert_whole(root)
    for name, content in pointers.of_target(editions).items():
        assert content == (root / name).read_bytes()
    assert [] == Target(root).left_behind(editions)
    return editions
