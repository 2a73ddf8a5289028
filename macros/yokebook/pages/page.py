"""One page of an author's Markdown, read: front matter, text with tokens, calls, and every problem in them."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

from yokebook import yamlfile
from yokebook.data.problems import read_entry
from yokebook.errors import Problem, ProblemError
from yokebook.pages import front_matter, limits, scanner, typed_numbers
from yokebook.pages.front_matter import FrontMatter
from yokebook.pages.places import Places
from yokebook.pages.scanner import Scanned
from yokebook.pages.syntax import Call, Lookup, Unread

_SEEN_BY_READERS = ("title", "summary")


@dataclass(frozen=True)
class Page:
    """A page as read. `file` is its path as problems name it, `path` its path below the folder of pages."""

    path: str
    file: str
    content: bytes
    front: FrontMatter
    tree: yamlfile.Mapping
    text: str
    calls: tuple[Call | Lookup | Unread, ...]


@dataclass(frozen=True)
class Draft:
    """A page as far as it could be read: its front matter may be broken, and its calls not understood.

    `can_be_laid_out` is false where Markdown would take too long, or would not see what the scanner saw.
    """

    path: str
    file: str
    content: bytes
    front: FrontMatter | None
    tree: yamlfile.Mapping | None
    body: str
    body_line: int
    scanned: Scanned
    can_be_laid_out: bool

    @property
    def page(self) -> Page | None:
        """The page, None where its front matter is broken."""
        if self.front is None or self.tree is None:
            return None
        return Page(self.path, self.file, self.content, self.front, self.tree, self.scanned.text, self.scanned.calls)

    @cached_property
    def places(self) -> Places:
        """From an offset in the body to its line and column."""
        return Places(self.file, self.body, self.body_line)

    @cached_property
    def masked(self) -> str:
        """The body with calls and code masked."""
        return self.scanned.masked(self.body)


def read_page(path: str, file: str, content: bytes) -> tuple[Draft | None, list[Problem]]:
    """Return a page's bytes as far as they can be read, and every problem in front matter and calls.

    None where they are no text, or more than can be laid out.
    """
    too_large = limits.too_large(content, file)
    if too_large:
        return None, [too_large]
    try:
        parts = front_matter.split(content, file)
    except ProblemError as error:
        return None, list(error.problems)
    problems = list(parts.problems)
    front = None
    if parts.front is not None:
        told = {problem.line for problem in problems}
        front, found = read_entry(FrontMatter, parts.front, file)
        problems += [problem for problem in found if problem.line not in told]
        problems += _typed(parts.front, file)
    tangled = list(limits.too_tangled(parts.body, Places(file, parts.body, parts.body_line)))
    if tangled:
        return None, problems + tangled
    scanned, found = scanner.scan(parts.body, file, first_line=parts.body_line)
    draft = Draft(
        path, file, content, front, parts.front, parts.body, parts.body_line, scanned,
        can_be_laid_out=not any(problem.code in scanner.FATAL for problem in found),
    )  # fmt: skip
    return draft, problems + found


def _typed(tree: yamlfile.Mapping, file: str) -> list[Problem]:
    scalars = (tree.values.get(key) for key in _SEEN_BY_READERS)
    return [
        problem
        for scalar in scalars
        if isinstance(scalar, yamlfile.Scalar)
        for problem in typed_numbers.in_front_matter(scalar.text, file, scalar.line, scalar.column)
    ]
