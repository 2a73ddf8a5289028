"""Words of an author that turn the bound of a value round: "below 70 bar or more" says the opposite of its meaning."""

from __future__ import annotations

import html
import re
from collections.abc import Iterator, Sequence

from yokebook.errors import Level, Problem
from yokebook.pages.placing import Piece
from yokebook.pages.tokens import token

_STATES = r"(?:reads|shows|says|stands at|is at|is)"
# What asks for one reading or for less of it, so that a bound behind it turns it round.
_BEFORE = re.compile(
    r"\b(?P<words>at|at most|up to|(?:no|not) more than|less than|lower than|fewer than|smaller than|short of|below"
    rf"|under|beneath|within|until it {_STATES}|before it {_STATES}|(?:as soon as|once|when|if) it {_STATES}"
    r"|(?:falls?|falling|fell|fallen|sinks?|sinking|sunk|drops?|dropped|goes|gone|comes|come|gets|got|down) to)\s*$",
    re.IGNORECASE,
)
_AFTER = re.compile(r"^\s*(?P<words>or (?:less|fewer|lower|below|under|sooner)|at (?:the )?most)\b", re.IGNORECASE)
_OR_MORE = re.compile(r"^\s*or (?:more|above|higher)\b", re.IGNORECASE)
_BEGINS, _ENDS = ("at least", "more than"), "or more"
# What a reader sees as the end of a sentence's words: the tag of any element but those within a line.
_BLOCK = re.compile(r"</?(?!(?:a|abbr|b|code|em|i|kbd|mark|s|small|span|strong|sub|sup|u)\b)[A-Za-z][^<>]*>")
_TAG = re.compile(r"<[^<>]*>")


def turned_round(page: str, pieces: Sequence[Piece], shown: Sequence[str], file: str) -> Iterator[Problem]:
    """Yield a warning for each value of a page whose bound an author's words turn round.

    `page` is the page's HTML with a token for each call, `shown` what each call shows in its sentence, "" for a block.
    """
    for number, (piece, text) in enumerate(zip(pieces, shown, strict=True)):
        before, _, after = page.partition(token(number))
        told = text.replace("\u00a0", " ")
        follows = _read(_BLOCK.split(after, maxsplit=1)[0])
        or_more = _OR_MORE.match(follows) if told else None
        if not (told.startswith(_BEGINS) or told.endswith(_ENDS) or or_more):
            continue
        turning = _BEFORE.search(_read(_BLOCK.split(before)[-1])) or _AFTER.match(follows)
        if turning:
            yield _problem(piece, told + (or_more.group() if or_more else ""), turning["words"], file)


def _read(piece: str) -> str:
    """Return a piece of HTML as a reader reads it: no tags, single spaces."""
    return re.sub(r"\s+", " ", html.unescape(_TAG.sub("", piece)))


def _problem(piece: Piece, told: str, words: str, file: str) -> Problem:
    return Problem(
        file,
        piece.line,
        piece.column,
        Level.WARNING,
        "W780",
        f'"{words}" beside "{told}" may say the opposite of what is meant',
        written=piece.written,
        allowed='a bare reading after such words, without or_more; before "at least" and "more than" no such word',
        example='Change before it reads below {{ change_at(cylinder="oxygen-e", machine="theatre-1", use="bellows", '
        'time="15 min") }}.',
    )
