"""Files below the folder of pages that no page uses: no approval covers them, so they are published nowhere."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path, PurePosixPath

from yokebook.errors import Level, Problem
from yokebook.pages.links import KINDS
from yokebook.reference.layout import PAGES
from yokebook.reference.whole import Reference

_OF_THE_SYSTEM = {"thumbs.db", "desktop.ini"}
"""Written by a file manager beside the files that it shows, and hidden from who uses it."""
_EXAMPLE = "[The poster](poster.pdf) on a page; or the file moved out of content/pages"


def unused_files(reference: Reference) -> Iterator[Problem]:
    """Yield a warning for each file that no page shows or links to; none where a page could not be read."""
    if reference.problems.stops_the_build:
        return
    for path in files_beside_pages(reference.folder / PAGES):
        if path not in reference.used_files and PurePosixPath(path).name.lower() not in _OF_THE_SYSTEM:
            wrong = "no page uses this file, so that nobody approves it: it is neither built nor published"
            allowed, example = f"a file that a page shows or links to, of the kinds {', '.join(KINDS)}", _EXAMPLE
            if ".md" in PurePosixPath(path).suffixes:
                allowed, example = "a page whose name ends in .md, where this is meant as one", fit_page_name(path)
            yield Problem(f"{PAGES}/{path}", 0, 0, Level.WARNING, "W810", wrong, allowed=allowed, example=example)


def files_beside_pages(folder: Path) -> Iterator[str]:
    """Yield each file below the folder of pages that is no page, by its path there; hidden ones are none."""
    for file in sorted(folder.rglob("*")):
        path = file.relative_to(folder).as_posix()
        if file.is_file() and not path.endswith(".md") and not any(step.startswith(".") for step in path.split("/")):
            yield path


def fit_page_name(path: str) -> str:
    """Return a path as that of a page.

    >>> fit_page_name("new-page.md.txt"), fit_page_name("plug.markdown"), fit_page_name("PLUG.MD")
    ('new-page.md', 'plug.md', 'PLUG.md')
    """
    return path[: path.lower().index(".m", path.rfind("/") + 1)] + ".md"
