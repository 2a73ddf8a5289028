"""Numbers, cell by cell: which moved between two lists of numbers, from what to what, and which data key moved them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal

from yokebook.control.causes import Cause, causes
from yokebook.control.pairing import TYPED, Call, Head, caption, counted, is_inline, pair_calls, turned, written
from yokebook.control.quantities_in_text import equal_but_for_quantities, from_to, is_bare
from yokebook.words import FINDER

Cell = tuple[str, str, str, str | None]
"""What a cell shows, its unit, its rounding, its value; the value follows from the rest and is not compared."""
CAPTION, COLUMN, ROW = "caption", "column", "row"
_NO_LONGER, _NOT_BEFORE = "no longer there", "not there before"


def _with_unit(shown: str, unit: str) -> str:
    """Return a cell with its unit, which a table may say once for all of them.

    >>> _with_unit("205", "kPa × 100"), _with_unit("1 h", "min")
    ('205 kPa × 100', '1 h')
    """
    return f"{shown} {unit}" if unit and is_bare(shown) else shown


def _because(causes: Sequence[Cause], *, has_call_changed: bool) -> str:
    told = [cause.as_text for cause in causes]
    if has_call_changed:
        told.insert(0, "the call on the page was changed")
    return "; ".join(told) or "the program works it out in another way now"


@dataclass(frozen=True)
class NumberChange:
    """One cell that moved. `old` or `new` is None where its row, column or table is not on both sides.

    `call` is the place of its call among the new page's calls, and `at` its row and column there, counted from 0 (None
    for a cell that went). The values are plain numbers in `unit`, None for a word.
    `corner` says what rows are, and `across` what columns are where their heads are bare readings, as on a card; they,
    `row` and `column` are empty for a number in a sentence. `old_unit` is that of the old value, `unit` of the new one.
    """

    table: str
    corner: str
    row: str
    column: str
    old: str | None
    new: str | None
    unit: str
    causes: tuple[Cause, ...]
    has_call_changed: bool
    call: int
    at: tuple[int, int] | None
    old_value: str | None = None
    new_value: str | None = None
    old_unit: str = ""
    across: str = ""

    @property
    def place(self) -> str:
        """Row and column as a reader says them."""
        # A head that ends in a number, such as "readings in kPa × 100", is kept apart from that of the row.
        after = ":" if self.corner[-1:].isdigit() else ""
        heads = (f"{self.corner}{after} {self.row}".strip(), f"{self.across} {self.column}".strip())
        return ", ".join(filter(None, heads))

    @property
    def before(self) -> str:
        """What it was with its unit, in words where it was not there."""
        return _with_unit(self.old, self.old_unit or self.unit) if self.old else _NOT_BEFORE

    @property
    def now(self) -> str:
        """What it is with its unit, in words where it is no longer there."""
        return _with_unit(self.new, self.unit) if self.new else _NO_LONGER

    @property
    def as_text(self) -> str:
        """Old → new."""
        return f"{self.before} → {self.now}"

    @property
    def because(self) -> str:
        """What moved it, as far as the lists tell."""
        return _because(self.causes, has_call_changed=self.has_call_changed)

    @property
    def share(self) -> Decimal:
        """By which part of itself it moved: all of it where it gave way to a word; -1 if it came or went."""
        if self.old is None or self.new is None:
            return Decimal(-1)
        if self.old_value is None or self.new_value is None:
            return Decimal(1)
        old, new = Decimal(self.old_value), Decimal(self.new_value)
        return abs(new - old) / max(abs(old), abs(new)) if old != new else Decimal(0)


@dataclass(frozen=True)
class HeadChange:
    """A caption or the head of a row or column in which only quantities moved: what it heads is still the same.

    Or what the row finder says of a table, moved in the same way. `part` says which of them it is.
    """

    table: str
    part: str
    old: str
    new: str
    causes: tuple[Cause, ...]
    has_call_changed: bool
    call: int

    @property
    def where(self) -> str:
        """Which part of its table it is, in a reader's words."""
        return FINDER.capitalize() if self.part == FINDER else f"Head of a {self.part}"

    @property
    def as_text(self) -> str:
        """The text once, with old → new in it."""
        return from_to(self.old, self.new)

    @property
    def because(self) -> str:
        """What moved it, as far as the lists tell."""
        return _because(self.causes, has_call_changed=self.has_call_changed)


@dataclass(frozen=True)
class TableChange:
    """A whole table, or a number in a sentence, that came or went, with how many numbers it holds."""

    caption: str
    is_new: bool
    numbers: int
    call: int

    @property
    def as_text(self) -> str:
        """What became of it."""
        many = "a number" if self.numbers == 1 else f"a table of {self.numbers} cells"
        return f"{many} {'put in' if self.is_new else 'taken out'}"


@dataclass(frozen=True)
class TableMoves:
    """What moved in one table, or in one number of a sentence: told together, and what moved it once.

    `still` says that nothing below the caption moved, "" where something did.
    """

    caption: str
    because: str
    heads: tuple[HeadChange, ...]
    numbers: tuple[NumberChange, ...]
    still: str = ""

    @property
    def is_in_the_text(self) -> bool:
        """Whether it is a number in a sentence that moved."""
        return len(self.numbers) == 1 and not self.numbers[0].place


@dataclass(frozen=True)
class CallChanges:
    """What moved between two lists of calls."""

    heads: tuple[HeadChange, ...]
    numbers: tuple[NumberChange, ...]
    tables: tuple[TableChange, ...]


def compare_calls(old: Sequence[Call], new: Sequence[Call]) -> CallChanges:
    """Return the heads and cells that moved, and the tables that came or went, in page order.

    Calls belong together by name and arguments, else by caption, else by caption but for its quantities, else by their
    order among those of the same name.
    """
    pairs = pair_calls(old, new)
    partner = {j: i for i, j in pairs}
    left = {i for i, _ in pairs}
    heads: list[HeadChange] = []
    numbers: list[NumberChange] = []
    tables: list[TableChange] = []
    for j, call in enumerate(new):
        if j in partner:
            pair = _Pair(old[partner[j]], call, j)
            heads += pair.heads()
            numbers += pair.cells()
        elif call["name"] != TYPED:
            tables.append(TableChange(caption(call), True, _count(call), j))
    gone = [(i, call) for i, call in enumerate(old) if i not in left and call["name"] != TYPED]
    tables += [TableChange(caption(call), False, _count(call), i - len(old)) for i, call in gone]
    return CallChanges(tuple(heads), tuple(numbers), tuple(tables))


def by_table(heads: Sequence[HeadChange], numbers: Sequence[NumberChange]) -> list[TableMoves]:
    """Return what moved, by table, in page order; a caption in which something moved says from what to what itself."""
    calls: dict[int, tuple[list[HeadChange], list[NumberChange]]] = {}
    for head in heads:
        calls.setdefault(head.call, ([], []))[0].append(head)
    for number in numbers:
        calls.setdefault(number.call, ([], []))[1].append(number)
    return [_table(*within) for _, within in sorted(calls.items())]


def _table(heads: Sequence[HeadChange], numbers: Sequence[NumberChange]) -> TableMoves:
    one = heads[0] if heads else numbers[0]
    told = next((head.as_text for head in heads if head.part == CAPTION), one.table)
    within = tuple(head for head in heads if head.part != CAPTION)
    still = "" if numbers or within else "its numbers stay as they were"
    return TableMoves(told, one.because, within, tuple(numbers), still)


def _count(call: Call) -> int:
    return sum(len(row) for row in call["shown"])


@dataclass(frozen=True)
class _Pair:
    """One call on both sides; `place` is that of the new one among its page's calls."""

    old: Call
    new: Call
    place: int

    @property
    def _has_changed(self) -> bool:
        return written(self.old) != written(self.new)

    @property
    def _causes(self) -> tuple[Cause, ...]:
        return tuple(causes(self.old["inputs"], self.new["inputs"], all_keys=not self._has_changed))

    @property
    def _is_inline(self) -> bool:
        return is_inline(self.old) and is_inline(self.new)

    def heads(self) -> Iterator[HeadChange]:
        """Yield the caption and the heads in which only quantities moved, and what the row finder says.

        A number's label is its caption. No reader of the page meets it, so it is told with a number that moved alone.
        """
        if self._is_inline and not any(self.cells()):
            return
        was, now = caption(self.old), caption(self.new)
        told = [(CAPTION, was, now), (FINDER, *(call["texts"].get("finder", "") for call in (self.old, self.new)))]
        told = [entry for entry in told if equal_but_for_quantities(entry[1]) == equal_but_for_quantities(entry[2])]
        if not self._is_inline:
            told += [(COLUMN, one, other) for (one, _), (other, _) in self._turned("columns").items()]
            told += [(ROW, one, other) for (one, _), (other, _) in self._turned("rows").items()]
        for part, old, new in told:
            if old != new:
                yield HeadChange(now, part, old, new, self._causes, self._has_changed, self.place)

    def cells(self) -> Iterator[NumberChange]:
        """Yield the cells that moved, rows and columns matched by their heads."""
        before, after = _by_heads(self.old), _by_heads(self.new)
        texts = self.new["texts"]
        corner = str(texts.get("corner", ""))
        # A card is printed with its readings down the side, and lists them as columns.
        across = "" if corner else str(next(iter(texts.get("heads", ())), ""))
        if self._is_inline:
            # The label of a number in a sentence may move with it.
            before, after = (dict(zip([(("", 0), ("", 0))], cells.values(), strict=True)) for cells in (before, after))
            corner = across = ""
        else:
            rows, columns = self._turned("rows"), self._turned("columns")
            before = {(rows.get(row, row), columns.get(column, column)): cell for (row, column), cell in before.items()}
        causes, changed = self._causes, self._has_changed
        places = {heads: divmod(number, max(1, len(self.new["columns"]))) for number, heads in enumerate(after)}
        for heads in [*after, *(heads for heads in before if heads not in after)]:
            was, now = before.get(heads), after.get(heads)
            if (was and was[:3]) == (now and now[:3]):
                continue
            ((row, _), (column, _)), (was_shown, now_shown) = heads, _shown(was, now)
            yield NumberChange(
                caption(self.new), corner, row, column, was_shown, now_shown, (now or was or ("", ""))[1], causes,
                changed, self.place, places.get(heads), was[3] if was else None, now[3] if now else None,
                was[1] if was else "", across if is_bare(column) else "",
            )  # fmt: skip

    def _turned(self, which: str) -> dict[Head, Head]:
        return turned(counted(self.old[which]), counted(self.new[which]))


def _shown(was: Cell | None, now: Cell | None) -> tuple[str | None, str | None]:
    """Return a cell before and after; where it reads the same, with its unit and rounding, of which one moved."""
    if was and now and was[0] == now[0]:
        one, other = (f"{cell[0]} ({', '.join(filter(None, cell[1:3]))})" for cell in (was, now))
        return one, other
    return was[0] if was else None, now[0] if now else None


def _by_heads(call: Call) -> dict[tuple[Head, Head], Cell]:
    """Return each cell by the heads of its row and column."""
    cells: dict[tuple[Head, Head], Cell] = {}
    columns = counted(call["columns"])
    for row, shown, values in zip(counted(call["rows"]), call["shown"], call["value"], strict=True):
        for number, (column, text) in enumerate(zip(columns, shown, strict=True)):
            unit, rounding = (_of_column(call[key], number) for key in ("unit", "rounding"))
            cells[row, column] = (text, unit, rounding, values[number])
    return cells


def _of_column(value: str | Sequence[str], number: int) -> str:
    return value if isinstance(value, str) else value[number]
