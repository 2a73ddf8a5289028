"""The words of a page's finished HTML, block by block in page order; and marks on the blocks that changed.

Workings are left out: an approval does not cover them. What a call gave is told apart by signs that stand around it
while the words are read.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from html.parser import HTMLParser

from yokebook.pages.placing import Piece, place
from yokebook.pages.rendered import VOID
from yokebook.words import COMPUTED, DRAWING, Block

_BEGIN, _END = "\ue000", "\ue001"
_SIGN = re.compile(f"([{_BEGIN}{_END}])")
_SPACE = re.compile(r"[ \t\n\r\f]+")
_KINDS = {
    **dict.fromkeys(("h1", "h2", "h3", "h4", "h5", "h6"), "heading"),
    "p": "paragraph", "li": "list item", "td": "cell", "th": "head of a column or row", "caption": "caption",
    "pre": "code",
    "figcaption": "caption of a figure", "summary": "title of a folded part", "dt": "word explained",
    "dd": "explanation", "blockquote": "quotation", "svg": DRAWING,
    **dict.fromkeys(("div", "section", "article", "figure", "details", "table", "thead", "tbody", "tr", "ul", "ol",
                     "dl", "tfoot", "header", "footer", "aside", "main"), "text"),
}  # fmt: skip
_BY_CLASS = {"admonition-title": "title of a box", "yb-condition": "condition", "yb-caution": "caution"}
_UNREAD_CLASSES = {"yb-working", "toc"}
_UNREAD_TAGS = {"script", "style", "template"}


def read(html: str, pieces: Sequence[Piece]) -> tuple[Block, ...]:
    """Return the words of a page: `html` as Markdown made it with a token for each call, and what each call gives."""
    signed = [replace(piece, html=f"{_BEGIN}{piece.html}{_END}", at_end="") for piece in pieces]
    return read_finished(place(html, signed))


def read_finished(html: str) -> tuple[Block, ...]:
    """Return the words of HTML in which no call is told apart from its author's text."""
    reader = _Reader()
    reader.feed(html)
    reader.close()
    return tuple(block for block, _ in reader.blocks)


def mark(html: str, marks: Mapping[int, str]) -> str:
    """Return finished HTML with a class on the element of each block that is marked; blocks count from 0 as read."""
    reader = _Reader()
    reader.feed(html)
    reader.close()
    at: dict[int, list[str]] = {}
    for number, (_, offset) in enumerate(reader.blocks):
        if number in marks and offset >= 0:
            at.setdefault(offset, []).append(marks[number])
    for offset, classes in sorted(at.items(), reverse=True):
        html = html[:offset] + _with_class(html[offset:], " ".join(dict.fromkeys(classes)))
    return html


def _with_class(rest: str, name: str) -> str:
    """Return HTML that begins with a start tag, with a class more on it."""
    end = _end_of_tag(rest)
    tag = rest[:end]
    if found := re.search(r'\sclass="', tag):
        return f"{tag[: found.end()]}{name} {tag[found.end() :]}{rest[end:]}"
    begin = re.match(r"<[\w-]+", tag)
    assert begin
    return f'{begin.group()} class="{name}"{tag[begin.end() :]}{rest[end:]}'


def _end_of_tag(rest: str) -> int:
    found = re.match(r"""<(?:"[^"]*"|'[^']*'|[^>"'])*>""", rest)
    return found.end() if found else len(rest)


@dataclass
class _Open:
    tag: str
    kind: str
    offset: int
    is_unread: bool


@dataclass
class _Run:
    """The text gathered since a block began: parts by turns of the author and of calls."""

    parts: list[str] = field(default_factory=lambda: [""])
    links: list[str] = field(default_factory=list)


class _Reader(HTMLParser):
    def __init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self.blocks: list[tuple[Block, int]] = []
        self.open = [_Open("", "text", -1, is_unread=False)]
        self.run = _Run()
        self.within_call = False
        self.starts: list[int] = []

    def feed(self, data: str) -> None:
        self.starts = [0, *(found.end() for found in re.finditer("\n", data))]
        super().feed(data)

    def close(self) -> None:
        super().close()
        self._finish()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        told = {name: value or "" for name, value in attrs}
        around = self.open[-1]
        names = told.get("class", "").split()
        if tag == "img" and not around.is_unread:
            self._take(f"[picture: {told.get('alt', '')}]")
        if tag == "br" and not around.is_unread:
            self._take(" ")
        if tag in VOID:
            return
        if tag == "a" and "href" in told and not around.is_unread:
            self.run.links.append(told["href"])
        kind = around.kind
        offset = around.offset
        if tag in _KINDS and around.kind != DRAWING:
            self._finish()
            kind = next((_BY_CLASS[name] for name in names if name in _BY_CLASS), _KINDS[tag])
            if self.within_call and f"computed {kind}" in COMPUTED:
                kind = f"computed {kind}"
            line, column = self.getpos()
            offset = self.starts[line - 1] + column
        unread = around.is_unread or tag in _UNREAD_TAGS or not _UNREAD_CLASSES.isdisjoint(names)
        self.open.append(_Open(tag, kind, offset, unread))

    def handle_endtag(self, tag: str) -> None:
        if tag in VOID or all(element.tag != tag for element in self.open[1:]):
            return
        if tag in _KINDS and (tag == "svg" or self.open[-1].kind != DRAWING):
            self._finish()
        while self.open.pop().tag != tag:
            pass
        if self.open[-1].kind == DRAWING:
            self._take(" ")

    def handle_data(self, data: str) -> None:
        for text in _SIGN.split(data):
            if text in (_BEGIN, _END):
                self._turn(to_call=text == _BEGIN)
            elif not self.open[-1].is_unread:
                self._take(text)

    def _turn(self, *, to_call: bool) -> None:
        if to_call != self.within_call:
            self.within_call = to_call
            self.run.parts.append("")

    def _take(self, text: str) -> None:
        self.run.parts[-1] += text

    def _finish(self) -> None:
        """End the block whose text was gathered, if it has any, and begin the next."""
        element, run = self.open[-1], self.run
        self.run = _Run(["", ""] if self.within_call else [""])
        if "".join(run.parts).strip():
            self.blocks.append((Block(element.kind, _tidy(run.parts), tuple(run.links)), element.offset))


def _tidy(parts: list[str]) -> tuple[str, ...]:
    """Return the parts with single spaces, none at the ends of the whole."""
    tidied: list[str] = []
    ended_in_space = True
    for part in parts:
        text = _SPACE.sub(" ", part)
        text = text[1:] if ended_in_space and text.startswith(" ") else text
        ended_in_space = text.endswith(" ") if text else ended_in_space
        tidied.append(text)
    for number in range(len(tidied) - 1, -1, -1):
        tidied[number] = tidied[number].rstrip(" ")
        if tidied[number]:
            break
    while len(tidied) > 1 and not tidied[-1]:
        tidied.pop()
    return tuple(tidied)
