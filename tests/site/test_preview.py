"""The preview: a saved page or data file shows, and a mistake keeps the last good pages."""

from __future__ import annotations

import os
import socket
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from urllib.request import urlopen

import pytest

from demo_site import change, copy_demo

pytestmark = pytest.mark.slow


HANGS_S = 300
"""How long anything is waited for before it counts as hanging: no measure."""


def free_port() -> int:
    """Return a port on which nothing listens."""
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


def until(answer: Callable[[], bool], what: str, seconds: float = HANGS_S) -> None:
    """Wait until something holds, and fail where it never does."""
    end = time.monotonic() + seconds
    while time.monotonic() < end:
        if answer():
            return
        time.sleep(0.1)
    pytest.fail(f"not within {seconds} s: {what}")


@pytest.fixture
def served(tmp_path: Path) -> Iterator[tuple[Path, str, Path]]:
    """A department with its preview running: its folder, the address of its start page, what the program said."""
    folder, port, said = copy_demo(tmp_path / "department"), free_port(), tmp_path / "said.txt"
    with said.open("wb") as output:
        process = subprocess.Popen(
            [sys.executable, "-m", "yokebook", "preview", "--port", str(port)],
            cwd=folder,
            stdout=output,
            stderr=subprocess.STDOUT,
            env={**os.environ, "PYTHONUNBUFFERED": "1"},
        )
        try:
            yield folder, f"http://127.0.0.1:{port}/editions/draft/index.html", said
        finally:
            process.kill()
            process.wait()


def test_saved_changes_show_and_a_mistake_keeps_the_last_good_page(served: tuple[Path, str, Path]) -> None:
    """A page is saved: it shows. A data file is spoilt: the report comes, the page stays. It is mended: all goes on."""
    folder, address, said = served

    def shows(text: str) -> bool:
        try:
            with urlopen(address, timeout=HANGS_S) as answer:  # noqa: S310  # an address of this test's own
                return text in answer.read().decode()
        except OSError:
            return False

    until(lambda: shows("Cylinders, yokes and gauges"), "the first page")
    index = folder / "content/pages/index.md"
    first = index.read_text(encoding="utf-8")
    index.write_text(first + "\nSaved just now.\n", encoding="utf-8")
    until(lambda: shows("Saved just now."), "the saved page")
    change(folder / "content/data/department.yaml", "keep_back: 10 bar", "keep_back: 10")
    until(lambda: "error E104, missing unit" in said.read_text(encoding="utf-8"), "the report")
    assert shows("Saved just now.")
    change(folder / "content/data/department.yaml", "keep_back: 10\n", "keep_back: 10 bar\n")
    change(index, "Saved just now.", "Mended.")
    until(lambda: shows("Mended."), "the mended page")
    assert "Traceback" not in said.read_text(encoding="utf-8")


def test_a_department_with_mistakes_is_told_and_not_served(tmp_path: Path) -> None:
    """Nothing is shown that could not be built; the report says why, and the status is 1."""
    folder = copy_demo(tmp_path / "department")
    change(folder / "content/data/department.yaml", "keep_back: 10 bar", "keep_back: 10")
    result = subprocess.run(
        [sys.executable, "-m", "yokebook", "preview", "--port", str(free_port())],
        cwd=folder,
        capture_output=True,
        text=True,
        check=False,
        timeout=HANGS_S,
    )
    assert 1 == result.returncode
    assert "error E104, missing unit" in result.stdout


def test_a_port_that_is_taken_is_wrong_use(tmp_path: Path) -> None:
    """Another program listens there: say so, and how to take another port."""
    folder = copy_demo(tmp_path / "department")
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        port = taken.getsockname()[1]
        result = subprocess.run(
            [sys.executable, "-m", "yokebook", "preview", "--port", str(port)],
            cwd=folder,
            capture_output=True,
            text=True,
            check=False,
            timeout=HANGS_S,
        )
    assert 2 == result.returncode
    assert f"port {port} cannot be used" in result.stderr
    assert "--port 8001" in result.stderr
    assert "Traceback" not in result.stderr
