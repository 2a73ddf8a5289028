"""A build that is killed at any moment leaves a whole site: the old one, or the new one."""

from __future__ import annotations

import json
import os
import random
import shutil
import signal
import subprocess
import sys
import time
from functools import partial
from itertools import cycle
from pathlib import Path

import pytest

from bad_sites import GOOD
from demo_site import ROOT
from killed import in_a_process
from site_contents import content_of
from yokebook.cli import main
from yokebook.files import recover

SPREAD = 12
"""Kills that are spread evenly over the work on the disk, beside those at each rename."""
RANDOM_MOMENTS = 10
CALL = 'reserve_table(cylinder="oxygen-e", machine="theatre-1", uses=["bellows"])'
FIRST = "---\ntitle: Start\n---\n\n{{ " + CALL + " }}\n"
TEXTS = (FIRST, FIRST + "\nAnother state.\n")
NAMED = "os.rename"
ON_THE_DISK = {NAMED, "os.mkdir", "os.remove", "os.rmdir", "os.link", "os.symlink"}
WRITING = os.O_WRONLY | os.O_RDWR | os.O_CREAT

pytestmark = pytest.mark.slow


def build(folder: Path, *, dies_before: float = float("inf"), told: Path | None = None) -> None:
    """Run the command in this process, which dies right before its n-th operation on the disk; or tell them all."""
    done: list[str] = []
    watching = True

    def watch(event: str, arguments: tuple[object, ...]) -> None:
        writes = event == "open" and isinstance(arguments[2], int) and arguments[2] & WRITING
        if watching and (event in ON_THE_DISK or writes) and "__pycache__" not in str(arguments[0]):
            if len(done) >= dies_before:
                os.kill(os.getpid(), signal.SIGKILL)
            done.append(event)

    sys.addaudithook(watch)
    os.chdir(folder)
    with pytest.raises(SystemExit) as ended:
        main(["build"])
    watching = False
    assert 0 == ended.value.code
    if told:
        told.write_text(json.dumps(done), encoding="utf-8")


def start(folder: Path) -> subprocess.Popen[bytes]:
    """Start a build as its own process."""
    return subprocess.Popen(
        [sys.executable, "-m", "yokebook", "build"], cwd=folder, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL
    )


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A small department."""
    folder = tmp_path / "department"
    shutil.copytree(GOOD, folder)
    shutil.copy(ROOT / "mkdocs.yml", folder)
    (folder / "content/pages").mkdir()
    return folder


def write(folder: Path, text: str) -> None:
    (folder / "content/pages/index.md").write_text(text, encoding="utf-8")


def assert_nothing_lies_about(folder: Path) -> None:
    assert {".yokebook", "content", "mkdocs.yml", "site"} == {entry.name for entry in folder.iterdir()}


def test_a_build_killed_at_chosen_operations_leaves_a_whole_site(folder: Path, tmp_path: Path) -> None:
    """Before each rename, right after it, and here and there: the site is that of one whole build each time."""
    site, states = folder / "site", []
    for text in TEXTS:
        write(folder, text)
        assert in_a_process(partial(build, folder, told=tmp_path / "told.json"))
        states.append(content_of(site))
    assert states[0] != states[1]
    operations = json.loads((tmp_path / "told.json").read_text(encoding="utf-8"))
    names = [at for at, what in enumerate(operations) if what == NAMED]
    assert len(names) >= 2, "the old site goes aside, and the new one comes in"
    points = {*names, *(at + 1 for at in names), *range(0, len(operations), len(operations) // SPREAD)}
    for text, point in zip(cycle(TEXTS), sorted(points), strict=False):
        write(folder, text)
        assert not in_a_process(partial(build, folder, dies_before=point))
        recover(site)
        assert content_of(site) in states
    assert in_a_process(partial(build, folder))
    assert_nothing_lies_about(folder)


def test_a_build_killed_at_random_moments_leaves_a_whole_site(folder: Path) -> None:
    """As the system kills it, in the midst of an operation too."""
    site, states = folder / "site", []
    for text in TEXTS:
        write(folder, text)
        begin = time.monotonic()
        assert 0 == start(folder).wait()
        took = time.monotonic() - begin
        states.append(content_of(site))
    dice = random.Random(50)
    for text in (TEXTS * RANDOM_MOMENTS)[:RANDOM_MOMENTS]:
        write(folder, text)
        process = start(folder)
        time.sleep(dice.uniform(0, took * 1.1))
        process.kill()
        process.wait()
        recover(site)
        assert content_of(site) in states
    assert 0 == start(folder).wait()
    assert_nothing_lies_about(folder)
