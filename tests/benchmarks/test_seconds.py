"""Seconds, for a machine that does nothing else: `python -m pytest -n0 tests/benchmarks`. No part of the suite.

The suite holds the same work as counts that waver on no machine (`tests/counted.py`).
"""

from __future__ import annotations

import resource
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest
from playwright.sync_api import sync_playwright

import bench
from demo_site import ROOT, copy_demo
from yokebook.data.load import load

SLOWED = 6
PAGES = ("index.html", "procedures/changing-a-cylinder.html", "reference/theatre-1.html")


@pytest.fixture(scope="module")
def demo(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The demo, built once, with what is learnt from a first run at hand."""
    folder = copy_demo(tmp_path_factory.mktemp("demo") / "department")
    yokebook("build", cwd=folder)
    return folder


def yokebook(*arguments: str, cwd: Path) -> None:
    subprocess.run([sys.executable, "-m", "yokebook", *arguments], cwd=cwd, check=True, stdout=subprocess.DEVNULL)


def least(work: Callable[[], object]) -> float:
    """Return the processor time [s] of some work, with the processes that it starts, best of five."""
    took = []
    for _ in range(5):
        before = _processor_time_s()
        work()
        took.append(_processor_time_s() - before)
    return min(took)


def _processor_time_s() -> float:
    both = [resource.getrusage(who) for who in (resource.RUSAGE_SELF, resource.RUSAGE_CHILDREN)]
    return sum(each.ru_utime + each.ru_stime for each in both)


@pytest.mark.parametrize(("command", "most_s"), [("--help", 0.3), ("check", 1.0)])
def test_a_command_is_quick(command: str, most_s: float, demo: Path) -> None:
    """Help comes at once, and a check with what is known from an earlier run within a second."""
    assert least(lambda: yokebook(command, cwd=demo)) < most_s


def test_loading_is_quick_once_the_states_are_known() -> None:
    """The whole of the data is read and checked within 0.15 s."""
    assert least(lambda: load(ROOT / "content/data", "content/data")) < 0.15


def test_a_page_is_seen_within_a_second_on_a_slow_computer(demo: Path) -> None:
    """The first view from file://, the processor slowed six times, best of five."""
    with sync_playwright() as playwright, bench.wall() as wall:
        chromium = bench.launch_chromium(playwright, wall)
        for name in PAGES:
            shown = []
            for _ in range(5):
                page = chromium.new_context().new_page()
                page.context.new_cdp_session(page).send("Emulation.setCPUThrottlingRate", {"rate": SLOWED})
                page.goto((demo / "site/editions/draft" / name).as_uri(), wait_until="load")
                bench.until(page, "performance.getEntriesByName('first-contentful-paint').length > 0")
                shown.append(
                    page.evaluate("performance.getEntriesByName('first-contentful-paint')[0].startTime") / 1000
                )
                page.context.close()
            assert 0 < min(shown) < 1, name
        chromium.close()
