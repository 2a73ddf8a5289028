"""The words of a page block by block, and marks on the blocks that changed."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from changing_site import lay_out, worked
from yokebook.pages import words
from yokebook.pages.placing import Piece
from yokebook.pages.tokens import token
from yokebook.words import COMPUTED, Block, block_of

GOLDEN = sorted((Path(__file__).parents[1] / "golden").glob("*.html"))


def value(text: str) -> Piece:
    return Piece(f'<span class="yb-value">{text}</span>', False, "", 1, 1, "call")


def table(*cells: str) -> Piece:
    row = "".join(f"<td>{cell}</td>" for cell in cells)
    html = (
        f'<div class="yb-table"><table><caption>Left</caption><tr><th>Reading</th>{row}</tr></table></div>'
        '<p class="yb-caution"><strong>WARNING</strong> Read it twice.</p>'
        '<details class="yb-working"><summary>How</summary><p>2 × 3</p></details>'
    )
    return Piece(html, True, "", 1, 1, "call")


def kinds_and_texts(html: str) -> list[tuple[str, str]]:
    return [(block.kind, block.text) for block in words.read_finished(html)]


@pytest.mark.parametrize(
    ("html", "expected"),
    [
        ("<h2>Steps</h2><p>Close it.</p>", [("heading", "Steps"), ("paragraph", "Close it.")]),
        ("<ol><li>Close <em>it</em>\nnow.</li></ol>", [("list item", "Close it now.")]),
        ("<li>Before<ul><li>within</li></ul>after</li>",
         [("list item", "Before"), ("list item", "within"), ("list item", "after")]),
        ("<table><tr><th>Old</th><td>1</td><td></td></tr></table>",
         [("head of a column or row", "Old"), ("cell", "1")]),
        ('<div class="admonition"><p class="admonition-title">DANGER: fire</p><p>No oil.</p></div>',
         [("title of a box", "DANGER: fire"), ("paragraph", "No oil.")]),
        ("<details><summary>More</summary><p>Text.</p></details>",
         [("title of a folded part", "More"), ("paragraph", "Text.")]),
        ("<p>One<br>two</p>", [("paragraph", "One two")]),
        ('<p>See <img alt="the yoke" src="yoke.png">.</p>', [("paragraph", "See [picture: the yoke].")]),
        ("<pre><code>a  b</code></pre>", [("code", "a b")]),
        ("<dl><dt>Yoke</dt><dd>It holds.</dd></dl>", [("word explained", "Yoke"), ("explanation", "It holds.")]),
        ('<div class="toc"><ul><li>Steps</li></ul></div><p>a</p>', [("paragraph", "a")]),
        ("<figure><svg><title>Dial</title><text>0</text></svg><figcaption>The dial</figcaption></figure>",
         [("drawing", "Dial 0"), ("caption of a figure", "The dial")]),
        ("<p>a &amp; b&nbsp;c</p>", [("paragraph", "a & b\u00a0c")]),
        ("", []),
    ],
)  # fmt: skip
def test_each_block_is_told_with_its_kind(html: str, expected: list[tuple[str, str]]) -> None:
    """Headings, paragraphs, items, cells, boxes, pictures and drawings, as a reader meets them."""
    assert expected == kinds_and_texts(html)


def test_a_number_in_a_sentence_is_told_apart_from_the_sentence() -> None:
    """Parts by turns of the author and of calls; the author's own words have a mark in its place."""
    (block,) = words.read(f"<p>Change at {token(0)} or {token(1)}.</p>", [value("40 bar"), value("50 bar")])
    assert ("Change at ", "40 bar", " or ", "50 bar", ".") == block.parts
    assert ("Change at 40 bar or 50 bar.", "Change at … or ….") == (block.text, block.own)
    assert not block.is_computed


def test_a_computed_table_is_told_apart_and_its_working_left_out() -> None:
    """Its cells are the list of numbers' part; caption and cautions are words of the program."""
    blocks = words.read(f"<p>Look:</p>\n<p>{token(0)}</p>", [table("5 min", "6 min")])
    assert [
        ("paragraph", "Look:", False),
        ("caption", "Left", True),
        ("computed head of a column or row", "Reading", True),
        ("computed cell", "5 min", True),
        ("computed cell", "6 min", True),
        ("caution", "WARNING Read it twice.", True),
    ] == [(block.kind, block.text, block.is_computed) for block in blocks]
    assert COMPUTED >= {block.kind for block in blocks[2:5]}


def test_a_number_alone_in_a_cell_of_an_authors_table_is_no_computed_table() -> None:
    """Such a cell is the author's, who may put a word of the data there that no list of numbers has."""
    (block,) = words.read(f"<table><tr><td>{token(0)}</td></tr></table>", [value("40 bar")])
    assert ("cell", ("", "40 bar")) == (block.kind, block.parts)


def test_a_block_knows_where_its_links_lead() -> None:
    """A link that leads elsewhere is a change though its words are the same."""
    (block,) = words.read_finished('<p>See <a href="a.html">this</a> and <a href="b.html#c">that</a>.</p>')
    assert ("See this and that.", ("a.html", "b.html#c")) == (block.text, block.links)


@pytest.mark.parametrize("page", GOLDEN, ids=lambda page: page.stem)
def test_marks_change_nothing_but_the_class_of_what_is_marked(page: Path) -> None:
    """Each block can be marked; with the marks taken out the page is as it was, to the byte."""
    html = page.read_text(encoding="utf-8")
    blocks = words.read_finished(html)
    assert blocks
    marked = words.mark(html, dict.fromkeys(range(len(blocks)), "yb-marked"))
    assert html == re.sub(r' class="yb-marked"|yb-marked ', "", marked)
    assert blocks == words.read_finished(marked)


def test_a_mark_stands_on_the_block_that_it_is_for() -> None:
    """The element keeps its own class and whatever else it carries; the other blocks stay."""
    html = '<p>One.</p>\n<p class="yb-condition" id="a>b">Two.</p>\n<table><tr><td>3</td><td>4</td></tr></table>'
    expected = html.replace('class="yb-', 'class="yb-x yb-').replace("<td>4", '<td class="yb-y">4')
    assert expected == words.mark(html, {1: "yb-x", 3: "yb-y"})


def test_the_words_of_the_finished_page_are_those_that_are_kept(tmp_path: Path) -> None:
    """Marks count blocks of the finished page, comparisons those with calls told apart: they are the same ones."""
    for page in worked(lay_out(tmp_path / "site")).pages.values():
        kept = words.read(page.rendering.html, page.pieces)
        assert [block.text for block in words.read_finished(page.html)] == [block.text for block in kept]


def test_a_block_comes_back_from_plain_lists() -> None:
    """What an edition keeps of a block is all of it."""
    block = Block("paragraph", ("Change at ", "40 bar", "."), ("a.html",))
    assert block == block_of(block.as_plain())


@pytest.mark.parametrize(
    "plain",
    [{"kind": "paragraph"}, {"kind": 1, "parts": ["a"]}, {"kind": "a", "parts": "abc"}, {"kind": "a", "parts": [1]},
     {"kind": "a", "parts": [], "links": {"a": 1}}],
)  # fmt: skip
def test_what_is_no_block_is_refused(plain: dict[str, object]) -> None:
    """A damaged list of words is never read as another text."""
    with pytest.raises((KeyError, TypeError)):
        block_of(plain)
