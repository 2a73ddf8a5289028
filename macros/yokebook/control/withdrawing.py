"""Withdrawing a procedure or an edition: from the moment at which `editions.js` says so, with what to use instead."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from yokebook.control import published_record
from yokebook.control.editions import Editions, edition_named
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
_NUMBERS, _EDITIONS = re.compile(rf"\b{PROCEDURE.pattern}\b"), re.compile(r"\b[Ee]dition ([1-9][0-9]{0,3})\b")
"""Procedures and editions that are named among other words."""


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
    _published(target)
    with target.locked(who, f"withdrawing {procedure}"):
        after, text = without_procedure(target, records, procedure, decision)
        announce(target, after, f"{procedure} is withdrawn")
    _write(folder, f"{procedure}.yaml", text, records)
    return after


def without_procedure(target: Target, records: Records, procedure: str, decision: Decision) -> tuple[Editions, str]:
    """Return the list and the record as they are once a procedure is withdrawn; nothing is written.

    Raises ProblemError for what cannot be withdrawn.
    """
    file, withdrawal, editions = records.file(f"{procedure}.yaml"), decision.withdrawal, _published(target)
    if procedure not in records.procedures:
        known, meant = sorted(records.procedures), nearest(procedure, records.procedures)
        raise _cannot(file, f"no procedure has the number {procedure}", known, meant)
    _once_or_corrected(file, procedure, withdrawal_of(records.procedures[procedure].withdrawn), decision)
    text = _good(published_record.with_withdrawal(records, procedure, withdrawal, decision.by))
    _check(target, records, editions)
    _check_instead(withdrawal.instead, editions, procedure)
    return editions.with_procedure_withdrawn(procedure, withdrawal), text


def withdraw_edition(
    target: Target, folder: Path, records: Records, number: int, decision: Decision, who: str
) -> Editions:
    """Withdraw an edition in a target and in the records below `folder`; return the list as it is then.

    Raises ProblemError for what cannot be withdrawn, or where the target does not let it.
    """
    _published(target)
    with target.locked(who, f"withdrawing edition {number}"):
        after, text = without_edition(target, records, number, decision)
        announce(target, after, f"edition {number} is withdrawn")
    _write(folder, EDITIONS, text, records)
    return after


def without_edition(target: Target, records: Records, number: int, decision: Decision) -> tuple[Editions, str]:
    """Return the list and the record as they are once an edition is withdrawn; nothing is written.

    Raises ProblemError for what cannot be withdrawn.
    """
    editions = _published(target)
    _check(target, records, editions)
    edition = editions.numbered(number)
    if edition is None:
        known = [str(each.number) for each in editions.editions]
        raise _cannot(target.root.as_posix(), f"there is no edition {number}", known)
    _once_or_corrected(target.root.as_posix(), f"edition {number}", edition.withdrawn, decision)
    after = editions.with_edition_withdrawn(number, decision.withdrawal)
    _check_instead(decision.withdrawal.instead, after)
    if not after.in_order:
        wrong = f"a later edition is in force from before this day, and edition {number} would be in its way"
        raise refused("E621", _ON, wrong, "the day on which it was withdrawn, as it stands")
    return after, _good(published_record.with_edition_withdrawn(records, after, number, decision.by))


def _write(folder: Path, name: str, text: str, records: Records) -> None:
    try:
        write_record(folder, name, text, records.contents.get(name))
    except OSError as error:
        wrong = f"it is withdrawn, and the department's own record cannot be written ({error.strerror})"
        allowed = "yokebook publish TARGET --finish, once this file can be written: it reads it anew"
        raise refused("E613", records.file(name), wrong, allowed) from error


def _published(target: Target) -> Editions:
    """Return the list; refuse a folder in which nothing was published, before anything is made in it."""
    editions = target.editions()
    if editions.current is None:
        raise _cannot(target.root.as_posix(), "nothing has been published here", ["the folder given to publish"])
    return editions


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
    good = replace(withdrawal, reason="as it has to be", instead="words").as_plain()
    for key, text in given.items():
        plain = {**good, key: text}
        _, problems = read_back(Withdrawn, as_yaml(plain), "")
        yield from (problem.moved(f"--{key}", 0, 0) for problem in problems)


def _check(target: Target, records: Records, editions: Editions) -> None:
    problems = list(published_record.disagreements(records, editions, target.root.as_posix()))
    if problems:
        raise ProblemError(problems)


def _check_instead(instead: str, editions: Editions, withdrawn: str = "") -> None:
    """Refuse words that send readers to a procedure or an edition that is not there, or not to be used any more."""
    problems = [*_procedures_in(instead, editions, withdrawn), *_editions_in(instead, editions)]
    if problems:
        raise ProblemError(problems)


def _procedures_in(instead: str, editions: Editions, withdrawn: str) -> Iterator[Problem]:
    """Yield each number of a procedure in the words that the newest edition does not have in use."""
    current = editions.current
    in_use = sorted((current.procedures.keys() if current else set()) - editions.withdrawn.keys() - {withdrawn})
    is_one = _LIKE_A_NUMBER.fullmatch(instead)
    for number in [instead] if is_one else dict.fromkeys(_NUMBERS.findall(instead)):
        if number not in in_use:
            wrong = f"the newest edition has no procedure {number} in use"
            if not PROCEDURE.fullmatch(number):
                wrong = "this looks like the number of a procedure, and is written otherwise"
            yield _not_instead(instead, wrong, in_use, _meant(number, in_use))


def _meant(written: str, in_use: Sequence[str]) -> str:
    """Return the number that was perhaps meant.

    >>> _meant("cyl07", ["CYL-01", "CYL-07"]), _meant("CYL 7", ["CYL-01", "CYL-07"])
    ('CYL-07', 'CYL-07')
    """
    parts = _LIKE_A_NUMBER.fullmatch(written)
    assert parts
    same = [f"{parts[1].upper()}-{int(parts[2]):0{width}}" for width in (2, 3)]
    return next((number for number in same if number in in_use), "") or nearest(written.upper(), in_use)


def _editions_in(instead: str, editions: Editions) -> Iterator[Problem]:
    """Yield each edition in the words that is not there, or was withdrawn."""
    others = [edition.number for edition in editions.editions if edition.withdrawn is None]
    alone = edition_named(instead)
    for number in [alone] if alone else dict.fromkeys(map(int, _EDITIONS.findall(instead))):
        if number not in others:
            wrong = f"edition {number} is not there, is this very one, or was withdrawn"
            yield _not_instead(instead, wrong, [f"edition {other}" for other in others])


def _not_instead(instead: str, wrong: str, in_use: Iterable[str], meant: str = "") -> Problem:
    allowed = ", ".join([*in_use, "or words"])
    return Problem(_INSTEAD, 0, 0, Level.ERROR, "E628", wrong, instead, allowed, suggestion=meant)


def led_to(procedure: str, editions: Editions) -> list[str]:
    """Return the procedures, withdrawn earlier, whose readers are sent to one that is withdrawn now."""
    return sorted(number for number, other in editions.withdrawn.items() if other.instead == procedure)


def _cannot(file: str, wrong: str, allowed: Iterable[str], meant: str = "") -> ProblemError:
    allowed = ", ".join(allowed) or "what has not been withdrawn yet"
    return refused("E621", file, wrong, allowed, suggestion=meant)
