"""Folded parts of a page: open in its HTML, so that they are read without script and on paper; a script folds them."""

from __future__ import annotations

import re

FOLDED = "yb-folded"
_CLOSED = re.compile(r'<details(?: class="(?P<classes>[^"]*)")?>')


def opened(html: str) -> str:
    """Return a page's HTML with each closed part open, and marked as one to fold.

    No style opens a closed part in a browser older than 2024, and then what is folded away is lost on paper.

    >>> opened('<details class="note"><summary>Why</summary></details>')
    '<details class="note yb-folded" open><summary>Why</summary></details>'
    """
    return _CLOSED.sub(_open, html)


def _open(part: re.Match[str]) -> str:
    classes = " ".join(filter(None, (part["classes"], FOLDED)))
    return f'<details class="{classes}" open>'
