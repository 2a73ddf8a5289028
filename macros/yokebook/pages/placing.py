"""Puts the finished HTML of each call in the place of its token, after Markdown has run.

Each token must stand exactly once, and where a reader meets text: not in code, a heading, a link, an attribute or a
comment; a table alone in its paragraph. So a table is the same HTML wherever it stands.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from html.parser import HTMLParser

from yokebook.errors import Level, Problem
from yokebook.pages.scanner import token
from yokebook.templates import render

_REFUSING = {
    "pre": "in code",
    "code": "in code",
    "a": "in a link",
    "title": "in a title",
    "h1": "in a heading",
    "h2": "in a heading",
    "h3": "in a heading",
    "h4": "in a heading",
    "h5": "in a heading",
    "h6": "in a heading",
}
_VOID = {"area", "base", "br", "col", "embed", "hr", "img", "input", "link", "meta", "source", "track", "wbr"}
_TOKEN = re.compile(r"yokebookcall[a-z]{4}q")


@dataclass(frozen=True)
class Piece:
    """What one call gives a page: its HTML, whether that is a block, what goes to the page's end, the call's place."""

    html: str
    is_block: bool
    at_end: str
    line: int
    column: int
    written: str


class _Surroundings(HTMLParser):
    """Notes, for each token, in which elements it stands, or that it stands where no text is."""

    def __init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self.open: list[str] = []
        self.found: dict[str, list[str]] = {}

    def note(self, text: str, where: str) -> None:
        for name in _TOKEN.findall(text):
            self.found.setdefault(name, []).append(where)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        for _, value in attrs:
            self.note(value or "", "in an attribute")
        if tag not in _VOID:
            self.open.append(tag)

    def handle_endtag(self, tag: str) -> None:
        if tag in self.open:
            del self.open[len(self.open) - 1 - self.open[::-1].index(tag) :]

    def handle_comment(self, data: str) -> None:
        self.note(data, "in a comment")

    def handle_data(self, data: str) -> None:
        self.note(data, next((_REFUSING[tag] for tag in self.open if tag in _REFUSING), ""))


def place(html: str, pieces: Sequence[Piece], file: str) -> tuple[str, list[Problem]]:
    """Return a page's HTML with each token replaced by its piece, and a problem for each that cannot stand there."""
    surroundings = _Surroundings()
    surroundings.feed(html)
    surroundings.close()
    problems: list[Problem] = []
    placed: dict[str, str] = {}
    for number, piece in enumerate(pieces):
        name = token(number)
        alone = f"<p>{name}</p>"
        refused = _refused(surroundings.found.get(name, []))
        if not refused and piece.is_block and alone not in html:
            refused = "in a line with other text, though it gives a table"
        if refused:
            problems.append(_misplaced(file, piece, refused))
        placed[alone if piece.is_block else name] = piece.html
    if placed:
        html = re.sub("|".join(placed), lambda found: placed[found.group()], html)
    return html + _workings([piece.at_end for piece in pieces if piece.at_end]), problems


def _workings(workings: list[str]) -> str:
    return "\n" + render("workings_at_end.html", workings=workings) if workings else ""


def _refused(where: list[str]) -> str:
    """Return where a token stands that no result can take the place of, "" where it can."""
    if "in a heading" in where:
        return "in a heading"
    if len(where) != 1:
        return "where Markdown shows no text, or shows it twice"
    return where[0]


def _misplaced(file: str, piece: Piece, where: str) -> Problem:
    return Problem(
        file,
        piece.line,
        piece.column,
        Level.ERROR,
        "E509",
        f"this call stands {where}",
        written=piece.written,
        allowed="a value in a sentence; a table alone in its paragraph, with an empty line before and after",
        example="Change the cylinder at {{ department.keep_back }} or sooner.",
    )
