"""The machine card, from the data's text to what hangs at a machine."""

from __future__ import annotations

import re
from decimal import Decimal

import pytest

from calls_of import cell_of, result_of, told

CARD = (
    'machine_card(cylinder="oxygen-e", machine="theatre-1", uses=["bellows", "bag-low-flow"], time="15 min", '
    'readings=["140 bar", "100 bar", "60 bar"], first="the left one", hazards=["Ventilate by hand."]'
)
TABLE = (
    'reserve_table(cylinder="oxygen-e", machine="theatre-1", uses=["bellows", "bag-low-flow"], '
    'readings=["140 bar", "100 bar", "60 bar"])'
)


def test_a_card_says_what_the_table_of_the_page_says() -> None:
    """The same cells for the same readings, so that card and page never differ."""
    card, table = result_of(f"{CARD})").as_read, result_of(TABLE).as_read
    *by_reading, below = table["rows"]
    held_together = [[cell.replace("h ", "h\u00a0") for cell in row] for row in card["rows"][:-1]]
    assert by_reading == held_together
    assert "below 60" == below[0]
    assert ["Reading (bar)", "Ventilator, 1\u00a0L/min set", "By hand at low flow, 1\u00a0L/min set"] == card["heads"]


@pytest.mark.parametrize(("column", "use"), [(1, "bellows"), (2, "bag-low-flow")])
def test_a_card_says_where_to_change_as_the_sentence_does(column: int, use: str) -> None:
    """The last row has the reading of change_at for each use."""
    sentence = cell_of(f'change_at(cylinder="oxygen-e", machine="theatre-1", use="{use}", time="15 min")')
    *_, change = result_of(f"{CARD})").as_read["rows"]
    assert "Not below" == change[0]
    assert sentence.text == change[column]


def test_a_card_tells_its_dial_its_cylinder_and_its_condition() -> None:
    """The end of the scale, the water capacity stamped, which first, the hazards, the cautions, the drawing."""
    read = result_of(f"{CARD})").as_read
    assert "theatre-1 · Oxygen" == read["head"]
    hazard, first, beside, under = read["cautions"]
    assert ("Ventilate by hand.", "First: the left one") == (hazard, first)
    assert "For cylinders stamped 4.68\u00a0L (size E, UK), for dials that end at 250\u00a0bar." == beside
    assert (
        "Not below: change before that; 15\u00a0min are then in hand, and 5\u00a0min for the change. If below, "
        "change at "
        "once. The dial marks the highest." in under
    )
    assert "If the reading lies between two rows, use the lower one." in under
    assert "the manufacturer's instructions, local rules or licensed practice." in under
    assert (
        "Ventilator, 1\u00a0L/min set: up to 10.1\u00a0L/min; By hand at low flow, 1\u00a0L/min set: up to "
        "1.1\u00a0L/min." in under
    )
    assert {"oxygen", "bar", "250"} <= set(read["dial"])


def test_the_pointer_stands_where_the_greediest_use_is_to_be_changed() -> None:
    """Who compares the drawing with the dial changes early, not late."""
    html = result_of(f"{CARD})").html
    _, *changes = result_of(f"{CARD})").as_read["rows"][-1]
    highest = max(Decimal(text.partition("\u00a0")[0]) for text in changes)
    assert f"change here: {highest:f} bar</title>" in html


def test_all_numbers_of_a_card_stand_in_the_list_of_numbers() -> None:
    """A use to each row: its times by reading, then where to change, each column with its unit and rounding."""
    numbers = result_of(f"{CARD})").numbers
    assert numbers is not None
    plain = numbers.as_plain()
    assert ["140", "100", "60", "Not below"] == plain["columns"]
    assert ["min", "min", "min", "bar"] == plain["unit"]
    assert ["down", "down", "down", "up"] == plain["rounding"]
    assert [row[-1] for row in plain["value"]] == ["70", "30"]
    assert {"department.change_time", 'gauges["yoke-oxygen"].accuracy', "uses.bellows.draws.oxygen"} <= set(
        plain["keys"]
    )


def test_no_number_of_a_card_is_missing_from_its_list() -> None:
    """Each number that its HTML shows stands in the list, in a cell or in the words round the cells."""
    result = result_of(f"{CARD})")
    assert result.numbers is not None
    listed = str(result.numbers.as_plain())
    text = re.sub(r"<desc>.*?</desc>|<[^>]*>", " ", result.html)
    shown = re.findall(r"(?<![\w.])[0-9]+(?:\.[0-9]+)?", text)
    assert len(shown) > 60
    assert [] == [number for number in shown if number not in listed]


def test_without_readings_a_card_takes_few_steps_of_the_dial() -> None:
    """At most seven rows with where to change, none below that: the row of the change is the last word."""
    for use in ("bellows", "bag-low-flow"):
        call = f'machine_card(cylinder="oxygen-e", machine="theatre-1", uses=["{use}"], time="15 min", first="one", '
        rows = result_of(f'{call}hazards=["Look."])').as_read["rows"]
        assert 4 <= len(rows) <= 7
        readings = [Decimal(row[0]) for row in rows[:-1]]
        assert readings[-1] >= Decimal(rows[-1][1].partition("\u00a0")[0])
        assert all(reading % 10 == 0 for reading in readings)


def test_a_card_is_refused_before_a_letter_is_made_smaller() -> None:
    """More rows, more columns, more words: each is refused, with what is allowed."""
    long_words = ", ".join(['"Close the empty cylinder before you open the full one, and tell somebody"'] * 4)
    asked = f"{CARD})".replace('["Ventilate by hand."]', f"[{long_words}]")
    (code, wrong, allowed, example), *rest = told(asked)
    assert ("E581", []) == (code, rest)
    assert re.fullmatch(r"these words need \d+ mm of height, and a card of A6 has 130 mm", wrong)
    assert allowed.startswith('size="A5", or fewer readings')
    assert 'size="A5"' == example
    assert result_of(asked.replace("first=", 'size="A5", first=')).as_read["head"]


def test_a_typed_number_is_refused_on_a_card() -> None:
    """A card hangs for months: a number in the author's words would stay when the data change."""
    ((code, wrong, allowed, _),) = told(f"{CARD})".replace("the left one", "the one above 100 bar"))
    assert "E562" == code
    assert "100 bar is typed by hand: it would stay as it is when the department's data change" == wrong
    assert "words; the numbers of the card stand in its table" == allowed


def test_a_gas_whose_gauge_tells_no_contents_has_no_card() -> None:
    """A card for nitrous oxide by its gauge would promise what nobody knows."""
    call = f"{CARD})".replace("oxygen-e", "nitrous-oxide-e").replace('"bellows", ', "")
    assert "E526" in [code for code, *_ in told(call)]
