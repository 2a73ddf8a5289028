"""A bench on which pages are tried in real browsers, over file://, with a wall where the network would be."""

from __future__ import annotations

import os
import shutil
import socketserver
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any
from urllib.parse import urlsplit

import pytest
from playwright.sync_api import Browser, ConsoleMessage, Error, Page, Playwright, Request

NODE_MODULES = Path(__file__).parent / "browser" / "node_modules"
LEFT_OUT = "left out: "
HANGS_S = 120
"""How long anything is waited for before it counts as hanging: no measure, for a busy machine is slow."""
_WITH_APT = "apt-get install {}"
_WITH_NPM = "npm ci --prefix tests/browser --ignore-scripts"

# What a page's own events tell in both browsers, and only some of them on their consoles.
_WATCH = """
window.benchTroubles = [];
addEventListener("error", event => {
    if (event.target !== window) { benchTroubles.push("not loaded: " + (event.target.src || event.target.href)); }
}, true);
addEventListener("securitypolicyviolation", event => {
    benchTroubles.push("refused by " + event.violatedDirective + ": " + event.blockedURI + " " + event.sample);
}, true);
"""


def program(name: str, package: str = "") -> str:
    """Return the path of a program, or leave the test out where this machine has none; on CI that is a failure."""
    return found_or_left_out(shutil.which(name), name, _WITH_APT.format(package or name))


def of_npm(path: str) -> Path:
    """Return a file below the folder of npm's packages, or leave the test out."""
    file = NODE_MODULES / path
    return Path(found_or_left_out(str(file) if file.exists() else None, path.partition("/")[0], _WITH_NPM))


def found_or_left_out(found: str | None, what: str, install: str) -> str:
    """Return what was found; else fail where CI=true, and leave the test out elsewhere, saying what to install."""
    if found:
        return found
    reason = f"{LEFT_OUT}{what} is not on this machine; to have it: {install}"
    if os.environ.get("CI") == "true":
        pytest.fail(reason, pytrace=False)
    pytest.skip(reason)


class _Refuse(socketserver.StreamRequestHandler):
    """Writes down what was asked for and answers nothing."""

    def handle(self) -> None:
        line = self.rfile.readline().decode("latin-1").strip()
        assert isinstance(self.server, Wall)
        self.server.asked.append(line)


class Wall(socketserver.ThreadingTCPServer):
    """Stands where a browser looks for its proxy: whatever leaves the browser ends here."""

    daemon_threads = True

    def __init__(self) -> None:
        super().__init__(("127.0.0.1", 0), _Refuse)
        self.asked: list[str] = []

    @property
    def port(self) -> int:
        """The port at which it listens."""
        return int(self.server_address[1])


@contextmanager
def wall() -> Iterator[Wall]:
    """Put up a wall for as long as the block lasts."""
    with Wall() as server:
        thread = threading.Thread(target=server.serve_forever)
        thread.start()
        yield server
        server.shutdown()
        thread.join()


def launch_chromium(playwright: Playwright, behind: Wall) -> Browser:
    """Start Debian's Chromium behind the wall."""
    return _patient(
        playwright.chromium.launch(
            executable_path=program("chromium"),
            args=["--no-sandbox", "--disable-gpu", "--disable-background-networking"],
            proxy={"server": f"http://127.0.0.1:{behind.port}", "bypass": "<-loopback>"},
            timeout=HANGS_S * 1000,
        )
    )


def launch_firefox(playwright: Playwright, behind: Wall, *, scripts: bool = True) -> Browser:
    """Start Debian's Firefox behind the wall; `scripts` says whether pages may run any."""
    preferences: dict[str, str | float | bool] = {
        "javascript.enabled": scripts,
        "network.proxy.type": 1,
        "network.proxy.http": "127.0.0.1",
        "network.proxy.http_port": behind.port,
        "network.proxy.ssl": "127.0.0.1",
        "network.proxy.ssl_port": behind.port,
        "network.proxy.allow_hijacking_localhost": True,
        "network.proxy.no_proxies_on": "",
    }
    return _patient(
        playwright.firefox.launch(
            channel="moz-firefox",
            executable_path=program("firefox-esr"),
            firefox_user_prefs=preferences,
            timeout=HANGS_S * 1000,
        )
    )


def _patient(browser: Browser) -> Browser:
    """Let all that is opened in a browser wait as long as a busy machine may take."""

    def waiting(opened: Callable[..., Any]) -> Callable[..., Any]:
        def patiently(**options: Any) -> Any:
            made = opened(**options)
            made.set_default_timeout(HANGS_S * 1000)
            return made

        return patiently

    browser.new_context = waiting(browser.new_context)  # type: ignore[method-assign]
    browser.new_page = waiting(browser.new_page)  # type: ignore[method-assign]
    return browser


@dataclass
class Visit:
    """One tab on one page, and all that it asked for and complained of since it was opened."""

    page: Page
    asked: list[str] = field(default_factory=list)
    complaints: list[str] = field(default_factory=list)

    @property
    def left(self) -> list[str]:
        """The addresses that it asked for and that are no file on this machine: none, if all is well."""
        loaded = self.page.evaluate("performance.getEntriesByType('resource').map(entry => entry.name)")
        return sorted({url for url in (*self.asked, *loaded) if urlsplit(url).scheme not in ("file", "data")})

    @property
    def troubles(self) -> list[str]:
        """What the console, the page's scripts and its policy complained of: nothing, if all is well."""
        return [*self.complaints, *self.page.evaluate("window.benchTroubles || []")]


def open_visit(browser: Browser, url: str, **options: Any) -> Visit:
    """Open an address in a context of its own; `options` are those of Playwright's new_context."""
    context = browser.new_context(**options)
    if options.get("java_script_enabled", True):
        context.add_init_script(_WATCH)
    visit = Visit(context.new_page())
    visit.page.on("request", lambda request: visit.asked.append(_url(request)))
    visit.page.on("console", lambda message: _note(visit, message))
    visit.page.on("pageerror", lambda error: visit.complaints.append(str(error)))
    visit.page.goto(url)
    return visit


def close_visit(visit: Visit) -> None:
    """Close a visit's context; a browser that a test has closed already has none."""
    try:
        visit.page.context.close()
    except Error:
        return


def until(page: Page, expression: str, seconds: float = HANGS_S) -> None:
    """Wait until an expression holds in a page whose policy forbids what Playwright's own waiting would evaluate."""
    end = time.monotonic() + seconds
    while not page.evaluate(expression):
        assert time.monotonic() < end, f"not within {seconds} s: {expression}"
        page.wait_for_timeout(20)


def _url(request: Request) -> str:
    return request.url


def _note(visit: Visit, message: ConsoleMessage) -> None:
    if message.type in ("error", "warning"):
        visit.complaints.append(f"{message.type}: {message.text}")
