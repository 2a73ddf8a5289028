"""Putting results in the place of their tokens, and refusing places where no reader meets them."""

from __future__ import annotations

import pytest

from placed import placed_or_refused
from yokebook.pages.extensions import to_html
from yokebook.pages.placing import Piece
from yokebook.pages.scanner import scan

TABLE = '<div class="yb-table"><table><caption>Numbers</caption></table></div>'


def placed(text: str, *, is_block: bool) -> tuple[str, list[str]]:
    """Return the HTML of a page with one call, and what its problems say."""
    found, problems = scan(text, "p.md", first_line=1)
    assert not problems
    pieces = [Piece(TABLE if is_block else "10 bar", is_block, "", call.line, call.column, "f") for call in found.calls]
    html, problems = placed_or_refused(to_html(found.text), pieces, "p.md")
    return html, [problem.wrong for problem in problems]


@pytest.mark.parametrize(
    "text",
    [
        "{{ f() }}",
        "before\n\n{{ f() }}\n\nafter",
        "1.  step\n\n    {{ f() }}\n\n2.  step",
        "!!! warning\n\n    {{ f() }}",
        "??? note\n\n    {{ f() }}",
        "> text\n>\n> {{ f() }}",
    ],
    ids=["alone", "between paragraphs", "list item", "admonition", "details", "quote"],
)
def test_a_table_is_the_same_wherever_it_stands(text: str) -> None:
    """At top level, in a list item, an admonition, details and a quote: the same bytes."""
    html, wrong = placed(text, is_block=True)
    assert [] == wrong
    assert 1 == html.count(TABLE)
    assert "yokebookcall" not in html
    assert f"<p>{TABLE}" not in html


def test_a_value_stands_in_its_sentence() -> None:
    """An inline value replaces its token and nothing else."""
    html, wrong = placed("Below {{ f() }}, *at once*.", is_block=False)
    assert ("<p>Below 10 bar, <em>at once</em>.</p>", []) == (html, wrong)


@pytest.mark.parametrize(
    ("text", "where"),
    [
        ("# Change at {{ f() }}", "in a heading"),
        ("Change\n======\n\n### {{ f() }}", "in a heading"),
        ("[at {{ f() }}](page.md)", "in a link"),
        ("![at {{ f() }}](a.png)", "in an attribute"),
        ('[a](b.md "{{ f() }}")', "in an attribute"),
        ("    {{ f() }}", "in code"),
        ("<!-- {{ f() }} -->", "in a comment"),
        ("<pre>\n{{ f() }}\n</pre>", "in code"),
    ],
)
def test_a_call_is_refused_where_no_reader_meets_it(text: str, where: str) -> None:
    """Code, headings, links, attributes and comments."""
    assert [f"this call stands {where}"] == placed(text, is_block=False)[1]


@pytest.mark.parametrize(
    ("text", "where"),
    [
        ("text {{ f() }}", "in a line with other text"),
        ("**{{ f() }}**", "in a line with other text"),
        ("- {{ f() }}", "right behind the mark of a list item"),
        ("1. {{ f() }}\n2. text", "right behind the mark of a list item"),
        ("| a |\n|---|\n| {{ f() }} |", "in a cell of a table"),
    ],
)
def test_a_table_within_a_line_is_refused(text: str, where: str) -> None:
    """A table stands alone in its paragraph."""
    assert [f"this call stands {where}, though it gives a table"] == placed(text, is_block=True)[1]


def test_a_call_that_markdown_drops_is_told() -> None:
    """In a link's definition that nobody uses, text is lost."""
    assert ["this call stands where Markdown shows no text, or shows it twice"] == placed(
        "[x]: {{ f() }}", is_block=False
    )[1]


def test_braces_in_code_are_written_as_entities() -> None:
    """So no page holds what looks like a call, and a reader sees the braces."""
    html, wrong = placed("Write `{{ f() }}` for {{ f() }}.", is_block=False)
    assert [] == wrong
    assert "<p>Write <code>&#123;&#123; f() &#125;&#125;</code> for 10 bar.</p>" == html


def test_a_call_that_gave_nothing_is_checked_for_its_place_all_the_same() -> None:
    """One mistake in a call never hides another."""
    found, _ = scan("# Change at {{ a + b }}", "p.md", first_line=1)
    pieces = [Piece("", None, "", call.line, call.column, "") for call in found.calls]
    assert ["E509"] == [problem.code for problem in placed_or_refused(to_html(found.text), pieces, "p.md")[1]]


def test_a_second_call_is_not_found_inside_the_first() -> None:
    """What a call gives is never searched for tokens."""
    found, _ = scan("{{ f() }}\n\n{{ g() }}", "p.md", first_line=1)
    pieces = [Piece("yokebookcallaaabq", False, "", 1, 1, "f"), Piece("second", False, "", 3, 1, "g")]
    html, problems = placed_or_refused(to_html(found.text), pieces, "p.md")
    assert ("<p>yokebookcallaaabq</p>\n<p>second</p>", []) == (html, problems)
