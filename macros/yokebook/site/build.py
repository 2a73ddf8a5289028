"""Builds the site beside the old one and swaps it in, so that a build that fails leaves the old site whole."""

from __future__ import annotations

import logging
import os
from pathlib import Path

from yokebook.errors import Level, Problem
from yokebook.files import empty_beside, swap_in
from yokebook.reference.whole import CONFIG, Reference

DEFAULT_FOLDER = "site"


def build(reference: Reference, into: Path) -> Problem | None:
    """Build the worked reference into the folder `into`; return None, or the problem that kept the old site."""
    os.environ["NO_MKDOCS_2_WARNING"] = "1"
    from mkdocs.commands.build import build as host_build
    from mkdocs.config import load_config
    from mkdocs.exceptions import Abort, MkDocsException

    from yokebook.site.plugin import YokebookPlugin

    beside = empty_beside(into)
    warnings = _Warnings()
    logging.getLogger("mkdocs").addHandler(warnings)
    try:
        config = load_config(str(reference.folder / CONFIG), site_dir=str(beside), strict=True)
        plugin = config.plugins.get("yokebook")
        if not isinstance(plugin, YokebookPlugin):
            return _failed("the list of plugins has no line - yokebook")
        plugin.reference = reference
        config.plugins.run_event("startup", command="build", dirty=False)
        host_build(config)
    except (Abort, MkDocsException) as error:
        return _failed("; ".join(warnings.told) or f"the host says: {error}")
    finally:
        logging.getLogger("mkdocs").removeHandler(warnings)
    swap_in(beside, into)
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
        example="plugins:\n- search\n- yokebook",
    )
