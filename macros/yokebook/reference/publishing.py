"""Publishing a department's reference: looked over, made, put into the target, and written into the records."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace
from datetime import date
from pathlib import Path
from tempfile import TemporaryDirectory, gettempdir

from yokebook.control import publishing
from yokebook.control.as_read import UnreadableError, read_edition
from yokebook.control.editions import Edition, Editions
from yokebook.control.published_record import bring_up, lacks
from yokebook.control.publishing import Plan, Say
from yokebook.control.reading import EDITIONS, read_records
from yokebook.control.standing import EditionMark
from yokebook.control.target import Target, refused
from yokebook.errors import Collector, Level, Problem, ProblemError
from yokebook.reference import cards, changes_page
from yokebook.reference.approval import Control, work_out_with_records
from yokebook.reference.assembling import assemble
from yokebook.reference.changes import Previous, changes_since
from yokebook.reference.layout import CONTROL
from yokebook.reference.publication import (
    DayAsked,
    already_published,
    disagreements,
    plan,
    refusals,
    unfit_target,
    without_calls,
)
from yokebook.reference.unfit_words import refused_for_readers
from yokebook.reference.whole import Reference
from yokebook.reference.withdrawn_pages import for_readers

BuildEdition = Callable[[Reference, Path], Problem | None]
"""Makes the pages of a reference, of an edition, in an empty folder; or returns the problem that arose."""


@dataclass(frozen=True)
class Order:
    """What is asked for: the department's folder, where it builds its drafts, the target, the day; and by whom.

    `today` is the day that it is.
    """

    site: Path
    built: Path
    target: Target
    in_force: date
    today: date
    who: str
    say: Say
    day_is_right: bool = False


@dataclass(frozen=True)
class Outcome:
    """What came of it: problems, what to tell of the edition, and the edition where it is published."""

    problems: Collector
    lines: Sequence[str] = ()
    lines_of: Callable[[str], Sequence[str]] = field(default=lambda _: ())
    edition: Edition | None = None


def publish(order: Order, build_edition: BuildEdition, *, only_check: bool = False) -> Outcome:
    """Publish the next edition; `only_check` makes it, tells of it, and writes nothing into target and records."""
    problems = Collector()
    problems.add(*unfit_target(order.target, order.site, order.built))
    if len(problems):
        return Outcome(problems)
    try:
        editions = order.target.editions()
        was_stopped = _was_stopped(order, editions)
        if not only_check:
            _bring_up(order.site, order.target, editions)
        control = _worked_out(order.site, EditionMark(len(editions.editions) + 1, order.in_force))
    except ProblemError as error:
        problems.add(*error.problems)
        return Outcome(problems)
    if was_stopped and not control.reference.problems.stops_the_build:
        problems.add(*already_published(control, order.target, editions, order.in_force))
    if len(problems):
        return Outcome(problems)
    return _publish_worked_out(order, control, editions, build_edition, only_check=only_check)


def _was_stopped(order: Order, editions: Editions) -> bool:
    """Return whether the run that published the newest edition did not come to its end."""
    records, problems = read_records(order.site / CONTROL, CONTROL)
    behind = not _errors(problems) and lacks(records, editions)
    return editions.current is not None and (behind or not order.target.leads_to(editions))


def _publish_worked_out(
    order: Order, control: Control, editions: Editions, build_edition: BuildEdition, *, only_check: bool
) -> Outcome:
    problems, lines_of = control.reference.problems, control.reference.lines_of
    if not problems.stops_the_build:
        problems = refused_for_readers(problems)
        day = DayAsked(order.in_force, order.today, is_right=order.day_is_right)
        problems.add(*refusals(control, order.target, editions, day))
    if problems.stops_the_build:
        return Outcome(problems, lines_of=lines_of)
    try:
        the_plan = plan(control, editions, order.in_force)
        lines, edition = _make_and_put(order, control, the_plan, build_edition, only_check=only_check)
    except ProblemError as error:
        problems.add(*error.problems)
        return Outcome(problems, lines_of=lines_of)
    except OSError as error:  # the target's operations raise a problem of their own
        problems.add(*_local(error).problems)
        return Outcome(problems, lines_of=lines_of)
    return Outcome(problems, lines, lines_of, edition)


def _local(error: OSError) -> ProblemError:
    """Return the problem of this machine's own disk."""
    wrong = f"the disk of this machine, on which an edition is made first, refused ({error.strerror or error})"
    allowed = "room in this folder, and the right to write there; or TMPDIR set to another folder; then run it again"
    return refused("E613", gettempdir(), wrong, allowed)


def _worked_out(site: Path, mark: EditionMark) -> Control:
    control = work_out_with_records(site)
    return replace(control, reference=replace(control.reference, edition=mark))


def _make_and_put(
    order: Order, control: Control, the_plan: Plan, build_edition: BuildEdition, *, only_check: bool
) -> tuple[list[str], Edition | None]:
    def build(folder: Path, before: Path | None) -> Sequence[Problem]:
        failure = build_edition(_assembled(control, the_plan, before), folder)
        return [failure] if failure else []

    lines = [*the_plan.lines()]
    with TemporaryDirectory(prefix="yokebook-") as temporary:
        folder = Path(temporary) / the_plan.mark.folder
        made = publishing.make(order.target, the_plan, without_calls(build), folder)
        if longest := made.far_too_long(order.target.root):
            lines.append(f"Some systems will not open so long a path; give a shorter folder: {longest}")
        if only_check:
            return lines, None
        after = publishing.put(order.target, the_plan, made, order.who, order.say)
    _bring_up(order.site, order.target, after)
    if cards.cards_of(control).cards:
        lines += ["", cards.as_text(cards.to_take_down(control)).rstrip()]
    return lines, made.edition


def _assembled(control: Control, the_plan: Plan, before: Path | None) -> Reference:
    """Return what is built: the reference with its registers, and with what changed since the edition before."""
    department = control.reference.department
    called = department.called if department else str
    further = [cards.page(cards.to_take_down(control), called)] if cards.cards_of(control).cards else []
    current = the_plan.before.current
    changes = None
    if before and current:
        changes = changes_since(for_readers(control), control.records, _previous(current, before))
        further += changes_page.pages(changes)
    return assemble(control, further, changes)


def _previous(current: Edition, folder: Path) -> Previous:
    try:
        return Previous(current.number, current.in_force, read_edition(folder), current.issues)
    except (OSError, UnreadableError) as error:
        wrong = f"what edition {current.number} said cannot be read ({error})"
        raise refused("E620", folder.as_posix(), wrong, "the edition put back from a backup") from error


def finish(site: Path, target: Target, who: str) -> list[Problem]:
    """Do again what a run that was stopped left undone, in the target and in the records; return what is wrong."""
    try:
        if problems := _disagreements(site, target, target.editions()):
            return problems
        _bring_up(site, target, publishing.finish(target, who))
    except ProblemError as error:
        return list(error.problems)
    except OSError as error:
        return list(target.not_done("use", "", error).problems)
    return []


def _disagreements(site: Path, target: Target, editions: Editions) -> list[Problem]:
    records, problems = read_records(site / CONTROL, CONTROL)
    return _errors(problems) or disagreements(records, target, editions)


def _errors(problems: Sequence[Problem]) -> list[Problem]:
    return [problem for problem in problems if problem.level is Level.ERROR]


def _bring_up(site: Path, target: Target, editions: Editions) -> None:
    """Write into the records what they lack of a target's list, unless they do not go together: that is told later."""
    records, problems = read_records(site / CONTROL, CONTROL)
    if _errors(problems) or not lacks(records, editions) or disagreements(records, target, editions):
        return
    try:
        bring_up(site / CONTROL, records, editions)
    except OSError as error:
        wrong = f"the department's own record cannot be written ({error.strerror})"
        allowed = "yokebook publish TARGET --finish, once this file can be written: it reads it anew"
        raise refused("E613", f"{CONTROL}/{EDITIONS}", wrong, allowed) from error
