"""Bounds: what would take too long is refused with a message, and everything else is answered."""

from __future__ import annotations

import pytest

from counted import calls
from placed import placed_or_refused
from yokebook.pages import limits
from yokebook.pages.checks import lay_out, links_of
from yokebook.pages.links import Neighbours
from yokebook.pages.page import read_page
from yokebook.pages.placing import Piece

SIZE = 100_000
MOST_CALLS = 120 * SIZE
FRONT = b"---\ntitle: A\n---\n"


def answer(text: str) -> set[str]:
    """Return the codes of all problems of a page, worked through as in a build."""
    draft, problems = read_page("p.md", "p.md", FRONT + text.encode())
    if draft and draft.can_be_laid_out:
        page, found = lay_out(draft)
        problems += [*found, *links_of(page, Neighbours({"p.md"}, {}))]
        pieces = [Piece("x", False, "", call.line, call.column, "") for call in draft.scanned.calls]
        problems += placed_or_refused(page.rendering.html, pieces, "p.md")[1]
    return {problem.code for problem in problems}


@pytest.mark.parametrize(
    ("sign", "codes"),
    [
        ("`", {"E569"}),
        ("`a", {"E569"}),
        ("```\n", {"E569"}),
        ("```a\n", {"E569"}),
        ("``` a `", {"E569"}),
        ("{", {"E569"}),
        ("{{", {"E569"}),
        ("}}", {"E573"}),
        ("{{ ", {"E569"}),
        ("{{\n\n", {"E507"}),
        ("{{ a }}\n\n", {"E568"}),
        ('{{ f(a="\n\n', {"E507"}),
        ("[", {"E569"}),
        ("![", {"E569"}),
        ("[a](", {"E569"}),
        ("<a ", {"E569"}),
        ("<![CDATA[", {"E569"}),
        ("<!--", {"E569"}),
        ("<b>x</i>", {"E569"}),
        ("# a\n", {"E569"}),
        ("---\n", {"E569"}),
        (">", {"E569"}),
        ("1. ", {"E569"}),
        ("*a ", {"W813"}),
        ("_", set()),
        ("|", set()),
        ("&", set()),
        ("\\`", {"E569"}),
        ("9 9 bar ", {"E562"}),
        ("\n", set()),
        ("plain words\n\n", set()),
    ],
)
def test_a_hundred_kilobytes_of_one_sign_are_answered_with_little_work(sign: str, codes: set[str]) -> None:
    """Refused with a message, or laid out, with at most 120 calls of functions a byte."""
    found = set[str]()
    assert calls(lambda: found.update(answer(sign * (SIZE // len(sign))))) <= MOST_CALLS
    assert codes == found


def test_a_page_of_the_size_allowed_is_answered() -> None:
    """Plain paragraphs up to the last byte; one byte more is refused, and nothing else is said of it."""
    words = b"Close the valve slowly and by hand, then look at the gauge.\n\n"
    fits = (FRONT + words * limits.LARGEST)[: limits.LARGEST]
    assert [] == read_page("p.md", "p.md", fits)[1]
    draft, problems = read_page("p.md", "p.md", fits + b"{{")
    assert draft is None
    assert ["E567"] == [problem.code for problem in problems]


@pytest.mark.parametrize(
    "text",
    [
        "| a | b |\n|---|---|\n" + "| [the yoke](https://example.org/) | words about it, `code` and more |\n" * 150,
        "".join(
            f"{number}.  Step with **bold**, [a link](https://example.org/) and `code`\n" for number in range(1, 100)
        ),
        "Words of a long paragraph: one after the other, [as it happens] & so on.\n" * 60,
    ],
    ids=["table", "list", "paragraph"],
)
def test_what_people_write_is_far_from_the_bounds(text: str) -> None:
    """A long table, a long list, a long paragraph."""
    assert set() == answer(text)


def test_deep_lists_are_laid_out_up_to_the_bound() -> None:
    """One step deeper than allowed is told at its line."""
    steps = "".join("    " * depth + "- a\n" for depth in range(limits.DEEPEST))
    assert set() == answer(steps)
    _, problems = read_page("p.md", "p.md", FRONT + (steps + "    " * limits.DEEPEST + "- a\n").encode())
    assert [("E569", 4 + limits.DEEPEST)] == [(problem.code, problem.line) for problem in problems]
