"""Puts the finished HTML of each call in the place of its token, after Markdown has run.

Each token must stand exactly once, and where a reader meets text: not in code, a heading, a link, an attribute or a
comment; a table alone in its paragraph. So a table is the same HTML wherever it stands.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from yokebook.errors import Level, Problem
from yokebook.pages.rendered import ATTRIBUTE, CODE, HEADING, LINK, Rendered, Spot
from yokebook.pages.tokens import token
from yokebook.templates import render

_VALUE = "Change the cylinder at {{ department.keep_back }} or sooner."
_TABLE = '{{ reserve_table(cylinder="oxygen-e", machine="theatre-1", uses=["bellows"]) }}'
_ALONE = f"Words before it.\n\n{_TABLE}\n\nWords after it."
_IN_STEP = f"1.  Look the time up.\n\n    {_TABLE}\n\n2.  Next step."
# What to do about a call that stands where none can: what is allowed, and an example.
_INSTEAD = {
    CODE: ("a line without spaces before the call; within a step of a list, four spaces", _IN_STEP),
    HEADING: ("the heading without it, and the value in a sentence below", f"## When to change\n\n{_VALUE}"),
    LINK: ("the link without it, and the value beside the link", f"{_VALUE} See [the steps](#steps)."),
    ATTRIBUTE: ("words without a call there, and the value in the text", _VALUE),
}  # fmt: skip
_ANYWHERE = ("a value in a sentence; a table alone in its paragraph, with an empty line before and after", _VALUE)


@dataclass(frozen=True)
class Piece:
    """What one call gives a page: its HTML, whether that is a block, what goes to the page's end, the call's place.

    `is_block` is None for a call that gave nothing: where it stands is checked all the same.
    """

    html: str
    is_block: bool | None
    at_end: str
    line: int
    column: int
    written: str


def place(html: str, pieces: Sequence[Piece]) -> str:
    """Return a page's HTML with each token replaced by its piece, none of which is `misplaced`.

    Braces that the author shows as code are written as entities, so that no page holds what looks like a call.
    """
    html = html.replace("{{", "&#123;&#123;").replace("}}", "&#125;&#125;")
    placed = {_alone(number) if piece.is_block else token(number): piece.html for number, piece in enumerate(pieces)}
    if placed:
        html = re.sub("|".join(placed), lambda found: placed[found.group()], html)
    return html + _workings([piece.at_end for piece in pieces if piece.at_end])


def misplaced(html: str, rendered: Rendered, pieces: Sequence[Piece], file: str) -> Iterator[Problem]:
    """Yield a problem for each call that stands where its piece cannot."""
    for number, piece in enumerate(pieces):
        spot = rendered.spot(token(number))
        if spot.refused:
            yield _misplaced(file, piece, spot.refused, *_INSTEAD.get(spot.refused, _ANYWHERE))
        elif piece.is_block and _alone(number) not in html:
            yield _misplaced(file, piece, *_in_line(spot))


def _alone(number: int) -> str:
    return f"<p>{token(number)}</p>"


def _in_line(spot: Spot) -> tuple[str, str, str]:
    """Return where a table stands that is not alone in its paragraph, what is allowed, and an example."""
    around = spot.within[-1] if spot.within else ""
    if around in ("td", "th"):
        return "in a cell of a table, though it gives a table", "the call below the table; a value in a cell", _ALONE
    if around in ("li", "dd"):
        allowed = "the words of the step, an empty line, then the call, indented by four spaces"
        return "right behind the mark of a list item, though it gives a table", allowed, _IN_STEP
    allowed = "a table alone in its paragraph, with an empty line before and after"
    return "in a line with other text, though it gives a table", allowed, _ALONE


def _workings(workings: list[str]) -> str:
    return "\n" + render("workings_at_end.html", workings=workings) if workings else ""


def _misplaced(file: str, piece: Piece, where: str, allowed: str, example: str) -> Problem:
    return Problem(
        file,
        piece.line,
        piece.column,
        Level.ERROR,
        "E509",
        f"this call stands {where}",
        written=piece.written,
        allowed=allowed,
        example=example,
    )
