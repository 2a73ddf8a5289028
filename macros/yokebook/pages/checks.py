"""What is checked of a page beside its calls: its lists, the numbers in its own words, its code, its links."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass

from yokebook.errors import Problem
from yokebook.pages import (
    boxes,
    braces,
    identity,
    links,
    lists,
    pasted_marks,
    probes,
    shown_calls,
    tables,
    typed_numbers,
)
from yokebook.pages.extensions import Rendering, render
from yokebook.pages.links import Neighbours
from yokebook.pages.page import Draft
from yokebook.pages.places import Places
from yokebook.pages.probes import Probe
from yokebook.pages.rendered import ATTRIBUTE, VOID, Rendered, Spot, read_html

_TAG = re.compile(r"<(?P<end>/?)(?P<name>[A-Za-z][A-Za-z0-9-]*)(?=[\s/>])[^<>]*(?P<close>/?>)?")
_BRACES = re.compile(r"\{\{[^{}\n]*\}\}|\{\{|\}\}")


@dataclass(frozen=True)
class LaidOut:
    """A page as Markdown lays it out, with tokens in the place of calls."""

    draft: Draft
    rendering: Rendering
    rendered: Rendered


def lay_out(draft: Draft) -> tuple[LaidOut, list[Problem]]:
    """Return a page as Markdown lays it out, and what is wrong with its text: lists, typed numbers, code."""
    rendering = render(draft.scanned.text)
    rendered = read_html(rendering.html)
    problems = [*_in_text(draft, rendering.html, rendered), *_identities(draft), *_slips(draft)]
    if rendered.unpaired:
        problems.append(_unpaired(draft, rendered.unpaired[0]))
    return LaidOut(draft, rendering, rendered), problems


def _identities(draft: Draft) -> Iterator[Problem]:
    front = draft.content.decode("utf-8-sig").splitlines()[: draft.body_line - 1]
    yield from identity.look_for(front, draft.masked, draft.file, draft.front.not_a_person if draft.front else ())


def _slips(draft: Draft) -> Iterator[Problem]:
    """Yield what an author most likely meant as a list, a heading or a call, and a reader would not see as one."""
    yield from pasted_marks.look_for(draft.masked, draft.places)
    if draft.front and draft.front.procedure:
        yield from shown_calls.look_for(draft.path, draft.body, draft.scanned, draft.places)


def links_of(page: LaidOut, neighbours: Neighbours) -> Iterator[Problem]:
    """Yield the problem of each link, anchor and picture of a page that leads nowhere."""
    draft = page.draft
    yield from links.check(draft.path, draft.masked, page.rendered, draft.places, neighbours)


def used_files(page: LaidOut) -> set[str]:
    """Return the local files that a page shows or links to, pages apart, as paths below the folder of pages."""
    return set(links.used_files(page.draft.path, page.rendered))


def _all_in_code(html: str, rendered: Rendered) -> bool:
    """Return whether all double braces of a page stand in code, so that Markdown need not be asked about each."""
    return all(html.count(pair) == sum(text.count(pair) for text in rendered.in_code) for pair in ("{{", "}}"))


def _in_text(draft: Draft, html: str, rendered: Rendered) -> Iterator[Problem]:
    """Ask Markdown, all in one, where what looks wrong comes to stand, and yield what is wrong."""
    lines = list(lists.lines_of(draft.masked))
    indented = list(lists.ill_indented(lines))
    items = [line for line in lines if line.marker]
    # An item in the wrong place moves the numbers of those after it: that is told once.
    if indented or [line.number or 0 for line in items] == rendered.items:
        items = []
    typed = list(typed_numbers.find(draft.masked))
    in_code = (
        []
        if _all_in_code(html, rendered)
        else [
            (span.start + found.start(), found.group())
            for span in draft.scanned.spans
            if span.what == "code"
            for found in _BRACES.finditer(draft.body[span.start : span.end])
        ]
    )
    suspicions = [
        *boxes.suspicions(lines, indented, rendered.boxes, draft.places),
        *tables.suspicions(lines, draft.places),
        *braces.suspicions(draft.masked, draft.places),
    ]
    asked = [
        *(line.probe for line in [*indented, *items]),
        *(number.probe for number in typed),
        *(Probe(start, start + len(text)) for start, text in in_code),
        *(probe for probe, _ in suspicions),
    ]
    spots = iter(probes.ask(draft.body, draft.scanned, asked))
    answers: list[Problem | None] = [
        *(lists.ill_indent(line, next(spots), draft.places) for line in indented),
        *lists.misprints(items, [next(spots) for _ in items], draft.places),
        *(typed_numbers.problem(number, next(spots), draft.places) for number in typed),
        *(_not_code(start, text, next(spots), draft.places) for start, text in in_code),
        *(told(next(spots)) for _, told in suspicions),
    ]
    yield from (answer for answer in answers if answer)


def _not_code(start: int, text: str, spot: Spot, places: Places) -> Problem | None:
    """Return the problem of braces that the scanner left as code, where Markdown sees text, or an attribute."""
    if spot.is_unread and spot.refused != ATTRIBUTE:
        return None
    return places.problem(
        start,
        "E573",
        "it is not clear whether this stands in code: the backticks around it do not belong together",
        written=text,
        allowed="both backticks in one sentence, cell or step; a call without backticks around it",
        example="Write `{{ department.keep_back }}` for the keep-back.",
    )


def _unpaired(draft: Draft, element: str) -> Problem:
    """Return the problem of HTML in a page that is not closed, or closes what nothing opens, at the first such tag."""
    found = _first_unpaired(draft.masked)
    return draft.places.problem(
        found.start() if found else 0,
        "E575",
        "this HTML tag has no partner, so a browser may change what follows" if element else "no > ends this tag",
        written=found.group() if found else element,
        allowed="each HTML tag with the one that closes it; better, Markdown's own signs",
        example="**Open slowly.** or <b>Open slowly.</b>",
    )


def _first_unpaired(text: str) -> re.Match[str] | None:
    opened: list[re.Match[str]] = []
    for tag in _TAG.finditer(text):
        if tag["close"] is None:
            return tag
        if tag["close"] == "/>" or tag["name"].lower() in VOID:
            continue
        if not tag["end"]:
            opened.append(tag)
        elif not opened or opened.pop()["name"].lower() != tag["name"].lower():
            return tag
    return opened[0] if opened else None
