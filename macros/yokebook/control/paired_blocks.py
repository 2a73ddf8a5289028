"""Which blocks of a page before and now belong together: what was edited, told apart from what came and what went."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from difflib import SequenceMatcher

from yokebook.words import Block

# A number stays with its unit behind a space that does not break; a full stop is told apart from the word before it.
TOKEN = re.compile(r" +|\w+(?:[\u00a0.,:/'’-]+\w+|\u00a0[^\s\w])*|[^\w ]")
# Blocks less alike than this are told as one that went and one that came.
_ALIKE = 0.45
# A block of at least so many words, most of which stand together in another one, became that one.
_FEW_WORDS = 3
_MOST_OF_IT = 0.8
_MOST_PAIRS = 10_000


def pair_blocks(old: Sequence[Block], new: Sequence[Block]) -> Iterator[tuple[int | None, int | None]]:
    """Yield the places of blocks that belong together, in page order; None for one that came or went."""
    matcher = SequenceMatcher(None, old, new, autojunk=False)
    for tag, i1, i2, j1, j2 in matcher.get_opcodes():
        if tag == "equal":
            yield from ((i1 + step, j1 + step) for step in range(i2 - i1))
        else:
            yield from _in_each_other_s_place(old, new, _best_pairs(old, new, range(i1, i2), range(j1, j2)))


def _in_each_other_s_place(
    old: Sequence[Block], new: Sequence[Block], pairs: Iterable[tuple[int | None, int | None]]
) -> Iterator[tuple[int | None, int | None]]:
    """Yield the pairs, and as pairs too what went and came between the same neighbours, as many of the same kinds."""
    gone: list[int] = []
    came: list[int] = []
    for i, j in (*pairs, (None, None)):
        if i is not None and j is None:
            gone.append(i)
        elif j is not None and i is None:
            came.append(j)
        else:
            if [_make(old[place]) for place in gone] == [_make(new[place]) for place in came]:
                yield from zip(gone, came, strict=True)
            else:
                yield from ((place, None) for place in gone)
                yield from ((None, place) for place in came)
            gone, came = [], []
            if i is not None:
                yield i, j


def _make(block: Block) -> tuple[str, bool]:
    return block.kind, block.is_computed


def _best_pairs(
    old: Sequence[Block], new: Sequence[Block], left: range, right: range
) -> Iterator[tuple[int | None, int | None]]:
    """Yield those pairs, in order, that are most alike altogether; what is alike to nothing stays alone."""
    if len(left) * len(right) > _MOST_PAIRS:
        yield from ((i, None) for i in left)
        yield from ((None, j) for j in right)
        return
    alike = [[likeness(old[i], new[j]) for j in right] for i in left]
    best = [[0.0] * (len(right) + 1) for _ in range(len(left) + 1)]
    for i in reversed(range(len(left))):
        for j in reversed(range(len(right))):
            best[i][j] = max(best[i + 1][j], best[i][j + 1], best[i + 1][j + 1] + alike[i][j])
    i = j = 0
    while i < len(left) and j < len(right):
        if alike[i][j] and best[i][j] == best[i + 1][j + 1] + alike[i][j]:
            yield left[i], right[j]
            i, j = i + 1, j + 1
        elif best[i][j] == best[i + 1][j]:
            yield left[i], None
            i += 1
        else:
            yield None, right[j]
            j += 1
    yield from ((place, None) for place in left[i:])
    yield from ((None, place) for place in right[j:])


def likeness(one: Block, other: Block) -> float:
    """Return how alike two blocks are, 0 for two that do not belong together."""
    if _make(one) != _make(other):
        return 0.0
    if one.text == other.text:
        return 1.0
    left, right = _words(one.text), _words(other.text)
    matcher = SequenceMatcher(None, left, right, autojunk=False)
    ratio = matcher.ratio()
    if ratio >= _ALIKE or one.own == other.own:
        return ratio
    together = matcher.find_longest_match().size
    shorter = min(len(left), len(right))
    return ratio if shorter >= _FEW_WORDS and together >= _MOST_OF_IT * shorter else 0.0


def _words(text: str) -> list[str]:
    return [token for token in TOKEN.findall(text) if not token.isspace()]
