"""Numbers, cell by cell: which moved between two lists of numbers, from what to what, and which data key moved them."""

from __future__ import annotations

import json
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from difflib import SequenceMatcher
from typing import Any

from yokebook.data.keys import ENTRY, NOT_GIVEN

Call = Mapping[str, Any]
Cell = tuple[str, str, str, str | None]
"""What a cell shows, its unit, its rounding, its value; the value follows from the rest and is not compared."""
_NO_LONGER, _NOT_BEFORE = "no longer there", "not there before"


@dataclass(frozen=True)
class Cause:
    """A data key whose value changed, with the value before and after as the data has it."""

    key: str
    old: str
    new: str

    @property
    def as_text(self) -> str:
        """The key with both values; a long entry is only said to have changed."""
        if self.old.startswith(ENTRY) or self.new.startswith(ENTRY):
            return f"{self.key} was changed"
        return f"{self.key}: {self.old} → {self.new}"


@dataclass(frozen=True)
class NumberChange:
    """One cell that moved. `old` or `new` is None where its row, column or table is not on both sides.

    `call` is the place of its call among the new page's calls, and `at` its row and column there, counted from 0 (None
    for a cell that went). The values are plain numbers in `unit`, None for a word.
    `corner` says what rows are; it, `row` and `column` are empty for a number in a sentence.
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

    @property
    def place(self) -> str:
        """Row and column as a reader says them."""
        return ", ".join(filter(None, (f"{self.corner} {self.row}".strip(), self.column)))

    @property
    def as_text(self) -> str:
        """Old → new."""
        return f"{self.old or _NOT_BEFORE} → {self.new or _NO_LONGER}"

    @property
    def because(self) -> str:
        """What moved it, as far as the lists tell."""
        told = [cause.as_text for cause in self.causes]
        if self.has_call_changed:
            told.insert(0, "the call on the page was changed")
        return "; ".join(told) or "the program works it out in another way now"


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


def compare_calls(old: Sequence[Call], new: Sequence[Call]) -> tuple[tuple[NumberChange, ...], tuple[TableChange, ...]]:
    """Return the cells that moved, and the tables that came or went, in page order.

    Calls belong together by name and arguments, else by caption, else by their order among those of the same name.
    """
    pairs = _paired(old, new)
    partner = {j: i for i, j in pairs}
    left = {i for i, _ in pairs}
    numbers, tables = [], []
    for j, call in enumerate(new):
        if j in partner:
            numbers += list(_cells(old[partner[j]], call, j))
        else:
            tables.append(TableChange(caption(call), True, _count(call), j))
    tables += [
        TableChange(caption(call), False, _count(call), i - len(old)) for i, call in enumerate(old) if i not in left
    ]
    return tuple(numbers), tuple(tables)


def caption(call: Call) -> str:
    """Return what a reader knows a call's numbers by."""
    texts = call["texts"]
    if call["name"] in call["keys"]:
        return f"The data's value {call['name']}"
    return next((texts[key] for key in ("caption", "label", "title") if texts.get(key)), str(call["name"]))


def _count(call: Call) -> int:
    return sum(len(row) for row in call["shown"])


def _paired(old: Sequence[Call], new: Sequence[Call]) -> list[tuple[int, int]]:
    """Return the places of calls that belong together."""
    pairs: list[tuple[int, int]] = []
    for identity in (_written, _captioned):
        left = _left(len(old), {i for i, _ in pairs})
        right = _left(len(new), {j for _, j in pairs})
        places: dict[str, list[int]] = {}
        for i in left:
            places.setdefault(identity(old[i]), []).append(i)
        for j in right:
            if same := places.get(identity(new[j])):
                pairs.append((same.pop(0), j))
    left = _left(len(old), {i for i, _ in pairs})
    right = _left(len(new), {j for _, j in pairs})
    names = SequenceMatcher(None, [_shape(old[i]) for i in left], [_shape(new[j]) for j in right], autojunk=False)
    for block in names.get_matching_blocks():
        pairs += [(left[block.a + step], right[block.b + step]) for step in range(block.size)]
    return pairs


def _left(count: int, taken: set[int]) -> list[int]:
    return [place for place in range(count) if place not in taken]


def _written(call: Call) -> str:
    return json.dumps([call["name"], call["arguments"]], sort_keys=True, ensure_ascii=False)


def _captioned(call: Call) -> str:
    return json.dumps([call["name"], caption(call)], ensure_ascii=False)


def _shape(call: Call) -> tuple[str, bool]:
    """Return what two calls share that may be one, changed: a number in a sentence never becomes a table."""
    return str(call["name"]), _is_inline(call)


def _is_inline(call: Call) -> bool:
    return list(call["columns"]) == ["value"] and len(call["rows"]) == 1


def _cells(old: Call, new: Call, place: int) -> Iterator[NumberChange]:
    """Yield the cells that moved from one list of a call to another, rows and columns matched by their heads."""
    changed = _written(old) != _written(new)
    causes = tuple(_causes(old["inputs"], new["inputs"], all_keys=not changed))
    before, after = _by_heads(old), _by_heads(new)
    corner = str(new["texts"].get("corner", ""))
    if _is_inline(old) and _is_inline(new):
        # The label of a number in a sentence may move with it.
        before, after = (dict(zip([("", 0, "", 0)], cells.values(), strict=True)) for cells in (before, after))
        corner = ""
    places = {heads: divmod(number, max(1, len(new["columns"]))) for number, heads in enumerate(after)}
    for heads in [*after, *(heads for heads in before if heads not in after)]:
        was, now = before.get(heads), after.get(heads)
        if (was and was[:3]) == (now and now[:3]):
            continue
        row, _, column, _ = heads
        (was_shown, now_shown), unit = _shown(was, now), (now or was or ("", ""))[1]
        yield NumberChange(
            caption(new), corner, row, column, was_shown, now_shown, unit, causes, changed, place, places.get(heads),
            was[3] if was else None, now[3] if now else None,
        )  # fmt: skip


def _shown(was: Cell | None, now: Cell | None) -> tuple[str | None, str | None]:
    """Return a cell before and after; where it reads the same, with its unit and rounding, of which one moved."""
    if was and now and was[0] == now[0]:
        one, other = (f"{cell[0]} ({', '.join(filter(None, cell[1:3]))})" for cell in (was, now))
        return one, other
    return was[0] if was else None, now[0] if now else None


def _by_heads(call: Call) -> dict[tuple[str, int, str, int], Cell]:
    """Return each cell by the heads of its row and column.

    Equal heads are counted.
    """
    cells: dict[tuple[str, int, str, int], Cell] = {}
    columns = _counted(call["columns"])
    rows = zip(_counted(call["rows"]), call["shown"], call["value"], strict=True)
    for (row, row_count), shown, values in rows:
        for number, ((column, column_count), text) in enumerate(zip(columns, shown, strict=True)):
            unit, rounding = (_of_column(call[key], number) for key in ("unit", "rounding"))
            cells[row, row_count, column, column_count] = (text, unit, rounding, values[number])
    return cells


def _counted(heads: Sequence[str]) -> list[tuple[str, int]]:
    seen: Counter[str] = Counter()
    counted = []
    for head in heads:
        counted.append((head, seen[head]))
        seen[head] += 1
    return counted


def _of_column(value: str | Sequence[str], number: int) -> str:
    return value if isinstance(value, str) else value[number]


def _causes(before: Mapping[str, str], after: Mapping[str, str], *, all_keys: bool) -> Iterator[Cause]:
    """Yield the keys whose kept text changed. A branch is left out where a key within it is told.

    Where the call itself changed, a key that only one of the two depends on moved nothing (`all_keys` is false).
    """
    keys = sorted({*before, *after} if all_keys else {*before} & {*after})
    told = ((key, before.get(key, NOT_GIVEN), after.get(key, NOT_GIVEN)) for key in keys)
    moved = [Cause(key, old, new) for key, old, new in told if old != new]
    for cause in moved:
        within = (f"{cause.key}.", f"{cause.key}[")
        if not any(other.key.startswith(within) for other in moved):
            yield cause
