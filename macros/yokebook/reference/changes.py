"""What a new edition changes, and why: as pages need it, with marks in the margin of each changed page."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date
from functools import cached_property

from yokebook.control.as_read import PageAsRead
from yokebook.control.change_marks import marks
from yokebook.control.comparison import PageChanges, compare_pages, paired
from yokebook.control.records import Issue, Records
from yokebook.control.standing import Withdrawal
from yokebook.pages import words
from yokebook.pages.addresses import page_address
from yokebook.pages.incident import FOLDER as INCIDENTS
from yokebook.reference.pages_as_read import all_as_read
from yokebook.reference.whole import Reference, WorkedPage
from yokebook.templates import render

CHANGES = "what-changed.md"
LEARNT = "What was learnt"
"""The heading in the template of an incident's page."""


@dataclass(frozen=True)
class Previous:
    """The edition before: what its pages say, and which issue of each procedure it holds."""

    number: int
    in_force: date
    pages: Mapping[str, PageAsRead]
    issues: Mapping[str, int]


@dataclass(frozen=True)
class IncidentTold:
    """The review that led to a change: its page's title and address, what happened and what was learnt, in its words.

    `learnt` are the items of that list, none where the page has no such heading.
    """

    name: str
    title: str
    address: str
    happened: str
    learnt: tuple[str, ...] = ()


@dataclass(frozen=True)
class Reason:
    """Why one issue of a procedure was made."""

    issue: int
    reason: str
    incident: IncidentTold | None


@dataclass(frozen=True)
class Changed:
    """A page on which something moved since the edition before; `address` is "" for one that is no longer there."""

    changes: PageChanges
    address: str
    old_issue: int | None
    new_issue: int | None
    reasons: tuple[Reason, ...]
    withdrawal: Withdrawal | None

    @property
    def became(self) -> str:
        """What became of it, in a few words."""
        if self.withdrawal:
            return f"withdrawn on {self.withdrawal.on}; use instead: {self.withdrawal.instead}"
        if self.changes.is_gone:
            return "no longer there"
        return f"issue {self.new_issue}" if self.new_issue else "not approved"

    @property
    def anchor(self) -> str:
        """Where on the page of changes it stands."""
        return (self.changes.procedure or self.changes.path.removesuffix(".md").replace("/", "-")).lower()


@dataclass(frozen=True)
class EditionChanges:
    """All that moved from one edition to the reference as it is now."""

    previous: Previous
    changed: tuple[Changed, ...]
    now: Mapping[str, PageAsRead]

    @cached_property
    def incidents(self) -> tuple[IncidentTold, ...]:
        """The reviews that led to the changes, each once."""
        told = (reason.incident for changed in self.changed for reason in changed.reasons)
        return tuple(dict.fromkeys(incident for incident in told if incident))

    def marked(self, worked: WorkedPage) -> str:
        """Return a page's finished HTML with marks in the margin at what moved, and a line at its head that says so."""
        page = self.now[worked.page.path]
        changed = next((one for one in self.changed if one.changes.path == page.path and one.address), None)
        if changed is None:
            return worked.html
        old = self._before(page)
        html = words.mark(worked.html, marks(old, page, changed.changes)) if old else worked.html
        way = "../" * worked.page.path.count("/") + f"{page_address(CHANGES)}#{changed.anchor}"
        note = render("changed_note.html", changed=changed, way=way, previous=self.previous)
        title, end, text = html.partition("</h1>")
        return f"{title}{end}\n{note}{text}" if end and html.startswith("<h1") else f"{note}\n{html}"

    def marked_pages(self, reference: Reference) -> dict[str, str]:
        """Return the HTML of each page of the reference on which something moved, marked, by the page's path.

        A notice of a withdrawal says itself what happened.
        """
        paths = {changed.changes.path for changed in self.changed if changed.address and not changed.withdrawal}
        return {path: self.marked(worked) for path, worked in reference.pages.items() if path in paths}

    def _before(self, page: PageAsRead) -> PageAsRead | None:
        if not page.procedure:
            return self.previous.pages.get(page.path)
        return next((old for old in self.previous.pages.values() if old.procedure == page.procedure), None)


def changes_since(reference: Reference, records: Records, previous: Previous) -> EditionChanges:
    """Return what the reference changes since the edition before."""
    now = all_as_read(reference)
    told = [(compare_pages(was, is_now), is_now) for was, is_now in paired(previous.pages, now)]
    changed = [_changed(changes, page, reference, records, previous) for changes, page in told if changes]
    return EditionChanges(previous, tuple(changed), now)


def _changed(
    changes: PageChanges, page: PageAsRead | None, reference: Reference, records: Records, previous: Previous
) -> Changed:
    number = changes.procedure
    record = records.procedures.get(number)
    old = previous.issues.get(number)
    withdrawal = records.published.withdrawn.get(number)
    later = [issue for issue in record.issues if old is None or issue.number > old] if record and not withdrawal else []
    return Changed(
        changes,
        page_address(page.path) if page else "",
        old,
        record.newest.number if record and not withdrawal else None,
        tuple(_reason(issue, reference) for issue in later if not issue.overtaken),
        withdrawal,
    )


def _reason(issue: Issue, reference: Reference) -> Reason:
    worked = reference.pages.get(f"{INCIDENTS}/{issue.incident}.md") if issue.incident else None
    return Reason(issue.number, issue.reason, _incident(str(issue.incident), worked) if worked else None)


def _incident(name: str, worked: WorkedPage) -> IncidentTold:
    title, address = worked.page.front.title, page_address(worked.page.path)
    happened = " ".join(_what_happened(worked)) or worked.page.front.summary or ""
    return IncidentTold(name, title, address, happened, tuple(_what_was_learnt(worked)))


def _what_happened(worked: WorkedPage) -> Iterator[str]:
    """Yield the paragraphs below the first heading after the page's title."""
    headings = 0
    for block in words.read_finished(worked.html):
        headings += block.kind == "heading"
        if headings == 2 and block.kind != "heading":
            yield block.text


def _what_was_learnt(worked: WorkedPage) -> Iterator[str]:
    """Yield the blocks below the heading that the template of an incident has for it."""
    is_below = False
    for block in words.read_finished(worked.html):
        if block.kind == "heading":
            is_below = block.text.casefold() == LEARNT.casefold()
        elif is_below:
            yield block.text
