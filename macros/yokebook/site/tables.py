"""Tables that authors write, made fit for a narrow screen and for a page that allows no style in its HTML."""

from __future__ import annotations

import re
from html import escape, unescape

_PART = re.compile(
    r"<h[1-6]\b[^>]*>(?P<heading>.*?)</h[1-6]>"
    r'|(?P<region><div class="yb-table[ "][^>]*>\s*<table\b)'
    r"|(?P<table><table\b(?![^>]*\byb-numbers\b)[^>]*>.*?</table>)",
    re.DOTALL,
)
_ALIGNED = re.compile(r'<(t[hd])\b([^>]*?) style="text-align: (left|right|center);"')
_IS_FILLED_IN = re.compile(r"<td\b[^>]*>\s*</td>")
_CLASSES = {"left": "", "right": ' class="yb-right"', "center": ' class="yb-centre"'}


def in_regions(html: str) -> str:
    """Return a page's HTML with each table of its author's in a region of its own, named after its heading.

    A wide table then scrolls within its region, by keyboard too, and the page does not. A table that a call gave is in
    its region already, or is part of a working.

    >>> in_regions('<h2 id="r">Record</h2><table><tr><td style="text-align: right;">1</td></tr></table>')
    '<h2 id="r">Record</h2><div class="yb-table" role="region" aria-label="Table: Record" tabindex="0"><table><tr><td class="yb-right">1</td></tr></table></div>'
    """  # noqa: E501  # the example is one line of HTML
    heading = ""

    def wrapped(part: re.Match[str]) -> str:
        nonlocal heading
        if part["heading"] is not None:
            heading = unescape(re.sub(r"<[^>]*>", "", part["heading"])).strip()
        if part["table"] is None:
            return part[0]
        name = escape(f"Table: {heading}" if heading else "Table")
        return f'<div class="yb-table" role="region" aria-label="{name}" tabindex="0">{_styled(part["table"])}</div>'

    return _PART.sub(wrapped, html)


def _styled(table: str) -> str:
    if table.startswith("<table>") and _IS_FILLED_IN.search(table):
        # Who fills it in by hand needs the whole width of a sheet; a table with a class of its own has its own room.
        table = table.replace("<table>", '<table class="yb-form">', 1)
    return _ALIGNED.sub(lambda found: f"<{found[1]}{found[2]}{_CLASSES[found[3]]}", table)
