"""Marks that a word processor or a hurried hand leaves, and Markdown does not take for a list or a heading."""

from __future__ import annotations

import re
from collections.abc import Iterator
from itertools import takewhile

from yokebook.errors import Level, Problem
from yokebook.pages.places import Places

_QUOTE = r"[ \t]*(?:>[ \t]?)*"
# Signs of word processors; a dash with a space behind it; a hyphen or a star at a word; a number and its point at a
# word; and letters or numbers with a bracket, where more than one follow.
_BULLET = r"[•‣·◦∙⁃▪▫■□●○➢➤►▶✓✔\uf0a7\uf0b7](?=[ \t\u00a0]*\S)|[o§](?=\t)"
_DASH = r"[–—](?=[ \t\u00a0]+\S)"
_JOINED = r"-(?=[A-Za-z])|\*(?=[A-Za-z])|[0-9]{1,2}[.)](?=[A-Z][a-z])"
_LETTERED = r"(?:[a-z]|[ivx]{2,4})[.)](?=[ \t]+\S)|\([0-9a-z]{1,2}\)(?=[ \t]+\S)"
_MARKED = re.compile(
    rf"{_QUOTE}(?:(?P<bullet>{_BULLET})|(?P<dash>{_DASH})|(?P<joined>{_JOINED})|(?P<lettered>{_LETTERED}))"
)
_EMPTY = re.compile(rf"{_QUOTE}$")
_HEADING = re.compile(rf"^{_QUOTE}(?P<mark>#{{1,6}})(?=[^\s#{{])", re.MULTILINE)
_ENDS_EMPHASIS = re.compile(r"\S\*")
_COMMENT = re.compile(r"<!--.*?-->", re.DOTALL)
_LIST = "-   first thing\n-   second thing"


def look_for(masked: str, places: Places) -> Iterator[Problem]:
    """Yield a warning at each list and heading that Markdown does not see as one; calls and code are masked.

    >>> text = "Have ready:\\n• key\\n• washer\\n\\n#Steps\\n\\nA line\\n– and more of it."
    >>> [(problem.line, problem.written) for problem in look_for(text, Places("page.md", text, 1))]
    [(2, '•'), (5, '#')]
    """
    text = _COMMENT.sub(lambda comment: re.sub(r"[^\n]", " ", comment.group()), masked)
    yield from _lists(text, places)
    for found in _HEADING.finditer(text):
        mark = found["mark"]
        wrong = f"a space is missing after {mark}, so that this may be no heading, but text that begins with {mark}"
        allowed = "a space between the signs and the words of a heading"
        yield _warning(places, found.start("mark"), "W814", wrong, mark, allowed, f"{mark} Changing the cylinder")


def _lists(text: str, places: Places) -> Iterator[Problem]:
    lines = text.split("\n")
    found = [_MARKED.match(line) for line in lines]
    start = 0
    for number, (line, mark) in enumerate(zip(lines, found, strict=True)):
        above = found[number - 1] if number else None
        is_begun = bool(above and mark and above.lastgroup == mark.lastgroup)
        if mark and not is_begun and _is_list(mark, number, lines, found):
            sign = mark[mark.lastgroup or 0]
            yield _warning(
                places,
                start + mark.start(mark.lastgroup or 0),
                "W813",
                "this is no mark of a list here: what begins so is printed as text, one behind the other",
                sign,
                "a hyphen and a space before each thing, or a number, a point and a space before each step; an empty "
                "line above the first",
                "1.  First step\n2.  Second step" if sign[0].isalnum() else _LIST,
            )
        start += len(line) + 1


def _is_list(mark: re.Match[str], number: int, lines: list[str], found: list[re.Match[str] | None]) -> bool:
    """Return whether a line begins what its author meant as a list; a dash may go on with a sentence, as a word may."""
    if mark.lastgroup == "bullet":
        return True
    if mark["joined"] == "*" and _ENDS_EMPHASIS.search(_paragraph(lines, number)):
        return False
    below = found[number + 1] if number + 1 < len(lines) else None
    has_next = bool(below and below.lastgroup == mark.lastgroup)
    begins = not number or bool(_EMPTY.match(lines[number - 1])) or lines[number - 1].rstrip().endswith(":")
    return has_next if mark.lastgroup == "lettered" else begins or has_next


def _paragraph(lines: list[str], number: int) -> str:
    """Return the text from a line to the next empty one."""
    return "\n".join(takewhile(lambda line: not _EMPTY.match(line), lines[number:]))


def _warning(places: Places, offset: int, code: str, wrong: str, written: str, allowed: str, example: str) -> Problem:
    return Problem(places.file, *places.of(offset), Level.WARNING, code, wrong, written, allowed, example)
