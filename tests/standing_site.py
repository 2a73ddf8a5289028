"""Editions of the demo as they would be published, with standings that a test gives, and the list above them."""

from __future__ import annotations

import json
from dataclasses import dataclass, field, fields
from datetime import date
from pathlib import Path
from typing import Any

from demo_site import copy_demo
from shared import made_once
from yokebook.control.standing import Approval, EditionMark, Standing, State
from yokebook.reference.whole import Reference, work_out
from yokebook.reference.withdrawn_pages import with_notices
from yokebook.site.build import build_edition as build_edition_of

DRAFT = "editions/draft"
"""Where the pages of a plain build lie below its root."""
CHANGING = "procedures/changing-a-cylinder.html"
PLUGGING = "procedures/plugging-an-empty-yoke.html"


@dataclass(frozen=True)
class OfEdition(Reference):
    """The demo in one edition: each procedure stands as a test says, by its number, or else in force as issue 1."""

    standings: dict[str, dict[str, Any]] = field(default_factory=dict)

    def standing_of(self, path: str) -> Standing | None:
        """Return how a page stands in the edition."""
        front = self.pages[path].page.front if path in self.pages else None
        if front is None or front.procedure is None:
            return None
        told: dict[str, Any] = {
            "state": State.IN_FORCE,
            "issue": 1,
            "approvals": (Approval("approver", "A. Marlow", date(2025, 12, 20)),),
            "in_force_since": self.edition.in_force,
            "review_due": date(2027, 1, 5),
        }
        told |= self.standings.get(front.procedure, {})
        return Standing(front.procedure, front.title, owner=front.owner or "", **told)


def build_edition(target: Path, number: int, in_force: date, **standings: dict[str, Any]) -> Path:
    """Build one edition below `target` and return its folder; a standing is named as in `CYL_01={"issue": 2}`."""
    by_procedure = {name.replace("_", "-"): told for name, told in standings.items()}
    edition = EditionMark(number, in_force)
    withdrawn = {name: one["withdrawal"] for name, one in by_procedure.items() if "withdrawal" in one}
    worked = with_notices(work_out(made_once("department", copy_demo)), withdrawn)
    told = {each.name: getattr(worked, each.name) for each in fields(worked)}
    folder = target / "editions" / edition.folder
    assert build_edition_of(OfEdition(**told | {"edition": edition, "standings": by_procedure}), folder) is None
    return folder


def listed(*editions: dict[str, Any], **more: Any) -> dict[str, Any]:
    """Return the list of editions as a program reads it; the last one is current."""
    return {
        "version": 1,
        "current": editions[-1]["number"],
        "editions": list(editions),
        "withdrawn": {},
        "digest": "0" * 64,
    } | more


def entry(number: int, in_force: str, **procedures: int) -> dict[str, Any]:
    """Return an edition's line in the list, with the issue of each of its procedures: `CYL_01=2`."""
    return {
        "number": number,
        "in_force": in_force,
        "manifest": "0" * 64,
        "withdrawn": None,
        "procedures": {
            name.replace("_", "-"): {"issue": issue, "title": "Changing a cylinder on the yoke", "page": CHANGING}
            for name, issue in procedures.items()
        },
    }


def write_list(target: Path, editions: dict[str, Any]) -> None:
    """Write the list of editions as a page loads it."""
    text = f"var yokebookEditions = {json.dumps(editions)};\n"
    (target / "editions.js").write_text(text, encoding="utf-8", newline="\n")
