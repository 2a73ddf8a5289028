"""Finds the calls in a page's Markdown, outside code, and sets a token for each.

Code is left as it is: in a fenced block and in a code span nothing is interpreted. What Markdown itself then makes of a
token's surroundings (an indented block, say) is checked afterwards, where the results are placed.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from yokebook.errors import Level, Problem, ProblemError
from yokebook.pages.syntax import Call, Lookup, parse

_FENCE = re.compile(r"^[ ]{0,3}(?P<marks>`{3,}|~{3,})")
_OPENING = re.compile(r"\{\{|`+")
LONGEST = 4000


@dataclass(frozen=True)
class Scanned:
    """A page's text with tokens in the place of calls, and the calls in page order."""

    text: str
    calls: tuple[Call | Lookup, ...]


def token(number: int) -> str:
    """Return the token of the n-th call of a page (from 0): letters only, so that Markdown leaves it alone.

    >>> token(0), token(27)
    ('yokebookcallaaaaq', 'yokebookcallaabbq')
    """
    letters = ""
    for _ in range(4):
        number, rest = divmod(number, 26)
        letters = chr(ord("a") + rest) + letters
    return f"yokebookcall{letters}q"


def scan(text: str, file: str, *, first_line: int) -> tuple[Scanned, list[Problem]]:
    """Return a page's body with its calls found, and every problem in them.

    `text` has LF line ends and starts at line `first_line` of `file`. A call that is not understood leaves no token.
    """
    problems: list[Problem] = []
    calls: list[Call | Lookup] = []
    pieces: list[str] = []
    for block, line, is_code in _blocks(text, first_line):
        pieces.append(block if is_code else _scan_block(block, line, file, calls, problems))
    if token(0)[:-5] in text:
        problems.append(_reserved(text, file, first_line))
    return Scanned("".join(pieces), tuple(calls)), problems


def _blocks(text: str, first_line: int) -> list[tuple[str, int, bool]]:
    """Cut a text into fenced code blocks and what stands between them: (text, line, is it code)."""
    blocks: list[tuple[str, int, bool]] = []
    fence = ""
    start = line = first_line
    gathered: list[str] = []
    for row in text.splitlines(keepends=True):
        found = _FENCE.match(row)
        opens = found is not None and not fence
        closes = bool(fence) and found is not None and row.strip().startswith(fence) and not row.strip().strip(fence[0])
        if opens and gathered:
            blocks.append(("".join(gathered), start, False))
            start, gathered = line, []
        gathered.append(row)
        line += 1
        if opens and found:
            fence = found["marks"]
        elif closes:
            blocks.append(("".join(gathered), start, True))
            start, gathered, fence = line, [], ""
    blocks.append(("".join(gathered), start, bool(fence)))
    return blocks


def _scan_block(block: str, line: int, file: str, calls: list[Call | Lookup], problems: list[Problem]) -> str:
    out: list[str] = []
    at = 0
    while found := _OPENING.search(block, at):
        out.append(block[at : found.start()])
        at = found.start()
        if found.group() != "{{":
            end = _end_of_code_span(block, found)
            out.append(block[at:end])
            at = end
            continue
        here = line + block.count("\n", 0, at)
        column = at - block.rfind("\n", 0, at)
        end = _end_of_call(block, at + 2)
        if end < 0:
            problems.append(_unclosed(file, here, column))
            at += 2
            continue
        try:
            calls.append(parse(block[at + 2 : end], file, here, column + 2))
            out.append(token(len(calls) - 1))
        except ProblemError as error:
            problems.extend(error.problems)
        at = end + 2
    out.append(block[at:])
    return "".join(out)


def _end_of_code_span(block: str, opening: re.Match[str]) -> int:
    """Return where a code span ends: after as many backticks as opened it, in its paragraph; else the run is text."""
    marks = opening.group()
    paragraph_end = block.find("\n\n", opening.end())
    closing = re.compile(rf"(?<!`){marks}(?!`)").search(
        block, opening.end(), paragraph_end if paragraph_end >= 0 else len(block)
    )
    return closing.end() if closing else opening.end()


def _end_of_call(block: str, start: int) -> int:
    """Return where }} closes a call, not counting one inside a quoted text; -1 where none does."""
    quote = ""
    for at in range(start, min(len(block), start + LONGEST)):
        sign = block[at]
        if quote:
            quote = "" if sign in (quote, "\n") and block[at - 1] != "\\" else quote
        elif sign in "\"'":
            quote = sign
        elif block.startswith("}}", at):
            return at
    return -1


def _unclosed(file: str, line: int, column: int) -> Problem:
    return Problem(
        file,
        line,
        column,
        Level.ERROR,
        "E507",
        "the closing }} of this call is missing",
        written="{{",
        allowed=f"a call of at most {LONGEST} characters between {{{{ and }}}}",
        example="{{ department.keep_back }}",
    )


def _reserved(text: str, file: str, first_line: int) -> Problem:
    word = token(0)[:-5]
    at = text.index(word)
    return Problem(
        file,
        first_line + text.count("\n", 0, at),
        at - text.rfind("\n", 0, at),
        Level.ERROR,
        "E508",
        "this word is kept for the program",
        written=word,
        allowed="any other word",
        example="the call of Yokebook",
    )
