"""The list of Markdown extensions: one list, ours, used with and without the host."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from hashlib import sha256
from importlib import metadata
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


_learnt: dict[str, Rendering] = {}
_asked: dict[str, Rendering] = {}


def render(text: str) -> Rendering:
    """Return Markdown as HTML with our extensions; each text on its own, whatever was rendered before."""
    key = sha256(text.encode()).hexdigest()
    found = _asked.get(key) or _learnt.get(key)
    if found is None:
        converter = _converter().reset()
        found = Rendering(str(converter.convert(text)), converter.toc_tokens)
    _asked[key] = found
    return found


def learn(kept: Mapping[str, Sequence[Any]]) -> None:
    """Begin a run with what an earlier one kept; the same text then gives the same without the library."""
    _asked.clear()
    _learnt.clear()
    _learnt.update({str(key): Rendering(str(html), list(headings)) for key, (html, headings) in kept.items()})


def kept() -> dict[str, tuple[str, list[dict[str, Any]]]]:
    """Return what this run rendered, by the SHA-256 of its text, for the next run to learn."""
    return {key: (found.html, found.headings) for key, found in sorted(_asked.items())}


def has_news() -> bool:
    """Return whether this run rendered other texts than it had learnt."""
    return _asked.keys() != _learnt.keys()


def version() -> str:
    """Return the versions of the libraries and what they are asked for: another one may render otherwise."""
    versions = [metadata.version(name) for name in ("Markdown", "pymdown-extensions")]
    return repr((versions, EXTENSIONS, SETTINGS))


def to_html(text: str) -> str:
    """Return the HTML of a text, where its headings do not matter."""
    return render(text).html


@cache
def _converter() -> Any:
    from markdown import Markdown

    return Markdown(extensions=list(EXTENSIONS), extension_configs=SETTINGS, output_format="html")
