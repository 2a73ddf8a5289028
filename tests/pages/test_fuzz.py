"""The scanner against the Markdown library: on any text they agree on what is code, or the page is refused."""

from __future__ import annotations

import random
import re

import pytest

from placed import placed_or_refused
from yokebook.pages.checks import lay_out
from yokebook.pages.extensions import to_html
from yokebook.pages.page import read_page
from yokebook.pages.placing import Piece

pytestmark = pytest.mark.slow

FRAGMENTS = 10_000
SEED = 20260301
CALL = "{{ department.keep_back }}"
# What is a call in a fragment, found without the scanner: a name, or names with points, in double braces.
CALLS = re.compile(r"\{\{\s*[a-z]+(?:\.[a-z_]+)*\s*\}\}")
INERT = re.compile(r"inertword([0-9]{6})qq")
ANCHOR = re.compile(r' id="[^"]*"')
VALUE = "10 keepback"
UNREAD = re.compile(r"<(code|pre)\b.*?</\1>|<!--.*?-->", re.DOTALL)
# One piece is drawn from each of some of these groups; calls are as likely as all else together.
PIECES = (
    ("`", "``", "```", "````", r"\`", r"\\`", "`code`", "``a ` b``", "\\"),
    (f"`{CALL}`", f"`` ` {CALL}``", f"\n\n```\n{CALL}\n```\n\n", f"\n~~~ text\n{CALL}\n~~~\n"),
    (
        "\n```\n",
        "\n```text\n",
        "\n~~~\n",
        "\n~~~ text\n",
        "\n   ```\n",
        "\n    ```\n",
        "\n```text words\n",
        "\n```{.a}\n",
    ),
    ("\n\n    ", "\n    ", "\n\n\t", "\n\t", "\n        "),
    ("\n- ", "\n\n- ", "\n1. ", "\n\n1.  ", "\n    - ", "\n\n   ", "\n* ", "\n12. ", "\n1) "),
    ("\n> ", "\n>\n> ", "\n\n> ", "\n> > "),
    ("\n\n!!! note\n\n    ", '\n\n!!! danger "Open slowly"\n    ', "\n\n??? note\n\n    ", "\n\n???+ tip\n    "),
    ("\n\n| a | b |\n|---|---|\n| ", " | ", " |\n"),
    ("<div>", "</b>", f"<b>{CALL}</b>", f"\n<div>\n{CALL}\n</div>\n", f"<i>x\n</i>{CALL}", "\n\n<div>x</div>\n"),
    (f"<pre>{CALL}</pre>", f"\n<pre>\n{CALL}\n</pre>\n", f"<code>{CALL}</code>", "<pre>x</pre>", "<code>a</code>"),
    ("<!--", "-->", "\n<!-- ", " -->\n", "<br>", "<", ">", "<![", "<!", "<?", '<i title="', '">'),
    ("[", "](page.md)", "](", ")", "![", "[a][b]", "\n[b]: page.md ", "][", ' "title"'),
    ("{{", "}}", "{", "}", "{: .a }", "{{ department.keep_back", "department.keep_back }}"),
    ("&amp;", "&nbsp;", "&", "&#96;", "&lt;"),
    ("\n", "\n\n", "\r\n", "\r\n\r\n", "  \n", " \n\n", " "),
    ("word", "*", "**", "_", "# ", "\n# ", "\n\n## ", "\n---\n", "\n===\n", "\n: ", "[TOC]", "a word, ", "end. "),
)


def fragment(dice: random.Random) -> str:
    """Return one text of pieces in any order, calls among them."""
    pieces = []
    for _ in range(dice.randint(2, 14)):
        pieces.append(CALL if dice.random() < 0.3 else dice.choice(dice.choice(PIECES)))
        if dice.random() < 0.3:
            pieces.append(dice.choice(["x", " x ", " "]))
    return "".join(pieces)


def ours(text: str) -> str | None:
    """Return the HTML of a page with this text and its values, None where the page is refused."""
    draft, problems = read_page("p.md", "p.md", b"---\ntitle: A\n---\n" + text.encode())
    if draft is None or problems:
        return None
    page, problems = lay_out(draft)
    if problems:
        return None
    pieces = [Piece(VALUE, False, "", call.line, call.column, "x") for call in draft.scanned.calls]
    html, problems = placed_or_refused(page.rendering.html, pieces, "p.md")
    return None if problems else html


def librarys(text: str) -> str:
    """Return what the library alone makes of the text, with a word in the place of each call, in code and outside.

    In code and comments, and there alone, the call itself stands, its braces written as entities.
    """
    calls: list[str] = []

    def inert(found: re.Match[str]) -> str:
        calls.append(found.group())
        return f"inertword{len(calls):06}qq"

    html = to_html(CALLS.sub(inert, text.replace("\r\n", "\n")))
    html = UNREAD.sub(lambda code: INERT.sub(lambda word: calls[int(word[1]) - 1], code.group()), html)
    return INERT.sub(VALUE, html).replace("{{", "&#123;&#123;").replace("}}", "&#125;&#125;")


def test_the_scanner_agrees_with_the_library_or_refuses() -> None:
    """Word for word the library's HTML: a call where it sees text is a value, where it sees code it is the braces."""
    dice = random.Random(SEED)
    values = shown = refused = 0
    for _ in range(FRAGMENTS):
        text = fragment(dice)
        html = ours(text)
        if html is None:
            refused += 1
            continue
        # The anchor of a heading is made of its words, the inert one among them.
        assert ANCHOR.sub("", librarys(text)) == ANCHOR.sub("", html), text
        values += VALUE in html
        shown += "&#123;&#123;" in html
    assert min(values, shown) > FRAGMENTS // 100, (values, shown, refused)
