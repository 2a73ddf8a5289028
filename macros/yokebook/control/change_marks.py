"""Which blocks of a page are marked in the margin, since they say something else than in the edition before."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from itertools import takewhile

from yokebook.control.as_read import PageAsRead
from yokebook.control.comparison import PageChanges
from yokebook.control.moved_words import moved_blocks
from yokebook.words import COMPUTED, COMPUTED_CELL, HEAD

CHANGED = "yb-changed"
CUT = "yb-cut"
"""The classes of a block that changed or came, and of one before which something was taken out."""


def marks(old: PageAsRead, new: PageAsRead, changes: PageChanges) -> dict[int, str]:
    """Return the class of each marked block of the new page, by its place in the page's text (its head not counted)."""
    found: dict[int, str] = {}
    for change in changes.words:
        if change.new is None:
            found[change.block] = CUT
    found |= dict.fromkeys(moved_blocks(old.words, new.words), CHANGED)
    cells = cell_blocks(new)
    for moved in changes.numbers:
        place = cells.get((moved.call, *moved.at)) if moved.at else cells.get((moved.call, -1, -1))
        if place is not None:
            found[place] = CHANGED if moved.at else CUT
    found |= dict.fromkeys(_heads(new, changes, cells), CHANGED)
    for table in changes.tables:
        place = cells.get((table.call, -1, -1))
        if table.is_new and place is not None:
            found[place] = CHANGED
    head = sum(block.kind == HEAD for block in new.words)
    return {place - head: name for place, name in sorted(found.items()) if place >= head}


def _heads(page: PageAsRead, changes: PageChanges, cells: Mapping[tuple[int, int, int], int]) -> Iterator[int]:
    """Yield the places of the heads of rows and columns that moved."""
    for head in changes.heads:
        first = cells.get((head.call, -1, -1), len(page.words))
        within = takewhile(lambda place: page.words[place].kind in COMPUTED, range(first, len(page.words)))
        for place in within:
            if page.words[place].kind != COMPUTED_CELL and page.words[place].text == head.new.strip(" "):
                yield place


def cell_blocks(page: PageAsRead) -> dict[tuple[int, int, int], int]:
    """Return the place of each cell of a computed table among the page's blocks, by call, row and column.

    That of a table's first head stands under row and column -1. A table may stand turned: its calls' rows as columns.
    """
    cells: dict[tuple[int, int, int], int] = {}
    tables = _tables(page)
    for number, call in enumerate(page.calls):
        rows = [[text.strip(" ") for text in row] for row in call["shown"]]
        for at, (first, places, texts) in enumerate(tables):
            found = _matched(rows, texts)
            if found:
                cells |= {(number, *where): place for where, place in zip(found, places, strict=True)}
                cells[number, -1, -1] = first
                del tables[: at + 1]
                break
    return cells


def _tables(page: PageAsRead) -> list[tuple[int, list[int], list[str]]]:
    """Return the computed tables of a page: the place of the first head, and place and text of each cell."""
    tables: list[tuple[int, list[int], list[str]]] = []
    is_within = False
    for place, block in enumerate(page.words):
        if block.kind in COMPUTED:
            if not is_within:
                tables.append((place, [], []))
            if block.kind == COMPUTED_CELL:
                tables[-1][1].append(place)
                tables[-1][2].append(block.text)
        is_within = block.kind in COMPUTED
    return tables


def _matched(rows: Sequence[Sequence[str]], texts: Sequence[str]) -> list[tuple[int, int]]:
    """Return row and column of each cell of a table that shows these rows, as they stand or turned; or none."""
    straight = [(row, column) for row, within in enumerate(rows) for column in range(len(within))]
    turned = sorted(straight, key=lambda where: (where[1], where[0]))
    for order in (straight, turned):
        if [rows[row][column] for row, column in order] == list(texts):
            return order
    return []
