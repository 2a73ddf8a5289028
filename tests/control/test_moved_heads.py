"""Heads and captions that hold a number: when it moves, what stands under them is still the same."""

from __future__ import annotations

from typing import Any

import pytest

from pages_to_compare import inline, page, table
from yokebook.control.as_read import PageAsRead
from yokebook.control.comparison import PageChanges, as_lines, compare_pages
from yokebook.words import FINDER, Block

DRIVE = {'machines["theatre-1"].drive': "gas: oxygen, high: {} L/min"}
BECAUSE = "    because machines.theatre-1.drive.high: 9 L/min → 10 L/min"


def inputs(high: int) -> dict[str, Any]:
    return {"inputs": {key: text.format(high) for key, text in DRIVE.items()}}


def compared(old: dict[str, Any], new: dict[str, Any]) -> PageChanges:
    return compare_pages(page(calls=(old,)), page(calls=(new,)))


def test_a_column_whose_head_moved_is_told_once_and_its_cells_from_old_to_new() -> None:
    """Not as one column that went and one that came; a cell that reads as before is not told."""
    rows = {"140": ["55 min", "5 h"], "100": ["35 min", "3 h"], "below 20": ["change now", "change now"]}
    old = table(rows, ["Ventilator: up to 10.1\u00a0L/min", "By hand"], **inputs(9))
    moved = {**rows, "140": ["50 min", "5 h"]}
    new = table(moved, ["Ventilator: up to 11.1\u00a0L/min", "By hand"], **inputs(10))
    assert [
        "CYL-01  A page  (a.md)",
        "  How long",
        "    column Ventilator: up to 10.1\u00a0L/min → 11.1\u00a0L/min",
        "    Reading (bar) 140, Ventilator: up to 11.1\u00a0L/min: 55 min → 50 min",
        BECAUSE,
    ] == as_lines(compared(old, new))


def test_a_row_is_matched_in_the_same_way() -> None:
    """As on a card, where uses head rows; each in its turn where several moved."""
    heads = "Ventilator: up to {}\u00a0L/min", "Mask: up to {}\u00a0L/min"
    old = table({heads[0].format(10): ["55 min"], heads[1].format(6): ["1 h"]}, ["140"])
    new = table({heads[0].format(11): ["50 min"], heads[1].format(7): ["1 h"]}, ["140"])
    changes = compared(old, new)
    assert ["Ventilator: up to 10\u00a0L/min → 11\u00a0L/min", "Mask: up to 6\u00a0L/min → 7\u00a0L/min"] == [
        head.as_text for head in changes.heads
    ]
    assert [((0, 0), "55 min → 50 min")] == [(number.at, number.as_text) for number in changes.numbers]


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("10 min", "20 min"),
        ("below 30", "below 40"),
        ("theatre-1", "theatre-2"),
        ("Mask: up to 6 L/min", "Mask: up to 100 mL/min"),
        ("Mask: up to 6 L/min", "Bag: up to 7 L/min"),
    ],
)
def test_a_head_that_is_known_by_its_number_or_its_words_is_another_one(old: str, new: str) -> None:
    """A reading, a time, a machine, another unit, another use: what stood under it went."""
    changes = compared(table({"100": ["1 h"]}, [old]), table({"100": ["2 h"]}, [new]))
    assert () == changes.heads
    assert [("2 h", None), ("1 h", None)] == [(number.new or number.old, None) for number in changes.numbers]
    assert ["not there before → 2 h", "1 h → no longer there"] == [number.as_text for number in changes.numbers]


@pytest.mark.parametrize(
    ("old", "new"),
    [
        (["1 L/min set", "2 L/min set"], ["2 L/min set", "4 L/min set"]),
        (["1 L/min set"], ["2 L/min set", "3 L/min set"]),
    ],
)
def test_heads_of_one_wording_are_not_guessed_at(old: list[str], new: list[str]) -> None:
    """Where one of them stayed, or another number of them came, nobody can tell which became which."""
    cells = ["1 h", "2 h"]
    assert () == compared(table({"100": cells[: len(old)]}, old), table({"100": cells[: len(new)]}, new)).heads


def labelled(number: str, draw: int, high: int) -> PageAsRead:
    """A page with a number in a sentence, whose label says for which draw it holds."""
    call = inline(number, texts={"label": f"Change at, for a draw up to {draw} L/min"}, **inputs(high))
    return page(Block("paragraph", ("Change it at ", number, ".")), calls=(call,))


def test_a_label_alone_is_no_change() -> None:
    """Staff read the number in its sentence, and never its label."""
    assert not compare_pages(labelled("40 bar", 10, 9), labelled("40 bar", 11, 10))


def test_a_label_in_which_a_quantity_moved_names_the_number_that_moved() -> None:
    """Once, with both quantities in it."""
    assert [
        "CYL-01  A page  (a.md)",
        "  Change at, for a draw up to 10 L/min → 11 L/min",
        "    40 bar → 50 bar",
        BECAUSE,
    ] == as_lines(compare_pages(labelled("40 bar", 10, 9), labelled("50 bar", 11, 10)))


def found_by(told: str, high: int = 9) -> PageAsRead:
    """A page with a table whose rows are found by a reading."""
    call = table({"100": ["35 min"]}, ["Ventilator"], texts={"caption": "How long", "finder": told}, **inputs(high))
    return page(Block(FINDER, ("", told)), calls=(call,))


def test_what_the_row_finder_says_is_told_from_old_to_new() -> None:
    """Under its table, with what moved it, and not again with the words."""
    told = "theatre-1, oxygen: the dial goes from 0 bar to 250 bar, a full cylinder comes to {} bar at most"
    changes = compare_pages(found_by(told.format(160)), found_by(told.format(150), 10))
    assert [
        "CYL-01  A page  (a.md)",
        "  How long",
        f"    row finder {told.format('160 bar → 150')}",
        BECAUSE,
    ] == as_lines(changes)
    assert ["Row finder"] == [head.where for head in changes.heads]


def test_a_row_finder_of_another_machine_is_told_with_the_words() -> None:
    """It is another finder, whatever its numbers are; and so is one in another unit."""
    changes = compare_pages(found_by("theatre-1: from 0 bar to 250 bar"), found_by("scanner-1: from 0 psi to 3000 psi"))
    assert () == changes.heads
    assert [
        "  Row finder:",
        "    [-theatre-1-]{+scanner-1+}: from 0 [-bar-]{+psi+} to [-250 bar-]{+3000 psi+}",
    ] == as_lines(changes)[1:]


def test_a_caption_in_which_a_number_moved_says_so_itself() -> None:
    """Above the numbers that moved; where none did, that is said."""
    old, new = (
        table({"100": ["35 min"]}, ["Ventilator"], texts={"caption": f"With the other at {other} bar"})
        for other in (90, 100)
    )
    words = [Block("caption", ("", call["texts"]["caption"])) for call in (old, new)]
    changes = compare_pages(page(words[0], calls=(old,)), page(words[1], calls=(new,)))
    expected = "  With the other at 90 bar → 100 bar", "    its numbers stay as they were"
    assert expected == tuple(as_lines(changes)[1:3])
    assert () == changes.words


def test_a_caption_that_says_something_else_is_told_with_the_words() -> None:
    """Word by word, and the table by its new name."""
    old, new = (
        table({"100": [cell]}, ["a"], texts={"caption": text}) for cell, text in (("1", "Lasts"), ("2", "Left"))
    )
    words = [Block("caption", ("", call["texts"]["caption"])) for call in (old, new)]
    changes = compare_pages(page(words[0], calls=(old,)), page(words[1], calls=(new,)))
    assert ["[-Lasts-]{+Left+}"] == [change.as_text for change in changes.words]
    assert ["Left"] == [moved.caption for moved in changes.by_table]


def test_calls_whose_captions_differ_in_numbers_alone_stay_together() -> None:
    """Though their author changed them, and another call of the same name stands before."""
    first, second = (
        table(
            {"100": ["1 h"]}, ["a"], arguments={"way": what, "spare": at}, texts={"caption": f"{what}, spare at {at}"}
        )
        for what, at in (("One after another", "90 bar"), ("Side by side", "90 bar"))
    )
    moved = first | {"arguments": {"spare": "100 bar"}, "texts": {"caption": "One after another, spare at 100 bar"}}
    changes = compare_pages(page(calls=(first, second)), page(calls=(second, moved)))
    assert () == changes.tables
    assert [("One after another, spare at 90 bar → 100 bar", "the call on the page was changed")] == [
        (told.caption, told.because) for told in changes.by_table
    ]
