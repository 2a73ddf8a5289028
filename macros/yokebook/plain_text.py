"""What no text of the department may hold, be it a page, data or a record: unsettled versions, and what nobody sees."""

from __future__ import annotations

import re
from collections.abc import Iterator

from yokebook.errors import Level, Problem

# As version-control programs write them: seven signs at the start of a line, then nothing or a space and a name. A line
# of seven equals signs alone is a heading of Markdown's; only beside one of the others is it the middle of a conflict.
_MARK = re.compile(r"^[ \t]*(?P<mark><{7}|\|{7}|={7}|>{7})(?=[ \t\r\n]|\Z)(?P<name>[^\r\n]*)", re.MULTILINE)
_MIDDLE, _END, _BEGIN = "=" * 7, ">" * 7, "<" * 7
# Controls but tab and line ends; separators of lines that no editor shows; spaces without width; what turns the writing
# round, so that 01 is seen as 10.
_UNSEEN = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\u200b\u200e\u200f\u2028-\u202e\u2060\u2066-\u2069\ufeff]")
_NAMES = {
    "\x00": "the character of no text at all, NUL",
    "\x08": "a backspace",
    "\x0b": "a vertical tab, which word processors put where a line is broken by hand",
    "\x0c": "a form feed, which word processors put where a page is broken by hand",
    "\x1b": "an escape, which begins orders to a terminal",
    "\x7f": "a delete",
    "\x85": "a line break that few programs know",
    "\u2028": "a line break that few programs know",
    "\u2029": "a paragraph break that few programs know",
    "\u200b": "a space without width, which web pages are full of",
    "\u2060": "a joiner without width",
    "\ufeff": "a mark of byte order, which belongs at the beginning of a file alone",
}


def problems(text: str, file: str, first_line: int = 1) -> Iterator[Problem]:
    """Yield the problem of each conflict of two versions left in a text, and of each character that nobody sees.

    `first_line` is the line of the file at which the text starts. A text with such a problem is not to be read further.
    """
    text = text.removeprefix("\ufeff").replace("\r\n", "\n").replace("\r", "\n")
    for marks in _conflicts(text):
        yield _conflict(text, marks, file, first_line)
    for found in _UNSEEN.finditer(text):
        yield _unseen(text, found, file, first_line)


def _conflicts(text: str) -> Iterator[list[re.Match[str]]]:
    """Yield the marks of each conflict in the order of their lines; a part of them may have been deleted."""
    marks: list[re.Match[str]] = []
    for found in _MARK.finditer(text):
        if found["mark"] == _MIDDLE and found["name"].strip():
            continue
        if found["mark"] == _BEGIN and marks:
            yield from _unsettled(marks)
            marks = []
        marks.append(found)
        if found["mark"] == _END:
            yield from _unsettled(marks)
            marks = []
    yield from _unsettled(marks)


def _unsettled(marks: list[re.Match[str]]) -> Iterator[list[re.Match[str]]]:
    if any(found["mark"] != _MIDDLE for found in marks):
        yield marks


def _place(text: str, offset: int, first_line: int) -> tuple[int, int]:
    before = text[:offset]
    return before.count("\n") + first_line, len(before) - before.rfind("\n")


def _conflict(text: str, marks: list[re.Match[str]], file: str, first_line: int) -> Problem:
    lines = [str(_place(text, found.start("mark"), first_line)[0]) for found in marks]
    where = f"line {lines[0]}" if len(lines) == 1 else f"lines {', '.join(lines[:-1])} and {lines[-1]}"
    return Problem(
        file,
        *_place(text, marks[0].start("mark"), first_line),
        Level.ERROR,
        "E810",
        f"two people changed this place and nobody settled it: the marks of the conflict still stand in {where}, and "
        "both versions would be read",
        written=marks[0].group().strip(),
        allowed="the one version that is right, and no line that begins with <<<<<<<, |||||||, ======= or >>>>>>>",
        example="of the versions between the marks keep the right one; delete the others and the lines of the marks",
    )


def _unseen(text: str, found: re.Match[str], file: str, first_line: int) -> Problem:
    sign = found.group()
    turns = "a sign that turns the direction of writing round, so that 01 may be seen as 10"
    what = _NAMES.get(sign) or (turns if sign > "\u2000" else "a control character")
    return Problem(
        file,
        *_place(text, found.start(), first_line),
        Level.ERROR,
        "E812",
        f"a character that nobody sees stands here, U+{ord(sign):04X}: {what}",
        allowed="letters, digits and signs that can be seen, spaces, and the ends of lines",
        example="delete it: take out the letters before and behind this place, and type them anew",
    )
