"""Names of authors' files that no edition can have: check warns of each, publishing refuses it."""

from __future__ import annotations

import re
from collections.abc import Iterator
from unicodedata import normalize

from yokebook.control import manifest
from yokebook.control.editions import FOLDER
from yokebook.control.standing import EditionMark
from yokebook.errors import Level, Problem
from yokebook.pages.addresses import page_address
from yokebook.reference.layout import PAGES
from yokebook.reference.whole import Reference

_FOLDER = f"{FOLDER}/{EditionMark(1).folder}"


def unfit_names(reference: Reference) -> Iterator[Problem]:
    """Yield a warning for each page, and each file that pages use, that could not be published under its name.

    Hidden files go into no edition, nor does what no page uses.
    """
    pages = reference.folder / PAGES
    for file in sorted(pages.rglob("*")):
        path = file.relative_to(pages).as_posix()
        if file.is_dir() or not (path.endswith(".md") or path in reference.used_files):
            continue
        if any(step.startswith(".") for step in path.split("/")):
            continue
        address = page_address(path) if path.endswith(".md") else path
        if why := manifest.unfit_name(f"{_FOLDER}/{address}"):
            wrong = f"this name cannot be published: {why}"
            allowed = f"{manifest.ALLOWED}; rename the file, and the links that lead to it"
            at = (f"{PAGES}/{path}", 0, 0)
            yield Problem(*at, Level.WARNING, "W774", wrong, allowed=allowed, example=fit_name(path))


def fit_name(path: str) -> str:
    """Return the path of a file made fit for an edition, as an example.

    >>> fit_name("gauge-#2.md"), fit_name("My Größe (new).PNG")
    ('gauge-2.md', 'my-grosse-new.png')
    """
    plain = normalize("NFKD", path.casefold()).encode("ascii", "ignore").decode("ascii")
    return re.sub(r"-*([./])-*", r"\1", re.sub("[^a-z0-9._/]+", "-", plain))
