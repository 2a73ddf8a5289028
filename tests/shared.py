"""What the workers of one run share: made once, by the first that needs it, and only read since."""

from __future__ import annotations

import shutil
from collections.abc import Callable
from pathlib import Path

from filelock import FileLock

of_run: Path | None = None
"""The run's own folder, which `conftest.py` tells; none where no tests run."""


def made_once(name: str, make: Callable[[Path], object]) -> Path:
    """Return a folder that `make` fills, in the first worker that asks for it; the others wait for it."""
    assert of_run, "there is nothing to share outside a run of the tests"
    folder, made = of_run / name, of_run / f"{name}.made"
    with FileLock(of_run / f"{name}.lock"):
        if not made.exists():
            folder.mkdir()
            make(folder)
            made.touch()
    return folder


def copy_of(name: str, make: Callable[[Path], object], into: Path) -> Path:
    """Return a worker's own copy of what is made once, for tests that change it and put it back."""
    return Path(shutil.copytree(made_once(name, make), into / name))
