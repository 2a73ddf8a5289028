"""Lists: what would end one unseen, what is no list, and numbers that a reader would see otherwise."""

from __future__ import annotations

import pytest

from yokebook.pages.checks import lay_out
from yokebook.pages.page import read_page


def told(text: str) -> list[tuple[str, int, int]]:
    """Return code, line and column of each problem of a page's text, counted from its first line."""
    draft, problems = read_page("p.md", "p.md", b"---\ntitle: A\n---\n" + text.encode())
    assert draft is not None
    found = [*problems, *lay_out(draft)[1]]
    return sorted((problem.code, problem.line - 3, problem.column) for problem in found)


@pytest.mark.parametrize("spaces", [1, 2, 3])
@pytest.mark.parametrize(
    "text", ["words", "{{ department.keep_back }}", "| a |\n|---|", "> quote", "!!! note", "<div></div>", "# heading"]
)
def test_what_stands_one_to_three_spaces_in_after_an_item_is_told(text: str, spaces: int) -> None:
    """Words, calls, tables, whatever it is: it would end the list."""
    indent = " " * spaces
    after = text.replace("\n", "\n" + indent)
    column = spaces + (3 if text.startswith(">") else 1)
    assert [("E561", 3, column)] == told(f"1.  step\n\n{indent}{after}\n\n2.  step\n")


@pytest.mark.parametrize(
    ("text", "line", "column"),
    [
        ("1.  step\n   - part\n", 2, 4),
        ("1.  step\n\n   - part\n", 3, 4),
        ("1.  step\n   1.  part\n   2.  part\n2.  step\n", 2, 4),
        ("-   item\n  - part\n", 2, 3),
        ("1.  step\n\n    - part\n\n      words of the part\n", 5, 7),
        ("1.  step\n    - part\n      - part of the part\n", 3, 7),
        ("!!! note\n    1.  step\n\n      words\n", 4, 7),
        ("> 1.  step\n>\n>   words\n", 3, 5),
        ("1.  {{ f(\n  a=1\n) }}\n\n  words\n", 5, 3),
    ],
)
def test_the_indent_is_told_within_other_blocks_too(text: str, line: int, column: int) -> None:
    """An item that does not begin its own list, a step of a step, an admonition, a quote."""
    assert ("E561", line, column) in told(text)


@pytest.mark.parametrize(
    "text",
    [
        "1.  step\n\n    words\n\n    {{ department.keep_back }}\n\n2.  step\n",
        "1.  step\n    - part\n\n        words of the part\n\n    words of the step\n",
        "1.  step\nwords that go on\n   and on\n2.  step\n",
        " - item\n - item\n\n - item\n",
        "8.  step\n9.  step\n10. step\n",
        " 9. step\n10. step\n",
        "1.  step\n\nwords at the margin\n\n  words a little in\n",
        "1.  step\n\n    ```\n",
        "1.  step\n\n        code\n          of two lines\n",
        "text\n\n    - code\n\n      code\n",
        "1.  step\n\n***\n\n* * *\n\n2.  step\n",
        "* * *\n\n- item\n\n- - -\n",
        "Term\n:   meaning\n\n    - item\n",
        "3.  step\n\n{{ department.keep_back }}\n\n4.  step\n",
        "- [x](https://example.org/)\n- **bold**\n- `code`\n- {{ department.keep_back }}\n- # heading\n",
        "> 1. step\n> 2. step\n",
        "!!! note\n    1. step\n    2. step\n",
        "<!--\n1. no step\n1. no step\n-->\n",
        "    1. code\n    1. code\n",
        "2026\\. A year.\n",
    ],
)
def test_what_is_right_is_left_alone(text: str) -> None:
    """Four spaces, lists set a little in, numbers right-aligned, code, rules, comments."""
    assert [] == told(text)


@pytest.mark.parametrize(
    ("text", "problems"),
    [
        ("1.  a\n1.  b\n1.  c\n", [("E571", 2, 1)]),
        ("1.  a\n2.  b\n4.  c\n5.  d\n", [("E571", 3, 1)]),
        ("1.  a\n\n3.  b\n\nwords\n\n1.  c\n3.  d\n", [("E571", 3, 1), ("E571", 8, 1)]),
        ("1.  a\n    1.  b\n    1.  c\n2.  d\n", [("E571", 3, 5)]),
        ("> 1.  a\n> 3.  b\n", [("E571", 2, 3)]),
    ],
)
def test_a_step_that_is_printed_with_another_number_is_told(text: str, problems: list[tuple[str, int, int]]) -> None:
    """At the first step of which it is so; what only follows from it is not told."""
    assert problems == told(text)


@pytest.mark.parametrize(
    ("text", "problems"),
    [
        ("Have ready:\n- a\n- b\n", [("E574", 2, 1)]),
        ("Have ready:\n1. a\n2. b\n\nand:\n* c\n", [("E574", 2, 1), ("E574", 6, 1)]),
        ("1) a\n\n2) b\n", [("E574", 1, 1)]),
        ("It was\n2026. A year.\n", [("E574", 2, 1)]),
    ],
)
def test_a_list_that_markdown_sets_as_words_is_told(text: str, problems: list[tuple[str, int, int]]) -> None:
    """An empty line is missing, or the number ends with a bracket: the steps would run together."""
    assert problems == told(text)
