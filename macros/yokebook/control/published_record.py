"""The department's own record of what it published, `editions.yaml`, against the list of editions in a target."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from yokebook.control import writing
from yokebook.control.carried import digest_of
from yokebook.control.editions import Edition, Editions
from yokebook.control.reading import EDITIONS
from yokebook.control.records import (
    EditionRecord,
    EditionsRecord,
    ProcedureRecord,
    Records,
    Withdrawn,
    withdrawal_of,
)
from yokebook.control.standing import Withdrawal
from yokebook.errors import Level, Problem


def disagreements(records: Records, editions: Editions, target: str) -> Iterator[Problem]:
    """Yield why these records cannot be those of a target: one of the two is an old copy, or belongs elsewhere."""
    for edition in editions.editions:
        lacking = [f"{number} issue {listed.issue}" for number, listed in edition.procedures.items()
                   if records.issue(number, listed.issue) is None]  # fmt: skip
        if lacking:
            wrong = f"edition {edition.number} in {target} holds {', '.join(lacking)}, of which nothing is known here"
            yield _of_records(records, wrong, "the newest copy of this folder: somebody published from another one")
    for kept in records.editions:
        published = editions.numbered(kept.number)
        if published is None:
            wrong = (
                f"edition {kept.number} is in force from {kept.in_force} by this record, and {target} does not have it"
            )
            yield _of_records(
                records, wrong, "the folder in which it was published; or its list put back from a backup"
            )
        elif published.manifest != kept.manifest:
            wrong = f"edition {kept.number} in {target} is another one than that of this record"
            yield _of_records(records, wrong, "the folder in which this department publishes")


def _of_records(records: Records, wrong: str, allowed: str) -> Problem:
    return Problem(records.file(EDITIONS), 0, 0, Level.ERROR, "E614", wrong, allowed=allowed)


def with_withdrawal(
    records: Records, procedure: str, withdrawal: Withdrawal, by: str = ""
) -> tuple[str | None, list[Problem]]:
    """Return the text of a procedure's record with its withdrawal, or None and what is wrong with it."""
    before = records.procedures[procedure]
    decided = by or (before.withdrawn.by if before.withdrawn else "")
    text = writing.as_yaml(writing.as_plain(before) | {"withdrawn": _plain(withdrawal, decided)})
    record, problems = writing.read_back(ProcedureRecord, text, records.file(f"{procedure}.yaml"))
    return (text, []) if record else (None, problems)


def with_edition_withdrawn(
    records: Records, editions: Editions, number: int, by: str = ""
) -> tuple[str | None, list[Problem]]:
    """Return the text of `editions.yaml` for a list in which an edition was withdrawn, or what is wrong with it."""
    text = _text(records, editions, {number: by})
    record, problems = writing.read_back(EditionsRecord, text, records.file(EDITIONS))
    return (text, []) if record else (None, problems)


def bring_up(folder: Path, records: Records, editions: Editions) -> list[str]:
    """Write into the records below `folder` what they lack of a target's list; return the names of the files written.

    Raises OSError as the system gives it. Nothing is written twice, so a run that was stopped is simply repeated.
    """
    written = []
    for number, withdrawal in _withdrawals(records, editions):
        text, _ = with_withdrawal(records, number, withdrawal)
        if text:
            name = f"{number}.yaml"
            writing.write_record(folder, name, text, records.contents.get(name))
            written.append(name)
    if _differ(records, editions):
        writing.write_record(folder, EDITIONS, _text(records, editions, {}), records.contents.get(EDITIONS))
        written.append(EDITIONS)
    return written


def lacks(records: Records, editions: Editions) -> bool:
    """Return whether records lack something of a target's list."""
    return _differ(records, editions) or bool(list(_withdrawals(records, editions)))


def _withdrawals(records: Records, editions: Editions) -> Iterator[tuple[str, Withdrawal]]:
    """Yield each withdrawal of a procedure of which readers are told, and which its record does not hold as it is."""
    for number, withdrawal in sorted(editions.withdrawn.items()):
        record = records.procedures.get(number)
        if record and withdrawal_of(record.withdrawn) != withdrawal:
            yield number, withdrawal


def other_withdrawals(records: Records, editions: Editions) -> Iterator[tuple[str, str]]:
    """Yield the number of each procedure on whose withdrawal record and target do not agree, and how they differ."""
    for number, withdrawal in _withdrawals(records, editions):
        if records.procedures[number].withdrawn is None:
            told = f"readers are told that {number} was withdrawn on {withdrawal.on}, and this record is not: "
            yield number, told + "a run was stopped, or it was taken out by hand; yokebook publish --finish writes it"
        else:
            told = "readers are told another day, reason or thing to use instead than stand under withdrawn here"
            yield number, f"{told}; yokebook publish --finish writes here what they are told"
    for number, kept in sorted(records.procedures.items()):
        if kept.withdrawn and number not in editions.withdrawn:
            told = f"this record says that {number} was withdrawn on {kept.withdrawn.on}, and readers are not told"
            yield number, f"{told}: the next publish tells them"


def _differ(records: Records, editions: Editions) -> bool:
    kept = [_plain_edition_of_record(edition) for edition in records.editions]
    return kept != [_plain_edition(edition, "") for edition in editions.editions]


def _plain_edition_of_record(kept: EditionRecord) -> writing.Plain:
    """Return an edition of the records as one of a list is written, without what stands in the records alone."""
    plain = writing.as_plain(kept)
    plain.pop("records", None)
    if "withdrawn" in plain:
        plain["withdrawn"].pop("by", None)
    return plain


def _text(records: Records, editions: Editions, by: dict[int, str]) -> str:
    """Return the text of `editions.yaml`; who decided a withdrawal, and what records told, stand only here."""
    kept = {edition.number: edition for edition in records.editions}
    plain = [
        _plain_edition(edition, _decided_by(kept.get(edition.number), by))
        | _digests(edition, kept.get(edition.number), records)
        for edition in editions.editions
    ]
    return writing.as_yaml({"editions": plain})


def _digests(edition: Edition, kept: EditionRecord | None, records: Records) -> writing.Plain:
    """Return the digests of what each record told when an edition was published: those kept then stay as they are."""
    if kept and kept.records:
        return {"records": dict(sorted(kept.records.items()))}
    told = {number: records.issue(number, listed.issue) for number, listed in sorted(edition.procedures.items())}
    return {"records": {number: digest_of(issue) for number, issue in told.items() if issue}}


def _decided_by(kept: EditionRecord | None, by: dict[int, str]) -> str:
    if kept is None:
        return ""
    withdrawn: Withdrawn | None = kept.withdrawn
    return by.get(kept.number, "") or (withdrawn.by if withdrawn else "")


def _plain_edition(edition: Edition, by: str) -> writing.Plain:
    plain: writing.Plain = {
        "number": str(edition.number),
        "in_force": edition.in_force.isoformat(),
        "manifest": edition.manifest,
        "issues": {number: str(listed.issue) for number, listed in sorted(edition.procedures.items())},
    }
    return plain | ({"withdrawn": _plain(edition.withdrawn, by)} if edition.withdrawn else {})


def _plain(withdrawal: Withdrawal, by: str) -> writing.Plain:
    return withdrawal.as_plain() | ({"by": by} if by else {})
