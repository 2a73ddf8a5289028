"""The whole reference of one department, worked out: data, pages, what each call gives, and every problem."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from yokebook.calls import registry
from yokebook.calls.result import Result
from yokebook.calls.value import look_up_value
from yokebook.control.digest import Digest, of_page
from yokebook.data.department import Department
from yokebook.data.faults import Fault
from yokebook.data.load import load
from yokebook.data.sources import problem_at
from yokebook.errors import Collector, Problem, nearest
from yokebook.numbers import page_json
from yokebook.pages.extensions import to_html
from yokebook.pages.page import Page, read_page
from yokebook.pages.placing import Piece, place
from yokebook.pages.syntax import Call, Lookup
from yokebook.reference import states

CONFIG = "mkdocs.yml"
DATA = "content/data"
PAGES = "content/pages"


@dataclass(frozen=True)
class WorkedPage:
    """A page with what its calls give, in page order, and the digest that an approval is given for."""

    page: Page
    results: tuple[Result, ...]
    pieces: tuple[Piece, ...]
    digest: Digest

    @property
    def numbers_json(self) -> str:
        """The page's list of numbers."""
        return page_json([result.numbers for result in self.results if result.numbers])


@dataclass(frozen=True)
class Reference:
    """One department's reference: `pages` by their path below the folder of pages."""

    folder: Path
    department: Department | None
    pages: dict[str, WorkedPage] = field(default_factory=dict)
    problems: Collector = field(default_factory=Collector)

    def lines_of(self, file: str) -> Sequence[str]:
        """Return the lines of a file that a problem names, none where it cannot be read."""
        return lines_of(self.folder, file)

    def lists_of_numbers(self) -> Iterator[tuple[str, str]]:
        """Yield the list of numbers of each page: its path below the folder of lists, and its text."""
        for path, worked in sorted(self.pages.items()):
            yield path.removesuffix(".md") + ".json", worked.numbers_json

    def summary(self) -> list[dict[str, Any]]:
        """Return each page with its procedure and its digest, for other programs."""
        return [
            {"file": worked.page.file, "procedure": worked.page.front.procedure, "digest": vars(worked.digest)}
            for _, worked in sorted(self.pages.items())
        ]


def lines_of(folder: Path, file: str) -> list[str]:
    """Return the lines of a text file below a folder, none where it cannot be read as text."""
    try:
        return (folder / file).read_text(encoding="utf-8-sig").split("\n")
    except (OSError, UnicodeDecodeError):
        return []


def work_out(folder: Path) -> Reference:
    """Read and work out the department whose `mkdocs.yml` lies in a folder; nothing of it is written."""
    known = states.load(folder)
    department, problems = load(folder / DATA, DATA)
    reference = Reference(folder, department)
    reference.problems.add(*problems)
    for file in sorted((folder / PAGES).rglob("*.md")):
        path = file.relative_to(folder / PAGES).as_posix()
        page, found = read_page(path, f"{PAGES}/{path}", file.read_bytes())
        reference.problems.add(*found)
        if page and department:
            worked, found = _work_page(page, department)
            reference.problems.add(*found)
            if worked:
                reference.pages[path] = worked
    states.save(folder, known)
    return reference


def _work_page(page: Page, department: Department) -> tuple[WorkedPage | None, list[Problem]]:
    problems = list(_front_matter_problems(page, department))
    results: list[Result] = []
    for call in page.calls:
        result, found = run(call, department, page.file)
        problems += found
        if result:
            results.append(result)
    if problems or len(results) < len(page.calls):
        return None, problems
    pieces = tuple(
        Piece(result.html, result.is_block, result.at_end, call.line, call.column, written(call))
        for call, result in zip(page.calls, results, strict=True)
    )
    _, problems = place(to_html(page.text), pieces, page.file)
    if problems:
        return None, problems
    digest = of_page(page.content, [(result.canonical, result.as_read) for result in results], [])
    return WorkedPage(page, tuple(results), pieces, digest), []


def run(call: Call | Lookup, department: Department, file: str) -> tuple[Result | None, list[Problem]]:
    """Return what a call or a data value gives, or the problems in it."""
    if isinstance(call, Call):
        return registry.run(call.name, call.arguments, department, file)
    return look_up_value(call.path, department, file, call.line, call.column)


def written(call: Call | Lookup) -> str:
    """Return what a mark in a report stands under: the name that a call or a data value begins with."""
    return call.name if isinstance(call, Call) else str(call.path[0])


def _front_matter_problems(page: Page, department: Department) -> Iterator[Problem]:
    """Yield what the front matter names and the data does not have."""
    if page.front.owner:
        roles = department.settings.roles
        yield from _unknown_name(
            page, ("owner",), page.front.owner, roles, "department.yaml has no such role", "owner: {}"
        )
    for number, name in enumerate(page.front.machines):
        wrong = "machines.yaml has no such machine"
        yield from _unknown_name(page, ("machines", number), name, department.machines, wrong, "machines: [{}]")


def _unknown_name(
    page: Page, at: tuple[str | int, ...], name: str, known: Mapping[str, Any], wrong: str, example: str
) -> Iterator[Problem]:
    if name not in known:
        fault = Fault(
            "E512",
            wrong,
            at,
            allowed=", ".join(known),
            example=example.format(next(iter(known), "...")),
            suggestion=nearest(name, known),
        )
        yield problem_at(page.tree, page.file, (), fault)
