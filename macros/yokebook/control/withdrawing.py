"""Withdrawing a procedure or an edition: from the moment at which `editions.js` says so, with what to use instead."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

from yokebook.control import published_record
from yokebook.control.editions import Edition, Editions, edition_named
from yokebook.control.publishing import announce
from yokebook.control.reading import EDITIONS
from yokebook.control.records import Records, Withdrawn, withdrawal_of
from yokebook.control.standing import Withdrawal
from yokebook.control.target import Target, refused
from yokebook.control.writing import as_yaml, read_back, write_record
from yokebook.data.fields import PROCEDURE
from yokebook.errors import Level, Problem, ProblemError, nearest

_ON, _INSTEAD = "--on", "--instead"
_LIKE_A_NUMBER = re.compile(r"([A-Za-z]{2,6})[-_ .]?([0-9]{1,3})")
"""A procedure's number, and what somebody writes who means one; "poster 7" too, which takes another word or two."""


@dataclass(frozen=True)
class Decision:
    """What is decided: from when, why, what instead; by whom; whether it corrects what was told of a withdrawal."""

    withdrawal: Withdrawal
    by: str = ""
    corrects: bool = False


def withdraw_procedure(
    target: Target, folder: Path, records: Records, procedure: str, decision: Decision, who: str
) -> Editions:
    """Withdraw a procedure in a target and in the records below `folder`; return the list as it is then.

    Raises ProblemError for what cannot be withdrawn, or where the target does not let it.
    """
    withdrawal = decision.withdrawal
    if procedure not in records.procedures:
        known, meant = sorted(records.procedures), nearest(procedure, records.procedures)
        raise _cannot(records.file(f"{procedure}.yaml"), f"no procedure has the number {procedure}", known, meant)
    _once_or_corrected(
        records.file(f"{procedure}.yaml"), procedure, withdrawal_of(records.procedures[procedure].withdrawn), decision
    )
    _published(target)
    text = _good(published_record.with_withdrawal(records, procedure, withdrawal, decision.by))
    with target.locked(who, f"withdrawing {procedure}"):
        editions = target.editions()
        _check(target, records, editions)
        _check_instead_of_procedure(procedure, withdrawal, editions)
        after = editions.with_procedure_withdrawn(procedure, withdrawal)
        announce(target, after, f"{procedure} is withdrawn")
    _write(folder, f"{procedure}.yaml", text, records)
    return after


def withdraw_edition(
    target: Target, folder: Path, records: Records, number: int, decision: Decision, who: str
) -> Editions:
    """Withdraw an edition in a target and in the records below `folder`; return the list as it is then.

    Raises ProblemError for what cannot be withdrawn, or where the target does not let it.
    """
    _published(target)
    with target.locked(who, f"withdrawing edition {number}"):
        editions = target.editions()
        _check(target, records, editions)
        edition = editions.numbered(number)
        known = [str(edition.number) for edition in editions.editions]
        if edition is None:
            raise _cannot(target.root.as_posix(), f"there is no edition {number}", known)
        _once_or_corrected(target.root.as_posix(), f"edition {number}", edition.withdrawn, decision)
        _check_instead_of_edition(edition, decision.withdrawal, editions)
        after = editions.with_edition_withdrawn(number, decision.withdrawal)
        if not after.in_order:
            wrong = f"a later edition is in force from before this day, and edition {number} would be in its way"
            raise refused("E621", _ON, wrong, "the day on which it was withdrawn, as it stands")
        text = _good(published_record.with_edition_withdrawn(records, after, number, decision.by))
        announce(target, after, f"edition {number} is withdrawn")
    _write(folder, EDITIONS, text, records)
    return after


def _write(folder: Path, name: str, text: str, records: Records) -> None:
    try:
        write_record(folder, name, text, records.contents.get(name))
    except OSError as error:
        wrong = f"it is withdrawn, and the department's own record cannot be written ({error.strerror})"
        allowed = "yokebook publish TARGET --finish, once this file can be written: it reads it anew"
        raise refused("E613", records.file(name), wrong, allowed) from error


def _published(target: Target) -> None:
    """Refuse a folder in which nothing was published, before anything is made in it."""
    if target.editions().current is None:
        raise _cannot(target.root.as_posix(), "nothing has been published here", ["the folder given to publish"])


def _once_or_corrected(file: str, what: str, before: Withdrawal | None, decision: Decision) -> None:
    """Refuse to withdraw what was withdrawn, unless that is corrected; and to correct what was not withdrawn."""
    if before and not decision.corrects:
        wrong = f"{what} was withdrawn on {before.on} already"
        raise _cannot(file, wrong, ["--correct, where readers are to be told another reason or thing to use instead"])
    if before is None and decision.corrects:
        raise _cannot(file, f"{what} was not withdrawn, so there is nothing to correct", ["the same without --correct"])


def _good(written: tuple[str | None, list[Problem]]) -> str:
    text, problems = written
    if text is None:  # all else was looked at before: it can only be the day, against those of the record
        raise ProblemError(problem.moved(_ON, 0, 0) for problem in problems)
    return text


def faults_of(withdrawal: Withdrawal, by: str) -> Iterator[Problem]:
    """Yield what is wrong with what somebody gave, at the option that it was given to: no file has it yet."""
    given = {"reason": withdrawal.reason, "instead": withdrawal.instead, **({"by": by} if by else {})}
    for key, text in given.items():
        plain = {"on": withdrawal.on.isoformat(), "reason": "as it has to be", "instead": "words", key: text}
        _, problems = read_back(Withdrawn, as_yaml(plain), "")
        yield from (problem.moved(f"--{key}", 0, 0) for problem in problems)


def _check(target: Target, records: Records, editions: Editions) -> None:
    problems = list(published_record.disagreements(records, editions, target.root.as_posix()))
    if problems:
        raise ProblemError(problems)


def _check_instead_of_procedure(procedure: str, withdrawal: Withdrawal, editions: Editions) -> None:
    instead = withdrawal.instead
    if not _LIKE_A_NUMBER.fullmatch(instead):
        return
    current = editions.current
    in_use = sorted((current.procedures.keys() if current else set()) - editions.withdrawn.keys() - {procedure})
    if instead not in in_use:
        wrong = "the newest edition has no such procedure in use"
        if not PROCEDURE.fullmatch(instead):
            wrong = "this looks like the number of a procedure, and is written otherwise"
        raise _not_instead(instead, wrong, in_use, _meant(instead, in_use))


def _meant(instead: str, in_use: Sequence[str]) -> str:
    """Return the number that was perhaps meant.

    >>> _meant("cyl07", ["CYL-01", "CYL-07"]), _meant("CYL 7", ["CYL-01", "CYL-07"])
    ('CYL-07', 'CYL-07')
    """
    written = _LIKE_A_NUMBER.fullmatch(instead)
    assert written
    same = [f"{written[1].upper()}-{int(written[2]):0{width}}" for width in (2, 3)]
    return next((number for number in same if number in in_use), "") or nearest(instead.upper(), in_use)


def _check_instead_of_edition(edition: Edition, withdrawal: Withdrawal, editions: Editions) -> None:
    number = edition_named(withdrawal.instead)
    if number is None:
        return
    others = [other for other in editions.editions if other.withdrawn is None and other is not edition]
    if number not in [other.number for other in others]:
        wrong = f"edition {number} is not there, is this very one, or was withdrawn"
        raise _not_instead(withdrawal.instead, wrong, [f"edition {other.number}" for other in others])


def _not_instead(instead: str, wrong: str, in_use: Iterable[str], meant: str = "") -> ProblemError:
    allowed = ", ".join([*in_use, "or words"])
    return ProblemError([Problem(_INSTEAD, 0, 0, Level.ERROR, "E628", wrong, instead, allowed, suggestion=meant)])


def led_to(procedure: str, editions: Editions) -> list[str]:
    """Return the procedures, withdrawn earlier, whose readers are sent to one that is withdrawn now."""
    return sorted(number for number, other in editions.withdrawn.items() if other.instead == procedure)


def _cannot(file: str, wrong: str, allowed: Iterable[str], meant: str = "") -> ProblemError:
    allowed = ", ".join(allowed) or "what has not been withdrawn yet"
    return refused("E621", file, wrong, allowed, suggestion=meant)
