"""The list of Markdown extensions: one list, ours, used with and without the host."""

from __future__ import annotations

from dataclasses import dataclass
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


@dataclass(frozen=True)
class Rendering:
    """What Markdown makes of a text: its HTML, and its headings as the library nests them.

    A heading has level, id, name and children.
    """

    html: str
    headings: list[dict[str, Any]]


def render(text: str) -> Rendering:
    """Return Markdown as HTML with our extensions; each text on its own, whatever was rendered before."""
    converter = _converter().reset()
    return Rendering(str(converter.convert(text)), converter.toc_tokens)


def to_html(text: str) -> str:
    """Return the HTML of a text, where its headings do not matter."""
    return render(text).html


@cache
def _converter() -> Any:
    from markdown import Markdown

    return Markdown(extensions=list(EXTENSIONS), extension_configs=SETTINGS, output_format="html")
