"""Incidents against the department's records: what each still waits for, and the learning log as a page."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date

from yokebook.control.records import Issue, Records
from yokebook.control.register import is_complete
from yokebook.data.department import Department
from yokebook.data.faults import Fault
from yokebook.data.sources import problem_at
from yokebook.errors import Problem, nearest
from yokebook.pages.addresses import page_address
from yokebook.pages.incident import FOLDER, Incident, name_of
from yokebook.pages.page import Page
from yokebook.reference.generated import GeneratedPage
from yokebook.reference.new_incident import still_asked
from yokebook.templates import render

LOG = f"{FOLDER}/index.md"
_EXAMPLE = "incident: {happened: 2026-02-03, reviewed: 2026-02-20, procedures: [CYL-05]}"


@dataclass(frozen=True)
class NamedProcedure:
    """One procedure that an incident names, and the issue that answers the review (None while there is none).

    The log also has its title and where its page lies.
    """

    procedure: str
    issue: int | None
    is_withdrawn: bool
    title: str = ""
    address: str = ""

    @property
    def is_answered(self) -> bool:
        """True where nothing is left to do for it."""
        return self.issue is not None or self.is_withdrawn


@dataclass(frozen=True)
class LogEntry:
    """One line of the learning log."""

    path: str
    title: str
    summary: str
    incident: Incident
    changed: tuple[NamedProcedure, ...]

    @property
    def address(self) -> str:
        """Its page, as the log beside it leads there."""
        return page_address(self.path).rpartition("/")[2]


def check(pages: Sequence[Page], department: Department, records: Records) -> Iterator[Problem]:
    """Yield what is wrong with the pages of incidents: their place, names that lead nowhere, closed too early.

    And what the template asked, where nobody has answered it.
    """
    numbers = {page.front.procedure: page for page in pages if page.front.procedure}
    for page in pages:
        faults = [*_in_its_place(page)]
        if page.front.incident:
            faults += _names(page.front.incident, numbers, department)
            faults += _undone(page.front.incident)
            faults += _unanswered(page, records, department.settings.approvers_needed)
            faults += _unnamed(page, records, department.settings.approvers_needed)
            yield from still_asked(page)
        yield from (problem_at(page.tree, page.file, (), fault) for fault in faults)


def _in_its_place(page: Page) -> Iterator[Fault]:
    if page.front.incident is not None and not name_of(page.path):
        wrong = f"an incident lies in content/pages/{FOLDER}, one page each, and this page does not"
        yield Fault("E771", wrong, ("incident",), on_key=True, written="incident", allowed="its page moved there")
    elif page.front.incident is None and name_of(page.path):
        wrong = f"a page in {FOLDER} says when it happened and what follows from it, and this one does not"
        yield Fault("E771", wrong, ("title",), on_key=True, written="title", allowed="incident:", example=_EXAMPLE)


def _names(incident: Incident, numbers: Mapping[str, Page], department: Department) -> Iterator[Fault]:
    for index, number in enumerate(incident.procedures):
        if number not in numbers:
            allowed, meant = ", ".join(sorted(numbers)) or "the number of a page", nearest(number, numbers)
            at = ("incident", "procedures", index)
            yield Fault("E774", "no page has this number", at, allowed=allowed, suggestion=meant)
    for index, action in enumerate(incident.actions):
        roles = department.settings.roles
        if action.role not in roles:
            to_role = ("incident", "actions", index, "role")
            wrong = "department.yaml has no such role"
            yield Fault("E512", wrong, to_role, allowed=", ".join(roles), suggestion=nearest(action.role, roles))


def _undone(incident: Incident) -> Iterator[Fault]:
    """Yield each action of a closed incident that was not done by then."""
    for index, action in enumerate(incident.actions):
        if incident.closed and (action.done is None or action.done > incident.closed):
            wrong = f"the incident is closed on {incident.closed}, and this was not done by then"
            allowed = "the day on which it was done, not after the closing; or closed left out while it is open"
            at = ("incident", "actions", index, "action")
            yield Fault("E773", wrong, at, allowed=allowed, example=f"done: {incident.closed}")


def _unanswered(page: Page, records: Records, approvers: int) -> Iterator[Fault]:
    """Yield each procedure for which a closed incident has no issue, approved after the review, that names it.

    And each whose answer came after the closing.
    """
    incident = page.front.incident
    if incident is None or incident.closed is None:
        return
    for index, number in enumerate(incident.procedures):
        if f"{number}.yaml" in records.broken:
            continue
        changed = _changed(number, page, records, approvers)
        at = ("incident", "procedures", index)
        if not changed.is_answered:
            wrong = f"the incident is closed, and no issue of {number} approved since its review names it"
            allowed = "closed left out until then"
            example = f"yokebook approve {number} --incident {name_of(page.path)} ..."
            yield Fault("E773", wrong, at, allowed=allowed, example=example)
            continue
        day, how = min(_answers(changed, records))
        if day > incident.closed:
            wrong = f"the incident is closed on {incident.closed}, and {how} on {day}"
            allowed = f"closed on {day} or later; or closed left out while it is open"
            yield Fault("E773", wrong, at, allowed=allowed, example=f"closed: {day}")


def _answers(changed: NamedProcedure, records: Records) -> Iterator[tuple[date, str]]:
    """Yield the day of each answer that the records have for a procedure, and what it was."""
    record = records.procedures[changed.procedure]
    if record.withdrawn and changed.is_withdrawn:
        yield record.withdrawn.on, f"{changed.procedure} was withdrawn"
    if changed.issue:
        issue = record.issues[changed.issue - 1]
        yield issue.approved_on, f"issue {issue.number} of {changed.procedure}, which names it, was approved"


def _unnamed(page: Page, records: Records, approvers: int) -> Iterator[Fault]:
    """Yield each procedure that its author changed since the review of an open incident, in an issue without its name.

    Where the data alone moved its numbers, that had a reason of its own, most likely.
    """
    incident = page.front.incident
    assert incident is not None
    for index, number in enumerate(incident.procedures):
        if (reviewed := waiting_for(number, [page], records, approvers).get(name_of(page.path))) is None:
            continue
        issues = _changed_by_author(number, records, approvers)
        if since := [issue for issue in issues if issue.approved_on >= reviewed]:
            wrong = f"issue {since[-1].number} of {number} was approved on {since[-1].approved_on}, since the review, "
            wrong += "and does not name this incident, which so cannot be closed"
            allowed = "an issue that names it, with the same text where that answers the review; till then it is open"
            example = f"yokebook approve {number} --incident {name_of(page.path)} --reason ..."
            yield Fault("W775", wrong, ("incident", "procedures", index), allowed=allowed, example=example)


def _changed_by_author(number: str, records: Records, approvers: int) -> Iterator[Issue]:
    """Yield each approved issue of a procedure in which its author's text or pictures moved."""
    record = records.procedures.get(number)
    before = None
    for issue in record.issues if record else ():
        own = issue.digest.page, issue.digest.files
        if own != before and is_complete(number, issue, records, approvers):
            yield issue
        before = own


def waiting_for(procedure: str, pages: Iterable[Page], records: Records, approvers: int) -> dict[str, date]:
    """Return the open incidents that wait for an issue of a procedure which names them, with the day of their review.

    One without a review does not wait yet.
    """
    return {
        name_of(page.path): incident.reviewed
        for page in pages
        if (incident := page.front.incident) and incident.reviewed and not incident.closed
        if procedure in incident.procedures and name_of(page.path) and f"{procedure}.yaml" not in records.broken
        if not _changed(procedure, page, records, approvers).is_answered
    }


def _changed(number: str, page: Page, records: Records, approvers: int) -> NamedProcedure:
    incident, record = page.front.incident, records.procedures.get(number)
    assert incident is not None
    if record is None or incident.reviewed is None:
        return NamedProcedure(number, None, is_withdrawn=False)
    withdrawn = record.withdrawn is not None and record.withdrawn.on >= incident.reviewed
    return NamedProcedure(number, _answering(number, page, records, approvers), withdrawn)


def _answering(number: str, page: Page, records: Records, approvers: int) -> int | None:
    """Return the first issue of a procedure that names a page's incident and was approved after its review."""
    reviewed = page.front.incident and page.front.incident.reviewed
    issues = (
        issue.number
        for issue in records.procedures[number].issues
        if issue.incident == name_of(page.path)
        and reviewed
        and issue.approved_on >= reviewed
        and is_complete(number, issue, records, approvers)
    )
    return next(issues, None)


def entries_of(pages: Sequence[Page], department: Department, records: Records) -> list[LogEntry]:
    """Return what the learning log says of each incident."""
    numbers = {page.front.procedure: page for page in pages if page.front.procedure}
    approvers = department.settings.approvers_needed
    incidents = [page for page in pages if page.front.incident and name_of(page.path)]
    return [_entry(page, numbers, records, approvers) for page in incidents]


def learning_log(entries: Sequence[LogEntry]) -> GeneratedPage | None:
    """Return the learning log, the newest incident first; None for a department without incidents."""
    if not entries:
        return None
    newest_first = sorted(entries, key=lambda entry: (entry.incident.happened, entry.path), reverse=True)
    return GeneratedPage(LOG, "Learning log", render("learning_log.html", entries=newest_first))


def with_facts(html: str, entry: LogEntry) -> str:
    """Return the HTML of an incident's page with how it stands told below its title."""
    facts = render("incident_facts.html", incident=entry.incident, entry=entry)
    title, end, text = html.partition("</h1>")
    return f"{title}{end}\n{facts}{text}" if end else f"{facts}\n{html}"


def _entry(page: Page, numbers: Mapping[str, Page], records: Records, approvers: int) -> LogEntry:
    incident = page.front.incident
    assert incident is not None
    changed = []
    for number in incident.procedures:
        named = numbers.get(number)
        title = named.front.title if named else ""
        address = f"../{page_address(named.path)}" if named else ""
        changed.append(replace(_changed(number, page, records, approvers), title=title, address=address))
    return LogEntry(page.path, page.front.title, page.front.summary or "", incident, tuple(changed))
