"""What is read as one stands on one line: days, numbers of procedures and standards, machines, numbers with units."""

from __future__ import annotations

import re
from collections.abc import Collection

from yokebook.units import ANY_SPELLING

_LONGEST = 24
"""Letters of a value that fit beside each other on the narrowest screen; a longer one is broken between its words."""
_LEFT_ALONE = r"<(?P<element>svg|code|pre)\b.*?</(?P=element)>|<!--.*?-->"
_TAG = r"""<(?:"[^"]*"|'[^']*'|[^>"'])*>"""
_VALUE = r'<span class="yb-value">(?P<value>[^<]*)</span>'
_DAY_OR_NUMBER = r"[0-9]{4}-[0-9]{2}-[0-9]{2}|[A-Z]{2,6}-[0-9]{2,3}|ISO [0-9]+(?:-[0-9]+)?"
_WITH_UNIT = rf"[0-9]+(?:\.[0-9]+)? (?:{ANY_SPELLING})(?: [×÷] [0-9]+(?:\.[0-9]+)?)?"


def unbroken(html: str, machines: Collection[str] = ()) -> str:
    """Return a page's HTML in which no line ends within a day, a number and its unit, or a name of these machines.

    >>> unbroken("<p>theatre-1, due 2026-05-20, at 185 kPa × 100</p>", ["theatre-1"])
    '<p><span class="yb-whole">theatre-1</span>, due <span class="yb-whole">2026-05-20</span>, at <span class="yb-whole">185 kPa × 100</span></p>'
    >>> unbroken('<span class="yb-value">at least 290 L</span>')
    '<span class="yb-value yb-whole">at least 290 L</span>'
    """  # noqa: E501  # the example is one line of HTML
    names = "".join(f"|{re.escape(name)}" for name in sorted(machines, key=lambda name: (-len(name), name)))
    whole = rf"(?<![\w.-])(?P<whole>{_DAY_OR_NUMBER}|{_WITH_UNIT}{names})(?![\w-])"
    return re.sub(f"{_VALUE}|{_LEFT_ALONE}|{_TAG}|{whole}", _kept_whole, html, flags=re.DOTALL)


def _kept_whole(part: re.Match[str]) -> str:
    if part["whole"]:
        return f'<span class="yb-whole">{part["whole"]}</span>'
    if part["value"] and len(part["value"]) <= _LONGEST:
        return f'<span class="yb-value yb-whole">{part["value"]}</span>'
    return part[0]
