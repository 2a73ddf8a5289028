"""Who approves, when and why; and what is wrong with that before anything is written."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date

from yokebook.errors import nearest
from yokebook.pages.incident import FOLDER as INCIDENTS
from yokebook.pages.incident import name_of
from yokebook.reference.approval import Control, incidents_of
from yokebook.reference.days import ON, still_to_come, until_today
from yokebook.reference.layout import PAGES
from yokebook.reference.unfit_words import people_in


@dataclass(frozen=True)
class Signer:
    """Who approves, on which day, why, after which incident; the next review where its day is given."""

    role: str
    name: str
    on: date
    reason: str
    incident: str = ""
    review: date | None = None


def faults_of(control: Control, procedure: str, signer: Signer, today: date) -> Iterator[str]:
    """Yield, in words for whoever approves, each reason for which an approval of a procedure cannot be given so."""
    yield from _role(control, signer)
    if signer.on > today:
        yield (
            f"{ON}: {still_to_come(signer.on, today)}. An approval bears the day on which it is given. "
            f"Allowed: {until_today(today)}"
        )
    yield from _people(control, procedure, signer)
    if signer.incident:
        yield from _incident(control, signer)


def _role(control: Control, signer: Signer) -> Iterator[str]:
    department = control.reference.department
    assert department
    roles = department.settings.roles
    if signer.role not in roles:
        meant = _perhaps(nearest(signer.role, roles))
        yield f"department.yaml has no role {signer.role}.{meant} Allowed: {', '.join(roles)}"


def _people(control: Control, procedure: str, signer: Signer) -> Iterator[str]:
    page = control.pages[procedure].page
    for found in people_in(signer.reason, page.front.not_a_person):
        yield (
            f"{procedure}: {found.written}: {found.wrong}, and readers would see this reason. "
            f"Allowed: {found.allowed} of {page.file}, where its text holds them too. Example: {found.example}"
        )


def _incident(control: Control, signer: Signer) -> Iterator[str]:
    name, known = signer.incident, incidents_of(control.reference.folder)
    if name not in known:
        there_are = ", ".join(known) or "none yet"
        yield f"{PAGES}/{INCIDENTS} has no page {name}.md.{_perhaps(nearest(name, known))} There are: {there_are}"
        return
    worked = (worked.page for worked in control.reference.pages.values() if name_of(worked.page.path) == name)
    for page in worked:
        reviewed = page.front.incident.reviewed if page.front.incident else None
        if reviewed and reviewed <= signer.on:
            continue
        wrong = f"the incident was reviewed on {reviewed}, after the approval" if reviewed else "it says no review yet"
        allowed = f"--on {reviewed} or later" if reviewed else "reviewed: with a day up to --on on that page, once held"
        yield (
            f"{name}: {wrong} ({page.file}; --on {signer.on}). An issue that answers an incident "
            f"is approved on the day of its review or later. Allowed: {allowed}; or --incident left out"
        )


def _perhaps(meant: str) -> str:
    return f" Perhaps meant: {meant}." if meant else ""
