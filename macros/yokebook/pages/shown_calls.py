"""Calls that stand in code: a reader of a procedure sees their braces in the place of a number."""

from __future__ import annotations

import re
from collections.abc import Iterator

from yokebook.errors import Level, Problem
from yokebook.pages.places import Places
from yokebook.pages.scanner import Scanned

FOR_AUTHORS = "writing/"
"""Below the folder of pages: pages that tell authors how calls are written, and so show them."""
_CALL = re.compile(r"\{\{[ ]*[A-Za-z_]\w*[ ]*[.(\[][^{}\n]*\}\}")


def look_for(path: str, body: str, scanned: Scanned, places: Places) -> Iterator[Problem]:
    """Yield a warning at each call within code of a page; `path` is the page's below the folder of pages."""
    if path.startswith(FOR_AUTHORS):
        return
    for span in scanned.spans:
        if span.what != "code":
            continue
        for found in _CALL.finditer(body, span.start, span.end):
            yield Problem(
                places.file,
                *places.of(found.start()),
                Level.WARNING,
                "W812",
                "this call stands in code, so nothing is worked out: a reader sees it as it is written here",
                written=found.group(),
                allowed="the call without the backticks around it; pages that show calls to authors lie in "
                f"content/pages/{FOR_AUTHORS}",
                example=found.group(),
            )
