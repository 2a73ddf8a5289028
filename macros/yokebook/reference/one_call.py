"""Working one call out as it would stand on a page, to see what it gives."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path

from yokebook.calls.result import Result
from yokebook.data.load import load
from yokebook.errors import Collector, ProblemError
from yokebook.pages.syntax import parse
from yokebook.reference import states
from yokebook.reference.layout import DATA
from yokebook.reference.typed_titles import typed_titles
from yokebook.reference.whole import lines_of, run

TYPED = "the call"


def try_call(folder: Path, text: str) -> tuple[Result | None, Collector]:
    """Return what a call gives with the data of a department, and all problems of the data and the call.

    `folder` is where `mkdocs.yml` lies; `text` is the call, with or without its braces. The problems name it `TYPED`.
    """
    known = states.load(folder)
    department, problems = load(folder / DATA, DATA)
    collector = Collector()
    collector.add(*problems, *typed_titles(department))
    result = None
    braces = text.startswith("{{") and text.endswith("}}")
    try:
        call = parse(text[2:-2], TYPED, 1, 3) if braces else parse(text, TYPED, 1, 1)
        if department and not collector.stops_the_build:
            result, found = run(call, department, TYPED)
            collector.add(*found)
    except ProblemError as error:
        collector.add(*error.problems)
    states.save(folder, known)
    return result, collector


def source_lines(folder: Path, text: str) -> Callable[[str], Sequence[str]]:
    """Return what gives a report the lines of a file of the department, or of the call as it was typed."""
    return lambda file: text.split("\n") if file == TYPED else lines_of(folder, file)
