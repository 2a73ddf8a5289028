"""The front matter of a page: what its author writes about it, read strictly and with true lines."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass

from pydantic import Field

from yokebook import plain_text, yamlfile
from yokebook.data.entry import Entry, missing
from yokebook.data.faults import Fault
from yokebook.data.fields import ProcedureNumber, Text
from yokebook.errors import Level, Problem, ProblemError
from yokebook.pages.incident import Incident

_FENCE = "---"
_EXAMPLE = "---\ntitle: Changing a cylinder on the yoke\nprocedure: CYL-01\nowner: equipment lead\n---"


def _owned(front: FrontMatter) -> Iterator[Fault]:
    if front.procedure is not None and front.owner is None:
        yield missing("owner", FrontMatter, "a procedure has a role that answers for it")


class FrontMatter(Entry):
    """What an author writes about a page."""

    what = "the front matter"
    title: Text = Field(description="as it heads the page", examples=["Changing a cylinder on the yoke"])
    procedure: ProcedureNumber | None = Field(
        None, description="its number, for a page that shows computed numbers", examples=["CYL-01"]
    )
    owner: Text | None = Field(None, description="a role of department.yaml", examples=["equipment lead"])
    machines: tuple[Text, ...] = Field((), description="the machines that it is for", examples=["[theatre-1]"])
    also_called: tuple[Text, ...] = Field(
        (), description="local words by which it is searched for", examples=["[swap the bottle]"]
    )
    summary: Text | None = Field(
        None,
        description="what it is about, in one sentence",
        examples=["How a cylinder is changed while another one supplies."],
    )
    incident: Incident | None = Field(
        None,
        description="of a page in incidents: what was decided after it",
        examples=["{happened: 2026-02-03, reviewed: 2026-02-20, procedures: [CYL-05]}"],
    )
    not_a_person: tuple[Text, ...] = Field(
        (), description="words of the page that look like a person and are none", examples=["[Sister ward]"]
    )
    checks = (((), _owned),)


@dataclass(frozen=True)
class Parts:
    """A page's text cut in two: the front matter, the body, the line where the body starts, and what is wrong so far.

    `front` is the front matter as keys and values, None where it cannot be read as such.
    """

    front: yamlfile.Mapping | None
    body: str
    body_line: int
    problems: tuple[Problem, ...] = ()


def split(content: bytes, file: str) -> Parts:
    """Return the parts of a page's bytes (UTF-8, with or without BOM; lines end as on any system).

    Raises ProblemError where the bytes are no text, or where it cannot be told at which line the body starts.
    """
    try:
        text = content.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line_number = content.count(b"\n", 0, error.start) + 1
        raise ProblemError([_not_text(file, line_number, "this line holds bytes that are not UTF-8 text")]) from None
    if found := list(plain_text.problems(text, file)):
        raise ProblemError(found)
    lines = re.split(r"\r\n|\r|\n", text)
    if lines[0].rstrip() != _FENCE:
        return Parts(None, "\n".join(lines), 1, (_missing(file, "the page does not begin with its front matter"),))
    try:
        end = next(number for number, line in enumerate(lines[1:], start=1) if line.rstrip() == _FENCE)
    except StopIteration:
        raise ProblemError([_missing(file, "the front matter has no closing line of three hyphens")]) from None
    front, problems = _front(lines[1:end], file)
    return Parts(front, "\n".join(lines[end + 1 :]), end + 2, tuple(problems))


def _front(lines: list[str], file: str) -> tuple[yamlfile.Mapping | None, list[Problem]]:
    calls = [_call(file, number, line.index("{{") + 1) for number, line in enumerate(lines, start=2) if "{{" in line]
    told = {problem.line for problem in calls}
    try:
        return yamlfile.read("\n".join(lines) + "\n", file, first_line=2), calls
    except ProblemError as error:
        # Bare braces are also a mapping of YAML's: the call is the one thing to say about their line.
        return None, calls + [problem for problem in error.problems if problem.line not in told]


def _call(file: str, line: int, column: int) -> Problem:
    return Problem(
        file,
        line,
        column,
        Level.ERROR,
        "E570",
        "nothing is worked out in the front matter: a reader would see the braces",
        written="{{",
        allowed="words without a call; the page itself says the number",
        example="summary: How long the cylinder on the yoke lasts.",
    )


def _not_text(file: str, line: int, wrong: str) -> Problem:
    return Problem(
        file,
        line,
        1,
        Level.ERROR,
        "E001",
        wrong,
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
