"""One page of an author's Markdown, read: front matter, text with tokens, calls, and every problem in them."""

from __future__ import annotations

from dataclasses import dataclass

from yokebook import yamlfile
from yokebook.data.problems import read_entry
from yokebook.errors import Problem, ProblemError
from yokebook.pages import front_matter, scanner
from yokebook.pages.front_matter import FrontMatter
from yokebook.pages.syntax import Call, Lookup


@dataclass(frozen=True)
class Page:
    """A page as read. `file` is its path as problems name it, `path` its path below the folder of pages."""

    path: str
    file: str
    content: bytes
    front: FrontMatter
    tree: yamlfile.Mapping
    text: str
    calls: tuple[Call | Lookup, ...]


def read_page(path: str, file: str, content: bytes) -> tuple[Page | None, list[Problem]]:
    """Return a page's bytes as a page, and every problem in it; None where its front matter cannot be read."""
    try:
        parts = front_matter.split(content, file)
    except ProblemError as error:
        return None, list(error.problems)
    front, problems = read_entry(FrontMatter, parts.front, file)
    scanned, found = scanner.scan(parts.body, file, first_line=parts.body_line)
    problems += found
    if front is None:
        return None, problems
    return Page(path, file, content, front, parts.front, scanned.text, scanned.calls), problems
