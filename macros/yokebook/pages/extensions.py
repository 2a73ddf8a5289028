"""The list of Markdown extensions: one list, ours, used with and without the host."""

from __future__ import annotations

from functools import cache
from typing import Any

EXTENSIONS: tuple[str, ...] = (
    "admonition",
    "attr_list",
    "def_list",
    "fenced_code",
    # A list begins with the number that its author typed, and never goes on as a list of the other kind.
    "sane_lists",
    "tables",
    "toc",
    "pymdownx.details",
)
SETTINGS: dict[str, dict[str, Any]] = {"toc": {"title": "On this page"}}


def to_html(text: str) -> str:
    """Return Markdown as HTML with our extensions; each text on its own, whatever was rendered before."""
    return str(_converter().reset().convert(text))


@cache
def _converter() -> Any:
    from markdown import Markdown

    return Markdown(extensions=list(EXTENSIONS), extension_configs=SETTINGS, output_format="html")
