"""A small department whose editions the host builds, and publishing them as the command does."""

from __future__ import annotations

import shutil
from datetime import date
from pathlib import Path

from approvals import TODAY, approve, small_department
from demo_site import ROOT
from fake_editions import QuickDisk
from yokebook.control.target import Target
from yokebook.reference import publishing
from yokebook.reference.publishing import Order
from yokebook.site.build import build_edition

_START = "---\ntitle: Start\n---\n\n# Start\n\n- CYL-01 [Changing](page.md)\n- CYL-02 [Reading](other.md)\n"


def approved_department(folder: Path) -> Path:
    """Lay a department with a first page and two approved procedures out in a folder."""
    site = small_department(folder)
    (site / "content/pages/index.md").write_text(_START, encoding="utf-8")
    shutil.copy(ROOT / "mkdocs.yml", site / "mkdocs.yml")
    approve(site, "CYL-01", "CYL-02")
    return site


def publish(site: Path, root: Path, in_force: date) -> None:
    """Publish the next edition; it must succeed."""
    order = Order(site, site / "site", Target(root, QuickDisk()), in_force, TODAY, "a@b", lambda _: None)
    outcome = publishing.publish(order, build_edition)
    assert outcome.edition, list(outcome.problems)
