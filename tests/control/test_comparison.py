"""Two states of a page side by side: words word by word, numbers cell by cell, and what moved the numbers."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calls_of import copy_fleet, result_of
from changing_site import change_data, change_page, lay_out, read
from demo_site import change as change_text
from pages_to_compare import inline, page, table
from yokebook.control.as_read import PageAsRead
from yokebook.control.comparison import as_lines, compare_all, compare_pages
from yokebook.control.moved_words import Kind, Said, WordChange
from yokebook.words import DRAWING, Block

CAPTION = (
    "At least how long one cylinder of oxygen lasts, by its gauge: for cylinders stamped 4.68\u00a0L (size E, UK), "
    "on theatre-1, for dials that end at 250\u00a0bar"
)


def moved(old: PageAsRead, new: PageAsRead) -> list[tuple[str, str]]:
    return [(change.where, change.as_text) for change in compare_pages(old, new).words]


def numbers(*pair: dict[str, Any]) -> list[tuple[str, str, str]]:
    old, new = (page(calls=(call,)) for call in pair)
    return [(change.place, change.as_text, change.because) for change in compare_pages(old, new).numbers]


@pytest.mark.parametrize(
    ("old", "new", "expected"),
    [
        ("Lift with two hands.", "Lift with both hands.", "Lift with [-two-]{+both+} hands."),
        ("Close it.", "Close it slowly.", "Close it{+ slowly+}."),
        ("Open it slowly now.", "Open it now.", "Open it [-slowly -]now."),
        ("a b c d e", "a x y d e", "a [-b c-]{+x y+} d e"),
        ("It lasts 5\u00a0min or so.", "It lasts 6\u00a0min or so.", "It lasts [-5\u00a0min-]{+6\u00a0min+} or so."),
        (
            "Loose, by 2.5\u00a0% or half-way.",
            "Loose, by 2\u00a0% or half-way.",
            "Loose, by [-2.5\u00a0%-]{+2\u00a0%+} or half-way.",
        ),
    ],
)
def test_words_are_compared_word_by_word(old: str, new: str, expected: str) -> None:
    """What went and what came, with the words round it."""
    assert [("Paragraph", expected)] == moved(page(old), page(new))


def test_what_came_and_what_went_is_told_with_its_heading() -> None:
    """A block that is like no other is told alone."""
    heading = Block("heading", ("Steps",))
    old = page(heading, "Close the valve.", "Take the old washer off and look at it.", "Tell the others.")
    new = page(heading, "Say aloud what you will do.", "Close the valve.", "Tell the others.")
    assert [
        ("Paragraph put in, under “Steps”", "{+Say aloud what you will do.+}"),
        ("Paragraph taken out, under “Steps”", "[-Take the old washer off and look at it.-]"),
    ] == moved(old, new)


def test_blocks_are_paired_by_what_is_most_alike() -> None:
    """A sentence put in before one that changed does not take its place."""
    old = page("Lift the cylinder with two hands, close to the body.")
    new = page("Say aloud what comes next.", "Lift the cylinder with both hands, close to the body.")
    expected = "Lift the cylinder with [-two-]{+both+} hands, close to the body."
    assert [("Paragraph put in", "{+Say aloud what comes next.+}"), ("Paragraph", expected)] == moved(old, new)


def test_a_long_text_is_cut_to_what_stands_next_to_the_change() -> None:
    """Eight words on either side are enough to find the place."""
    long = " ".join(f"w{number}" for number in range(40))
    expected = "… w32 w33 w34 w35 w36 w37 w38 w39 [-old-]{+new+} w0 w1 w2 w3 w4 w5 w6 w7 …"
    assert [("Paragraph", expected)] == moved(page(f"{long} old {long}"), page(f"{long} new {long}"))


def test_a_link_that_leads_elsewhere_is_told_though_its_words_stay() -> None:
    """A wrong link sends a reader to the wrong steps."""
    old, new = (Block("paragraph", ("See this.",), (address,)) for address in ("a.html", "b.html"))
    assert [("Paragraph", "See this. (leads to [-a.html-]{+b.html+})")] == moved(page(old), page(new))


def test_a_sentence_in_which_only_a_number_moved_is_told_with_the_numbers() -> None:
    """Not twice."""
    old, new = (Block("paragraph", ("Change at ", shown, ".")) for shown in ("40 bar", "50 bar"))
    changes = compare_pages(page(old, calls=(inline("40 bar"),)), page(new, calls=(inline("50 bar"),)))
    assert () == changes.words
    assert ["40 bar → 50 bar"] == [change.as_text for change in changes.numbers]


def test_a_word_of_the_data_that_has_no_number_is_told_with_the_words() -> None:
    """And said to be the data's, not the author's."""
    old, new = (Block("paragraph", ("The plug hangs ", where, ".")) for where in ("on a chain", "in a drawer"))
    (change,) = compare_pages(page(old), page(new)).words
    assert (Said.DATA, "The plug hangs [-on-]{+in+} a [-chain-]{+drawer+}.") == (change.said_by, change.as_text)


@pytest.mark.parametrize(
    ("parts", "said"),
    [(("", "Worked at its {}."), Said.PROGRAM), (("Worked at its {}.",), Said.AUTHOR)],
)
def test_whose_words_changed(parts: tuple[str, ...], said: Said) -> None:
    """Those of a call are the program's, all others their author's."""
    old, new = (
        page(Block("condition", tuple(part.format(word) for part in parts))) for word in ("worst corner", "worst")
    )
    assert [said] == [change.said_by for change in compare_pages(old, new).words]


STEPS = Block("heading", ("Steps",))


def test_a_step_that_was_made_longer_is_told_word_by_word() -> None:
    """Though most of its words are new now: the old ones still stand in it."""
    old, more = "Write the record.", " Write that the yoke is empty, and tell whoever takes over from you."
    expected = [("List item, under “Steps”", f"{old}{{+{more}+}}")]
    assert expected == moved(page(STEPS, step(old), step("Go.")), page(STEPS, step(old + more), step("Go.")))
    shifted = page(STEPS, step("Close the valve first."), step(old + more), step("Go."))
    put_in = ("List item put in, under “Steps”", "{+Close the valve first.+}")
    assert [put_in, *expected] == moved(page(STEPS, step(old), step("Go.")), shifted)


def step(text: str) -> Block:
    return Block("list item", (text,))


def test_a_step_that_took_the_place_of_another_is_told_beside_it() -> None:
    """Each whole, not word by word: what both happen to share says nothing."""
    old, new = page(STEPS, step("Lift it by the yoke."), "End."), page(STEPS, step("Ask for the trolley."), "End.")
    assert [("List item, under “Steps”", "[-Lift it by the yoke.-]{+Ask for the trolley.+}")] == moved(old, new)


def test_blocks_of_another_kind_do_not_take_each_others_place() -> None:
    """A step that went and a paragraph that came are two changes."""
    told = moved(page(STEPS, step("Lift it by the yoke.")), page(STEPS, "Ask for the trolley."))
    assert ["List item taken out, under “Steps”", "Paragraph put in, under “Steps”"] == [where for where, _ in told]


def test_what_is_the_same_gives_nothing() -> None:
    """No change is no change, whatever the page holds."""
    same = page("Words.", Block("paragraph", ("Change at ", "40 bar", ".")), calls=(inline("40 bar"),))
    changes = compare_pages(same, same)
    assert not changes
    assert ["CYL-01  A page  (a.md)", "  Nothing that a reader reads moved."] == as_lines(changes)


WORDS = st.lists(st.sampled_from(["open", "close", "the", "valve", "slowly.", "now,", "2"]), max_size=12)


@given(st.lists(WORDS, max_size=5), st.lists(WORDS, max_size=5))
def test_the_pieces_of_each_change_give_both_texts_back(old: list[list[str]], new: list[list[str]]) -> None:
    """What stayed and went is the old text, what stayed and came the new one; no block is lost on the way."""
    before, after = (page(*(text for words in blocks if (text := " ".join(words)))) for blocks in (old, new))
    changes = compare_pages(before, after).words
    for change in changes:
        assert (change.old or "") == text_of(change, Kind.GONE)
        assert (change.new or "") == text_of(change, Kind.NEW)
    untouched = len(before.words) - sum(change.old is not None for change in changes)
    assert len(after.words) == untouched + sum(change.new is not None for change in changes)


def text_of(change: WordChange, kind: Kind) -> str:
    return "".join(piece.text for piece in change.pieces if piece.kind in (Kind.SAME, kind))


def test_a_moved_number_is_told_by_row_and_column() -> None:
    """Old → new, where the table has it."""
    old = table({"100": ["35 min", "5 h"], "60": ["19 min", "2 h"]}, ["Ventilator", "By hand"])
    new = table({"100": ["35 min", "5 h"], "60": ["18 min", "2 h"]}, ["Ventilator", "By hand"])
    assert [("Reading (bar) 60, Ventilator", "19 min → 18 min", "the program works it out in another way now")] == (
        numbers(old, new)
    )


def test_rows_and_columns_are_matched_by_their_heads() -> None:
    """A row put in above does not shift the others; what went and what came is told cell by cell."""
    old = table({"100": ["35 min"], "60": ["19 min"]}, ["Ventilator"])
    new = table({"140": ["50 min"], "100": ["35 min"]}, ["Ventilator"])
    assert [
        ("Reading (bar) 140, Ventilator", "not there before → 50 min"),
        ("Reading (bar) 60, Ventilator", "19 min → no longer there"),
    ] == [told[:2] for told in numbers(old, new)]


def test_two_rows_of_one_name_are_told_apart_by_their_order() -> None:
    """The second stays the second."""
    old, new = (
        table({}, ["Fits"]) | {"rows": ["air", "air"], "shown": [["yes"], [second]], "value": [[None], [None]]}
        for second in ("no", "yes")
    )
    (change,) = compare_pages(page(calls=(old,)), page(calls=(new,))).numbers
    assert ((1, 0), "no → yes") == (change.at, change.as_text)


def test_a_unit_or_a_rounding_that_moves_is_a_change_though_the_figures_stay() -> None:
    """137 in psi is not 137 in bar."""
    old, new = (table({"full": ["137"]}, ["Reading"], unit=unit) for unit in ("bar", "psi"))
    assert ["137 (bar, down) → 137 (psi, down)"] == [told[1] for told in numbers(old, new)]
    old, new = (table({"full": ["137"]}, ["Reading"], rounding=[way]) for way in ("down", "up"))
    assert ["137 (min, down) → 137 (min, up)"] == [told[1] for told in numbers(old, new)]


def test_a_call_that_was_changed_itself_is_said_to_be() -> None:
    """Keys that only one of the two depends on moved nothing."""
    old = inline("40 bar", arguments={"machine": "theatre-1"}, inputs={"a": "1", "c": "3"})
    new = inline("50 bar", arguments={"machine": "scanner-1"}, inputs={"b": "2", "c": "4"})
    assert ["the call on the page was changed; c: 3 → 4"] == [told[2] for told in numbers(old, new)]


def test_tables_that_came_and_went_are_told_in_one_line_each() -> None:
    """Not cell by cell."""
    first = table({"100": ["35 min"], "60": ["19 min"]}, ["Ventilator"])
    other = table({"10 min": ["60 bar"]}, ["Mask"], name="leave_with_table", texts={"caption": "Leave with"})
    changes = compare_pages(page(calls=(first,)), page(calls=(other,)))
    assert () == changes.numbers
    assert [
        "CYL-01  A page  (a.md)",
        "  Leave with: a number put in",
        "  How long: a table of 2 cells taken out",
    ] == as_lines(changes)


def test_a_number_that_an_author_typed_is_told_with_the_words_around_it() -> None:
    """That a typed number was put in or taken out says nothing beside them."""
    typed = inline("2 min", name="typed", texts={"label": "Typed on purpose", "text": "2 min"})
    with_it = page(Block("paragraph", ("Stay for ", "2 min", ".")), calls=(typed,))
    without = page("Stay.")
    assert ["  Paragraph:", "    Stay{+ for 2 min+}."] == as_lines(compare_pages(without, with_it))[1:]
    assert ["  Paragraph:", "    Stay[- for 2 min-]."] == as_lines(compare_pages(with_it, without))[1:]


@pytest.mark.parametrize(
    ("old", "new", "told"),
    [
        ("Steps. 0 20 40 60 80 100 0 50 100 Pressure", "Steps. 0 20 40 0 50 100 Pressure",
         "Steps. 0 to [-100-]{+40+} 0 to 100 Pressure"),
        ("Steps. 0 20 40 60 Pressure", "Steps. 0 10 20 30 40 50 60 Pressure",
         "The drawing shows other numbers"),
        ("The pointer stands at 60 bar", "The pointer stands at 70 bar", "The pointer stands at [-60-]{+70+} bar"),
    ],
)  # fmt: skip
def test_the_numbers_along_an_axis_are_not_told_one_by_one(old: str, new: str, told: str) -> None:
    """From where to where it goes; a number in a drawing's words is told as ever."""
    was, now = (page(Block(DRAWING, ("", text))) for text in (old, new))
    assert ["  Drawing:", f"    {told}"] == as_lines(compare_pages(was, now))[1:]


def test_calls_stay_together_by_arguments_wherever_they_went() -> None:
    """Two tables that change places have not moved."""
    first, second = (table({"100": [shown]}, ["a"], arguments={"cylinder": shown}) for shown in ("1 min", "2 min"))
    assert not compare_pages(page(calls=(first, second)), page(calls=(second, first)))


def test_pictures_are_compared_by_their_bytes() -> None:
    """Put in, taken out, or another one under the same name."""
    old = page(files={"a.png": "1", "b.png": "1", "c.png": "1"})
    new = page(files={"a.png": "1", "b.png": "2", "d.png": "1"})
    expected = [
        ("b.png", "another picture under the same name"),
        ("c.png", "taken out"),
        ("d.png", "put in"),
    ]
    assert expected == [(change.path, change.what) for change in compare_pages(old, new).files]


def test_a_page_that_moved_is_still_the_same_procedure() -> None:
    """Its number tells; a page without one is known by its path."""
    old, new = page("Words."), replace(page("Other words."), path="b.md")
    plain = PageAsRead("words.md", "", "Words")
    changes = compare_all({"a.md": old, "words.md": plain}, {"b.md": new})
    assert [("b.md", False, False), ("words.md", False, True)] == [
        (change.path, change.is_new, change.is_gone) for change in changes
    ]
    assert "  The page is no longer there." == as_lines(changes[1])[1]


def test_nothing_against_nothing_is_refused() -> None:
    """A comparison of no page would be a slip of the program."""
    with pytest.raises(ValueError, match="at least one state"):
        compare_pages(None, None)


def test_a_change_of_the_data_moves_what_it_moves_and_names_itself(tmp_path: Path) -> None:
    """From the data file to the lines that a reader reads: the time to change a cylinder, where it is counted in."""
    before = read(lay_out(tmp_path / "site"))
    change_data(tmp_path / "site", "department.yaml", "change_time: 5 min", "change_time: 9 min")
    label = (
        "The lowest reading from which one cylinder of oxygen still lasts 15\u00a0min and the 5\u00a0min → 9\u00a0min "
        "that a change takes, Ventilator, 1\u00a0L/min set: up to 10.1\u00a0L/min, for cylinders stamped "
        "4.68\u00a0L (size E, UK), "
        "on theatre-1, for dials that end at 250\u00a0bar"
    )
    (changes,) = compare_all(before, read(tmp_path / "site"))
    assert [
        "CYL-01  Changing a cylinder  (changing.md)",
        f"  {label}",
        "    70\u00a0bar → 80\u00a0bar",
        "    because department.change_time: 5 min → 9 min",
    ] == as_lines(changes)


def test_a_change_of_the_page_is_told_apart_from_one_of_the_data(tmp_path: Path) -> None:
    """Words of the author, a table with other readings, a page taken out."""
    site = lay_out(tmp_path / "site")
    before = read(site)
    change_page(site, "changing.md", "two hands", "both hands")
    change_page(site, "changing.md", ', "30 bar"]', "]")
    (site / "content/pages/words.md").unlink()
    changes = compare_all(before, read(site))
    assert [
        "CYL-01  Changing a cylinder  (changing.md)",
        "  Paragraph, under “Steps”:",
        "    Lift with [-two-]{+both+} hands, close to the body. See the card.",
        f"  {CAPTION}",
        "    Reading (bar) below 60, Ventilator, 1\u00a0L/min set: up to 10.1\u00a0L/min: not there before → "
        "change now",
        "    Reading (bar) below 60, By hand at low flow, 1\u00a0L/min set: up to 1.1\u00a0L/min: not there "
        "before → change now",
        "    Reading (bar) 30, Ventilator, 1\u00a0L/min set: up to 10.1\u00a0L/min: 2\u00a0min → no longer there",
        "    Reading (bar) 30, By hand at low flow, 1\u00a0L/min set: up to 1.1\u00a0L/min: 25\u00a0min → no "
        "longer there",
        "    Reading (bar) below 30, Ventilator, 1\u00a0L/min set: up to 10.1\u00a0L/min: change now → no longer there",
        "    Reading (bar) below 30, By hand at low flow, 1\u00a0L/min set: up to 1.1\u00a0L/min: change now → "
        "no longer there",
        "    because the call on the page was changed",
        "Words  (words.md)",
        "  The page is no longer there.",
    ] == [line for change in changes for line in as_lines(change)]


CARD_CALL = (
    'machine_card(cylinder="oxygen-e", machine="theatre-1", uses=["bellows", "bag-low-flow"], time="15 min", '
    'readings=["100 bar", "50 bar"], first="the one with the lower reading", hazards=["No oil."])'
)


def test_what_moved_on_a_card_is_told_with_machine_gas_reading_and_unit(tmp_path: Path) -> None:
    """A row of a briefing is read without the card: 100 is a reading in bar, on the dials of this machine."""
    fleet = copy_fleet(tmp_path / "fleet")
    before = result_of(CARD_CALL, fleet)
    change_text(fleet / "content/data/department.yaml", "keep_back: 10 bar", "keep_back: 14 bar")
    after = result_of(CARD_CALL, fleet)
    assert before.numbers
    assert after.numbers
    changes = compare_pages(page(calls=(before.numbers.as_plain(),)), page(calls=(after.numbers.as_plain(),)))
    assert {"theatre-1 · Oxygen: At least how long one cylinder lasts"} == {one.table for one in changes.numbers}
    places = [one.place.replace("\u00a0", " ") for one in changes.numbers]
    assert "Ventilator, 1 L/min set: up to 10.1 L/min, Reading (bar) 50" in places
    assert not [place for place in places if place.endswith((", 100", ", 50"))]


def test_a_bare_number_is_told_with_the_unit_of_its_table_before_and_now() -> None:
    """Readings of a transfer are in the unit of the dial, and a dial may have been changed for one in another unit."""
    corner = "Time planned; readings in kPa × 100"
    head = table({"5 min": ["100"]}, ["Mask"], unit="kPa × 100", texts={"caption": "Leave with", "corner": corner})
    assert [(f"{corner}: 5 min, Mask", "100 kPa × 100 → 105 kPa × 100")] == [
        told[:2] for told in numbers(head, head | {"shown": [["105"]], "value": [["105"]]})
    ]
    was = table(
        {"15 min": ["140", "no"]}, ["Mask", "Drive"], unit="bar", texts={"caption": "Leave with", "corner": "Time"}
    )
    now = was | {"shown": [["2000", "20"]], "value": [["2000", "20"]], "unit": "psi"}
    assert [("Time 15 min, Mask", "140 bar → 2000 psi"), ("Time 15 min, Drive", "no → 20 psi")] == [
        told[:2] for told in numbers(was, now)
    ]
