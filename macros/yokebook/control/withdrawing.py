"""Withdrawing a procedure or an edition: from the moment at which `editions.js` says so, with what to use instead."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path

from yokebook.control import published_record
from yokebook.control.editions import Edition, Editions, edition_named
from yokebook.control.publishing import announce
from yokebook.control.reading import EDITIONS
from yokebook.control.records import Records
from yokebook.control.standing import Withdrawal
from yokebook.control.target import Target, refused
from yokebook.control.writing import write_record
from yokebook.data.fields import PROCEDURE
from yokebook.errors import Problem, ProblemError, nearest


def withdraw_procedure(
    target: Target, folder: Path, records: Records, procedure: str, withdrawal: Withdrawal, who: str, by: str = ""
) -> Editions:
    """Withdraw a procedure in a target and in the records below `folder`; return the list as it is then.

    Raises ProblemError for what cannot be withdrawn, or where the target does not let it.
    """
    if procedure not in records.procedures:
        known, meant = sorted(records.procedures), nearest(procedure, records.procedures)
        raise _cannot(records.file(f"{procedure}.yaml"), f"no procedure has the number {procedure}", known, meant)
    if kept := records.procedures[procedure].withdrawn:
        raise _cannot(records.file(f"{procedure}.yaml"), f"{procedure} was withdrawn on {kept.on} already", ())
    _published(target)
    text = _good(published_record.with_withdrawal(records, procedure, withdrawal, by))
    with target.locked(who, f"withdrawing {procedure}"):
        editions = target.editions()
        _check(target, records, editions)
        _check_instead_of_procedure(target, procedure, withdrawal, editions)
        after = editions.with_procedure_withdrawn(procedure, withdrawal)
        announce(target, after, f"{procedure} is withdrawn")
    _write(folder, f"{procedure}.yaml", text, records)
    return after


def withdraw_edition(
    target: Target, folder: Path, records: Records, number: int, withdrawal: Withdrawal, who: str, by: str = ""
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
        if edition.withdrawn:
            wrong = f"edition {number} was withdrawn on {edition.withdrawn.on} already"
            raise _cannot(target.root.as_posix(), wrong, ())
        _check_instead_of_edition(target, edition, withdrawal, editions)
        after = editions.with_edition_withdrawn(number, withdrawal)
        text = _good(published_record.with_edition_withdrawn(records, after, number, by))
        announce(target, after, f"edition {number} is withdrawn")
    _write(folder, EDITIONS, text, records)
    return after


def _write(folder: Path, name: str, text: str, records: Records) -> None:
    try:
        write_record(folder, name, text)
    except OSError as error:
        wrong = f"it is withdrawn, and the department's own record cannot be written ({error.strerror})"
        allowed = "a folder in which you may write; then: yokebook publish --finish"
        raise refused("E613", records.file(name), wrong, allowed) from error


def _published(target: Target) -> None:
    """Refuse a folder in which nothing was published, before anything is made in it."""
    if target.editions().current is None:
        raise _cannot(target.root.as_posix(), "nothing has been published here", ["the folder given to publish"])


def _good(read_back: tuple[str | None, list[Problem]]) -> str:
    text, problems = read_back
    if text is None:
        raise ProblemError(problems)
    return text


def _check(target: Target, records: Records, editions: Editions) -> None:
    problems = list(published_record.disagreements(records, editions, target.root.as_posix()))
    if problems:
        raise ProblemError(problems)


def _check_instead_of_procedure(target: Target, procedure: str, withdrawal: Withdrawal, editions: Editions) -> None:
    instead = withdrawal.instead
    if not PROCEDURE.fullmatch(instead):
        return
    current = editions.current
    in_use = sorted((current.procedures.keys() if current else set()) - editions.withdrawn.keys() - {procedure})
    if instead not in in_use:
        wrong = f"{instead} cannot be used instead: the newest edition has no such procedure in use"
        raise _cannot(target.root.as_posix(), wrong, [*in_use, "or words"], nearest(instead, in_use))


def _check_instead_of_edition(target: Target, edition: Edition, withdrawal: Withdrawal, editions: Editions) -> None:
    number = edition_named(withdrawal.instead)
    if number is None:
        return
    others = [other for other in editions.editions if other.withdrawn is None and other is not edition]
    if number not in [other.number for other in others]:
        wrong = f"edition {number} cannot be used instead: it is not there, is this very one, or was withdrawn"
        raise _cannot(target.root.as_posix(), wrong, [*(f"edition {other.number}" for other in others), "or words"])


def _cannot(file: str, wrong: str, allowed: Iterable[str], meant: str = "") -> ProblemError:
    allowed = ", ".join(allowed) or "what has not been withdrawn yet"
    return refused("E621", file, wrong, allowed, suggestion=meant)
