"""Lists as their author means them: nothing ends one unseen, and each step is printed with the number typed."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from yokebook.errors import Problem
from yokebook.pages.places import Places
from yokebook.pages.probes import Probe
from yokebook.pages.rendered import Spot
from yokebook.pages.scanner import MASK

_LINE = re.compile(r"(?P<quote>(?:[ ]{0,3}>[ ]?)*)(?P<space>[ \t]*)(?P<marker>(?:[0-9]+[.)]|[*+-])[ \t]+(?=\S))?")
_RULE = re.compile(r"[ ]{0,3}(?:(?:-[ ]*){3,}|(?:_[ ]*){3,}|(?:\*[ ]*){3,})$")
_BOX = re.compile(r"(?:!!!|\?\?\?\+?)[ ]?\S")
_STEP = 4
_NESTED = "1.  Step\n\n    Text of the step, indented by four spaces.\n\n2.  Next step"


@dataclass(frozen=True)
class Line:
    """A line of a page: quote marks, indent, list marker, where the text after it starts, and all text from `start`.

    `before_quote` are the spaces before the quote marks.
    """

    before_quote: int
    quote: str
    indent: int
    marker: str
    text_start: int
    start: int
    text: str

    @property
    def number(self) -> int | None:
        """The number of a step, None for a bullet or a line that is no item."""
        return int(self.marker[:-1]) if self.marker[:1].isdigit() else None

    @property
    def probe(self) -> Probe:
        """What asks Markdown where the line's text comes to stand."""
        return Probe(self.text_start, self.text_start)


@dataclass
class _Level:
    """A list that is open: how many steps in it stands, by how many spaces more its items do, and the last item."""

    step: int
    spaces: int
    last: Line


def lines_of(masked: str) -> Iterator[Line]:
    """Yield the lines of a text in which calls and code are masked; one that goes on over lines counts as one."""
    start = 0
    for row in masked.split("\n"):
        found = _LINE.match(row)
        assert found is not None
        marker = "" if _RULE.match(row) else (found["marker"] or "").strip()
        indent = len(found["space"].expandtabs(_STEP))
        quote = found["quote"].replace(" ", "")
        begins = found.end("space")
        before = len(row) - len(row.lstrip(" ")) if quote else 0
        yield Line(before, quote, indent, marker, start + found.end(), start + begins, row[begins:].strip())
        start += len(row) + 1


def ill_indented(lines: Sequence[Line]) -> Iterator[Line]:
    """Yield the lines after a list item that stand one to three spaces in, where they would end the list or join it."""
    levels: list[_Level] = []
    quote = ""
    is_first = True
    for line in lines:
        if levels and is_first and not quote and line.before_quote:
            yield replace(line, indent=line.before_quote)
        if line.quote != quote:
            levels, quote, is_first = [], line.quote, True
        if line.text and (is_first or (line.marker and levels)):
            step, spaces = divmod(line.indent, _STEP)
            while levels and levels[-1].step > step:
                levels.pop()
            if levels and levels[-1].step == step:
                if spaces and not (line.marker and _joins(levels[-1], line, spaces)):
                    yield line
                elif line.marker:
                    levels[-1].last = line
                else:
                    levels.pop()
            elif line.marker:
                levels.append(_Level(step, spaces, line))
        is_first = not line.text or bool(_BOX.match(line.text))


def _joins(level: _Level, line: Line, spaces: int) -> bool:
    """Return whether an item is meant as the list's next: set like its others, or numbered on (as 9. over 10.)."""
    follows = line.number is not None and level.last.number is not None and line.number == level.last.number + 1
    return spaces == level.spaces or follows


def ill_indent(line: Line, spot: Spot, places: Places) -> Problem | None:
    """Return the problem of a line that `ill_indented` yielded, None where Markdown sees no text there, but code."""
    if spot.is_unread:
        return None
    spaces = f"{line.indent} space{'s' * (line.indent != 1)}"
    what = f"this text is indented by {spaces}: it ends the list above and no longer belongs to its step"
    if line.marker:
        what = f"this item is indented by {spaces}: it does not begin a list within the step above"
    return places.problem(
        line.start,
        "E561",
        what,
        written=_first_word(line),
        allowed="four spaces for what belongs to a step, eight within a step of a step; none for what does not belong",
        example=_NESTED,
    )


def misprints(items: Sequence[Line], spots: Sequence[Spot], places: Places) -> Iterator[Problem]:
    """Yield the problem of each list item that is not printed as it was typed.

    `spots` are where the items' texts come to stand in the page. What only follows from the item before is not told.
    """
    wrong_before: dict[tuple[str, int], int] = {}
    no_list: Line | None = None
    for line, spot in zip(items, spots, strict=True):
        level = (line.quote, line.indent)
        follows = wrong_before.pop(level, None) == spot.number - 1
        if spot.is_unread:
            continue
        if not spot.begins:
            if no_list is None or not _goes_on(no_list, line, places.text):
                yield _no_list(line, places)
            no_list = line
        elif line.number is not None and line.number != spot.number:
            wrong_before[level] = spot.number
            if not follows:
                yield _misprint(line, spot.number, places)


def _goes_on(before: Line, line: Line, text: str) -> bool:
    """Return whether a line that begins no list, after another one, needs no word of its own."""
    same = line.marker[-1] == before.marker[-1]
    return same and (line.marker[-1] == ")" or "\n\n" not in text[before.start : line.start])


def _no_list(line: Line, places: Places) -> Problem:
    dotted = line.marker.replace(")", ".")
    missing = "no list begins here: an empty line is missing above it"
    return places.problem(
        line.start,
        "E574",
        missing if dotted == line.marker else "this is no step of a list, as its number ends with a bracket",
        written=line.marker,
        allowed="an empty line, then steps that begin with a number and a point, or with a hyphen",
        example=f"Have ready:\n\n{dotted}  first thing",
    )


def _misprint(line: Line, printed: int, places: Places) -> Problem:
    return places.problem(
        line.start,
        "E571",
        f"a reader sees this step with the number {printed}",
        written=line.marker,
        allowed="the numbers of a list one after another, from its first one on",
        example="1.  First step\n\n2.  Second step",
    )


def _first_word(line: Line) -> str:
    word = line.marker or line.text.split()[0]
    return "{{" if word.startswith(MASK) else word
