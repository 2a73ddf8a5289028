"""Styles and scripts that an old browser knows."""

from __future__ import annotations

import re
import subprocess
from pathlib import Path

import pytest

from demo_site import ROOT

HERE = Path(__file__).parent
ASSETS = ROOT / "site_templates" / "theme" / "assets"


def linted(tool: str, *files: Path) -> str:
    """Return what a checker says of some files; the lists of what each browser knows are those of caniuse and MDN."""
    command = [str(HERE / "node_modules/.bin" / tool), "--config", str(HERE / f"{tool}.config.mjs"), *map(str, files)]
    result = subprocess.run(command, cwd=files[0].parent, capture_output=True, text=True, check=False)
    return result.stdout + result.stderr


def test_our_styles_ask_for_nothing_newer_than_our_oldest_browsers(node_modules: Path) -> None:
    """Chromium 88 and Firefox 78 know all that our styles use."""
    assert "" == linted("stylelint", *sorted(ASSETS.glob("*.css")))


def test_our_scripts_ask_for_nothing_newer_than_our_oldest_browsers(node_modules: Path) -> None:
    """Chromium 88 and Firefox 78 know all that our scripts use, words of the language and functions."""
    assert "" == linted("eslint", *sorted(ASSETS.glob("*.js")))


UNLISTED = {
    "aspect-ratio": r"aspect-ratio\s*:",
    "focus-visible": r":focus-visible",
    "accent-color": r"accent-color\s*:",
    "text-wrap": r"text-wrap\s*:",
    "list in :not()": r":not\([^()]*,",
}
"""What the lists behind the checker do not tell apart by name, and Firefox 78 lacks (MDN, browser compatibility)."""


@pytest.mark.parametrize("what", UNLISTED)
def test_our_styles_do_without_what_the_checker_does_not_know(what: str) -> None:
    """Each is missing in Firefox 78."""
    for path in ASSETS.glob("*.css"):
        assert not re.search(UNLISTED[what], path.read_text(encoding="utf-8")), path


def test_the_checkers_find_what_is_planted(tmp_path: Path, node_modules: Path) -> None:
    """A selector and a function of a later day are found: the tests above are not blind."""
    css, script = tmp_path / "planted.css", tmp_path / "planted.js"
    css.write_text("a:has(b) { color: red; }\n", encoding="utf-8")
    script.write_text("window.y = structuredClone(window.x);\n", encoding="utf-8")
    assert "css-has" in linted("stylelint", css)
    assert "structuredClone is not supported" in linted("eslint", script)
    script.write_text("window.x ??= 1;\n", encoding="utf-8")
    assert "Parsing error" in linted("eslint", script)
