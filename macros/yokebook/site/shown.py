"""Every page of the site as it is shown: what authors wrote, what the records say, and the workings of each page."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

from yokebook.reference.whole import Reference, WorkedPage
from yokebook.site.folds import opened
from yokebook.site.tables import in_regions
from yokebook.site.unbroken import unbroken
from yokebook.site.workings import set_apart, workings_path, workings_title


@dataclass(frozen=True)
class Shown:
    """One page: its title, its finished HTML, its headings as Markdown nests them.

    `beside` is the path of the page that it belongs to, "" for a page that stands for itself.
    """

    title: str
    html: str
    headings: list[dict[str, Any]] = field(default_factory=list)
    beside: str = ""


def shown_pages(reference: Reference) -> dict[str, Shown]:
    """Return all pages by their path below the folder of pages, those that no author wrote included."""
    machines = reference.department.machines if reference.department else ()
    pages = {
        path: Shown(page.title, unbroken(in_regions(page.html), machines)) for path, page in reference.generated.items()
    }
    for path, worked in reference.pages.items():
        pages.update(_with_workings(path, worked, unbroken(in_regions(reference.html_of(path)), machines)))
    return pages


def _with_workings(path: str, worked: WorkedPage, html: str) -> dict[str, Shown]:
    title = worked.page.front.title
    apart = set_apart(html, path, title)
    pages = {path: Shown(title, opened(apart.html), worked.rendering.headings)}
    if apart.workings:
        pages[workings_path(path)] = Shown(workings_title(title), apart.workings, beside=path)
    return pages
