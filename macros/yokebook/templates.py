"""The one door to jinja2, for our own templates only: authors' text never comes here except as an escaped value."""

from __future__ import annotations

from functools import cache
from importlib.resources import files
from pathlib import Path
from typing import Any


def folder() -> Path:
    """Return the folder of the templates: inside the installed package, or at the top of the source tree.

    An editable install does not place the wheel's forced files, so the source tree is looked at second.
    """
    package = Path(str(files("yokebook")))
    candidates = (package / "site_templates", package.parents[1] / "site_templates")
    return next(candidate for candidate in candidates if candidate.is_dir())


@cache
def _environment():  # type: ignore[no-untyped-def]  # jinja2 is imported only when something is rendered
    from jinja2 import Environment, FileSystemLoader, StrictUndefined

    return Environment(
        loader=FileSystemLoader(folder() / "yokebook"),
        undefined=StrictUndefined,
        autoescape=True,
        trim_blocks=True,
        lstrip_blocks=True,
        keep_trailing_newline=False,
    )


def render(name: str, **values: Any) -> str:
    """Return one of our templates filled with values; an unknown value is an error, never an empty place."""
    return str(_environment().get_template(name).render(**values))
