"""Braces that are no call: single ones, which a reader would see as they stand."""

from __future__ import annotations

import re
from collections.abc import Iterator

from yokebook.pages.places import Places
from yokebook.pages.probes import Probe, Suspicion, unless_unread

# What begins like a call or a data value: a word, then a point or a bracket. The attributes of an element, which stand
# in single braces too, begin with a point, a colon or a hash, or go on with an equals sign.
_SINGLE = re.compile(r"\{%[^{}\n]*%\}|(?<!\{)\{[ ]*[A-Za-z_]\w*[ ]*(?:[.(]|\[[ ]*[\"'0-9])[^{}\n]*\}(?!\})")


def suspicions(masked: str, places: Places) -> Iterator[Suspicion]:
    """Yield each piece of a text in single braces that looks like a call; calls and code are masked.

    >>> from yokebook.pages.places import Places
    >>> text = "Keep { department.keep_back }; see ![](a.png){ width=80 } and {#here}."
    >>> [text[probe.start : probe.end] for probe, _ in suspicions(text, Places("page.md", text, 1))]
    ['{ department.keep_back }']
    """
    for found in _SINGLE.finditer(masked):
        problem = places.problem(
            found.start(),
            "E573",
            "a call stands in doubled braces; this is not worked out, and a reader sees it as it stands",
            written=found.group(),
            allowed="two braces before a call and two after it",
            example=f"{{{found.group()}}}" if "%" not in found.group() else "{{ department.keep_back }}",
        )
        yield unless_unread(Probe(found.start(), found.end()), problem)
