"""The bench itself: it sees what leaves, what is missing and what a policy refuses, and says what it could not try."""

from __future__ import annotations

import os
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path

import pytest
from playwright.sync_api import Browser

from bench import HANGS_S, Visit, Wall
from demo_site import ROOT

POLICY = '<meta http-equiv="Content-Security-Policy" content="default-src \'none\'; script-src file:; img-src *">'
FAULTY = (
    f'<!doctype html><html lang="en"><head><meta charset="utf-8">{POLICY}<title>Faulty</title>'
    '<link rel="icon" href="data:,"></head><body><img src="http://wall.invalid/pixel.png" alt="">'
    '<script src="missing.js"></script><script src="faulty.js"></script><script>1;</script></body></html>'
)


@pytest.fixture
def faulty(tmp_path: Path) -> str:
    """A page with a picture from elsewhere, a script that is not there, one that fails, one that its policy refuses."""
    (tmp_path / "faulty.html").write_text(FAULTY, encoding="utf-8")
    (tmp_path / "faulty.js").write_text("nowhere();", encoding="utf-8")
    return (tmp_path / "faulty.html").as_uri()


def test_what_leaves_is_seen_and_ends_at_the_wall(
    browser: Browser, faulty: str, open_page: Callable[..., Visit], wall: Wall
) -> None:
    """A picture from elsewhere shows among what left, and at the wall."""
    visit = open_page(faulty)
    deadline = time.monotonic() + HANGS_S
    while not any("wall.invalid" in line for line in wall.asked) and time.monotonic() < deadline:
        visit.page.wait_for_timeout(50)
    # Firefox asks for it by https too.
    assert {"//wall.invalid/pixel.png"} == {url.partition(":")[2] for url in visit.left}
    assert any("wall.invalid" in line for line in wall.asked)
    wall.asked.clear()


def test_what_fails_is_seen(browser: Browser, faulty: str, open_page: Callable[..., Visit]) -> None:
    """A missing script, one that fails and one that the policy refuses are all told."""
    told = "\n".join(open_page(faulty).troubles)
    assert "missing.js" in told
    assert "nowhere is not defined" in told
    assert "refused by script-src" in told


def test_nothing_is_seen_where_nothing_is_wrong(
    browser: Browser, tmp_path: Path, open_page: Callable[..., Visit]
) -> None:
    """A page that is well asks for nothing and complains of nothing."""
    (tmp_path / "well.html").write_text(
        '<!doctype html><html lang="en"><head><meta charset="utf-8"><title>Well</title>'
        '<link rel="icon" href="data:,"></head><body></body></html>',
        encoding="utf-8",
    )
    visit = open_page((tmp_path / "well.html").as_uri())
    assert ([], []) == (visit.left, visit.troubles)


def test_a_page_without_script_runs_none(browser: Browser, tmp_path: Path, open_page: Callable[..., Visit]) -> None:
    """With scripts off, both browsers leave them alone and show what stands in their place."""
    path = tmp_path / "scripted.html"
    path.write_text('<title>S</title><p></p><script>document.querySelector("p").id = "ran";</script>', encoding="utf-8")
    seen = [open_page(path.as_uri(), java_script_enabled=on).page.locator("#ran").count() for on in (True, False)]
    assert [1, 0] == seen


@pytest.mark.parametrize("ci", ["true", ""])
def test_a_machine_without_browsers_says_so_or_fails(tmp_path: Path, ci: str) -> None:
    """Loudly told which tests were left out, why, and what to install; with CI=true that is a failure."""
    result = subprocess.run(
        [
            sys.executable,
            "-m",
            "pytest",
            "-q",
            "-p",
            "no:cacheprovider",
            "-n2",
            "tests/browser/test_bench.py",
            "-k",
            "is_seen",
        ],
        cwd=ROOT,
        env={**os.environ, "PATH": str(tmp_path), "CI": ci, "PYTEST_ADDOPTS": f"--basetemp={tmp_path / 'temp'}"},
        capture_output=True,
        text=True,
        check=False,
    )
    told = "firefox-esr is not on this machine; to have it: apt-get install firefox-esr"
    if ci:
        assert 1 == result.returncode
        assert f"left out: {told}" in result.stdout
    else:
        assert 0 == result.returncode
        assert "NOT TRIED IN A BROWSER" in result.stdout
        assert f"3 tests left out: {told}" in result.stdout
