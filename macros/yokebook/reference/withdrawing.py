"""Withdrawing as the command line asks for it: a procedure by its number, or an edition."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, field, replace
from datetime import date
from pathlib import Path

from yokebook.control import withdrawing
from yokebook.control.editions import Editions
from yokebook.control.reading import read_records
from yokebook.control.records import Records
from yokebook.control.standing import Withdrawal
from yokebook.control.target import Target
from yokebook.control.withdrawing import Decision
from yokebook.control.writing import one_line
from yokebook.errors import Level, Problem, ProblemError
from yokebook.pages.front_matter import FrontMatter
from yokebook.pages.page import read_page
from yokebook.reference import cards, days, unfit_words
from yokebook.reference.layout import CONTROL, PAGES


@dataclass(frozen=True)
class Order:
    """What is asked for: in whose records, in which target, why and what instead; by whom it runs and was decided.

    `today` is the day that it is. `corrects`: what readers are told of an earlier withdrawal is corrected.
    """

    site: Path
    target: Target
    withdrawal: Withdrawal
    who: str
    today: date
    by: str = ""
    corrects: bool = False


@dataclass(frozen=True)
class Outcome:
    """What came of it: what keeps it from being withdrawn, or what is to be done at once, as lines for a terminal."""

    problems: list[Problem] = field(default_factory=list)
    lines: list[str] = field(default_factory=list)


def propose(order: Order, what: str | int) -> Outcome:
    """Return what would be withdrawn and what readers would be told, as lines for a terminal; nothing is written."""

    def shown(records: Records, decision: Decision) -> list[str]:
        given = (order.target, records)
        if isinstance(what, int):
            after, _ = withdrawing.without_edition(*given, what, decision)
            return [*_edition(after, what), _told(decision.withdrawal)]
        procedure = what.upper()
        after, _ = withdrawing.without_procedure(*given, procedure, decision)
        return [*_procedure(order.site, procedure, after), _told(decision.withdrawal)]

    return _looked_over(order, shown)


def withdraw(order: Order, what: str | int) -> Outcome:
    """Withdraw a procedure (its number, in small letters or large) or an edition (a plain number)."""

    def done(records: Records, decision: Decision) -> list[str]:
        given = (order.target, order.site / CONTROL, records)
        if isinstance(what, int):
            withdrawing.withdraw_edition(*given, what, decision, order.who)
            return []
        procedure = what.upper()
        return _followed_up(order, procedure, withdrawing.withdraw_procedure(*given, procedure, decision, order.who))

    return _looked_over(order, done)


def _looked_over(order: Order, work: Callable[[Records, Decision], list[str]]) -> Outcome:
    """Return what comes of some work with the records and the decision, once what was given is looked over."""
    records, problems = read_records(order.site / CONTROL, CONTROL)
    if stopping := [problem for problem in problems if problem.level is Level.ERROR]:
        return Outcome(stopping)
    told = order.withdrawal
    withdrawal = replace(told, reason=one_line(told.reason), instead=one_line(told.instead))
    decision = Decision(withdrawal, one_line(order.by), order.corrects)
    try:
        if unfit := sorted(_unfit(order, decision)):
            return Outcome(unfit)
        return Outcome(lines=work(records, decision))
    except ProblemError as error:
        return Outcome(list(error.problems))
    except OSError as error:
        return Outcome(list(order.target.not_done("use", "", error).problems))


def _procedure(site: Path, procedure: str, editions: Editions) -> Iterator[str]:
    """Yield what a procedure is: its number, its title, its machines, the cards that hang."""
    titles = {number: listed.title for number, _, listed in editions.procedures()}
    front = _front_of(site, procedure)
    yield f"{procedure}  {titles.get(procedure) or (front.title if front else '')}".rstrip()
    if front and front.machines:
        yield f"  Machines: {', '.join(front.machines)}"
    for card in (one.card for one in cards.withdrawn_with(site, procedure, "")):
        yield f"  Card that hangs: {card.card}, copy {card.copy_number}, at {card.machine}: {card.place}"


def _front_of(site: Path, procedure: str) -> FrontMatter | None:
    """Return the front matter of a procedure's page, whatever else is wrong with the pages; None where it has none."""
    for file in sorted((site / PAGES).rglob("*.md")):
        path = file.relative_to(site / PAGES).as_posix()
        draft, _ = read_page(path, path, file.read_bytes())
        if draft and draft.front and draft.front.procedure == procedure:
            return draft.front
    return None


def _edition(editions: Editions, number: int) -> Iterator[str]:
    """Yield what an edition is: from when it was in force, and all that it holds."""
    edition = editions.numbered(number)
    assert edition
    yield f"Edition {number}, in force from {edition.in_force}"
    yield from (f"  {each}  issue {listed.issue}: {listed.title}" for each, listed in edition.procedures.items())


def _told(withdrawal: Withdrawal) -> str:
    told = f"withdrawn on {withdrawal.on}. {withdrawal.why} Use instead: {withdrawal.instead}"
    return f"  Readers are told at once: {told}"


def _unfit(order: Order, decision: Decision) -> Iterator[Problem]:
    """Yield what is wrong with what somebody gave, at the options that it was given to."""
    told = decision.withdrawal
    yield from withdrawing.faults_of(told, decision.by)
    for option, text in (("--reason", told.reason), ("--instead", told.instead)):
        yield from unfit_words.people_in_option(option, text)
    yield from days.withdrawal_still_to_come(told.on, order.today)


def _followed_up(order: Order, procedure: str, after: Editions) -> list[str]:
    """Return what else is to be done now that a procedure is withdrawn: others that lead to it, cards that hang."""
    lines = [
        f"{other}, withdrawn earlier, still sends its readers to {procedure}: give it something else with "
        f"yokebook withdraw {order.target.root} {other} --correct"
        for other in withdrawing.led_to(procedure, after)
    ]
    reason = after.withdrawn[procedure].reason
    if hanging := cards.withdrawn_with(order.site, procedure, reason):
        lines += ["", *cards.as_text(hanging).rstrip().split("\n")]
    return lines
