"""A small department whose one page shows a number, a table and a picture; and approvals given as the command does."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from pathlib import Path

from bad_sites import GOOD, lay_out
from yokebook.control.approving import NextRecord
from yokebook.reference import approving
from yokebook.reference.approval import Control, work_out_with_records
from yokebook.reference.signer import Signer

PAGE = """---
title: Changing a cylinder on the yoke
procedure: CYL-01
owner: approver
---

# Changing a cylinder on the yoke

Change the cylinder at {{ department.keep_back }} or sooner.

![the yoke](yoke.png)

{{ reserve_table(cylinder="oxygen-e", machine="theatre-1", uses=["bellows"]) }}
"""
OTHER = """---
title: Reading the gauge
procedure: CYL-02
owner: approver
---

# Reading the gauge

Read it from the front, in good light.
"""
TODAY = date(2030, 1, 1)
"""The day on which tests run, for all that asks for it."""
SIGNER = Signer("approver", "A. Example", date(2026, 3, 2), "first issue of this procedure")


def ask_for_two(site: Path) -> None:
    """Let a department ask for two approvals of each issue."""
    data = site / "content/data/department.yaml"
    data.write_text(data.read_text(encoding="utf-8") + "approvals: 2\n", encoding="utf-8")


def small_department(folder: Path) -> Path:
    """Lay a department with two pages and a picture out in a folder; nothing is approved."""
    site = lay_out(GOOD, folder)
    pages = site / "content/pages"
    (pages / "incidents").mkdir(parents=True)
    (pages / "page.md").write_text(PAGE, encoding="utf-8")
    (pages / "other.md").write_text(OTHER, encoding="utf-8")
    (pages / "yoke.png").write_bytes(b"one")
    (site / "mkdocs.yml").write_text("site_name: Larkmoor Infirmary\nplugins:\n- yokebook\n", encoding="utf-8")
    data = site / "content/data/department.yaml"
    data.write_text(data.read_text(encoding="utf-8") + "  equipment lead: Keeps the data\n", encoding="utf-8")
    return site


def approve(
    site: Path, *numbers: str, signer: Signer = SIGNER, unchanged: bool = False, write: bool = True
) -> list[NextRecord]:
    """Approve procedures of a department, and return the records made."""
    control = looked_at(site)
    proposals = approving.propose(control, numbers, unchanged=unchanged)
    made = [approving.sign(control, proposal, signer, TODAY) for proposal in proposals]
    for record in made if write else ():
        record.write(control.folder)
    return made


def looked_at(site: Path) -> Control:
    """Return a department beside its records, which are to be without errors."""
    control = work_out_with_records(site)
    assert not control.reference.problems.stops_the_build, list(control.reference.problems)
    return control


def states(site: Path) -> dict[str, tuple[int | None, str]]:
    """Return the issue and the state of each procedure."""
    register = looked_at(site).register
    return {listed.standing.procedure: (listed.standing.issue, listed.standing.state.value) for listed in register}


def told(site: Path) -> Sequence[tuple[str, str]]:
    """Return the code and the wording of each problem of the records."""
    return [(problem.code, problem.wrong) for problem in looked_at(site).problems]
