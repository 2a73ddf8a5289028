"""Finding calls in a page's Markdown, and leaving code alone."""

from __future__ import annotations

import pytest

from yokebook.pages.scanner import LONGEST, scan, token
from yokebook.pages.syntax import Lookup

CALL = "{{ department.keep_back }}"


def scanned(text: str) -> tuple[str, list[tuple[int, int]], list[str]]:
    """Return the text with tokens, the place of each call, and the codes of the problems."""
    found, problems = scan(text, "p.md", first_line=5)
    return found.text, [(call.line, call.column) for call in found.calls], [problem.code for problem in problems]


def test_each_call_gives_way_to_its_token() -> None:
    """Calls are numbered in page order; all other text stays."""
    text, places, codes = scanned(f"One {CALL},\nand {CALL}.\n")
    assert f"One {token(0)},\nand {token(1)}.\n" == text
    assert ([(5, 8), (6, 8)], []) == (places, codes)


@pytest.mark.parametrize(
    "code",
    [
        f"`{CALL}`",
        f"`` a ` {CALL} ``",
        f"```\n{CALL}\n```\n",
        f"~~~ text\n{CALL}\n~~~\n",
        f"````\n```\n{CALL}\n````\n",
        f"``\n{CALL}\n``",
        f"```\nnever closed\n{CALL}\n",
    ],
)
def test_code_is_left_alone(code: str) -> None:
    """In a code span and in a fenced block nothing is interpreted."""
    assert (code, [], []) == scanned(code)


@pytest.mark.parametrize(
    "text", [f"a lone ` and {CALL}", f"`` unequal ` {CALL}", f"a ` b\n\nc ` {CALL}", f"```\nx\n```\n{CALL}"]
)
def test_a_mark_that_opens_no_code_hides_nothing(text: str) -> None:
    """A run of backticks without its partner in the paragraph is text; after a closed block text goes on."""
    _, places, codes = scanned(text)
    assert (1, []) == (len(places), codes)


def test_a_call_runs_over_lines() -> None:
    """A call may be broken anywhere between its words."""
    text, places, codes = scanned('{{ f(\n  a="}}",\n) }}\n')
    assert (f"{token(0)}\n", [(5, 4)], []) == (text, places, codes)


def test_a_call_that_is_not_understood_leaves_no_token() -> None:
    """Its problem is told, the other calls are still found."""
    text, places, codes = scanned(f"{{{{ a + b }}}} {CALL}")
    assert (f" {token(0)}", [(5, 16)], ["E501"]) == (text, places, codes)


@pytest.mark.parametrize("text", ["{{ department.keep_back", "{{ " + "a" * (LONGEST + 1) + " }}"])
def test_a_call_that_is_not_closed_is_told_where_it_opens(text: str) -> None:
    """The place is that of the opening braces."""
    _, problems = scan(text, "p.md", first_line=5)
    assert [("E507", 5, 1)] == [(problem.code, problem.line, problem.column) for problem in problems]


def test_the_programs_own_word_is_refused() -> None:
    """A text that looks like a token could be taken for one."""
    _, problems = scan(f"so\n{token(0)}", "p.md", first_line=5)
    assert [("E508", 6, 1)] == [(problem.code, problem.line, problem.column) for problem in problems]


def test_a_lookup_is_found_as_such() -> None:
    """What has no brackets is a data value."""
    found, _ = scan(CALL, "p.md", first_line=1)
    assert (Lookup(1, 4, ("department", "keep_back")),) == found.calls
