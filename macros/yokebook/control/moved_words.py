"""Words, word by word: which blocks of a page came, went or changed, and who says them."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass
from difflib import SequenceMatcher
from enum import StrEnum

from yokebook.control.paired_blocks import TOKEN, likeness, pair_blocks
from yokebook.words import COMPUTED, DRAWING, FINDER, Block

_BARE = re.compile(r"[0-9]+(?:\.[0-9]+)?")
_AN_AXIS = 3
"""So many bare numbers in a row, each above the one before, stand along an axis."""
_NOT_UNDER = ("heading", FINDER)
_WORDS_NEXT_TO_A_CHANGE = 8


class Said(StrEnum):
    """Whose words changed: the author's, the department's data's within a sentence, or those of the program's calls."""

    AUTHOR = "author"
    DATA = "data"
    PROGRAM = "program"


class Kind(StrEnum):
    """How a piece of text came to be."""

    SAME = "same"
    GONE = "gone"
    NEW = "new"


@dataclass(frozen=True)
class TextPiece:
    """A run of words that stayed, went or came."""

    kind: Kind
    text: str


@dataclass(frozen=True)
class WordChange:
    """One block that changed. `old` or `new` is None where the block came or went.

    `under` is the heading above it; `block` is its place among the new page's blocks (of one that went: of the block
    that stands there now).
    """

    kind: str
    under: str
    old: str | None
    new: str | None
    pieces: tuple[TextPiece, ...]
    said_by: Said
    block: int

    @property
    def where(self) -> str:
        """Where on the page it stands, in a reader's words."""
        what = {(True, False): " put in", (False, True): " taken out"}.get((self.old is None, self.new is None), "")
        kind = self.kind.capitalize() + what
        return f"{kind}, under “{self.under}”" if self.under and self.kind not in _NOT_UNDER else kind

    @property
    def as_text(self) -> str:
        """The words round what went, [-like this-], and what came, {+like this+}."""
        signs = {Kind.SAME: ("", ""), Kind.GONE: ("[-", "-]"), Kind.NEW: ("{+", "+}")}
        return "".join(f"{signs[piece.kind][0]}{piece.text}{signs[piece.kind][1]}" for piece in self.brief)

    @property
    def brief(self) -> tuple[TextPiece, ...]:
        """The pieces, each long run that stayed cut to the words next to what changed."""
        last = len(self.pieces) - 1
        return tuple(
            TextPiece(piece.kind, _cut(piece.text, at_start=0 == number < last, at_end=0 < number == last))
            if piece.kind is Kind.SAME
            else piece
            for number, piece in enumerate(self.pieces)
        )


def compare_words(
    old: Sequence[Block], new: Sequence[Block], told: Collection[tuple[str | None, str | None]] = ()
) -> Iterator[WordChange]:
    """Yield the blocks whose words changed, in page order. Cells and heads of computed tables are the numbers' part.

    `told` are the pairs (old, new) told with the numbers: a sentence in which nothing else moved is left out.
    """
    before = [block for block in old if block.kind not in COMPUTED]
    after = [(number, block) for number, block in enumerate(new) if block.kind not in COMPUTED]
    under_old, under_new = _headings(before), _headings([block for _, block in after])
    for i, j in pair_blocks(before, [block for _, block in after]):
        was = before[i] if i is not None else None
        number, now = after[j] if j is not None else (0, None)
        if was == now:
            continue
        if was and now and _is_told(was, now, told):
            continue
        under = under_new[j] if j is not None else under_old[i] if i is not None else ""
        yield _change(was, now, under, number if now else _next(after, before, i))


def moved_blocks(old: Sequence[Block], new: Sequence[Block]) -> Iterator[int]:
    """Yield the places of the new blocks that say something else than before, or came; sentences round a number too."""
    before = [block for block in old if block.kind not in COMPUTED]
    after = [(number, block) for number, block in enumerate(new) if block.kind not in COMPUTED]
    for i, j in pair_blocks(before, [block for _, block in after]):
        if j is not None and (i is None or before[i] != after[j][1]):
            yield after[j][0]


def _headings(blocks: Sequence[Block]) -> list[str]:
    found, current = [], ""
    for block in blocks:
        found.append(current)
        current = block.text if block.kind == "heading" else current
    return found


def _is_told(was: Block, now: Block, told: Collection[tuple[str | None, str | None]]) -> bool:
    """Return whether only numbers moved within a sentence, each of which is told with the numbers."""
    if was.own != now.own or was.links != now.links or len(was.parts) != len(now.parts):
        return False
    moved = ((one, other) for one, other in zip(was.parts[1::2], now.parts[1::2], strict=True) if one != other)
    return all(pair in told for pair in moved)


def _change(was: Block | None, now: Block | None, under: str, number: int) -> WordChange:
    block = now or was
    assert block
    old, new = _with_links(was, now), _with_links(now, was)
    # What has nothing in common is told as a whole: a word here and there that both use says nothing.
    alike = was is None or now is None or likeness(was, now)
    before, after = old or "", new or ""
    if block.kind == DRAWING:
        before, after = _by_axis(before), _by_axis(after)
    pieces = tuple(_pieces(before, after) if alike else _turned(before, after))
    if before == after and old != new:
        pieces = (TextPiece(Kind.SAME, "The drawing shows other numbers"),)
    return WordChange(block.kind, under, old, new, pieces, _said_by(was, now), number)


def _by_axis(text: str) -> str:
    """Return what a drawing says, of the numbers along an axis the first and the last alone.

    >>> _by_axis("From 140 bar. 0 20 40 60 0 50 100 Pressure (bar)")
    'From 140 bar. 0 to 60 0 to 100 Pressure (bar)'
    """
    kept: list[str] = []
    axis: list[str] = []
    for word in [*text.split(" "), ""]:
        if axis and not (_BARE.fullmatch(word) and float(word) > float(axis[-1])):
            kept += [axis[0], "to", axis[-1]] if len(axis) >= _AN_AXIS else axis
            axis = []
        if _BARE.fullmatch(word):
            axis.append(word)
        else:
            kept.append(word)
    return " ".join(kept[:-1])


def _with_links(block: Block | None, other: Block | None) -> str | None:
    """Return a block's text; where it stays and only leads elsewhere, with the addresses."""
    if block is None:
        return None
    if other is None or block.links == other.links or block.text != other.text:
        return block.text
    return f"{block.text} (leads to {', '.join(block.links) or 'nothing'})"


def _said_by(was: Block | None, now: Block | None) -> Said:
    blocks = [block for block in (was, now) if block]
    if all(block.is_computed for block in blocks):
        return Said.PROGRAM
    if was and now and was.own == now.own and was.links == now.links:
        return Said.DATA
    return Said.AUTHOR


def _pieces(old: str, new: str) -> Iterator[TextPiece]:
    left, right = TOKEN.findall(old), TOKEN.findall(new)
    gone, came = "", ""
    for tag, i1, i2, j1, j2 in SequenceMatcher(None, left, right, autojunk=False).get_opcodes():
        same = "".join(left[i1:i2])
        if tag == "equal" and same.strip():
            yield from _turned(gone, came)
            gone, came = "", ""
            yield TextPiece(Kind.SAME, same)
        elif tag == "equal" and not (gone or came):
            yield TextPiece(Kind.SAME, same)
        else:
            # A space that stayed between two words that changed joins them to one change.
            gone, came = gone + same, came + "".join(right[j1:j2])
    yield from _turned(gone, came)


def _turned(gone: str, came: str) -> Iterator[TextPiece]:
    """Yield what went and what came, spaces that both end with left outside."""
    tail = " " if gone.endswith(" ") and came.endswith(" ") else ""
    gone, came = gone.removesuffix(tail), came.removesuffix(tail)
    if gone:
        yield TextPiece(Kind.GONE, gone)
    if came:
        yield TextPiece(Kind.NEW, came)
    if tail:
        yield TextPiece(Kind.SAME, tail)


def _next(after: Sequence[tuple[int, Block]], before: Sequence[Block], i: int | None) -> int:
    """Return the place of the first new block behind one that went: that of the next old block which stayed."""
    behind = before[(i or 0) + 1 :]
    for block in behind:
        for number, candidate in after:
            if candidate == block:
                return number
    return after[-1][0] if after else 0


def _cut(text: str, *, at_start: bool, at_end: bool) -> str:
    """Return a run of words that stayed, without those far from what changed before and after it.

    >>> _cut("one two three four five six seven eight nine ten ", at_start=True, at_end=False)
    '… three four five six seven eight nine ten '
    """
    words = text.strip(" ").split(" ")
    ahead = 0 if at_start else _WORDS_NEXT_TO_A_CHANGE
    behind = 0 if at_end else _WORDS_NEXT_TO_A_CHANGE
    if len(words) <= ahead + behind + 1:
        return text
    kept = [*words[:ahead], "…", *words[len(words) - behind :]]
    before = " " if text.startswith(" ") else ""
    after = " " if text.endswith(" ") else ""
    return before + " ".join(kept) + after
