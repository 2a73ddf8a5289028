"""The pages of what a new edition changes: "What changed and why", and the briefing for a meeting on one sheet."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from math import ceil
from typing import Generic, TypeVar

from yokebook.control.moved_numbers import NumberChange, TableMoves
from yokebook.control.moved_words import Said, WordChange
from yokebook.pages.addresses import page_address
from yokebook.reference.changes import CHANGES, LEARNT, Changed, EditionChanges
from yokebook.reference.generated import GeneratedPage
from yokebook.reference.layout import WRITING
from yokebook.templates import render

BRIEFING = "briefing.md"
TITLE = "What changed and why"
# What one sheet holds beside room for names, in lines of so many signs; the rest stands on the page of changes.
_SIGNS_IN_A_LINE = 90
_SIGNS_IN_A_CELL = 60
_LINES_OF_INCIDENTS, _LINES_OF_PROCEDURES, _LINES_OF_NUMBERS, _LINES_OF_WORDS = 6, 8, 10, 3
_A_ROW = 1.25
"""How many lines of text a row of a table takes, with its rules."""
_MOST_SIGNS, _MOST_SIGNS_LEARNT = 220, 300
_LINES_TO_SIGN = 7
_OF_ONE_TABLE = 2
_WITH_TITLES = 6

T = TypeVar("T")


@dataclass(frozen=True)
class ImportantNumbers:
    """Of one table the numbers that moved most, the procedures on whose pages it stands, and how many more moved."""

    caption: str
    procedures: tuple[str, ...]
    numbers: tuple[NumberChange, ...]
    more: int


@dataclass(frozen=True)
class TableTold:
    """What moved in one table on a page, and the anchor where it is told.

    `told_under` is the page above where the same moved in the same table, "" where it is told here.
    """

    table: TableMoves
    anchor: str
    told_under: str = ""


def tables_of(changed: Sequence[Changed]) -> list[list[TableTold]]:
    """Return for each page the tables in which something moved; the same in several pages is told once."""
    first: dict[tuple[object, ...], TableTold] = {}
    return [
        [_told(table, page, number, first) for number, table in enumerate(page.changes.by_table)] for page in changed
    ]


def _told(table: TableMoves, page: Changed, number: int, first: dict[tuple[object, ...], TableTold]) -> TableTold:
    heads = tuple((head.part, head.as_text) for head in table.heads)
    numbers = tuple((change.place, change.as_text) for change in table.numbers)
    read = (table.caption, table.still, heads, numbers, table.because)
    if read in first:
        return first[read]
    anchor = f"{page.anchor}-{number + 1}"
    first[read] = TableTold(table, anchor, page.changes.procedure or page.changes.title)
    return TableTold(table, anchor)


def pages(changes: EditionChanges) -> list[GeneratedPage]:
    """Return both pages of an edition that has one before it."""
    listed = list(zip(changes.changed, tables_of(changes.changed), strict=True))
    page = render("changes.html", listed=listed, changes=changes, briefing=page_address(BRIEFING))
    return [GeneratedPage(CHANGES, TITLE, page), GeneratedPage(BRIEFING, "Briefing", _briefing(changes))]


def _briefing(changes: EditionChanges) -> str:
    incidents = _fitting(
        [(told, _cut(told.happened), _cut(" ".join(told.learnt), _MOST_SIGNS_LEARNT)) for told in changes.incidents],
        _LINES_OF_INCIDENTS,
        lambda one: _lines(one[0].title + one[1]) + (_lines(LEARNT + one[2]) if one[2] else 0),
    )
    changed_pages = [changed for changed in changes.changed if not changed.changes.path.startswith(f"{WRITING}/")]
    reasons = _by_reason([changed for changed in changed_pages if changed.changes.procedure])
    procedures = _fitting(reasons, _LINES_OF_PROCEDURES + incidents.left, _lines_of_reason)
    numbers = _fitting(_most_important(changed_pages), _LINES_OF_NUMBERS + procedures.left, _lines_of_numbers)
    moved = [change for changed in changed_pages for change in _own_words(changed)]
    words = _fitting(moved, _LINES_OF_WORDS + numbers.left, lambda one: 1 + _lines(_text(one[1]) or ""))
    return render(
        "briefing.html",
        changes=changes,
        address=page_address(CHANGES),
        incidents=incidents,
        learnt=LEARNT,
        reasons=procedures,
        with_titles=_WITH_TITLES,
        numbers=numbers,
        words=words,
        fits=lambda change: _text(change) is not None,
        lines=range(_LINES_TO_SIGN),
    )


@dataclass(frozen=True)
class Fitting(Generic[T]):
    """What of a list fits on the sheet, and how much more there is.

    `left` are the lines that it leaves to what comes next, below 0 where even the first one was too long.
    """

    shown: tuple[T, ...]
    more: int
    left: int


def _fitting(told: Sequence[T], lines: int, lines_of: Callable[[T], int]) -> Fitting[T]:
    """Return the first ones, as many as fit in so many lines, at least one."""
    count = 0
    while count < len(told) and (count == 0 or lines_of(told[count]) <= lines):
        lines -= lines_of(told[count])
        count += 1
    return Fitting(tuple(told[:count]), len(told) - count, lines)


def _lines(text: str, signs: int = _SIGNS_IN_A_LINE) -> int:
    return 1 + len(text) // signs


def _by_reason(changed: Sequence[Changed]) -> list[tuple[str, list[Changed]]]:
    """Return the procedures that changed, those of one reason together."""
    grouped: dict[str, list[Changed]] = {}
    for one in changed:
        reason = one.withdrawal.reason if one.withdrawal else one.reasons[-1].reason if one.reasons else ""
        grouped.setdefault(reason, []).append(one)
    return list(grouped.items())


def _lines_of_reason(told: tuple[str, list[Changed]]) -> int:
    reason, changed = told
    titled = "".join(f"{one.changes.procedure} {one.changes.title} ({one.became})  " for one in changed[:_WITH_TITLES])
    rest = "".join(f"{one.changes.procedure} ({one.became})  " for one in changed[_WITH_TITLES:])
    return _lines(reason + titled + rest)


def _lines_of_numbers(table: ImportantNumbers) -> int:
    caption = f"{', '.join(table.procedures)}: {table.caption} (and {table.more} more)"
    rows = _lines(caption) + sum(_lines(change.place, _SIGNS_IN_A_CELL) for change in table.numbers)
    return ceil(_A_ROW * rows)


def _most_important(changed: Sequence[Changed]) -> list[ImportantNumbers]:
    """Return the numbers that moved, each once, those first that moved most of themselves.

    Of each table the two that moved most stand together, with the procedures on whose pages it is.
    """
    tables: dict[str, dict[tuple[str, str], NumberChange]] = {}
    procedures: dict[str, dict[str, None]] = {}
    for page in changed:
        for change in page.changes.numbers:
            tables.setdefault(change.table, {}).setdefault((change.place, change.as_text), change)
            procedures.setdefault(change.table, {}).setdefault(page.changes.procedure)
    told = []
    for caption, numbers in tables.items():
        ranked = sorted(numbers.values(), key=lambda change: -change.share)
        kept = tuple(ranked[:_OF_ONE_TABLE])
        told.append(ImportantNumbers(caption, tuple(filter(None, procedures[caption])), kept, len(ranked) - len(kept)))
    return sorted(told, key=lambda table: -table.numbers[0].share)


def _own_words(changed: Changed) -> Iterator[tuple[str, WordChange]]:
    """Yield what an author changed in the text, with the procedure's number."""
    if changed.changes.procedure:
        for change in changed.changes.words:
            if change.said_by is not Said.PROGRAM:
                yield changed.changes.procedure, change


def _text(change: WordChange) -> str | None:
    """Return a change that fits beside others; None for one that is to be read on the page."""
    text = change.as_text
    return text if len(text) <= _MOST_SIGNS else None


def _cut(text: str, most: int = _MOST_SIGNS) -> str:
    """Return the whole sentences of a text that fit, never cut in the middle of one.

    >>> _cut("One. " * 200)[-6:]
    'One. …'
    """
    if len(text) <= most:
        return text
    kept = text[:most].rpartition(". ")[0]
    return f"{kept}. …" if kept else text[:most].rpartition(" ")[0] + " …"
