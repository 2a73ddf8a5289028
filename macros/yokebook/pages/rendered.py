"""What a page's HTML holds, read once: where its tokens stand, what it links to, and what can be linked to in it."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, field
from html.parser import HTMLParser

from yokebook.pages.tokens import ANY

CODE = "in code"
HEADING = "in a heading"
ATTRIBUTE = "in an attribute"
COMMENT = "in a comment"
LINK = "in a link"
NOWHERE = "where Markdown shows no text, or shows it twice"
_REFUSING = {
    **dict.fromkeys(("pre", "code", "script", "style", "textarea"), CODE),
    **dict.fromkeys(("h1", "h2", "h3", "h4", "h5", "h6"), HEADING),
    "a": LINK,
    "title": "in a title",
}
_BOX = "admonition "
VOID = {"area", "base", "br", "col", "embed", "hr", "img", "input", "link", "meta", "source", "track", "wbr"}
_WAYS = {"href", "xlink:href"}
_SOURCES = {"src", "srcset", "srcdoc", "data", "poster", "background"}
_WORDS = {"alt", "title", "aria-label"}
# What a style fetches; a part of the page itself begins with #.
_FETCHED = re.compile(r"""(?:@import\s+|\burl\(|image-set\()\s*["']?(?!url\()([^"'()\s#][^"'()\s]*)""", re.IGNORECASE)


@dataclass(frozen=True)
class Spot:
    """Where a token stands.

    `refused` says why no result can stand there, "" where it can; `within` are the elements around it, the outermost
    first; `begins` is true where it begins a list item, and `number` is what a reader sees before that item, 0 for a
    bullet.
    """

    refused: str
    within: tuple[str, ...]
    begins: bool = False
    number: int = 0

    @property
    def is_unread(self) -> bool:
        """True in code, in what no reader meets, and where Markdown drops the text."""
        return self.refused in (CODE, ATTRIBUTE, COMMENT, NOWHERE)


@dataclass(frozen=True)
class Target:
    """What an element leads to, or embeds."""

    tag: str
    text: str
    is_embedded: bool


@dataclass(frozen=True)
class Rendered:
    """What a page's HTML holds."""

    spots: dict[str, list[Spot]] = field(default_factory=dict)
    anchors: set[str] = field(default_factory=set)
    targets: list[Target] = field(default_factory=list)
    texts: list[str] = field(default_factory=list)
    items: list[int] = field(default_factory=list)
    """What a reader sees before each list item, in page order: its number, 0 for a bullet."""
    in_code: list[str] = field(default_factory=list)
    boxes: list[str] = field(default_factory=list)
    """The kind of each box, in page order."""
    unpaired: list[str] = field(default_factory=list)
    """Elements that are opened and not closed, or closed and not opened; "" for a tag without its end."""

    def spot(self, token: str) -> Spot:
        """Return where a token stands; one that Markdown dropped, or shows twice, stands nowhere."""
        spots = self.spots.get(token, [])
        # A table of contents shows a heading's text a second time.
        heading = next((spot for spot in spots if spot.refused == HEADING), None)
        return heading or (spots[0] if len(spots) == 1 else Spot(NOWHERE, ()))


def read_html(html: str) -> Rendered:
    """Return what a page's HTML holds."""
    reader = _Reader()
    reader.feed(html)
    reader.finish()
    return reader.found


@dataclass
class _Open:
    """An element that is open: a list knows its next number, an item its own and whether it has text yet.

    `refused` and `item` are handed down from the elements around it.
    """

    tag: str
    refused: str = ""
    item: _Open | None = None
    number: int = 0
    is_begun: bool = False


class _Reader(HTMLParser):
    def __init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self.open = [_Open("")]
        self.count: Counter[str] = Counter()
        self.found = Rendered()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        for name, value in attrs:
            text = value or ""
            self._note(text, Spot(ATTRIBUTE, ()))
            if name == "id" or (name, tag) == ("name", "a"):
                self.found.anchors.add(text)
            self.found.targets.extend(_targets(tag, name, text))
        self._note_box(tag, dict(attrs).get("class") or "")
        if tag not in VOID:
            self.open.append(self._opened(tag, dict(attrs)))
            self.count[tag] += 1

    def _note_box(self, tag: str, kind: str) -> None:
        if tag == "details" or (tag == "div" and kind.startswith(_BOX)):
            self.found.boxes.append(kind.removeprefix(_BOX))

    def _opened(self, tag: str, attrs: dict[str, str | None]) -> _Open:
        around = self.open[-1]
        refused = _REFUSING.get(tag, "")
        # Code within a heading or a link is code first.
        opened = _Open(tag, CODE if refused == CODE else around.refused or refused, around.item)
        if tag == "ol":
            opened.number = _whole(attrs.get("start"), 1)
        if tag == "li":
            opened.item = opened
            if around.tag == "ol":
                opened.number = _whole(attrs.get("value"), around.number)
                around.number = opened.number + 1
            self.found.items.append(opened.number)
        return opened

    def handle_endtag(self, tag: str) -> None:
        if tag in VOID:
            return
        if not self.count[tag]:
            self.found.unpaired.append(tag)
            return
        while (closed := self.open.pop().tag) != tag:
            self.count[closed] -= 1
            self.found.unpaired.append(closed)
        self.count[tag] -= 1

    def finish(self) -> None:
        # What the parser still holds is a tag without its end: a browser drops all that follows.
        if re.match(r"<[A-Za-z/!?]", self.rawdata):
            self.found.unpaired.append("")
        self.close()
        self.found.unpaired.extend(element.tag for element in self.open[1:])

    def parse_marked_section(self, i: int, report: bool = True) -> int:
        # A browser takes <![ for a comment; the parser of the standard library would stop with an exception.
        return self.parse_bogus_comment(i, report)

    def handle_comment(self, data: str) -> None:
        self._note(data, Spot(COMMENT, ()))

    def handle_data(self, data: str) -> None:
        around = self.open[-1]
        if around.tag == "style":
            self.found.targets.extend(_fetched(data))
        (self.found.in_code if around.refused == CODE else self.found.texts).append(data)
        if ANY.search(data):
            within = tuple(element.tag for element in self.open[1:])
            begins = around.item is not None and not around.item.is_begun and bool(ANY.match(data.lstrip()))
            number = around.item.number if around.item else 0
            self._note(data, Spot(around.refused, within, begins, number))
        if around.item and not data.isspace():
            around.item.is_begun = True

    def _note(self, text: str, spot: Spot) -> None:
        for number, name in enumerate(ANY.findall(text)):
            alone = Spot(spot.refused, spot.within) if number else spot
            self.found.spots.setdefault(name, []).append(alone)


def _targets(tag: str, name: str, text: str) -> Iterator[Target]:
    """Yield what an attribute leads to, or embeds: all but a link takes in what it names, unless that is a #part."""
    is_link = tag in ("a", "area")
    if name in _SOURCES or (name in _WAYS and (is_link or not text.startswith("#"))):
        yield Target(tag, text, name in _SOURCES or not is_link)
    elif name not in _WORDS:
        yield from _fetched(text)


def _fetched(style: str) -> Iterator[Target]:
    return (Target("style", found[1], True) for found in _FETCHED.finditer(style))


def _whole(text: str | None, otherwise: int) -> int:
    return int(text) if text and text.isdecimal() else otherwise
