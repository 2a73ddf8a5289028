"""What moved on one page in a few lines, for a report on many pages: the most telling first."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal

from yokebook.control.comparison import PageChanges, as_lines, number_line, table_lines, word_lines
from yokebook.control.moved_numbers import TableMoves
from yokebook.control.moved_words import Said

_OF_ONE_TABLE = 2


def brief_lines(changes: PageChanges, most: int, more: str) -> list[str]:
    """Return what moved on a page as lines for a terminal, at most so many; `more` is the last line of a cut report.

    What fits is told whole. Else numbers stand first, those that moved most of themselves; then what an author changed;
    captions and the words of calls last.
    """
    whole = as_lines(changes)[1:]
    if len(whole) <= most:
        return whole
    blocks = list(_blocks(changes))
    lines = [line for block in blocks for line in block]
    kept = lines if len(lines) < most else lines[: most - 1]
    while kept and kept[-1].startswith("  ") and not kept[-1].startswith("    ") and len(kept) < len(lines):
        # A caption without its numbers says nothing.
        kept = kept[:-1]
    return [*kept, f"  {more}"]


def _blocks(changes: PageChanges) -> Iterator[list[str]]:
    tables = changes.by_table
    moved = sorted((table for table in tables if table.numbers), key=_least_moved_last)
    causes = {table.because for table in moved}
    if len(moved) > 1 and len(causes) == 1:
        yield [f"  because {causes.pop()}:"]
        yield from (_shortened(table)[:-1] for table in moved)
    else:
        yield from map(_shortened, moved)
    yield from ([f"  {change.caption}: {change.as_text}"] for change in changes.tables)
    yield from ([f"  Picture {change.path}: {change.what}"] for change in changes.files)
    yield from (word_lines(change) for change in changes.words if change.said_by is not Said.PROGRAM)
    yield from (table_lines(table) for table in tables if not table.numbers)
    yield from (word_lines(change) for change in changes.words if change.said_by is Said.PROGRAM)


def _least_moved_last(table: TableMoves) -> Decimal:
    return -max(change.share for change in table.numbers)


def _shortened(table: TableMoves) -> list[str]:
    """Return a table with the numbers in it that moved most, how many more moved, and what moved them as last line."""
    ranked = sorted(table.numbers, key=lambda change: -change.share)
    left = len(ranked) - _OF_ONE_TABLE
    lines = [f"  {table.caption}", *map(number_line, ranked[:_OF_ONE_TABLE])]
    if left > 0:
        lines.append(f"    and {left} more of its numbers")
    return [*lines, f"    because {table.because}"]
