"""Tables that authors write: read as tables, and no cell that no column takes, which Markdown would drop unseen."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence

from yokebook.errors import Problem
from yokebook.pages.lists import Line
from yokebook.pages.places import Places
from yokebook.pages.probes import Probe, Suspicion, unless_unread
from yokebook.pages.scanner import MASK

_RULE = re.compile(r"(?=[^|]*\|)(?=[^-]*-)[|:\- ]+")
_PIPE = re.compile(r"\\.|(?P<pipe>\|)")
_EXAMPLE = "| Reading | What to do |\n|---|---|\n| low | change it |"


def suspicions(lines: Sequence[Line], places: Places) -> Iterator[Suspicion]:
    """Yield what looks wrong with the tables of a text."""
    for number, rule in enumerate(lines):
        head = lines[number - 1] if number else rule
        if number and _RULE.fullmatch(rule.text) and "|" in head.text and not _RULE.fullmatch(head.text):
            above = lines[number - 2] if number > 1 else None
            # Within the first cell: a word before its sign would make another cell.
            inside = head.start + head.text.startswith("|")
            for problem in _of_table(above, head, rule, lines[number + 1 :], places):
                yield unless_unread(Probe(inside, inside), problem)


def _of_table(above: Line | None, head: Line, rule: Line, after: Sequence[Line], places: Places) -> Iterator[Problem]:
    columns, marked = len(_cells(head)), len(_cells(rule))
    if above and above.text and above.quote == head.quote:
        yield _not_read(head, "an empty line is missing above this table", places)
    elif columns != marked:
        wrong = f"the head of this table has {_columns(columns)}, the line below it {_columns(marked)}"
        yield _not_read(head, wrong, places)
    else:
        yield from _of_rows(columns, head, after, places)


def _of_rows(columns: int, head: Line, after: Sequence[Line], places: Places) -> Iterator[Problem]:
    for row in after:
        if not row.text or row.quote != head.quote:
            return
        cells = _cells(row)
        if len(cells) > columns:
            start, text = cells[columns]
            yield places.problem(
                row.start + start,
                "E579",
                f"the table has {_columns(columns)}, and this row {len(cells)} cells: a reader never sees those beyond",
                written=text.split(MASK)[0].split(" ")[0],
                allowed="as many cells in a row as the head has; a stroke within a cell is written \\|",
                example=_EXAMPLE,
            )


def _columns(count: int) -> str:
    return f"{count} column{'s' * (count != 1)}"


def _not_read(head: Line, wrong: str, places: Places) -> Problem:
    return places.problem(
        head.start,
        "E580",
        f"{wrong}, so a reader sees strokes and no table",
        written="|",
        allowed="an empty line, the head, a line of hyphens with as many columns, then the rows",
        example=_EXAMPLE,
    )


def _cells(line: Line) -> list[tuple[int, str]]:
    """Return the cells of a row, each with where its text begins in the line; strokes at its ends part nothing."""
    text = line.text
    pipes = [found.start() for found in _PIPE.finditer(text) if found["pipe"]]
    begins = [0, *(at + 1 for at in pipes)]
    ends = [*pipes, len(text)]
    cells = [(start, text[start:end]) for start, end in zip(begins, ends, strict=True)]
    if text.startswith("|"):
        cells = cells[1:]
    if pipes and pipes[-1] == len(text) - 1 and cells:
        cells = cells[:-1]
    return [(start + len(cell) - len(cell.lstrip()), cell.strip()) for start, cell in cells]
