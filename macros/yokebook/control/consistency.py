"""One record against another, and against the pages: what leads nowhere, and what is not what was approved."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass, replace
from pathlib import Path

from yokebook.control import approved
from yokebook.control.carried import digest_of
from yokebook.control.reading import EDITIONS
from yokebook.control.records import Issue, Records
from yokebook.control.register import is_complete
from yokebook.data.faults import Fault
from yokebook.data.sources import problem_at
from yokebook.errors import Problem, nearest


@dataclass(frozen=True)
class Known:
    """What the records may name: procedures with their pages, incidents, roles, and how many approve an issue.

    `pages` has the path of each procedure's page below the folder of pages.
    """

    pages: Mapping[str, str]
    incidents: Collection[str]
    roles: Collection[str]
    needed: int


def check(records: Records, folder: Path, known: Known) -> Iterator[Problem]:
    """Yield every problem of the records below `folder` that shows only beside the pages and one another."""
    for number in sorted(records.procedures):
        name = f"{number}.yaml"
        for fault in (
            *_page(number, records, folder, known),
            *_incidents(number, records, known),
            *_roles(number, records, known),
            *_approved_files(number, records, folder, known),
        ):
            yield problem_at(records.trees[name], records.file(name), (), fault)
    for fault in _editions(records):
        yield problem_at(records.trees[EDITIONS], records.file(EDITIONS), (), fault)
    yield from _changed_since(records)


def _page(number: str, records: Records, folder: Path, known: Known) -> Iterator[Fault]:
    record = records.procedures[number]
    if number in known.pages or record.withdrawn is not None:
        return
    wrong = f"no page has the number {number}, and the procedure was not withdrawn"
    allowed = "the page back in content/pages, or the procedure withdrawn first"
    kept = approved.read(folder, number, record.newest.number, record.newest.as_read)
    bears = next((other for other, path in sorted(known.pages.items()) if kept and path == kept.page.path), "")
    if kept and bears:
        wrong = f"the page {kept.page.path}, which was approved as {number}, now bears the number {bears}; "
        wrong += f"{number} has no page, and was not withdrawn"
        allowed = f"procedure: {number} on that page again, or {number} withdrawn first, with {bears} in its place"
    example = f"yokebook withdraw TARGET {number} --reason ... --instead {bears or '...'} --on 2026-03-02"
    yield Fault("E705", wrong, ("issues",), on_key=True, written="", allowed=allowed, example=example)


def _incidents(number: str, records: Records, known: Known) -> Iterator[Fault]:
    for index, issue in enumerate(records.procedures[number].issues):
        if issue.incident and issue.incident not in known.incidents:
            yield no_such_incident(issue.incident, known.incidents, ("issues", index, "incident"))


def no_such_incident(name: str, incidents: Collection[str], at: tuple[str | int, ...] = ()) -> Fault:
    """Return the fault of an incident that no page tells of."""
    wrong = f"content/pages/incidents has no page {name}.md"
    allowed = ", ".join(sorted(incidents)) or "an incident that has a page; there is none yet"
    return Fault("E706", wrong, at, allowed=allowed, suggestion=nearest(name, incidents))


def _roles(number: str, records: Records, known: Known) -> Iterator[Fault]:
    issues = records.procedures[number].issues
    for index, signature in enumerate(issues[-1].approvals):
        if signature.role not in known.roles:
            wrong = "department.yaml has no such role any more, so nobody can tell who may approve in it"
            at = ("issues", len(issues) - 1, "approvals", index, "role")
            allowed = ", ".join(known.roles)
            yield Fault("W703", wrong, at, allowed=allowed, suggestion=nearest(signature.role, known.roles))


def _approved_files(number: str, records: Records, folder: Path, known: Known) -> Iterator[Fault]:
    for index, issue in enumerate(records.procedures[number].issues):
        if not is_complete(number, issue, records, known.needed):
            continue
        if approved.kept(folder, number, issue.number, issue.as_read) is None:
            is_there = approved.file_of(folder, number, issue.number).is_file()
            yield _not_as_approved(number, issue, index, is_there=is_there)


def _not_as_approved(number: str, issue: Issue, index: int, *, is_there: bool) -> Fault:
    name = f"{approved.FOLDER}/{number}-{issue.number}.json"
    wrong = f"{name} {'was changed since' if is_there else 'is missing'}: it holds what was approved as issue "
    wrong += f"{issue.number}, and nothing can be compared with it"
    allowed = f"{name} as approve wrote it, from a copy of this folder"
    return Fault("E707", wrong, ("issues", index, "as_read"), on_key=True, written="as_read", allowed=allowed)


def _editions(records: Records) -> Iterator[Fault]:
    for index, edition in enumerate(records.editions):
        for number, issue in edition.issues.items():
            record = records.procedures.get(number)
            if f"{number}.yaml" in records.broken or (record and issue <= len(record.issues)):
                continue
            last = f"its last issue is {len(record.issues)}" if record else f"there is no file {number}.yaml"
            wrong = f"edition {edition.number} holds issue {issue} of {number}, and {last}"
            allowed = "the records that the edition was published with: is this an old copy of the folder?"
            yield Fault("E708", wrong, ("editions", index, "issues", number), allowed=allowed)


def _changed_since(records: Records) -> Iterator[Problem]:
    """Yield each issue of which its record tells otherwise than when it was published, once for all its editions."""
    told: set[tuple[str, int]] = set()
    for edition in records.editions:
        for number, digest in edition.records.items():
            at = number, edition.issues.get(number, 0)
            issue = records.issue(*at) if at[1] else None
            if issue is None or at in told or digest_of(issue) == digest:
                continue
            told.add(at)
            wrong = f"edition {edition.number} was published with issue {issue.number} of {number}, and what this "
            wrong += "record tells of it is not what it told then: what was approved, by whom, when, why, or until when"
            allowed = f"{number}.yaml and {EDITIONS} put back as they were: from a backup, from git, or from the copy "
            allowed += f"of this folder that published edition {edition.number}. What is to be different is approved "
            allowed += "after that, as a new issue. Which of these moved, verify tells"
            fault = Fault("E831", wrong, ("issues", issue.number - 1, "number"), allowed=allowed)
            problem = problem_at(records.trees[f"{number}.yaml"], records.file(f"{number}.yaml"), (), fault)
            yield replace(problem, example="yokebook verify TARGET --site .")
