"""Without the host: everything but the site works where mkdocs and its theme are not installed."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

from demo_site import ROOT, copy_demo

WITHOUT = {**os.environ, "PYTHONPATH": str(ROOT / "tests" / "without_host")}


def run(*command: str, cwd: Path) -> subprocess.CompletedProcess[str]:
    """Run Python as if the host were not installed."""
    return subprocess.run([sys.executable, *command], cwd=cwd, env=WITHOUT, capture_output=True, text=True, check=False)


def test_the_host_is_really_away(tmp_path: Path) -> None:
    """What stands for a machine without the host refuses its import."""
    assert "No module named 'mkdocs'" in run("-c", "import mkdocs", cwd=tmp_path).stderr


def test_a_department_is_checked_and_calls_are_tried(tmp_path: Path) -> None:
    """Data, pages, calls and numbers need no host."""
    folder = copy_demo(tmp_path / "department")
    assert 0 == run("-m", "yokebook", "check", cwd=folder).returncode
    call = 'reserve_table(cylinder="oxygen-e", machine="theatre-1", uses=["bellows"])'
    assert 0 == run("-m", "yokebook", "try", call, cwd=folder).returncode
