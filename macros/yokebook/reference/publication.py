"""What a department's reference has to be before it is published, and the plan of the edition that is then made."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path

from yokebook.control import approved, carried, published_record
from yokebook.control.carried import MovedRecord
from yokebook.control.editions import FOLDER, SCRIPT, Editions, Listed
from yokebook.control.pairing import TYPED
from yokebook.control.publishing import Build, Plan
from yokebook.control.records import Records
from yokebook.control.standing import DRAFT, EditionMark
from yokebook.control.target import HOLDER, LOCK, PARTIAL, Target
from yokebook.data.faults import Fault
from yokebook.data.sources import problem_at
from yokebook.errors import Level, Problem
from yokebook.pages.addresses import page_address
from yokebook.pages.tokens import ANY
from yokebook.reference import days, unfit_words
from yokebook.reference.approval import Control
from yokebook.reference.content_digest import content_digest
from yokebook.reference.layout import CONTENT
from yokebook.reference.whole import WorkedPage

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


@dataclass(frozen=True)
class DayAsked:
    """From which day an edition is to be in force, and the day that it is.

    `is_right`: somebody said that the day is right, however far off it lies.
    """

    in_force: date
    today: date
    is_right: bool = False


def refusals(control: Control, target: Target, editions: Editions, day: DayAsked) -> Iterator[Problem]:
    """Yield each reason, beside those of check, for which nothing is published on top of the editions of a target."""
    listed = _listed(control)
    yield from disagreements(control.records, target, editions)
    yield from _too_early(target, editions, day)
    authored = (worked.page for worked in control.reference.pages.values())
    yield from days.still_to_come_in(control.records, authored, day.today)
    yield from days.before_approval(control.records, listed, day.in_force)
    if not day.is_right:
        yield from days.edition_too_far(control.records, editions, listed, day.in_force)
    yield from unfit_words.people_in_records(control)
    for number, page in sorted(control.pages.items()):
        if number not in control.records.procedures:
            fault = Fault("E616", "this page was never approved", ("procedure",), allowed=_APPROVED)
            problem = problem_at(page.page.tree, page.page.file, (), fault)
            yield replace(problem, example=f"yokebook approve {number}")
    for page in control.reference.pages.values():
        yield from _unnumbered(page)


def disagreements(records: Records, target: Target, editions: Editions) -> list[Problem]:
    """Return why records cannot be those of a target: another folder's, or changed since an edition was published."""
    found = [*published_record.disagreements(records, editions, target.root.as_posix())]
    return found or [_moved_record(records, moved) for moved in carried.moved_records(target, editions, records)]


def _moved_record(records: Records, moved: MovedRecord) -> Problem:
    number, name = moved.procedure, f"{moved.procedure}.yaml"
    wrong = f"issue {moved.issue} of {number} was published with edition {moved.edition}, and what this record tells "
    wrong += f"of it is not what it told then: {moved.parts}"
    allowed = f"{name}, and its files in {approved.FOLDER}/, put back as they were: from a backup, from git, or from "
    allowed += f"the copy of this folder that published edition {moved.edition}. What is to be different is approved "
    allowed += "after that, as a new issue"
    at = ("issues", moved.issue - 1, "number")
    problem = problem_at(records.trees[name], records.file(name), (), Fault("E614", wrong, at, allowed=allowed))
    return replace(problem, example=f"yokebook approve {number} --reason ...")


_APPROVED = "a page that was approved just as it is now"


def _too_early(target: Target, editions: Editions, day: DayAsked) -> Iterator[Problem]:
    in_force = day.in_force
    last = max(editions.editions, key=lambda edition: (edition.reached, edition.number), default=None)
    if last and in_force < last.reached:
        what = "is in force from" if last.reached == last.in_force else "was withdrawn on"
        wrong = f"edition {last.number} {what} {last.reached}, and this one would be in force from {in_force}"
        allowed, example = f"{last.reached} or later", ""
        if last.withdrawn is None:
            allowed += f"; where the day of edition {last.number} was a slip, that edition withdrawn first"
            example = f"yokebook withdraw {target.root} --edition {last.number} --on {min(in_force, day.today)} ..."
        yield Problem(days.IN_FORCE, 0, 0, Level.ERROR, "E615", wrong, str(in_force), allowed, example)


def _unnumbered(page: WorkedPage) -> Iterator[Problem]:
    """Yield the first computed number of a page that has no number of its own, and so can't be approved."""
    if page.page.front.procedure:
        return
    for call, result in zip(page.page.calls, page.results, strict=True):
        numbers = result.numbers
        if numbers and numbers.name != TYPED and any(cell.value is not None for row in numbers.cells for cell in row):
            wrong = "this number is computed, and the page has no number under which it could be approved"
            allowed = "procedure: with a number of its own in the front matter, and an owner"
            at, written = (page.page.file, call.line, call.column), numbers.name
            yield Problem(*at, Level.ERROR, "E617", wrong, written, allowed, "procedure: REF-01")
            return


def already_published(control: Control, target: Target, editions: Editions, in_force: date) -> Iterator[Problem]:
    """Yield that the newest edition, whose run was stopped, is the very one that is asked for once more."""
    current = editions.current
    is_the_same = current and current.in_force == in_force and current.procedures == _listed(control)
    if current and is_the_same and not disagreements(control.records, target, editions):
        wrong = f"edition {current.number} is in force from {in_force} and holds these very issues: it was published, "
        wrong += "and only what leads to it, or the department's own record, was left undone"
        allowed = f"yokebook publish {target.root} --finish"
        yield Problem(target.root.as_posix(), 0, 0, Level.ERROR, "E622", wrong, str(in_force), allowed)


def plan(control: Control, editions: Editions, in_force: date) -> Plan:
    """Return the plan of the next edition: each procedure that it holds, and all that are withdrawn."""
    records, mark = control.records, EditionMark(len(editions.editions) + 1, in_force)
    withdrawn = {**records.published.withdrawn, **editions.withdrawn}
    listed = _listed(control)
    issues = {number: one.issue for number, one in listed.items()}
    told = carried.of_records(content_digest(control.reference, withdrawn), records, issues)
    return Plan(editions, mark, listed, withdrawn, told)


def _listed(control: Control) -> dict[str, Listed]:
    """Return each procedure that has a page and an issue, as the next edition would list it.

    Of what is withdrawn it holds a notice, and no issue.
    """
    records = control.records.procedures
    return {
        number: Listed(records[number].newest.number, page.page.front.title, page_address(page.page.path))
        for number, page in sorted(control.pages.items())
        if number in records and not records[number].withdrawn
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
