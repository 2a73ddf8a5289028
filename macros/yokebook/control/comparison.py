"""Two states of a page side by side: which words, which numbers and which files moved, and what moved the numbers."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from yokebook.control.as_read import PageAsRead
from yokebook.control.moved_numbers import (
    CAPTION,
    HeadChange,
    NumberChange,
    TableChange,
    TableMoves,
    by_table,
    compare_calls,
)
from yokebook.control.moved_words import WordChange, compare_words
from yokebook.control.standing import Withdrawal
from yokebook.words import FINDER


@dataclass(frozen=True)
class FileChange:
    """A picture that the page shows: put in, taken out, or another one under the same name."""

    path: str
    what: str


@dataclass(frozen=True)
class PageChanges:
    """What moved on one page. `is_new` and `is_gone` where one of the two states has no such page.

    `withdrawal` where it was withdrawn in between: then its words and numbers did not move one by one.
    """

    path: str
    procedure: str
    title: str
    words: tuple[WordChange, ...] = ()
    numbers: tuple[NumberChange, ...] = ()
    tables: tuple[TableChange, ...] = ()
    files: tuple[FileChange, ...] = ()
    is_new: bool = False
    is_gone: bool = False
    heads: tuple[HeadChange, ...] = ()
    withdrawal: Withdrawal | None = None

    def __bool__(self) -> bool:
        """True where anything moved."""
        moved = (self.words, self.numbers, self.heads, self.tables, self.files)
        return any(moved) or self.is_new or self.is_gone or self.withdrawal is not None

    @property
    def by_table(self) -> list[TableMoves]:
        """The numbers and heads that moved, by table, in page order."""
        return by_table(self.heads, self.numbers)


def compare_pages(old: PageAsRead | None, new: PageAsRead | None) -> PageChanges:
    """Return what moved from one state of a page to another; a page that only one of them has is told whole, in a word.

    Raises ValueError where neither state is given.
    """
    page = new or old
    if page is None:
        raise ValueError("a comparison wants at least one state of the page")
    before = old.withdrawal if old else None
    if new and new.withdrawal and new.withdrawal != before:
        return PageChanges(page.path, page.procedure, (old or new).title, withdrawal=new.withdrawal)
    if old is None or new is None or before != new.withdrawal:
        return PageChanges(page.path, page.procedure, page.title, is_new=new is not None, is_gone=new is None)
    calls = compare_calls(old.calls, new.calls)
    told: set[tuple[str | None, str | None]] = {(change.old, change.new) for change in calls.numbers}
    told |= {(head.old, head.new) for head in calls.heads if head.part in (CAPTION, FINDER)}
    words = tuple(compare_words(old.words, new.words, told))
    files = tuple(_files(old.files, new.files))
    return PageChanges(
        page.path, page.procedure, page.title, words, calls.numbers, calls.tables, files, heads=calls.heads
    )


def paired(
    old: Mapping[str, PageAsRead], new: Mapping[str, PageAsRead]
) -> list[tuple[PageAsRead | None, PageAsRead | None]]:
    """Return both states of each page, in the order of procedures and paths; None where one side has no such page.

    A page that moved to another path is still the same where its procedure's number is.
    """
    numbered = {page.procedure: page for page in old.values() if page.procedure}
    unnumbered = {path: page for path, page in old.items() if not page.procedure}
    pairs: list[tuple[PageAsRead | None, PageAsRead | None]] = []
    for path, page in new.items():
        was = numbered.pop(page.procedure, None) if page.procedure else unnumbered.pop(path, None)
        pairs.append((was, page))
    pairs += [(page, None) for page in (*numbered.values(), *unnumbered.values())]
    return sorted(pairs, key=_place)


def _place(pair: tuple[PageAsRead | None, PageAsRead | None]) -> tuple[bool, str, str]:
    page = pair[1] or pair[0]
    assert page
    return not page.procedure, page.procedure, page.path


def compare_all(old: Mapping[str, PageAsRead], new: Mapping[str, PageAsRead]) -> list[PageChanges]:
    """Return the pages on which anything moved, in the order of their procedures and paths."""
    return list(filter(None, (compare_pages(was, now) for was, now in paired(old, new))))


def _files(old: Mapping[str, str], new: Mapping[str, str]) -> Iterator[FileChange]:
    for path in sorted({*old, *new}):
        if path not in old:
            yield FileChange(path, "put in")
        elif path not in new:
            yield FileChange(path, "taken out")
        elif old[path] != new[path]:
            yield FileChange(path, "another picture under the same name")


def as_lines(changes: PageChanges) -> list[str]:
    """Return what moved on one page as lines for a terminal."""
    heading = f"{changes.procedure}  {changes.title}".strip() + f"  ({changes.path})"
    if changes.withdrawal:
        return [heading, f"  {changes.withdrawal.as_text}"]
    if changes.is_new or changes.is_gone:
        return [heading, f"  The page is {'new' if changes.is_new else 'no longer there'}."]
    lines = [heading]
    for change in changes.words:
        lines += word_lines(change)
    for table in changes.by_table:
        lines += table_lines(table)
    lines += [f"  {change.caption}: {change.as_text}" for change in changes.tables]
    lines += [f"  Picture {change.path}: {change.what}" for change in changes.files]
    return lines if len(lines) > 1 else [*lines, "  Nothing that a reader reads moved."]


def word_lines(change: WordChange) -> list[str]:
    """Return a block that changed, with where it stands."""
    return [f"  {change.where}:", f"    {change.as_text}"]


def table_lines(table: TableMoves) -> list[str]:
    """Return what moved in one table: named once, and what moved it below its numbers."""
    told = [f"    {head.part} {head.as_text}" for head in table.heads]
    told += [number_line(change) for change in table.numbers]
    told += [f"    {table.still}"] if table.still else []
    return [f"  {table.caption}", *told, f"    because {table.because}"]


def number_line(change: NumberChange) -> str:
    """Return a number that moved, with its place in its table."""
    return f"    {change.place + ': ' if change.place else ''}{change.as_text}"
