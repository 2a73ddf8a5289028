"""A build that is killed at any moment leaves a whole site: the old one, or the new one."""

from __future__ import annotations

import random
import shutil
import subprocess
import sys
import time
from pathlib import Path

from bad_sites import GOOD
from demo_site import ROOT
from site_contents import content_of
from yokebook.files import recover

KILLS = 50
CALL = 'reserve_table(cylinder="oxygen-e", machine="theatre-1", uses=["bellows"])'


def start(folder: Path) -> subprocess.Popen[bytes]:
    """Start a build as its own process."""
    return subprocess.Popen(
        [sys.executable, "-m", "yokebook", "build"], cwd=folder, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL
    )


def test_a_build_killed_at_random_moments_leaves_a_whole_site(tmp_path: Path) -> None:
    """Killed 50 times, anywhere from its start to its end: each time the site is that of one whole build."""
    folder = tmp_path / "department"
    shutil.copytree(GOOD, folder)
    shutil.copy(ROOT / "mkdocs.yml", folder)
    page, site = folder / "content/pages/index.md", folder / "site"
    page.parent.mkdir()
    first = "---\ntitle: Start\n---\n\n" + "{{ " + CALL + " }}\n"
    states = []
    for text in (first, first + "\nAnother state.\n"):
        page.write_text(text, encoding="utf-8")
        begin = time.monotonic()
        assert 0 == start(folder).wait()
        took = time.monotonic() - begin
        states.append(content_of(site))
    assert states[0] != states[1]
    dice = random.Random(50)
    for number in range(KILLS):
        page.write_text((first, first + "\nAnother state.\n")[number % 2], encoding="utf-8")
        process = start(folder)
        time.sleep(dice.uniform(0, took * 1.1))
        process.kill()
        process.wait()
        recover(site)
        assert content_of(site) in states
    assert 0 == start(folder).wait()
    assert {".yokebook", "content", "mkdocs.yml", "site"} == {entry.name for entry in folder.iterdir()}
