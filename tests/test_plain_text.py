"""Conflicts that nobody settled, characters that nobody sees: told at their line, and nothing else for them."""

from __future__ import annotations

import pytest

from yokebook.plain_text import problems

CONFLICT = "Steps\n=======\n\n<<<<<<< HEAD\nopen\n=======\nclose\n>>>>>>> night-shift\n"


def told(text: str) -> list[tuple[str, int, int]]:
    return [(problem.code, problem.line, problem.column) for problem in problems(text, "page.md")]


@pytest.mark.parametrize(
    ("text", "line"),
    [
        (CONFLICT, 4),
        (CONFLICT.replace("\n", "\r\n"), 4),
        (CONFLICT.replace("open\n", "open\n||||||| 4f2c1a9\nturn\n"), 4),
        ("\ufeff<<<<<<< HEAD\nopen\n", 1),
        ("open\n=======\nclose\n>>>>>>> night-shift\n", 2),
        ("1.  Step\n\n    <<<<<<< HEAD\n    open\n    =======\n    close\n    >>>>>>> b\n", 3),
        ("open\n>>>>>>>", 2),
    ],
)
def test_a_conflict_is_told_once_at_its_first_mark(text: str, line: int) -> None:
    """Whole or with a part of its marks deleted, with the base between or without, on any system."""
    assert [("E810", line)] == [(code, at) for code, at, _ in told(text)]


def test_two_conflicts_are_two() -> None:
    """Each with the lines of its own marks."""
    first, second = problems(CONFLICT + CONFLICT.replace("Steps\n=======\n\n", "\n"), "page.md")
    assert "lines 4, 6 and 8, and" in first.wrong
    assert "lines 10, 12 and 14, and" in second.wrong


@pytest.mark.parametrize(
    "text",
    [
        "Steps\n=======\n\nText.\n",
        "Steps\r\n=======\r\n\r\nMore\r\n=======\r\n",
        "=======\n",
        "Nine\n=========\n\n> > quoted\n\n| a | b |\n|---|---|\n",
        "a <<<<<<< b\n<<<<<<<<\n>>>>>> x\n>>>>>>>>> y\n<<<<<<<x\n",
        "======= with words\n",
        "tab\there, é, ½, −5 °C, \u00a0and a soft\u00adhyphen\r\n",
        "\ufeffbegins with its mark",
    ],
)
def test_a_heading_and_whatever_can_be_seen_is_left_alone(text: str) -> None:
    """A line of equals signs under a text is a heading of Markdown's; other lengths are no marks."""
    assert [] == told(text)


@pytest.mark.parametrize("sign", "\x00\x07\x08\x0b\x0c\x1b\x7f\x85\u200b\u200e\u2028\u2029\u202e\u2060\u2066\ufeff")
def test_a_character_that_nobody_sees_is_named_where_it_stands(sign: str) -> None:
    """With its number, and what it is, so that it can be looked for; nobody is told to save the file anew."""
    (problem,) = problems(f"One\nT{sign}wo", "page.md", 5)
    assert ("E812", 6, 2) == (problem.code, problem.line, problem.column)
    assert f"U+{ord(sign):04X}" in problem.wrong
    assert "UTF-8" not in problem.example + problem.allowed
