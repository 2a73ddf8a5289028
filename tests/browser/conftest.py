"""Fixtures of the browser tests: the demo built once, both browsers behind a wall, tabs that tell what they asked for.

A test that this machine cannot run is left out loudly; with CI=true it fails instead.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, BrowserContext, Playwright, sync_playwright

import bench
from bench import LEFT_OUT, Visit, Wall
from demo_site import copy_unapproved_demo
from shared import made_once

DRAFT = "editions/draft"
UNHEEDED = {"bypass_csp", "color_scheme", "forced_colors", "offline", "reduced_motion"}


@pytest.fixture(scope="session")
def built_site() -> Path:
    """The root of the built demo, each page a draft, made once for all workers, only read."""
    return made_once("demo", _build) / "site"


@pytest.fixture(scope="session")
def page_url(built_site: Path) -> Callable[[str], str]:
    """Give the address of a page of the demo by its path in an edition: `page_url("procedures/double-yoke.html")`."""

    def url(name: str) -> str:
        path, _, anchor = name.partition("#")
        file = built_site / DRAFT / path
        assert file.is_file(), f"the demo has no page {path}"
        return file.as_uri() + (f"#{anchor}" if anchor else "")

    return url


@pytest.fixture(scope="session")
def wall() -> Iterator[Wall]:
    """What both browsers take for the network."""
    with bench.wall() as server:
        yield server


@pytest.fixture(scope="session")
def playwright() -> Iterator[Playwright]:
    """One Playwright for each worker."""
    with sync_playwright() as started:
        yield started


@pytest.fixture(scope="session")
def chromium(playwright: Playwright, wall: Wall) -> Iterator[Browser]:
    """Debian's Chromium, with no network."""
    browser = bench.launch_chromium(playwright, wall)
    yield browser
    browser.close()


@pytest.fixture(scope="session")
def firefox(playwright: Playwright, wall: Wall) -> Iterator[Browser]:
    """Debian's Firefox, with no network."""
    browser = bench.launch_firefox(playwright, wall)
    without_script: list[Browser] = []
    new_context = browser.new_context

    def honouring(**options: Any) -> BrowserContext:
        # Driven so, Firefox does not heed these, and a test would pass that tried nothing.
        if unheeded := UNHEEDED & set(options):
            pytest.fail(f"this Firefox does not heed {', '.join(sorted(unheeded))}: try it in Chromium", pytrace=False)
        # Nor this; but as a preference of the whole browser it does.
        if options.pop("java_script_enabled", True):
            return new_context(**options)
        if not without_script:
            without_script.append(bench.launch_firefox(playwright, wall, scripts=False))
        return without_script[0].new_context(**options)

    browser.new_context = honouring  # type: ignore[method-assign]
    yield browser
    for each in (browser, *without_script):
        each.close()


@pytest.fixture(scope="session", params=["chromium", "firefox"])
def browser(request: pytest.FixtureRequest) -> Browser:
    """Each of the two browsers in turn."""
    found = request.getfixturevalue(request.param)
    assert isinstance(found, Browser)
    return found


@pytest.fixture
def open_page(request: pytest.FixtureRequest) -> Iterator[Callable[..., Visit]]:
    """Open a page of the demo, or a file:// address: `open_page("index.html", viewport={...})`.

    In the browser that the test asks for (`browser`, `firefox`; else Chromium), or in `within=`. What the page asks for
    and complains of is in the visit.
    """
    visits = list[Visit]()

    def visit(name: str, within: Browser | None = None, **options: Any) -> Visit:
        asked = next((each for each in ("browser", "firefox") if each in request.fixturenames), "chromium")
        browser = within or request.getfixturevalue(asked)
        url = name if "://" in name else request.getfixturevalue("page_url")(name)
        visits.append(bench.open_visit(browser, url, **options))
        return visits[-1]

    yield visit
    for each in visits:
        bench.close_visit(each)


@pytest.fixture(scope="session")
def node_modules() -> Path:
    """The folder of npm's packages."""
    return bench.of_npm("axe-core/package.json").parents[1]


@pytest.fixture(scope="session")
def node() -> str:
    """The program that runs npm's packages."""
    return bench.program("node", "nodejs")


@pytest.fixture(scope="session")
def axe() -> Path:
    """The script of axe-core, for a context with bypass_csp=True."""
    return bench.of_npm("axe-core/axe.min.js")


@pytest.fixture(scope="session")
def vnu_jar() -> Path:
    """The Nu HTML checker, to be run with java."""
    bench.program("java", "default-jre-headless")
    return bench.of_npm("vnu-jar/build/dist/vnu.jar")


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter) -> None:
    """Say loudly which tests were left out, and why."""
    reasons = Counter[str]()
    for report in terminalreporter.stats.get("skipped", []):
        reason = report.longrepr[2] if isinstance(report.longrepr, tuple) else ""
        if LEFT_OUT in reason:
            reasons[reason.split(LEFT_OUT, 1)[1]] += 1
    if reasons:
        terminalreporter.section("NOT TRIED IN A BROWSER", sep="!", red=True, bold=True)
        for reason, count in sorted(reasons.items()):
            terminalreporter.line(f"{count} {'test' if count == 1 else 'tests'} left out: {reason}", red=True)


def _build(folder: Path) -> None:
    from yokebook.reference import report
    from yokebook.reference.assembling import assembled
    from yokebook.site.build import build

    reference = assembled(copy_unapproved_demo(folder / "department"))
    assert not reference.problems.stops_the_build, report.as_text(reference.problems, reference.lines_of)
    failure = build(reference, folder / "site")
    assert failure is None, failure
