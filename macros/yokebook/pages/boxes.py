"""Boxes as their author means them: read as boxes, of a kind that looks like something, and with text in them."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence

from yokebook.errors import Problem, nearest
from yokebook.pages.lists import Line
from yokebook.pages.places import Places
from yokebook.pages.probes import Probe, Suspicion, unless_unread
from yokebook.pages.rendered import ATTRIBUTE, Spot
from yokebook.pages.scanner import MASK

KINDS = ("danger", "warning", "caution", "notice", "note")
"""The signal words of the open standard (ANSI Z535.6), and a box without one."""
_MARKS = re.compile(r"!{2,}|\?{3,}\+?")
_HEAD = re.compile(r"(?:!!!|\?\?\?\+?) ?(?P<kind>[\w-]*)(?P<more>(?: +[\w-]+)*)(?: *\"[^\n]*\")? *")
_STEP = 4
_HEAD_EXAMPLE = '!!! danger "DANGER: what may happen"'


def suspicions(
    lines: Sequence[Line], ill_indented: Sequence[Line], seen: Sequence[str], places: Places
) -> Iterator[Suspicion]:
    """Yield what looks wrong with the boxes of a text; `seen` are the kinds of the boxes that Markdown made of it.

    Of the lines that are ill indented in their list all was said.
    """
    told = {line.start for line in ill_indented}
    heads = [
        (number, _HEAD.fullmatch(line.text))
        for number, line in enumerate(lines)
        if _MARKS.match(line.text) and line.start not in told
    ]
    kinds = [" ".join(f"{found['kind']}{found['more']}".lower().split()) for _, found in heads if found]
    for number, found in heads:
        line = lines[number]
        if found is None:
            yield unless_unread(Probe(line.start, line.start), _not_read(line, places))
            continue
        kind = Probe(line.start + found.start("kind"), line.start + found.end("kind"))
        wrong = _of_kind(line, found, places) or _of_text(line, lines[number + 1 :], places)
        if wrong or kinds != list(seen):
            yield kind, lambda spot, wrong=wrong, line=line: _of_spot(spot, wrong, line, places)  # type: ignore[misc]


def _of_spot(spot: Spot, wrong: Problem | None, line: Line, places: Places) -> Problem | None:
    """Return what is wrong with a box whose kind comes to stand at a spot: in an attribute, if it is read as a box."""
    if spot.refused == ATTRIBUTE:
        return wrong
    return None if spot.is_unread else _not_read(line, places)


def _not_read(line: Line, places: Places) -> Problem:
    return places.problem(
        line.start,
        "E576",
        "a reader sees this line as it stands here, for it begins no box",
        written=_cut(line.text),
        allowed="three signs, a space, the kind of box, and a title in straight quotes",
        example=_HEAD_EXAMPLE,
    )


def _of_kind(line: Line, found: re.Match[str], places: Places) -> Problem | None:
    kind, more = found["kind"], found["more"].strip()
    if kind in KINDS and not more:
        return None
    at, word = ("more", more) if kind in KINDS else ("kind", kind)
    wrong = "the title of a box stands in straight quotes" if kind in KINDS else "there is no such kind of box"
    wrong = wrong if kind else "the kind of this box is missing"
    spaces = len(found["more"]) - len(found["more"].lstrip()) if at == "more" else 0
    return places.problem(
        line.start + found.start(at) + spaces,
        "E577",
        wrong,
        written=word,
        allowed=", ".join(KINDS),
        example=f'!!! {kind} "{more}"' if kind in KINDS else _HEAD_EXAMPLE,
        suggestion="" if kind in KINDS else nearest(kind, KINDS),
    )


def _of_text(line: Line, after: Sequence[Line], places: Places) -> Problem | None:
    """Return the problem of a box after which no text stands far enough in."""
    following = next((each for each in after if each.text), None)
    if following and following.quote == line.quote and following.indent >= line.indent + _STEP:
        return None
    return places.problem(
        line.start,
        "E578",
        "this box is empty: what follows it is not indented by four spaces more than the box",
        written=_cut(line.text),
        allowed="the text of the box indented by four spaces, eight for a box within a step",
        example=f"{_HEAD_EXAMPLE}\n\n    What to do.",
    )


def _cut(text: str) -> str:
    """Return as much of a line as a report marks: its beginning, up to a call or code in it."""
    seen = text.split(MASK)[0].rstrip()
    return seen if len(seen) <= 40 else seen[:40].rsplit(" ", 1)[0]
