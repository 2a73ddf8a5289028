"""A copy of the demo department, to change and build in a test."""

from __future__ import annotations

import re
import shutil
import subprocess
import sys
from pathlib import Path

import shared

ROOT = Path(__file__).parents[1]
LATER = {"PYTHONPATH": str(ROOT / "tests" / "on_another_day"), "ON_ANOTHER_DAY": "2026-12-01"}
"""The environment of a process that runs after all that happened at Larkmoor, whatever day it is."""
STORE = ".yokebook"
"""Where a department keeps the answers of slow libraries."""


def copy_demo(folder: Path) -> Path:
    """Return a folder with the demo's pages, data and mkdocs.yml; in a test, with what its first check has learnt."""
    _copy(folder)
    if shared.of_run:
        shutil.copytree(shared.made_once("checked", _check) / STORE, folder / STORE)
    return folder


def _copy(folder: Path) -> None:
    shutil.copytree(ROOT / "content", folder / "content")
    shutil.copy(ROOT / "mkdocs.yml", folder / "mkdocs.yml")


def _check(folder: Path) -> None:
    _copy(folder / "department")
    command = [sys.executable, "-m", "yokebook", "check"]
    subprocess.run(command, cwd=folder / "department", check=True, stdout=subprocess.DEVNULL)
    (folder / "department" / STORE).rename(folder / STORE)


def copy_unapproved_demo(folder: Path) -> Path:
    """Return a copy of the demo as it would be had nobody approved anything: each procedure is a draft."""
    copy_demo(folder)
    shutil.rmtree(folder / "content/control")
    for page in (folder / "content/pages/incidents").glob("*.md"):
        page.write_text(re.sub("(?m)^  closed: .*\n", "", page.read_text(encoding="utf-8")), encoding="utf-8")
    return folder


def change(path: Path, old: str, new: str) -> None:
    """Replace a text that stands in a file, and fail where it does not."""
    text = path.read_text(encoding="utf-8")
    assert old in text, f"{path} does not hold {old!r}"
    path.write_text(text.replace(old, new), encoding="utf-8")
