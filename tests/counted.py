"""Work told as a count that is the same on each machine, however busy: calls of functions, modules imported."""

from __future__ import annotations

import cProfile
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

_TIMED_IMPORT = "import time:"


def calls(work: Callable[[], object]) -> int:
    """Return how many calls of functions some work makes, those of the libraries among them."""
    profile = cProfile.Profile()
    profile.runcall(work)
    return sum(entry.callcount for entry in profile.getstats())


def imported(*command: str, cwd: Path) -> set[str]:
    """Return the modules that a Python imports for a command, without those that it imports for none."""
    return _imported(*command, cwd=cwd) - _imported("-c", "pass", cwd=cwd)


def packages(modules: set[str]) -> set[str]:
    """Return the outermost packages of some modules, those of the standard library left out."""
    return {module.partition(".")[0] for module in modules} - sys.stdlib_module_names


def _imported(*command: str, cwd: Path) -> set[str]:
    result = subprocess.run(
        [sys.executable, "-X", "importtime", *command], cwd=cwd, capture_output=True, text=True, check=True
    )
    lines = [line for line in result.stderr.splitlines() if line.startswith(_TIMED_IMPORT)]
    return {line.rpartition("|")[2].strip() for line in lines[1:]}
