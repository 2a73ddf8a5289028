"""A page's HTML with its pieces in place, and the problem of each that cannot stand where its call does."""

from __future__ import annotations

from collections.abc import Sequence

from yokebook.errors import Problem
from yokebook.pages.placing import Piece, misplaced, place
from yokebook.pages.rendered import read_html


def placed_or_refused(html: str, pieces: Sequence[Piece], file: str) -> tuple[str, list[Problem]]:
    """Return both, for one page that Markdown has laid out."""
    return place(html, pieces), list(misplaced(html, read_html(html), pieces, file))
