"""Finding calls in a page's Markdown, and leaving code alone."""

from __future__ import annotations

import pytest

from yokebook.pages.limits import MOST_CALLS
from yokebook.pages.scanner import LONGEST, scan
from yokebook.pages.syntax import Lookup
from yokebook.pages.tokens import token
from yokebook.yamlfile import Scalar

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
        f'```text hl_lines="1"\n{CALL}\n```\n',
        f"``` {{.text}}\n{CALL}\n```  \n",
        f"````` {CALL} ```` ` x",
    ],
)
def test_code_is_left_alone(code: str) -> None:
    """In a code span and in a fenced block nothing is interpreted."""
    assert (code, [], []) == scanned(code)


@pytest.mark.parametrize(
    "text",
    [
        f"a lone ` and {CALL}",
        f"` unequal `` {CALL}",
        f"a ` b\n\nc ` {CALL}",
        f"a ` b\n{CALL}\n- c `",
        f"> a ` b\n>\n> {CALL} `",
        f"```\nx\n```\n{CALL}",
        f"\\` {CALL} `",
    ],
)
def test_a_mark_that_opens_no_code_hides_nothing(text: str) -> None:
    """A run of backticks without its partner in the paragraph is text; after a closed block text goes on."""
    _, places, codes = scanned(text)
    assert (1, []) == (len(places), codes)


def test_a_call_runs_over_lines() -> None:
    """A call may be broken anywhere between its words."""
    text, places, codes = scanned('{{ f(\n  a="}}",\n) }}\n')
    assert (f"{token(0)}\n", [(5, 4)], []) == (text, places, codes)


def test_a_call_that_is_not_understood_keeps_its_place() -> None:
    """Its problem is told, the other calls are still found, and where it stands can still be checked."""
    text, places, codes = scanned(f"{{{{ a + b }}}} {CALL}")
    assert (f"{token(0)} {token(1)}", [(5, 3), (5, 16)], ["E501"]) == (text, places, codes)


def test_a_block_that_is_not_closed_is_told_where_it_opens() -> None:
    """What follows it is not looked at."""
    _, places, codes = scanned(f"~~~\nnever closed\n{CALL} }}}}\n")
    assert ([], ["E572"]) == (places, codes)


def test_an_empty_line_ends_a_call_that_is_not_closed() -> None:
    """So the next paragraph's calls are found; in one paragraph the slip is told once."""
    text, places, codes = scanned(f"{{{{ a and {{{{ b\n\n{CALL}\n")
    assert ([(7, 4)], ["E507"]) == (places, codes)
    assert text.endswith(f"\n\n{token(0)}\n")


def test_a_missing_quote_is_told_in_its_call() -> None:
    """The next braces end the call, so that the quote is what is told."""
    _, places, codes = scanned(f'{{{{ f(a="x) }}}}, then {CALL}')
    assert (2, ["E501"]) == (len(places), codes)


def test_braces_that_close_nothing_are_told() -> None:
    """A reader would see them."""
    assert ["E573"] == scanned("department.keep_back }} here")[2]


def test_the_calls_of_a_page_are_counted() -> None:
    """After the last allowed call one more is told, once, and the rest is not read."""
    _, places, codes = scanned(f"{CALL}\n" * (MOST_CALLS + 9))
    assert (MOST_CALLS + 1, ["E568"]) == (len(places), codes)


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
    steps = (Scalar(1, 4, "department"), Scalar(1, 15, "keep_back"))
    assert (Lookup(1, 4, ("department", "keep_back"), steps),) == found.calls
