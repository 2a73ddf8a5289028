"""What we take from the host's theme and what we put in its place: neither changes without being looked at."""

from __future__ import annotations

from hashlib import sha256
from importlib.resources import files
from pathlib import Path

import pytest

from demo_site import ROOT
from standing_site import DRAFT
from yokebook.reference.whole import work_out
from yokebook.site.build import build

OURS = ROOT / "site_templates" / "theme"
THEIRS = Path(str(files("material") / "templates"))

OVERRIDDEN = {
    "main.html": "9948b55a7bc979c35825df99baba9e6971fca4eb298dea3cdde61e990a2de5e0",
}
"""Each template of the theme that one of ours stands in for, with the SHA-256 of the theme's own."""
REPLACED_WITH_IT = {
    "base.html": "a919e32d2225e09ecbdeb8076ca6ce9ca0836329760bf7871a04172569b77842",
}
"""What the theme's main.html is an extension of, and ours is not: a change of it may be one that our pages need too."""
SHIPPED: dict[str, str] = {}
"""Each file of the theme that a page loads, with its SHA-256: none."""
KINDS = {".css", ".js", ".map", ".svg", ".png", ".woff", ".woff2", ".ico"}
HOLDS_DATA = {"search_index.js"}
"""Scripts that the build writes: data of the site, and nothing that acts."""


def digest(path: Path) -> str:
    return sha256(path.read_bytes()).hexdigest()


@pytest.mark.parametrize("name", [*OVERRIDDEN, *REPLACED_WITH_IT])
def test_the_theme_s_own_template_is_the_one_that_ours_was_written_against(name: str) -> None:
    """Where the theme changes a template that we replace, someone reads the change before it goes on."""
    known = OVERRIDDEN | REPLACED_WITH_IT
    assert known[name] == digest(THEIRS / name), (
        f"The theme's {name} has changed. Read what changed (compare the two versions of the package), take into "
        f"site_templates/theme/main.html what our pages need of it, look at the pages, then write the new SHA-256 here."
    )


def test_the_list_of_overridden_templates_is_complete() -> None:
    """Whatever bears the name of a template of the theme stands in for it."""
    both = {
        path.relative_to(OURS).as_posix()
        for path in OURS.rglob("*")
        if path.is_file() and (THEIRS / path.relative_to(OURS)).exists()
    }
    assert set(OVERRIDDEN) == both


def test_our_templates_use_none_of_the_theme_s() -> None:
    """Each template that ours include is ours: the theme can go without our pages changing."""
    for path in OURS.rglob("*.html"):
        text = path.read_text(encoding="utf-8")
        assert "{% extends" not in text, path
        for part in text.split('include "')[1:] + text.split("include '")[1:]:
            assert (OURS / part.replace("'", '"').split('"')[0]).is_file(), path


def test_a_site_holds_no_style_script_or_image_but_ours(tmp_path: Path) -> None:
    """Not one of the theme's files is published save those listed; ours are there byte for byte."""
    assert build(work_out(ROOT), tmp_path / "site") is None
    pages = tmp_path / "site" / DRAFT
    found = {path.relative_to(pages).as_posix(): digest(path) for path in pages.rglob("*") if path.suffix in KINDS}
    ours = {f"assets/{path.name}": digest(path) for path in (OURS / "assets").iterdir()}
    assert ours | SHIPPED == {path: value for path, value in found.items() if path not in HOLDS_DATA}
