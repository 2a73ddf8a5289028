"""The sheets of a machine card: one for each registered copy, each with its foot: which copy of which issue it is."""

from __future__ import annotations

import re
from collections.abc import Sequence

from yokebook.control.cards import Card
from yokebook.site.page_context import PageContext
from yokebook.templates import render

_CARD = re.compile(r'<section class="yb-card (?P<size>[\w-]+)"(?P<rest>.*?)</section>\s*', re.DOTALL)
_FOOT = '<div class="yb-card__foot"></div>'


def on_sheets(html: str, page: PageContext, copies: Sequence[Card]) -> str:
    """Return a page's HTML with each card on one sheet a registered copy, or on one that is no controlled copy.

    Outside an edition nothing is a controlled copy. On a screen only the first sheet is seen.
    """
    printed = tuple(copies) if page.edition.number and copies else (None,)

    def sheets(card: re.Match[str]) -> str:
        return "".join(_sheet(card, page, copy, is_first=number == 0) for number, copy in enumerate(printed))

    return _CARD.sub(sheets, html)


def _sheet(card: re.Match[str], page: PageContext, copy: Card | None, *, is_first: bool) -> str:
    classes = f"yb-card {card['size']}" + ("" if is_first else " yb-card--copy")
    foot = render("card_foot.html", page=page, standing=page.standing, edition=page.edition, copy=copy)
    return f'<section class="{classes}"{card["rest"].replace(_FOOT, foot)}</section>\n'
