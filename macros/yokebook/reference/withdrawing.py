"""Withdrawing as the command line asks for it: a procedure by its number, or an edition."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field, replace
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
from yokebook.reference import cards, days, unfit_words
from yokebook.reference.layout import CONTROL


@dataclass(frozen=True)
class Order:
    """What is asked for: in whose records, in which target, why and what instead; by whom it runs and was decided.

    `corrects`: what readers are told of an earlier withdrawal is corrected. `day_is_right`: however far off it lies.
    """

    site: Path
    target: Target
    withdrawal: Withdrawal
    who: str
    by: str = ""
    corrects: bool = False
    day_is_right: bool = False


@dataclass(frozen=True)
class Outcome:
    """What came of it: what keeps it from being withdrawn, or what is to be done at once, as lines for a terminal."""

    problems: list[Problem] = field(default_factory=list)
    lines: list[str] = field(default_factory=list)


def withdraw(order: Order, what: str | int) -> Outcome:
    """Withdraw a procedure (its number, in small letters or large) or an edition (a plain number)."""
    records, problems = read_records(order.site / CONTROL, CONTROL)
    if stopping := [problem for problem in problems if problem.level is Level.ERROR]:
        return Outcome(stopping)
    told = order.withdrawal
    withdrawal = replace(told, reason=one_line(told.reason), instead=one_line(told.instead))
    decision = Decision(withdrawal, one_line(order.by), order.corrects)
    given = (order.target, order.site / CONTROL, records)
    try:
        if unfit := sorted(_unfit(order, decision, records)):
            return Outcome(unfit)
        if isinstance(what, int):
            withdrawing.withdraw_edition(*given, what, decision, order.who)
            return Outcome()
        procedure = what.upper()
        return _followed_up(order, procedure, withdrawing.withdraw_procedure(*given, procedure, decision, order.who))
    except ProblemError as error:
        return Outcome(list(error.problems))
    except OSError as error:
        return Outcome(list(order.target.not_done("use", "", error).problems))


def _unfit(order: Order, decision: Decision, records: Records) -> Iterator[Problem]:
    """Yield what is wrong with what somebody gave, at the options that it was given to."""
    told = decision.withdrawal
    yield from withdrawing.faults_of(told, decision.by)
    for option, text in (("--reason", told.reason), ("--instead", told.instead)):
        yield from unfit_words.people_in_option(option, text)
    if not order.day_is_right:
        yield from days.withdrawal_too_far(records, order.target.editions(), told.on)


def _followed_up(order: Order, procedure: str, after: Editions) -> Outcome:
    """Return what else is to be done now that a procedure is withdrawn: others that lead to it, cards that hang."""
    lines = [
        f"{other}, withdrawn earlier, still sends its readers to {procedure}: give it something else with "
        f"yokebook withdraw {order.target.root} {other} --correct"
        for other in withdrawing.led_to(procedure, after)
    ]
    reason = after.withdrawn[procedure].reason
    if hanging := cards.withdrawn_with(order.site, procedure, reason):
        lines += ["", *cards.as_text(hanging).rstrip().split("\n")]
    return Outcome(lines=lines)
