"""The whole reference of one department, worked out: data, pages, what each call gives, and every problem."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property
from pathlib import Path
from typing import Any

from yokebook.calls import registry
from yokebook.calls.result import Result
from yokebook.calls.value import look_up_value
from yokebook.control.cards import Card
from yokebook.control.digest import Digest, of_file, of_page
from yokebook.control.editions import Listed
from yokebook.control.standing import DRAFT, EditionMark, Standing, State, Withdrawal
from yokebook.data.department import Department
from yokebook.data.entry_names import nearest_entry
from yokebook.data.faults import Fault
from yokebook.data.load import load
from yokebook.data.sources import problem_at
from yokebook.errors import Collector, Level, Problem
from yokebook.number_list import page_json
from yokebook.pages.addresses import lead_to_pages, page_address
from yokebook.pages.checks import LaidOut, lay_out, links_of, used_files
from yokebook.pages.extensions import Rendering
from yokebook.pages.links import Neighbours
from yokebook.pages.page import Draft, Page, read_page
from yokebook.pages.placing import Piece, misplaced, place
from yokebook.pages.syntax import Call, Lookup, Unread
from yokebook.pages.turned_bounds import turned_round
from yokebook.reference import states
from yokebook.reference.generated import GeneratedPage
from yokebook.reference.layout import DATA, PAGES
from yokebook.reference.start import still_examples
from yokebook.reference.typed_titles import typed_titles

_OTHER_ENDINGS = {".md", ".markdown", ".mdown", ".mkdn", ".mkd", ".mdwn"}
"""Of Markdown, as other programs name it. The host takes some of them for pages."""


@dataclass(frozen=True)
class WorkedPage:
    """A page with what its calls give, in page order, and the digest that an approval is given for.

    `rendering` is what Markdown makes of it, with tokens for its calls; `files` has the SHA-256 of each local file that
    it shows or links to, pages apart, by its path below the folder of pages. `withdrawal` is that of a page which is
    its notice alone.
    """

    page: Page
    rendering: Rendering
    results: tuple[Result, ...]
    files: Mapping[str, str]
    digest: Digest
    withdrawal: Withdrawal | None = None

    @cached_property
    def pieces(self) -> tuple[Piece, ...]:
        """What each call puts in its place, written."""
        return tuple(
            replace(_piece(call, result), html=result.html, at_end=result.at_end)
            for call, result in zip(self.page.calls, self.results, strict=True)
        )

    @cached_property
    def html(self) -> str:
        """The page's finished HTML: its links lead to pages, and each call has given way to its result."""
        return place(lead_to_pages(self.rendering.html), self.pieces)

    @property
    def numbers_json(self) -> str:
        """The page's list of numbers."""
        return page_json([result.numbers for result in self.results if result.numbers])


@dataclass(frozen=True)
class Reference:
    """One department's reference, of one edition: the pages that authors wrote, and those `generated` from its records.

    Both by their path below the folder of pages; `standings` by the numbers of procedures, as far as records tell them;
    `cards` are the registered copies of machine cards.
    """

    folder: Path
    department: Department | None
    pages: dict[str, WorkedPage] = field(default_factory=dict)
    problems: Collector = field(default_factory=Collector)
    edition: EditionMark = DRAFT
    generated: dict[str, GeneratedPage] = field(default_factory=dict)
    standings: Mapping[str, Standing] = field(default_factory=dict)
    marked: Mapping[str, str] = field(default_factory=dict)
    cards: tuple[Card, ...] = ()

    @property
    def used_files(self) -> frozenset[str]:
        """The files that pages show or link to, by their path below the folder of pages: all that goes with them."""
        return frozenset(path for worked in self.pages.values() for path in worked.files)

    def copies_of(self, path: str) -> tuple[Card, ...]:
        """Return the registered copies of the card on a page, each at its machine as readers know it."""
        copies = (card for card in self.cards if card.path == path)
        return tuple(card.model_copy(update={"machine": self.called(card.machine)}) for card in copies)

    def called(self, machine: str) -> str:
        """Return what readers call a machine."""
        return self.department.called(machine) if self.department else machine

    def html_of(self, path: str) -> str:
        """Return the finished HTML of a page, with what records add: marks of change, how an incident stands."""
        return self.marked[path] if path in self.marked else self.pages[path].html

    def standing_of(self, path: str) -> Standing | None:
        """Return how a procedure's page stands, None for a page without a number: nobody approves it."""
        front = self.pages[path].page.front if path in self.pages else None
        if front is None or front.procedure is None:
            return None
        drafted = Standing(front.procedure, front.title, State.DRAFT, front.owner or "")
        return self.standings.get(front.procedure, drafted)

    def lines_of(self, file: str) -> Sequence[str]:
        """Return the lines of a file that a problem names, none where it cannot be read."""
        return lines_of(self.folder, file)

    def lists_of_numbers(self) -> Iterator[tuple[str, str]]:
        """Yield the list of numbers of each page: its path below the folder of lists, and its text."""
        for path, worked in sorted(self.pages.items()):
            yield path.removesuffix(".md") + ".json", worked.numbers_json

    def listed(self) -> dict[str, Listed]:
        """Return each procedure by its number, as a list of editions holds it; issue 0 for one never approved."""
        found = {}
        for path in self.pages:
            standing = self.standing_of(path)
            if standing:
                found[standing.procedure] = Listed(standing.issue or 0, standing.title, page_address(path))
        return found

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
    reference.problems.add(*problems, *still_examples(department), *typed_titles(department))
    laid_out = _lay_out_pages(folder / PAGES, reference.problems)
    for page in laid_out:
        worked, problems = _work_page(page, department, folder / PAGES)
        reference.problems.add(*problems)
        if worked:
            reference.pages[worked.page.path] = worked
        elif not reference.problems.stops_the_build:
            reference.problems.add(
                _fault_of_the_program(page.draft.file, 0, 0, "", "this page gave nothing and no reason")
            )
    reference.problems.add(*_doubled_numbers(laid_out))
    states.save(folder, known)
    return reference


def _lay_out_pages(folder: Path, problems: Collector) -> list[LaidOut]:
    """Return the pages below a folder as Markdown lays them out; take in all that is wrong with their own text."""
    files = {file.relative_to(folder).as_posix(): file for file in sorted(folder.rglob("*")) if file.is_file()}
    laid_out: list[LaidOut] = []
    for path, file in files.items():
        if file.suffix.lower() in _OTHER_ENDINGS and file.suffix != ".md":
            problems.add(_other_ending(path))
        if path.endswith(".md"):
            draft, found = read_page(path, f"{PAGES}/{path}", file.read_bytes())
            problems.add(*found)
            if draft and draft.can_be_laid_out:
                page, found = lay_out(draft)
                problems.add(*found)
                laid_out.append(page)
    neighbours = Neighbours(files.keys(), {page.draft.path: page.rendered.anchors for page in laid_out})
    for page in laid_out:
        problems.add(*links_of(page, neighbours))
    return laid_out


def _other_ending(path: str) -> Problem:
    wrong = "this looks like a page, and only files whose name ends in .md are read as pages"
    allowed, example = "a name that ends in .md, in small letters", path[: path.rindex(".")] + ".md"
    return Problem(f"{PAGES}/{path}", 0, 0, Level.ERROR, "E813", wrong, allowed=allowed, example=example)


def _work_page(
    laid_out: LaidOut, department: Department | None, folder: Path
) -> tuple[WorkedPage | None, list[Problem]]:
    """Return a page with what its calls give, or None; and every problem of front matter and calls against the data."""
    draft = laid_out.draft
    problems: list[Problem] = []
    results: list[Result | None] = []
    if department:
        problems += _front_matter_problems(draft, department)
    for call in draft.scanned.calls:
        result, found = run(call, department, draft.file) if department else (None, [])
        problems += found
        results.append(result)
    pieces = tuple(_piece(call, result) for call, result in zip(draft.scanned.calls, results, strict=True))
    problems += misplaced(laid_out.rendering.html, laid_out.rendered, pieces, draft.file)
    given = tuple(result for result in results if result)
    if problems or len(given) < len(pieces) or draft.page is None:
        return None, problems
    shown = [str(result.as_read.get("shown", "")) for result in given]
    warnings = list(turned_round(laid_out.rendering.html, pieces, shown, draft.file))
    used = [(path, folder / path) for path in sorted(used_files(laid_out))]
    files = [(path, file.read_bytes()) for path, file in used if file.is_file()]
    digest = of_page(draft.content, [(result.canonical, result.as_read) for result in given], files)
    hashes = {path: of_file(path, content) for path, content in files}
    return WorkedPage(draft.page, laid_out.rendering, given, hashes, digest), warnings


def _piece(call: Call | Lookup | Unread, result: Result | None) -> Piece:
    """Return where a call stands and whether it gives a block, nothing written: all that its place is judged by."""
    return Piece("", result.is_block if result else None, "", call.line, call.column, written(call))


def run(call: Call | Lookup | Unread, department: Department, file: str) -> tuple[Result | None, list[Problem]]:
    """Return what a call or a data value gives, or the problems in it; of one that was not understood all was said.

    A fault of the program itself is told at the call that met it, beside all other problems, never as a traceback.
    """
    try:
        if isinstance(call, Call):
            return registry.run(call.name, call.arguments, department, file)
        if isinstance(call, Lookup):
            return look_up_value(call.path, department, file, call.steps)
    except Exception as error:  # whatever it is, the other problems are still to be told
        wrong = f"the program failed here ({type(error).__name__}: {error})"
        return None, [_fault_of_the_program(file, call.line, call.column, written(call), wrong)]
    return None, []


def _fault_of_the_program(file: str, line: int, column: int, what: str, wrong: str) -> Problem:
    return Problem(
        file,
        line,
        column,
        Level.ERROR,
        "E602",
        f"{wrong}; this is no mistake of yours",
        written=what,
        allowed="tell those who look after Yokebook in your department, with this report and the page",
    )


def _doubled_numbers(pages: Sequence[LaidOut]) -> Iterator[Problem]:
    """Yield each page whose number another page has already."""
    first: dict[str, str] = {}
    for laid_out in pages:
        draft = laid_out.draft
        number = draft.front.procedure if draft.front else None
        if number and first.setdefault(number, draft.file) != draft.file:
            wrong = f"{first[number]} has this number already; a number stands for one page"
            fault = Fault("E513", wrong, ("procedure",), allowed="a number that no other page has")
            yield problem_at(draft.tree, draft.file, (), fault)


def written(call: Call | Lookup | Unread) -> str:
    """Return what a mark in a report stands under: the name that a call or a data value begins with."""
    if isinstance(call, Call):
        return call.name
    return str(call.path[0]) if isinstance(call, Lookup) else ""


def _front_matter_problems(page: Draft, department: Department) -> Iterator[Problem]:
    """Yield what the front matter names and the data does not have."""
    if page.front is None:
        return
    if page.front.owner:
        roles = department.settings.roles
        yield from _unknown_name(
            page, ("owner",), page.front.owner, roles, "department.yaml has no such role", "owner: {}"
        )
    for number, name in enumerate(page.front.machines):
        if department.entries.is_broken("machines", name):
            continue
        wrong = "machines.yaml has no such machine"
        yield from _unknown_name(page, ("machines", number), name, department.machines, wrong, "machines: [{}]")


def _unknown_name(
    page: Draft, at: tuple[str | int, ...], name: str, known: Mapping[str, Any], wrong: str, example: str
) -> Iterator[Problem]:
    if name not in known:
        fault = Fault(
            "E512",
            wrong,
            at,
            allowed=", ".join(known),
            example=example.format(next(iter(known), "...")),
            suggestion=nearest_entry(name, known),
        )
        yield problem_at(page.tree, page.file, (), fault)
