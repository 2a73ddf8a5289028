"""Boxes, tables and braces: what a reader would not see as its author meant it, and no alarm over what is well."""

from __future__ import annotations

import pytest

from yokebook.pages.checks import lay_out
from yokebook.pages.page import read_page

FRONT = "---\ntitle: A page\n---\n\n"


def told(body: str) -> list[tuple[int, str, str]]:
    """Return line within the body, code and what was written, of each problem in a page's own text."""
    draft, problems = read_page("page.md", "page.md", (FRONT + body).encode())
    assert draft is not None
    _, found = lay_out(draft)
    return sorted((problem.line - 4, problem.code, problem.written) for problem in [*problems, *found])


WELL = {
    "a box, its text after an empty line": '!!! danger "DANGER: fire"\n\n    Keep grease away.\n',
    "a box, its text right below": "!!! warning\n    Open slowly.\n",
    "a box that folds": '??? note "More"\n\n    Ask.\n\n???+ notice\n\n    Ask.\n',
    "a box in a step": '1.  Close.\n\n    !!! caution "CAUTION: cold"\n\n        Wear gloves.\n\n2.  Bleed.\n',
    "a box that begins with a list": "!!! note\n\n    - one\n    - two\n",
    "a box whose title has quotes": '!!! note "The "red" lamp"\n\n    It is lit.\n',
    "a box in a quote": "> !!! note\n>\n>     Quoted.\n",
    "a box that begins with a call": "!!! note\n\n    {{ department.keep_back }} is kept.\n",
    "a box in a fenced block": "```\n!! danger\n!!! fire\n```\n",
    "a box in an indented block of code": "Text.\n\n    !! danger\n    !!! fire\n",
    "an exclamation": "Close it! At once!!\n\nReally?\n",
    "a box in a comment": "<!--\n!! danger\n-->\n",
    "a table": "| a | b |\n|---|:-:|\n| 1 | 2 |\n| 3 |\n| | |\n",
    "a table without strokes at its ends": "a | b\n--|--\n1 | 2\n",
    "a table of one column": "| a |\n|---|\n| 1 |\n",
    "a stroke in code, and one that is escaped": "| a | b |\n|---|---|\n| `x | y` | 2 \\| 3 |\n",
    "a stroke within a call": '| a |\n|---|\n| {{ typed(text="1 | 2", why="b|c") }} |\n',
    "a table in a step": "1.  Look:\n\n    | a | b |\n    |---|---|\n    | 1 | 2 |\n",
    "a table in a fenced block": "```\nText\n| a | b |\n|---|\n| 1 | 2 | 3 |\n```\n",
    "a table in an indented block of code": "Text.\n\n    | a | b |\n    |---|---|\n    | 1 | 2 | 3 |\n",
    "a heading with a line below": "a | b\n-----\n\nText.\n",
    "attributes of an element": "## Head {#here}\n\nText {: .wide }\n\n**bold**{ width=80 }\n",
    "braces in code": "Write `{ department.keep_back }`, as in\n\n    { cylinders.a }\n",
    "braces of other words": "The set {a, b} and {one two} and { 3.5 }.\n",
    "a number that is counted": "Change at 12 o'clock. The gauge reads below 20 lines. Changed at 30 beds.\n",
    "a number that is no mark": "Look at step 12. See page 40. It reads 137. Change at 3.\n",
}


@pytest.mark.parametrize("body", WELL.values(), ids=WELL.keys())
def test_what_is_well_is_left_alone(body: str) -> None:
    """No alarm over what a reader sees as it was meant, or over code."""
    assert [] == told(body)


@pytest.mark.parametrize(
    ("body", "expected"),
    [
        ("!! danger\n", [(1, "E576", "!! danger")]),
        ('!!!! note "Wait"\n\n    Text.\n', [(1, "E576", '!!!! note "Wait"')]),
        ("!!! danger: fire\n\n    Text.\n", [(1, "E576", "!!! danger: fire")]),
        ("???\n", [(1, "E577", "")]),
        (' !!! note "One space in"\n\n    Text.\n', [(1, "E576", '!!! note "One space in"')]),
        ("!!! fire\n\n    Text.\n", [(1, "E577", "fire")]),
        ('!!! DANGER "Fire"\n\n    Text.\n', [(1, "E577", "DANGER")]),
        ("!!! danger fire\n\n    Text.\n", [(1, "E577", "fire")]),
        ('1.  Close.\n\n    !!! fire "x"\n\n        Text.\n', [(3, "E577", "fire")]),
        ("!!! note\nText.\n", [(1, "E578", "!!! note")]),
        ("!!! note\n\nText.\n", [(1, "E578", "!!! note")]),
        ("!!! note\n\n   Three spaces.\n", [(1, "E578", "!!! note")]),
        ("Text.\n\n!!! note\n", [(3, "E578", "!!! note")]),
        ("!!! note\n\n!!! danger\n\n    Text.\n", [(1, "E578", "!!! note")]),
        ("!!! note\n\n    Text.\n\n!!! danger\n\nText.\n", [(5, "E578", "!!! danger")]),
        ("1.  Close.\n\n    !!! note\n\n    Text.\n", [(3, "E578", "!!! note")]),
        ("> !!! note\n>\n> Text.\n", [(1, "E578", "!!! note")]),
    ],
)
def test_a_box_that_would_not_be_what_it_is_meant_for_is_told(body: str, expected: list[tuple[int, str, str]]) -> None:
    """Not read as one, of a kind that looks like nothing, or empty: at its line, and nothing else of its text."""
    assert expected == told(body)


@pytest.mark.parametrize(
    ("body", "expected"),
    [
        ("| a | b |\n|---|---|\n| 1 | 2 | lost |\n", [(3, "E579", "lost")]),
        ("a | b\n--|--\n1 | 2 | lost\n", [(3, "E579", "lost")]),
        ("| a | b |\n|---|---|\n| 1 | 2 |\n| 3 | 4 | |\n", [(4, "E579", "")]),
        ("> | a |\n> |---|\n> | 1 | lost |\n", [(3, "E579", "lost")]),
        ("1.  Look:\n\n    | a |\n    |---|\n    | 1 | lost |\n", [(5, "E579", "lost")]),
        ("| a | b | c |\n|---|---|\n| 1 | 2 |\n", [(1, "E580", "|")]),
        ("Text:\n| a | b |\n|---|---|\n| 1 | 2 |\n", [(2, "E580", "|")]),
        ("Text { department.keep_back } here.\n", [(1, "E573", "{ department.keep_back }")]),
        ("Text {cylinders['a']}.\n", [(1, "E573", "{cylinders['a']}")]),
        ('Text {contents(reading="a")}.\n', [(1, "E573", '{contents(reading="a")}')]),
        ("{% if a %}Text{% endif %}\n", [(1, "E573", "{% endif %}"), (1, "E573", "{% if a %}")]),
    ],
)
def test_a_cell_a_table_or_a_call_that_would_be_lost_is_told(body: str, expected: list[tuple[int, str, str]]) -> None:
    """At the very cell, at the head of the table, at the braces."""
    assert expected == told(body)


@pytest.mark.parametrize(
    ("text", "mark"),
    [
        ("Change below 50.", "below 50"),
        ("change it at 40 or sooner", "at 40"),
        ("Replace the cylinder at or below 100,\nand tell.", "at or below 100"),
        ("If the gauge reads less than 70: change.", "less than 70"),
        ("When the pointer is below **500**", "below 500"),
    ],
)
def test_a_mark_to_act_on_is_seen_without_its_unit(text: str, mark: str) -> None:
    """Nobody knows which dial it is meant for, and no change of the data reaches it."""
    assert [("E562", mark)] == [problem[1:] for problem in told(text + "\n")]
