"""Which words are the program's own: a page is renewed for these alone, and for no number that staff read."""

from __future__ import annotations

from pages_to_compare import inline, table
from yokebook.control.wording import moved_beside_words


def test_a_number_in_a_label_holds_nothing_up() -> None:
    """It stands in the working, which no approval covers."""
    old, new = (inline("40 bar", texts={"label": f"Change at, for a draw up to {draw} L/min"}) for draw in (10, 11))
    assert "" == moved_beside_words([old], [new])


def test_a_number_that_the_row_finder_says_is_one_that_staff_read() -> None:
    """Other words round it are not."""
    told = ("a full cylinder comes to 160 bar at most", "no full cylinder shows more than 160 bar", "at most 150 bar")
    first, second, third = (table({"100": ["1 h"]}, ["a"], texts={"finder": text}) for text in told)
    assert "" == moved_beside_words([first], [second])
    moved = "reserve_table: a number in its caption, condition, cautions or row finder moved"
    assert moved == moved_beside_words([first], [third])
