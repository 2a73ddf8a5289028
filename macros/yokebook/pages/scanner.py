"""Finds the calls in a page's Markdown, outside code, and sets a token for each.

In a fenced block and in a code span nothing is interpreted. What Markdown itself then makes of each token, and of all
braces that were left as code, is checked afterwards: where it does not see what was seen here, the page is refused.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Literal

from yokebook.errors import Problem, ProblemError
from yokebook.pages import code_in_text, limits
from yokebook.pages.places import Places
from yokebook.pages.syntax import Call, Lookup, Unread, parse
from yokebook.pages.tokens import RESERVED, token

_OPENING = re.compile(r"\{\{|\}\}|`+")
# A call ends at the first }} outside a quoted text; it begins no second one, and holds no empty line.
_CALL = re.compile(
    r"""\{\{(?:"(?:\\.|[^"\\\n])*"|'(?:\\.|[^'\\\n])*'|\}(?!\})|\{(?!\{)|\n(?![ \t>]*(?:\n|\Z))|[^{}"'\n])*?\}\}"""
)
# Where a closing quote is missing: to the first }} on the line, and the parser tells of the quote.
_ROUGHLY = re.compile(r"\{\{[^{}\n]*\}\}")
LONGEST = 4000
_EXAMPLE = "{{ department.keep_back }}"
MASK = "\ufffc"
FATAL = frozenset({"E568", "E572"})
"""Problems after which the rest of a page was not scanned, so that nothing more can be said of it."""


@dataclass(frozen=True)
class Span:
    """A piece of the author's text by its offsets, and what it is: a call, code, or braces that were told of."""

    start: int
    end: int
    what: Literal["call", "code", "slip"]


@dataclass(frozen=True)
class Scanned:
    """A page's text with tokens in the place of calls, the calls in page order, and where calls and code stand."""

    text: str
    calls: tuple[Call | Lookup | Unread, ...]
    spans: tuple[Span, ...] = ()

    def masked(self, body: str) -> str:
        """Return the author's text, of the same length, with calls, code and slips covered, their line ends too."""
        pieces: list[str] = []
        at = 0
        for span in self.spans:
            pieces += [body[at : span.start], MASK * (span.end - span.start)]
            at = span.end
        return "".join([*pieces, body[at:]])


def scan(text: str, file: str, *, first_line: int) -> tuple[Scanned, list[Problem]]:
    """Return a page's body with its calls found, and every problem in them.

    `text` has LF line ends and starts at line `first_line` of `file`. A call that is not understood has its token, too.
    """
    scanner = _Scanner(Places(file, text, first_line))
    at = 0
    for fence in code_in_text.fences(text):
        scanner.scan(at, fence.start)
        if fence.end is None:
            scanner.problems.append(_open_fence(scanner.places, fence.start))
        at = fence.end if fence.end is not None else len(text)
        scanner.spans.append(Span(fence.start, at, "code"))
    scanner.scan(at, len(text))
    reserved = RESERVED.search(text)
    if reserved:
        scanner.problems.append(_reserved(scanner.places, reserved))
    return scanner.scanned(), scanner.problems


class _Scanner:
    def __init__(self, places: Places) -> None:
        self.places = places
        self.calls: list[Call | Lookup | Unread] = []
        self.spans: list[Span] = []
        self.problems: list[Problem] = []
        self.unclosed_until = 0

    def scanned(self) -> Scanned:
        pieces: list[str] = []
        at = number = 0
        for span in self.spans:
            if span.what == "call":
                pieces += [self.places.text[at : span.start], token(number)]
                at = span.end
                number += 1
        return Scanned("".join([*pieces, self.places.text[at:]]), tuple(self.calls), tuple(self.spans))

    def scan(self, at: int, end: int) -> None:
        """Find calls and code spans between two offsets, where no fenced block stands."""
        text = self.places.text
        while (found := _OPENING.search(text, at, end)) and len(self.calls) <= limits.MOST_CALLS:
            if found.group() == "{{":
                at = self.call(found.start(), end)
            elif found.group() == "}}":
                self.stray(found.start())
                at = found.end()
            else:
                at = self.backticks(found, end)

    def backticks(self, found: re.Match[str], end: int) -> int:
        start = found.start() + code_in_text.is_escaped(self.places.text, found.start())
        if start == found.end():
            return start
        closing = code_in_text.span_end(
            self.places.text, start, min(end, code_in_text.paragraph_end(self.places.text, start))
        )
        if closing is not None:
            self.spans.append(Span(start, closing, "code"))
        return closing or found.end()

    def call(self, start: int, end: int) -> int:
        """Take in the call that opens at an offset; return where the text goes on."""
        text = self.places.text
        until = min(end, start + LONGEST)
        found = _CALL.match(text, start, until) or _ROUGHLY.match(text, start, until)
        if not found:
            return self.unclosed(start)
        if len(self.calls) == limits.MOST_CALLS:
            self.problems.append(_too_many(self.places, start))
        line, column = self.places.of(start + 2)
        try:
            self.calls.append(parse(found.group()[2:-2], self.places.file, line, column))
        except ProblemError as error:
            self.problems.extend(error.problems)
            self.calls.append(Unread(line, column))
        self.spans.append(Span(start, found.end(), "call"))
        return found.end()

    def unclosed(self, start: int) -> int:
        """Tell of an opening without its end, once in a paragraph: one slip can make others of the rest."""
        if start >= self.unclosed_until:
            self.unclosed_until = code_in_text.paragraph_end(self.places.text, start)
            self.problems.append(
                self.places.problem(
                    start,
                    "E507",
                    "the closing }} of this call is missing",
                    written="{{",
                    allowed=f"a call of at most {LONGEST} characters between {{{{ and }}}}, no empty line in it",
                    example=_EXAMPLE,
                )
            )
        self.spans.append(Span(start, start + 2, "slip"))
        return start + 2

    def stray(self, start: int) -> None:
        """Tell of an end without its opening, with the same reserve."""
        if start >= self.unclosed_until:
            self.unclosed_until = code_in_text.paragraph_end(self.places.text, start)
            self.problems.append(
                self.places.problem(
                    start,
                    "E573",
                    "these braces close a call that nothing opens",
                    written="}}",
                    allowed="two braces before a call and two after it",
                    example=_EXAMPLE,
                )
            )
        self.spans.append(Span(start, start + 2, "slip"))


def _open_fence(places: Places, start: int) -> Problem:
    marks = re.compile("`+|~+").match(places.text, start)
    assert marks is not None
    return places.problem(
        start,
        "E572",
        "the block of code that begins here is never closed",
        written=marks.group(),
        allowed="the same signs again, alone on the line after the code",
        example="```\ncode\n```",
    )


def _too_many(places: Places, start: int) -> Problem:
    return places.problem(
        start,
        "E568",
        f"this page holds more than {limits.MOST_CALLS} calls; this one and those after it were not read",
        written="{{",
        allowed=f"at most {limits.MOST_CALLS} calls on a page",
        example="several pages with links between them",
    )


def _reserved(places: Places, found: re.Match[str]) -> Problem:
    return places.problem(
        found.start(),
        "E508",
        "this word is kept for the program",
        written=found.group(),
        allowed="any other word",
        example="the call of Yokebook",
    )
