"""A worked reference against the department's records: how each procedure stands, and what moved since its approval."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from functools import cached_property
from pathlib import Path

from yokebook.control import approved, consistency
from yokebook.control.approved import AsApproved
from yokebook.control.brief import brief_lines
from yokebook.control.comparison import PageChanges, as_lines, compare_pages
from yokebook.control.digest import Digest
from yokebook.control.reading import read_records
from yokebook.control.records import Issue, Records
from yokebook.control.register import ProcedureNow, history_of, is_complete, standing_of
from yokebook.control.standing import Standing
from yokebook.data import keys
from yokebook.data.faults import Fault
from yokebook.data.sources import problem_at
from yokebook.errors import Problem
from yokebook.pages.addresses import page_address
from yokebook.pages.incident import FOLDER as INCIDENTS
from yokebook.pages.incident import name_of
from yokebook.reference import cards, incidents
from yokebook.reference.layout import CONTROL, PAGES
from yokebook.reference.pages_as_read import as_read
from yokebook.reference.register_page import Registered
from yokebook.reference.unfit_names import unfit_names
from yokebook.reference.unused_files import unused_files
from yokebook.reference.whole import Reference, WorkedPage, work_out

_PARTS = {"page": "the author's text", "calls": "what is worked out on it", "files": "its pictures"}
_MOST_LINES = 12


@dataclass(frozen=True)
class Control:
    """A reference beside its records; `pages` are its procedures by number."""

    reference: Reference
    records: Records
    pages: Mapping[str, WorkedPage]
    problems: tuple[Problem, ...] = ()

    @property
    def folder(self) -> Path:
        """The folder of the records."""
        return self.reference.folder / CONTROL

    @property
    def needed(self) -> int:
        """How many people approve an issue."""
        department = self.reference.department
        return department.settings.approvers_needed if department else 1

    @cached_property
    def register(self) -> tuple[Registered, ...]:
        """Each procedure, by number, whether it has a page, a record or both."""
        numbers = sorted({*self.pages, *self.records.procedures})
        return tuple(self._listed(number) for number in numbers)

    @property
    def standings(self) -> dict[str, Standing]:
        """How each procedure stands, by its number."""
        return {listed.standing.procedure: listed.standing for listed in self.register}

    def _listed(self, number: str) -> Registered:
        page = self.pages.get(number)
        address = page_address(page.page.path) if page else ""
        history = tuple(history_of(number, self.records, self.needed, self.reference.edition))
        return Registered(self.standing_of(number), address, history)

    def standing_of(self, number: str) -> Standing:
        """Return how a procedure stands in the edition that is being made."""
        return standing_of(self._now(number), self.records, self.needed, self.reference.edition)

    def _now(self, number: str) -> ProcedureNow:
        page = self.pages.get(number)
        if page:
            return ProcedureNow(number, page.page.front.title, page.page.front.owner or "", page.digest)
        last = self.as_approved(number, self.records.procedures[number].newest)
        return ProcedureNow(number, last.page.title if last else "", "", None)

    def as_approved(self, number: str, issue: Issue) -> AsApproved | None:
        """Return what was approved as an issue, None where its file is not what it was."""
        return approved.read(self.folder, number, issue.number, issue.as_read)

    def changes(self, number: str) -> PageChanges:
        """Return what moved on the page of a procedure since its newest issue that enough people approved.

        Since the one that waits, where none was approved by enough.
        """
        record = self.records.procedures.get(number)
        issue = self.last_complete(number) or (record.newest if record else None)
        before = self.as_approved(number, issue) if issue else None
        return compare_pages(before.page if before else None, as_read(self.pages[number]))

    def moved_lines(self, number: str) -> list[str]:
        """Return what moved on the page of a procedure, as lines for a terminal."""
        _, *lines = as_lines(self.changes(number))
        return lines

    def last_complete(self, number: str) -> Issue | None:
        """Return the newest issue of a procedure that enough people approved, None where there is none."""
        record = self.records.procedures.get(number)
        issues = reversed(record.issues) if record else ()
        return next((issue for issue in issues if is_complete(number, issue, self.records, self.needed)), None)


def look_up_records(reference: Reference) -> Control:
    """Return a reference beside its records, with every problem of the records and each page that is not approved."""
    records, problems = read_records(reference.folder / CONTROL, CONTROL)
    pages = {page.page.front.procedure: page for page in reference.pages.values() if page.page.front.procedure}
    control = Control(reference, records, pages)
    if not reference.problems.stops_the_build and reference.department:
        roles = reference.department.settings.roles
        paths = {number: worked.page.path for number, worked in pages.items()}
        known = consistency.Known(paths, incidents_of(reference.folder), roles, control.needed)
        problems += [*consistency.check(records, control.folder, known), *_not_approved(control)]
        authored = [worked.page for worked in reference.pages.values()]
        problems += incidents.check(authored, reference.department, records)
    return Control(reference, records, pages, tuple(problems))


def work_out_with_records(folder: Path) -> Control:
    """Return the worked reference of a department beside its records; its problems are those of both."""
    control = look_up_records(work_out(folder))
    control.reference.problems.add(*control.problems, *cards.check(control), *unfit_names(control.reference))
    control.reference.problems.add(*unused_files(control.reference))
    return control


def incidents_of(folder: Path) -> list[str]:
    """Return the incidents that have a page, by the names by which records speak of them."""
    paths = (folder / PAGES / INCIDENTS).glob("*.md")
    return sorted(name for path in paths if (name := name_of(f"{INCIDENTS}/{path.name}")))


def entries_behind(worked: WorkedPage, reference: Reference) -> dict[str, str]:
    """Return what the data keeps in each entry that a page's calls went to, words and all."""
    assert reference.department
    told = {key for result in worked.results if result.numbers for key in result.numbers.keys}
    # A word of the data that stands in the text has no number: its call's text is its key.
    told |= {result.canonical for result in worked.results if result.numbers is None}
    branches = {steps[:2] for key in told if (steps := keys.steps_of(key))}
    sources = reference.department.sources
    return {".".join(steps): keys.kept_text(sources, keys.resolve(sources, steps)) for steps in sorted(branches)}


def _not_approved(control: Control) -> Iterator[Problem]:
    for number, page in sorted(control.pages.items()):
        record = control.records.procedures.get(number)
        if record is None or record.withdrawn:
            continue
        newest, allowed = record.newest, _ALLOWED
        wrong = ""
        if not is_complete(number, newest, control.records, control.needed):
            wrong = f"issue {newest.number} waits for one approval more, "
            wrong += _waiting(control, number, newest)
            if newest.digest.digest != page.digest:
                allowed = _ALLOWED_WAITING.format(newest.number, newest.number + 1)
        elif newest.digest.digest != page.digest:
            wrong = f"the page moved since issue {newest.number} was approved on {newest.approved_on}: "
            wrong += _moved(control, number, newest)
        if wrong:
            fault = Fault("W702", wrong, ("procedure",), allowed=allowed)
            problem = problem_at(page.page.tree, page.page.file, (), fault)
            yield replace(problem, example=f"yokebook approve {number}")


_ALLOWED = "a page as it was approved, or an approval of the page as it is; till then it is a draft"
_ALLOWED_WAITING = (
    "the page as it was approved as issue {}, and its second approval; or an approval of the page as it is, which "
    "becomes issue {}; till then it is a draft"
)


def _waiting(control: Control, number: str, waiting: Issue) -> str:
    """Return how the page is against an issue that waits, and against the last that was approved, if any."""
    page, last = control.pages[number], control.last_complete(number)
    if waiting.digest.digest == page.digest:
        return "in another role than " + ", ".join(signature.role for signature in waiting.approvals)
    if last and last.digest.digest == page.digest:
        return f"and the page is again as it was when issue {last.number} was approved on {last.approved_on}"
    before = last or waiting
    head = f"and the page moved since; against issue {before.number}, approved on {before.approved_on}: "
    return head + _moved(control, number, before)


def _moved(control: Control, number: str, before: Issue) -> str:
    parts = moved_parts(before.digest.digest, control.pages[number].digest)
    lines = brief_lines(control.changes(number), _MOST_LINES, "and more, which approve shows before it asks")
    return "\n".join([parts, *lines])


def moved_parts(before: Digest, now: Digest) -> str:
    """Return which parts of a page moved, in words."""
    return ", ".join(words for part, words in _PARTS.items() if getattr(before, part) != getattr(now, part))
