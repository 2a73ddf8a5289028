"""What a department's reference has to be before it is published, and the plan of the edition that is then made."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from datetime import date
from pathlib import Path

from yokebook.control import published_record
from yokebook.control.editions import FOLDER, SCRIPT, Editions, Listed
from yokebook.control.publishing import Build, Plan
from yokebook.control.register import is_complete, withdrawal_of
from yokebook.control.standing import DRAFT, EditionMark, State
from yokebook.control.target import HOLDER, LOCK, PARTIAL, Target
from yokebook.data.faults import Fault
from yokebook.data.sources import problem_at
from yokebook.errors import Level, Problem
from yokebook.pages.addresses import page_address
from yokebook.pages.tokens import ANY
from yokebook.reference.approval import Control, moved_parts
from yokebook.reference.whole import WorkedPage

CONTENT = "content"
_TYPED = "typed"
"""The call whose numbers an author typed: they are words of the page, not computed."""
_OWN = {FOLDER, LOCK, HOLDER}


def unfit_target(target: Target, site: Path, built: Path) -> list[Problem]:
    """Return why a folder cannot be the target of the department below `site`, which builds its drafts in `built`."""
    root, wrong, allowed = target.root.resolve(), "", "an empty folder of its own, outside the department's"
    if root == site.resolve() or root.is_relative_to((site / CONTENT).resolve()):
        wrong = "what is published would lie among what the department keeps to itself"
    elif root.is_relative_to(built.resolve()):
        wrong = "build empties this folder each time, and every edition would be lost"
    elif root.exists() and not root.is_dir():
        wrong = "this is a file"
    elif (root / FOLDER / DRAFT.folder).exists():
        wrong = "this is a draft that build made"
    elif strangers := _strangers(root):
        wrong = f"it holds {', '.join(strangers[:3])} and no {SCRIPT}: this is another folder, or the list was lost"
        allowed = f"an empty folder; or {SCRIPT} put back from a backup, where editions were published here"
    return [Problem(target.root.as_posix(), 0, 0, Level.ERROR, "E610", wrong, allowed=allowed)] if wrong else []


def _strangers(root: Path) -> list[str]:
    if not root.is_dir() or (root / SCRIPT).exists():
        return []
    names = sorted(path.name for path in root.iterdir())
    return [name for name in names if name not in _OWN and not name.endswith(PARTIAL)]


def refusals(control: Control, target: Target, editions: Editions, in_force: date) -> Iterator[Problem]:
    """Yield each reason for which nothing is published on top of the editions of a target."""
    yield from published_record.disagreements(control.records, editions, target.root.as_posix())
    current = editions.current
    if current and in_force < current.in_force:
        wrong = f"edition {current.number} is in force from {current.in_force}, and this one would be from {in_force}"
        allowed = f"{current.in_force} or later"
        yield Problem(target.root.as_posix(), 0, 0, Level.ERROR, "E615", wrong, str(in_force), allowed)
    for number, page in sorted(control.pages.items()):
        if control.standing_of(number).state is State.DRAFT:
            yield _not_approved(number, page, _why_draft(control, number, page))
    for page in control.reference.pages.values():
        yield from _unnumbered(page)


def _why_draft(control: Control, number: str, page: WorkedPage) -> str:
    record = control.records.procedures.get(number)
    if record is None:
        return "this page was never approved"
    newest = record.newest
    if newest.digest.digest != page.digest:
        return (
            f"the page moved since issue {newest.number} was approved: {moved_parts(newest.digest.digest, page.digest)}"
        )
    assert not is_complete(number, newest, control.records, control.needed)
    return f"issue {newest.number} waits for one approval more"


def _not_approved(number: str, page: WorkedPage, wrong: str) -> Problem:
    fault = Fault("E616", wrong, ("procedure",), allowed="pages that are approved as they are")
    problem = problem_at(page.page.tree, page.page.file, (), fault)
    return replace(problem, example=f"yokebook approve {number}")


def _unnumbered(page: WorkedPage) -> Iterator[Problem]:
    """Yield the first computed number of a page that has no number of its own, and so can't be approved."""
    if page.page.front.procedure:
        return
    for call, result in zip(page.page.calls, page.results, strict=True):
        numbers = result.numbers
        if numbers and numbers.name != _TYPED and any(cell.value is not None for row in numbers.cells for cell in row):
            wrong = "this number is computed, and the page has no number under which it could be approved"
            allowed = "procedure: with a number of its own in the front matter, and an owner"
            at, written = (page.page.file, call.line, call.column), numbers.name
            yield Problem(*at, Level.ERROR, "E617", wrong, written, allowed, "procedure: REF-01")
            return


def already_published(control: Control, target: Target, editions: Editions, in_force: date) -> Iterator[Problem]:
    """Yield that the newest edition, whose run was stopped, is the very one that is asked for once more."""
    current = editions.current
    if current and current.in_force == in_force and current.procedures == _listed(control):
        wrong = f"edition {current.number} is in force from {in_force} and holds these very issues: it was published, "
        wrong += "and only what leads to it, or the department's own record, was left undone"
        allowed = f"yokebook publish {target.root} --finish"
        yield Problem(target.root.as_posix(), 0, 0, Level.ERROR, "E622", wrong, str(in_force), allowed)


def plan(control: Control, editions: Editions, in_force: date) -> Plan:
    """Return the plan of the next edition: each procedure that has a page, and all that are withdrawn."""
    records, mark = control.records, EditionMark(len(editions.editions) + 1, in_force)
    withdrawn = dict(editions.withdrawn)
    for number, record in sorted(records.procedures.items()):
        if withdrawal := withdrawal_of(record.withdrawn):
            withdrawn.setdefault(number, withdrawal)
    return Plan(editions, mark, _listed(control), withdrawn)


def _listed(control: Control) -> dict[str, Listed]:
    """Return each procedure that has a page and an issue, as the next edition would list it."""
    records = control.records.procedures
    return {
        number: Listed(records[number].newest.number, page.page.front.title, page_address(page.page.path))
        for number, page in sorted(control.pages.items())
        if number in records
    }


def without_calls(build: Build) -> Build:
    """Return what builds an edition and then looks for calls that did not give way to their results."""

    def build_and_look(folder: Path, before: Path | None) -> Sequence[Problem]:
        return list(build(folder, before)) or list(_left_over(folder))

    return build_and_look


def _left_over(folder: Path) -> Iterator[Problem]:
    """Yield the first call that is left in each page; braces that a reader is to see in code stand as entities."""
    for path in sorted(folder.rglob("*.html")):
        for number, line in enumerate(path.read_text(encoding="utf-8").split("\n"), start=1):
            at = [place for place in (line.find("{{"), *(found.start() for found in ANY.finditer(line))) if place >= 0]
            if at:
                wrong = "a call was left here instead of what it gives; this is no mistake of yours"
                allowed = "tell those who look after Yokebook in your department, with this report and the page"
                name = path.relative_to(folder).as_posix()
                yield Problem(name, number, min(at) + 1, Level.ERROR, "E618", wrong, allowed=allowed)
                break
