"""Builds the site beside the old one and swaps it in, so that a build that fails leaves the old site whole."""

from __future__ import annotations

import logging
import os
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path
from typing import Literal

from yokebook.control import pointers
from yokebook.control.editions import FOLDER as EDITIONS
from yokebook.control.standing import DRAFT
from yokebook.errors import Level, Problem
from yokebook.files import empty_beside, not_written, recover, swap_in, write_whole
from yokebook.reference.layout import CONFIG, CONTENT
from yokebook.reference.whole import Reference
from yokebook.site import pdf

DEFAULT_FOLDER = "site"
Told = Callable[[str], None]
"""What is told, while PDFs are made, of each page."""
Command = Literal["build", "serve"]
"""What the host is told that the pages are for: to be kept, or for a preview, which puts its own script into each."""


def build(reference: Reference, into: Path, with_pdf: Told | None = None, command: Command = "build") -> Problem | None:
    """Build a draft into the folder `into`, laid out as what is published, or leave the old site as it was.

    Return None, or the problem that kept the old site. PDFs are made where somebody is told of them, in `with_pdf`.
    """
    try:
        if unfit := _unfit(into, reference.folder):
            return unfit
        beside = empty_beside(into)
        failure = _make(reference, beside / EDITIONS / reference.edition.folder, with_pdf, command)
        if failure:
            return failure
        for path, content in pointers.of_draft(reference.listed()).items():
            write_whole(beside / path, content)
        swap_in(beside, into)
    except OSError as error:
        with suppress(OSError):
            recover(into)
        return not_written(into, error, "yokebook build --into draft")
    return None


def _unfit(into: Path, department: Path) -> Problem | None:
    """Return why a draft cannot take the place of a folder: what lies there would be lost with it."""
    into, department = into.resolve(), department.resolve()
    wrong = ""
    if into.is_file():
        wrong = "this is a file"
    elif department.is_relative_to(into) or into.is_relative_to(department / CONTENT):
        wrong = "the department's own pages and data lie here"
    elif into.exists() and any(into.iterdir()) and not _is_draft(into):
        wrong = "it holds something that is no draft which build made, and a draft takes the place of all that is there"
    if not wrong:
        return None
    allowed = "a folder that is not there yet, an empty one, or one that build made"
    return Problem(into.as_posix(), 0, 0, Level.ERROR, "E610", wrong, allowed=allowed, example="--into draft")


def _is_draft(folder: Path) -> bool:
    """Return whether a folder is laid out as build leaves it, and nothing else lies in it."""
    names = {path.name for path in folder.iterdir()}
    laid_out = {path.partition("/")[0] for path in pointers.of_draft({})} | {EDITIONS, pointers.GO}
    return names <= laid_out and [DRAFT.folder] == [path.name for path in (folder / EDITIONS).glob("*")]


def build_edition(
    reference: Reference, folder: Path, with_pdf: Told | None = None, command: Command = "build"
) -> Problem | None:
    """Build the pages of one edition into a folder that is not there yet; return None, or the problem that arose."""
    try:
        return _make(reference, folder, with_pdf, command)
    except OSError as error:
        return not_written(folder, error)


def _make(reference: Reference, folder: Path, with_pdf: Told | None, command: Command) -> Problem | None:
    """Make the pages of one edition, and the PDFs of them. Raises OSError where the disk refuses."""
    if with_pdf and (missing := pdf.why_not()):
        return missing
    try:
        failure = _build_pages(reference, folder, command, has_pdf=with_pdf is not None)
        if not failure and with_pdf:
            pdf.write_pdfs(folder, pdf.pages_of(reference), pdf.title_of(reference), with_pdf)
    except Exception as error:  # whatever it is, nothing is published and no traceback told
        if isinstance(error, OSError) and error.errno is not None:  # jinja's own, of a missing template, has no number
            raise
        return _failed(f"the program failed ({type(error).__name__}: {error}); this is no mistake of yours")
    return failure


def _build_pages(reference: Reference, folder: Path, command: Command, *, has_pdf: bool) -> Problem | None:
    os.environ["NO_MKDOCS_2_WARNING"] = "1"
    from mkdocs.commands.build import build as host_build
    from mkdocs.config import load_config
    from mkdocs.exceptions import Abort, MkDocsException

    from yokebook.site.plugin import YokebookPlugin

    warnings = _Warnings()
    logging.getLogger("mkdocs").addHandler(warnings)
    try:
        config = load_config(str(reference.folder / CONFIG), site_dir=str(folder), strict=True)
        plugin = config.plugins.get("yokebook")
        if not isinstance(plugin, YokebookPlugin):
            return _failed("the list of plugins has no line - yokebook")
        plugin.reference, plugin.has_pdf = reference, has_pdf
        config.plugins.run_event("startup", command=command, dirty=False)
        host_build(config)
    except (Abort, MkDocsException) as error:
        return _failed("; ".join(warnings.told) or f"the host says: {error}")
    finally:
        logging.getLogger("mkdocs").removeHandler(warnings)
    return None


class _Warnings(logging.Handler):
    """Gathers what the host warns of, which its strict build counts and does not repeat."""

    def __init__(self) -> None:
        super().__init__(logging.WARNING)
        self.told: list[str] = []

    def emit(self, record: logging.LogRecord) -> None:
        self.told.append(record.getMessage())


def _failed(wrong: str) -> Problem:
    return Problem(
        CONFIG,
        0,
        0,
        Level.ERROR,
        "E601",
        wrong,
        allowed="pages and a configuration that the host, mkdocs, builds without a warning",
        example="plugins:\n- yokebook",
    )
