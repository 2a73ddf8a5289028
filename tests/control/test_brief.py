"""What moved on a page in a few lines: the most telling first, and never more than asked for."""

from __future__ import annotations

import pytest

from pages_to_compare import inline, page, table
from yokebook.control.brief import brief_lines
from yokebook.control.comparison import as_lines, compare_pages
from yokebook.words import Block

MORE = "and more"


def test_what_fits_is_told_whole() -> None:
    """As approve tells it."""
    old, new = (page(calls=(table({"100": [shown]}, ["a"]),)) for shown in ("10", "20"))
    changes = compare_pages(old, new)
    assert as_lines(changes)[1:] == brief_lines(changes, 3, MORE)


def long_change() -> tuple[list[str], list[str]]:
    """Two tables, one of many numbers, a number in a sentence, a caption, words of an author and of a call."""
    pages = []
    for number, word in ((1, "two"), (2, "both")):
        rows = {str(row): [str(row + number)] for row in range(5, 12)}
        kept = {"inputs": {"department.keep_back": f"{number} bar"}}
        calls = (
            table(rows, ["a"], **kept),
            inline(f"{number} bar", value=[[str(number)]], **kept),
            table({"100": ["same"]}, ["a"], name="leak_table", texts={"caption": f"Leaks at {number} bar"}, **kept),
        )
        blocks = (Block("condition", ("", f"Worked at {word} ends.")), f"Lift with {word} hands, close to the body.")
        pages.append(page(*blocks, calls=calls))
    changes = compare_pages(*pages)
    return as_lines(changes)[1:], brief_lines(changes, 12, MORE)


def test_numbers_stand_first_and_the_words_of_calls_last() -> None:
    """Those that moved most of themselves first, and what moved them once."""
    whole, brief = long_change()
    assert len(whole) > 12
    assert [
        "  because department.keep_back: 1 bar → 2 bar:",
        "  Change at",
        "    1 bar → 2 bar",
        "  How long",
        "    Reading (bar) 5, a: 6 min → 7 min",
        "    Reading (bar) 6, a: 7 min → 8 min",
        "    and 5 more of its numbers",
        "  Paragraph:",
        "    Lift with [-two-]{+both+} hands, close to the body.",
        "  Leaks at 1 bar → 2 bar",
        "    its numbers stay as they were",
        "  and more",
    ] == brief


@pytest.mark.parametrize("most", range(2, 20))
def test_it_is_never_longer_than_asked_for_and_ends_in_no_caption(most: int) -> None:
    """A caption without its numbers says nothing."""
    rows = {str(row): [str(row)] for row in range(30)}
    kept = [table(rows, ["a"], texts={"caption": name}, arguments={"name": name}) for name in "abcdef"]
    old = page(calls=tuple(kept))
    moved = {row: [f"{cell}0"] for row, (cell,) in rows.items()}
    new = page(calls=tuple(call | {"shown": list(moved.values()), "value": list(moved.values())} for call in kept))
    lines = brief_lines(compare_pages(old, new), most, MORE)
    assert len(lines) <= most
    assert "  and more" == lines[-1]
    assert len(lines) < 2 or lines[-2].startswith(("    ", "  because"))
