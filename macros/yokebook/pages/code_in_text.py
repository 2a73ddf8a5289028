"""Where Markdown takes an author's text for code: fenced blocks and code spans, found as the library finds them."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass

# Only at the start of a line: the library knows no fence within a list or a quote.
_FENCE = re.compile(
    r"""^(?P<marks>`{3,}|~{3,})[ \t]*(?:\{[^{}\n]*\}|\.?[\w#.+-]*[ \t]*(?:hl_lines=(?:"[^"\n]*"|'[^'\n]*')[ \t]*)?)$""",
    re.MULTILINE,
)
# What ends the text in which a code span may close: an empty line (of a quote, too), a list item, a heading.
_BREAK = re.compile(r"\n(?=[ \t>]*(?:\n|\Z|(?:[*+-]|[0-9]+\.)[ \t]|#))")
_RUN = re.compile(r"`+")


@dataclass(frozen=True)
class Fence:
    """A fenced block from the first sign of its opening line to the last of its closing one; None where none closes."""

    start: int
    end: int | None


def fences(text: str) -> Iterator[Fence]:
    """Yield the fenced blocks of a text; after one that is not closed, none is looked for."""
    at = 0
    while found := _FENCE.search(text, at):
        closing = re.compile(rf"^{found['marks']}[ \t]*$", re.MULTILINE).search(text, found.end() + 1)
        yield Fence(found.start(), closing.end() if closing else None)
        if not closing:
            return
        at = closing.end()


def paragraph_end(text: str, at: int) -> int:
    """Return where the paragraph, list item or heading ends in which an offset lies."""
    found = _BREAK.search(text, at)
    return found.start() if found else len(text)


def span_end(text: str, start: int, end: int) -> int | None:
    """Return where the code span ends that a run of backticks at `start` opens, None where it opens none.

    `end` is where its paragraph ends. As in the library, an opening run without its equal opens a span with as many of
    its backticks as the longest shorter run has; the rest is text before it.
    """
    opening = _RUN.match(text, start)
    assert opening is not None
    wanted = len(opening.group())
    longest, after = 0, 0
    for run in _RUN.finditer(text, opening.end(), end):
        length = len(run.group())
        if length == wanted:
            return run.end()
        if length > longest:
            longest, after = length, run.end()
    return after if 0 < longest < wanted else None


def is_escaped(text: str, at: int) -> bool:
    r"""Return whether an odd number of backslashes stands before an offset.

    >>> is_escaped(r"\`", 1), is_escaped(r"\\`", 2)
    (True, False)
    """
    start = at
    while start and text[start - 1] == "\\":
        start -= 1
    return (at - start) % 2 == 1
