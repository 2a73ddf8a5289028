"""The front matter of a page: what its author writes about it, read strictly and with true lines."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Annotated

from pydantic import Field

from yokebook import yamlfile
from yokebook.data.entry import Entry, missing
from yokebook.data.faults import Fault, refuse
from yokebook.data.fields import Text, scalar
from yokebook.errors import Level, Problem, ProblemError

_FENCE = "---"
_EXAMPLE = "---\ntitle: Changing a cylinder on the yoke\nprocedure: CYL-01\nowner: equipment lead\n---"


_NUMBER = re.compile(r"[A-Z]{2,6}-[0-9]{2,3}")


def _procedure(text: str) -> str:
    if not _NUMBER.fullmatch(text):
        allowed = "two to six capital letters, a hyphen, two or three digits"
        refuse([Fault("E511", "this is not the number of a procedure", allowed=allowed, example="procedure: CYL-01")])
    return text


def _owned(front: FrontMatter) -> Iterator[Fault]:
    if front.procedure is not None and front.owner is None:
        yield missing("owner", FrontMatter, "a procedure has a role that answers for it")


class FrontMatter(Entry):
    """What an author writes about a page."""

    what = "the front matter"
    title: Text = Field(description="as it heads the page", examples=["Changing a cylinder on the yoke"])
    procedure: Annotated[str, scalar(_procedure)] | None = Field(None, examples=["CYL-01"])
    owner: Text | None = Field(None, description="a role of department.yaml", examples=["equipment lead"])
    machines: tuple[Text, ...] = Field((), examples=["[theatre-1]"])
    also_called: tuple[Text, ...] = Field((), examples=["[swap the bottle]"])
    summary: Text | None = Field(None, examples=["How a cylinder is changed while another one supplies."])
    checks = (((), _owned),)


@dataclass(frozen=True)
class Parts:
    """A page's text cut in two: the front matter as keys and values, the body, and the line where the body starts."""

    front: yamlfile.Mapping
    body: str
    body_line: int


def split(content: bytes, file: str) -> Parts:
    """Return the parts of a page's bytes (UTF-8, with or without BOM, LF or CRLF).

    Raises ProblemError where the text is not UTF-8, or the front matter is missing, not closed or not valid.
    """
    try:
        text = content.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = content.count(b"\n", 0, error.start) + 1
        raise ProblemError([_not_text(file, line)]) from None
    lines = re.split(r"\r\n|\n", text)
    if lines[0].rstrip() != _FENCE:
        raise ProblemError([_missing(file, "the page does not begin with its front matter")])
    try:
        end = next(number for number, line in enumerate(lines[1:], start=1) if line.rstrip() == _FENCE)
    except StopIteration:
        raise ProblemError([_missing(file, "the front matter has no closing line of three hyphens")]) from None
    front = yamlfile.read("\n".join(lines[1:end]) + "\n", file, first_line=2)
    return Parts(front, "\n".join(lines[end + 1 :]), end + 2)


def _not_text(file: str, line: int) -> Problem:
    return Problem(
        file,
        line,
        1,
        Level.ERROR,
        "E001",
        "this line holds bytes that are not UTF-8 text",
        allowed="a text file saved as UTF-8",
        example="in the editor: save as, encoding UTF-8",
    )


def _missing(file: str, wrong: str) -> Problem:
    return Problem(
        file,
        1,
        1,
        Level.ERROR,
        "E510",
        wrong,
        allowed="three hyphens, lines of key: value, three hyphens, each on its line",
        example=_EXAMPLE,
    )
