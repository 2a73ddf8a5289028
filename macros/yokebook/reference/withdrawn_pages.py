"""The page of a withdrawn procedure: its notice alone, in the place of a text that nobody is to act on any more."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import TYPE_CHECKING

from yokebook.control import pointers
from yokebook.control.standing import Withdrawal
from yokebook.data.fields import PROCEDURE
from yokebook.pages.addresses import page_address, way_to_root
from yokebook.pages.extensions import Rendering
from yokebook.reference.whole import Reference, WorkedPage
from yokebook.templates import render

if TYPE_CHECKING:
    from yokebook.reference.approval import Control

_MARK = " (withdrawn)"


def for_readers(control: Control) -> Reference:
    """Return a worked reference as readers see it: what is withdrawn is told, and no longer said."""
    return with_notices(control.reference, control.records.published.withdrawn)


def with_notices(reference: Reference, withdrawn: Mapping[str, Withdrawal]) -> Reference:
    """Return a reference in which the page of each withdrawn procedure, at its old address, is its notice alone."""
    notices = {
        path: _notice(worked, withdrawal)
        for path, worked in reference.pages.items()
        if (withdrawal := withdrawn.get(worked.page.front.procedure or ""))
    }
    return replace(reference, pages={**reference.pages, **notices})


def _notice(worked: WorkedPage, withdrawal: Withdrawal) -> WorkedPage:
    """Return the page with its title, its number and the words by which it is searched for, and nothing of its text."""
    front, root = worked.page.front, way_to_root(page_address(worked.page.path))
    title = front.title.removesuffix(_MARK) + _MARK
    is_number = PROCEDURE.fullmatch(withdrawal.instead)
    html = render(
        "withdrawn.html",
        title=title,
        procedure=front.procedure,
        withdrawal=withdrawal,
        instead=root + pointers.path_of(withdrawal.instead) if is_number else "",
        editions=root + pointers.LIST,
    )
    page = replace(worked.page, front=front.model_copy(update={"title": title, "summary": None}), calls=())
    return replace(worked, page=page, rendering=Rendering(html, []), results=(), files={}, withdrawal=withdrawal)
