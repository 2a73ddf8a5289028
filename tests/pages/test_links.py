"""Links, anchors and pictures: checked without the host, each at its place."""

from __future__ import annotations

import pytest

from yokebook.errors import Problem
from yokebook.pages.checks import lay_out, links_of, used_files
from yokebook.pages.links import Neighbours
from yokebook.pages.page import read_page

NEIGHBOURS = Neighbours(
    {
        "index.md",
        "procedures/change.md",
        "procedures/plug.md",
        "procedures/yoke plug.png",
        "poster.pdf",
        "old-sop.docx",
    },
    {"index.md": {"start"}, "procedures/plug.md": {"the-plug", "when"}},
)


def told(text: str, path: str = "procedures/change.md") -> list[Problem]:
    """Return the problems of the links of a page among some neighbours."""
    draft, problems = read_page(path, path, f"---\ntitle: A\n---\n{text}\n".encode())
    assert draft is not None
    assert [] == problems
    page, problems = lay_out(draft)
    assert [] == problems
    anchors = {**NEIGHBOURS.anchors, path: page.rendered.anchors}
    return sorted(links_of(page, Neighbours(NEIGHBOURS.files, anchors)))


@pytest.mark.parametrize(
    "text",
    [
        "[a](plug.md) [b](../index.md#start) [c](./plug.md#the-plug) [d](change.md)",
        "# Some steps\n\n[a](#some-steps) [b](change.md#some-steps)",
        "# Some steps {#mine}\n\n[a](#mine)",
        '<a id="here"></a>\n\n[a](#here) <a href="#here">b</a>',
        "![the plug](yoke%20plug.png) [a](../poster.pdf) ![b](<yoke plug.png>)",
        "[a](https://example.org/x#y) <https://example.org> [b](mailto:lead@example.org) <a@example.org> [c](tel:+1)",
        '[a][x] [x] [b](plug.md "title")\n\n[x]: plug.md',
        "`[a](nowhere.md)`\n\n    [a](nowhere.md)\n\n<!-- [a](nowhere.md) -->",
        "[TOC]\n\n# Some steps",
        "Brackets [as here] (and here) are words, and so are [1] and (2).",
        '<svg><defs><g id="part"></g></defs><use href="#part"/><rect fill="url(#part)" style="color: red"/></svg>',
        "The address url(x.png) in the text, ![and url(x.png) of a picture](<yoke plug.png>).",
    ],
)
def test_what_leads_somewhere_is_left_alone(text: str) -> None:
    """Pages, anchors of headings and of the author's own, files, addresses elsewhere, code."""
    assert [] == told(text)


@pytest.mark.parametrize(
    ("text", "code", "written", "suggestion"),
    [
        ("[a](plugs.md)", "E563", "plugs.md", "plug.md"),
        ("[a](procedures/plug.md)", "E563", "procedures/plug.md", "plug.md"),
        ("[a](index.md)", "E563", "index.md", "../index.md"),
        ("[a](plug/)", "E563", "plug/", "plug.md"),
        ("[a](plug.html)", "E563", "plug.html", "plug.md"),
        ("[a](Plug.md)", "E563", "Plug.md", "plug.md"),
        ("[a](../../data/cylinders.yaml)", "E565", "../../data/cylinders.yaml", ""),
        ("[a]()", "E563", "", ""),
        ("[a] (plug.md)", "E563", "[a] (plug.md)", ""),
        ("[a](the plug.md)", "E563", "the plug.md", "plug.md"),
        ("[a][nowhere]", "E563", "[a][nowhere]", ""),
        ("[a][x]\n\n[x]: plugs.md", "E563", "plugs.md", "plug.md"),
        ("[a](#stepps)\n\n# Steps", "E564", "#stepps", "steps"),
        ("[a](plug.md#wen)", "E564", "plug.md#wen", "when"),
        ("![a](yoke.png)", "E565", "yoke.png", "yoke%20plug.png"),
        ("![a](YOKE%20plug.png)", "E565", "YOKE%20plug.png", "yoke%20plug.png"),
        ("[a](../posters.pdf)", "E565", "../posters.pdf", "../poster.pdf"),
        ("[a](../old-sop.docx)", "E814", "../old-sop.docx", ""),
        ("![a](../poster.pdf)", "E814", "../poster.pdf", ""),
        ("[a](/index.md)", "E566", "/index.md", ""),
        ("[a](//example.org/x)", "E566", "//example.org/x", ""),
        ("[a](file:///S:/x.pdf)", "E566", "file:///S:/x.pdf", ""),
        ("[a](javascript:x)", "E566", "javascript:x", ""),
        ("[a](http://[x)", "E566", "http://[x", ""),
        ("![a](https://example.org/a.png)", "E566", "https://example.org/a.png", ""),
        ("![a](data:image/png;base64,xx)", "E566", "data:image/png;base64,xx", ""),
        ('<a href="plug.md">a</a>', "E566", "plug.md", ""),
        ('<img src="../poster.pdf" alt="">', "E566", "../poster.pdf", ""),
        ('<video src="x.mp4"></video>', "E566", "x.mp4", ""),
        ('<svg><image href="x.png"/></svg>', "E566", "x.png", ""),
        ('<svg><image xlink:href="x.png"/></svg>', "E566", "x.png", ""),
        ('<svg><use href="x.svg#part"/></svg>', "E566", "x.svg#part", ""),
        ('<svg><filter><feImage href="x.png"/></filter></svg>', "E566", "x.png", ""),
        ('<svg><rect fill="url(x.svg#part)"/></svg>', "E566", "x.svg#part", ""),
        ('<svg><a xlink:href="plug.md"><text>a</text></a></svg>', "E566", "plug.md", ""),
        ('<p style="background: url(x.png)">a</p>', "E566", "x.png", ""),
        ("a\n{: style=\"background: url('x.png')\" }", "E566", "x.png", ""),
        ("![a](yoke%20plug.png){ style='background: url(x.png)' }", "E566", "x.png", ""),
        ('<p style="background: image-set(url(x.png) 1x)">a</p>', "E566", "x.png", ""),
        ("<style>p { background: url( 'x.png' ) }</style>", "E566", "x.png", ""),
        ("<style>@import 'x.css';</style>", "E566", "x.css", ""),
        ("<style>@import url(x.css);</style>", "E566", "x.css", ""),
        ('<link rel="stylesheet" href="x.css">', "E566", "x.css", ""),
        ('<link rel="stylesheet" href="https://example.org/x.css">', "E566", "https://example.org/x.css", ""),
        ('<base href="https://example.org/">', "E566", "https://example.org/", ""),
        ('<iframe srcdoc="words"></iframe>', "E566", "words", ""),
    ],
)
def test_what_leads_nowhere_is_told(text: str, code: str, written: str, suggestion: str) -> None:
    """With what was likely meant, as it is to be written."""
    assert [(code, written, suggestion)] == [(p.code, p.written, p.suggestion) for p in told(text)]


def test_each_of_several_is_told_at_its_place() -> None:
    """The same dead link twice is told twice; words of the same letters are not taken for it."""
    text = "The file gone.md is gone.\n\n[a](gone.md) and [b](gone.md), [c][x] and [d][x]\n\n[x]: no.md"
    assert [(6, 5), (6, 22), (8, 6)] == sorted({(problem.line, problem.column) for problem in told(text)})


def test_an_anchor_on_a_page_that_could_not_be_read_is_not_told() -> None:
    """Its own problems are told, and nothing is known of its headings."""
    assert [] == told("[a](procedures/change.md#x)", path="index.md")


def test_what_is_shown_or_linked_to_is_used() -> None:
    """Pictures and files, by their way below the folder of pages; no page, nothing from elsewhere."""
    text = "---\ntitle: A\n---\n![a](yoke%20plug.png) [b](../poster.pdf#page=2)\n\n> ![c](../start.png)\n\n"
    text += "[d](plug.md) [e](https://example.org/x.pdf) [f](#steps) [g](mailto:a@example.org)\n"
    draft, _ = read_page("procedures/change.md", "p.md", text.encode())
    assert draft is not None
    assert {"procedures/yoke plug.png", "start.png", "poster.pdf"} == used_files(lay_out(draft)[0])


def test_what_is_no_address_is_no_file() -> None:
    """It is told as a problem, and breaks nothing."""
    draft, _ = read_page("p.md", "p.md", b"---\ntitle: A\n---\n![a](http://[x)\n")
    assert draft is not None
    assert set() == used_files(lay_out(draft)[0])
