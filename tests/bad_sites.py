"""A department's folder with one mistake: the good base `bad/good` with the files of one folder of `bad/` over it."""

from __future__ import annotations

import re
import shutil
from pathlib import Path

from yokebook.errors import TITLES

BAD = Path(__file__).parent / "bad"
GOOD = BAD / "good"
_ABOUT = ("expected.txt", "without.txt", "grown.txt")


def folders(*families: str) -> list[Path]:
    """Return the folders of mistakes whose codes begin with one of some letters and digits, such as "E2"."""
    return sorted(folder for folder in BAD.iterdir() if folder.name.startswith(families))


def name_of(code: str) -> str:
    """Return how the folder of a code is named: the code and its title."""
    return f"{code}_{re.sub('[^a-z0-9]+', '_', TITLES[code].lower().replace(chr(39), ''))}"


def lay_out(mistake: Path, folder: Path) -> Path:
    """Lay a site with one mistake out in a folder.

    `without.txt` names files of the good base that are left out, `grown.txt` a file and how often its last line stands.
    """
    shutil.copytree(GOOD, folder)
    shutil.copytree(mistake, folder, dirs_exist_ok=True, ignore=shutil.ignore_patterns(*_ABOUT))
    left_out = mistake / "without.txt"
    for name in left_out.read_text(encoding="utf-8").split() if left_out.exists() else ():
        (folder / name).unlink()
    grown = mistake / "grown.txt"
    if grown.exists():
        name, times = grown.read_text(encoding="utf-8").split()
        lines = (folder / name).read_text(encoding="utf-8").splitlines(keepends=True)
        (folder / name).write_text("".join([*lines[:-1], lines[-1] * int(times)]), encoding="utf-8")
    return folder
