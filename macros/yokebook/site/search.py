"""What the search of a built site knows: the words of each page under each of its headings, computed tables included.

It is a classic script, for a page read from a folder can load nothing else; it is loaded only when someone searches.
"""

from __future__ import annotations

import json
import re
from collections.abc import Mapping
from typing import Any

from yokebook.pages.addresses import page_address
from yokebook.pages.words import read_finished
from yokebook.reference.whole import Reference
from yokebook.site.navigation import place_on
from yokebook.site.shown import Shown

INDEX = "search_index.js"
_VARIABLE = "yokebookSearchIndex"
_HEADING = re.compile(r'<h[1-6]\b(?:[^>]*?\sid="(?P<anchor>[^"]*)")?[^>]*>(?P<words>.*?)</h[1-6]>', re.DOTALL)
_TAG = re.compile(r"<[^>]*>")
_OF_TABLES = {"cell", "head of a column or row"}
_BETWEEN_CELLS = " · "
_BRACES = str.maketrans({"{": None, "}": None})


def index_of(pages: Mapping[str, Shown], reference: Reference) -> str:
    """Return the script that holds the index of all pages that stand for themselves, in the order of their paths.

    Where the home page does not lead, as to what is for authors, comes last among equals.
    """
    home = pages["index.md"].html if "index.md" in pages else ""
    entries = [
        _entry(path, shown, reference) | {"last": path != "index.md" and place_on(home, page_address(path)) < 0}
        for path, shown in sorted(pages.items())
        if not shown.beside
    ]
    return f"var {_VARIABLE} = {json.dumps(entries, ensure_ascii=False, sort_keys=True, separators=(',', ':'))};\n"


def sections_of(html: str) -> list[list[str]]:
    """Return a page's words cut at its headings: of each part its anchor, its heading, its words; drawings left out.

    No brace is left in them: nothing that is published may look like a call that was left over.

    >>> sections_of('<h1>Plug</h1><p>One</p><h2 id="how">How</h2><table><tr><td>{{ 5 min }}</td><td>6</td></tr></table>')
    [['', 'Plug', 'One'], ['how', 'How', '5 min · 6']]
    """  # noqa: E501  # the example is one line of HTML
    anchors = [found["anchor"] or "" for found in _HEADING.finditer(html) if _TAG.sub("", found["words"]).strip()]
    sections = [["", "", ""]]
    for block in read_finished(html):
        text = " ".join(filter(None, block.text.translate(_BRACES).split(" ")))
        if block.kind == "heading":
            sections.append([anchors.pop(0), text, ""])
        elif block.kind != "drawing":
            between = _BETWEEN_CELLS if block.kind in _OF_TABLES else " "
            sections[-1][2] += between + text if sections[-1][2] else text
    return [section for section in sections if section[1] or section[2]]


def _entry(path: str, shown: Shown, reference: Reference) -> dict[str, Any]:
    worked = reference.pages.get(path)
    front = worked.page.front if worked else None
    return {
        "page": page_address(path),
        "title": shown.title,
        "code": (front.procedure or "") if front else "",
        "called": list(front.also_called) if front else [],
        "machines": [*front.machines, *map(reference.called, front.machines)] if front else [],
        "summary": (front.summary or "") if front else "",
        "sections": sections_of(shown.html),
    }
