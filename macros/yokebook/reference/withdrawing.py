"""Withdrawing as the command line asks for it: a procedure by its number, or an edition."""

from __future__ import annotations

from dataclasses import dataclass, replace
from pathlib import Path

from yokebook.control import withdrawing
from yokebook.control.reading import read_records
from yokebook.control.standing import Withdrawal
from yokebook.control.target import Target
from yokebook.control.writing import one_line
from yokebook.errors import Level, Problem, ProblemError
from yokebook.reference.layout import CONTROL


@dataclass(frozen=True)
class Order:
    """What is asked for: in whose records, in which target, why and what instead; by whom it runs and was decided."""

    site: Path
    target: Target
    withdrawal: Withdrawal
    who: str
    by: str = ""


def withdraw(order: Order, what: str | int) -> list[Problem]:
    """Withdraw a procedure (its number) or an edition (a plain number); return what keeps it from being withdrawn."""
    records, problems = read_records(order.site / CONTROL, CONTROL)
    if stopping := [problem for problem in problems if problem.level is Level.ERROR]:
        return stopping
    told = order.withdrawal
    withdrawal = replace(told, reason=one_line(told.reason), instead=one_line(told.instead))
    given = (order.target, order.site / CONTROL, records)
    try:
        if isinstance(what, str):
            withdrawing.withdraw_procedure(*given, what, withdrawal, order.who, one_line(order.by))
        else:
            withdrawing.withdraw_edition(*given, what, withdrawal, order.who, one_line(order.by))
    except ProblemError as error:
        return list(error.problems)
    except OSError as error:
        return list(order.target.not_done("use", "", error).problems)
    return []
