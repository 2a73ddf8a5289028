"""Links, anchors and pictures: what a page leads to must be there, checked without the host."""

from __future__ import annotations

import posixpath
import re
from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass
from urllib.parse import SplitResult, quote, unquote, urlsplit

from yokebook.errors import Problem, nearest
from yokebook.pages.places import Places
from yokebook.pages.rendered import Rendered, Target
from yokebook.pages.tokens import ANY

_ELSEWHERE = {"http", "https", "mailto", "tel"}
_TARGET = re.compile(r"(?:\(<?|[\"'=]|\]:[ ]+)([^()<>\"'\n]*?)(?=[ ]*(?:[)>\"'\n]|\Z))")
_BY_HAND = re.compile(r"<\w+\s[^<>]*?\b(?:href|src|srcset|srcdoc|data|poster|background)\s*=\s*[\"']?([^\"'<>\s]*)")
# What Markdown leaves in the text where it did not understand a link.
_LEFT_OVER = re.compile(
    r"(?:\[[^\[\]\n]*)?\](?:[(\[]|[ ]\((?=[^()\s]*(?:\.\w{2,4}|#|//)[^()\s]*\)))[^()\[\]\n]{0,60}[)\]]?"
)
PICTURES = (".svg", ".png", ".jpg", ".jpeg", ".gif", ".webp")
KINDS = (*PICTURES, ".pdf")
"""Files that a page may show or link to: what any browser shows as it was approved."""
_EXAMPLE = "[Changing a cylinder](procedures/changing-a-cylinder.md)"
_PICTURE = "![The yoke from the front](yoke.png)"


@dataclass(frozen=True)
class Neighbours:
    """What a page can lead to: the files below the folder of pages, and the anchors of each page that could be read."""

    files: Collection[str]
    anchors: Mapping[str, Collection[str]]


def used_files(path: str, rendered: Rendered) -> Iterator[str]:
    """Yield the local files that a page shows or links to, pages apart, as paths below the folder of pages."""
    for target in rendered.targets:
        parts = _parts(target.text)
        if parts and not parts.scheme and not parts.netloc and parts.path and not parts.path.endswith(".md"):
            yield _resolved(path, parts.path)


def check(path: str, masked: str, rendered: Rendered, places: Places, neighbours: Neighbours) -> Iterator[Problem]:
    """Yield the problem of each link, anchor and picture of a page that leads nowhere, at its place.

    `path` is the page's below the folder of pages; `masked` is its body with calls and code masked.
    """
    by_hand = {found[1] for found in _BY_HAND.finditer(masked)}
    offsets: dict[str, list[int]] = {}
    for found in _TARGET.finditer(masked):
        offsets.setdefault(found[1], []).append(found.start(1))
    for target in rendered.targets:
        if ANY.search(target.text):
            continue
        fault = _fault(path, target, neighbours, is_by_hand=target.text in by_hand)
        if fault:
            written = offsets.get(target.text, [0])
            yield _at(written.pop(0) if len(written) > 1 else written[0], fault, target.text, places)
    for found in _LEFT_OVER.finditer("\n".join(rendered.texts)):
        wrong = "Markdown does not understand this link; a reader would see its brackets"
        fault = _Fault("E563", wrong, "[words](page.md), without a space in between or in the address", _EXAMPLE)
        yield _at(_offset_of_words(masked, found.group()), fault, found.group(), places)


@dataclass(frozen=True)
class _Fault:
    code: str
    wrong: str
    allowed: str
    example: str
    suggestion: str = ""


def _fault(path: str, target: Target, neighbours: Neighbours, *, is_by_hand: bool) -> _Fault | None:
    """Return what is wrong with a target, None where it is good."""
    parts = _parts(target.text)
    if parts is None:
        return _Fault("E566", "this is no address", "a page's .md file, or a whole web address", _EXAMPLE)
    if target.is_embedded and (target.tag != "img" or is_by_hand):
        return _Fault("E566", "only pictures are embedded, and in Markdown's own way", "![words](file)", _PICTURE)
    if target.is_embedded and (parts.scheme or parts.netloc):
        wrong = "a picture from elsewhere: a page shows nothing that does not lie beside it"
        return _Fault("E566", wrong, "a file below content/pages", _PICTURE)
    if parts.scheme in _ELSEWHERE and (parts.netloc or parts.path):
        return None
    if parts.scheme or parts.netloc or parts.path.startswith(("/", "\\")):
        wrong = "this address means another place on each computer where the reference is read"
        allowed = "the way from this page to another's .md file; or a whole address with https, http, mailto or tel"
        return _Fault("E566", wrong, allowed, _EXAMPLE)
    if is_by_hand and parts.path:
        return _Fault("E566", "links to pages are not followed in HTML", "[words](page.md)", _EXAMPLE)
    return _local_fault(path, target, neighbours)


def _parts(text: str) -> SplitResult | None:
    """Return the parts of an address, None for what is none."""
    try:
        return urlsplit(text)
    except ValueError:
        return None


def _local_fault(path: str, target: Target, neighbours: Neighbours) -> _Fault | None:
    parts = urlsplit(target.text)
    file = _resolved(path, parts.path) if parts.path else path
    if not target.text:
        return _Fault("E563", "this link leads nowhere", "[words](page.md)", _EXAMPLE)
    if file not in neighbours.files:
        return _no_such_file(path, file, target, neighbours.files)
    kinds = PICTURES if target.is_embedded else (".md", *KINDS)
    if not file.lower().endswith(kinds):
        wrong = f"{file} is of a kind that is not published: a browser does not show it as it was approved"
        return _Fault("E814", wrong, f"a file whose name ends in {', '.join(kinds)}", "[The poster](poster.pdf)")
    anchors = neighbours.anchors.get(file)
    anchor = unquote(parts.fragment)
    if not anchor or anchors is None or anchor in anchors:
        return None
    meant = nearest(anchor, anchors)
    shown = ", ".join(sorted(anchors)) or "none on that page"
    example = f"[words]({parts.path}#{meant or next(iter(sorted(anchors)), 'steps')})"
    return _Fault("E564", f"{file} has no heading with the anchor {anchor}", shown, example, meant)


def _no_such_file(path: str, file: str, target: Target, files: Collection[str]) -> _Fault:
    is_page = not target.is_embedded and (file.endswith((".md", ".html", "/")) or "." not in posixpath.basename(file))
    wanted = [name for name in files if name.endswith(".md") == is_page]
    same = (name for name in sorted(wanted) if _name(name, is_page) == _name(file, is_page))
    by_name = {_name(name, is_page): name for name in sorted(wanted)}
    meant = next(same, "") or by_name.get(nearest(_name(file, is_page), by_name), "")
    way = quote(posixpath.relpath(meant, posixpath.dirname(path) or ".")) if meant else ""
    if is_page:
        allowed = "the way from this page to another's .md file, such as ../procedures/page.md"
        return _Fault("E563", f"there is no page {file}", allowed, f"[words]({way or 'page.md'})", way)
    allowed = "the way from this page to a file below content/pages, in the same capital and small letters"
    example = f"{'!' * target.is_embedded}[words]({way or 'yoke.png'})"
    return _Fault("E565", f"there is no file {file}", allowed, example, way)


def _name(file: str, is_page: bool) -> str:
    """Return a file's name in small letters, that of a page without its ending."""
    name = posixpath.basename(file).lower()
    return name.rsplit(".", 1)[0] if is_page else name


def _resolved(path: str, way: str) -> str:
    """Return what a way from a page leads to, as a path below the folder of pages.

    >>> _resolved("procedures/change.md", "../yoke%20plug.png")
    'yoke plug.png'
    """
    return posixpath.normpath(posixpath.join(posixpath.dirname(path), unquote(way)))


def _offset_of_words(masked: str, words: str) -> int:
    """Return where a text begins as its author wrote it, as far as marks of emphasis allow; else 0."""
    for length in range(len(words), 0, -1):
        at = masked.find(words[:length])
        if at >= 0:
            return at
    return 0


def _at(offset: int, fault: _Fault, written: str, places: Places) -> Problem:
    return places.problem(
        offset,
        fault.code,
        fault.wrong,
        written=written,
        allowed=fault.allowed,
        example=fault.example,
        suggestion=fault.suggestion,
    )
