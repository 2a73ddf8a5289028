"""A picture that somebody saves between working out a department and the host's copy is not published unapproved."""

from __future__ import annotations

from datetime import date
from pathlib import Path

from approvals import TODAY
from fake_editions import QuickDisk
from real_editions import approved_department
from yokebook.control.target import Target
from yokebook.errors import Problem
from yokebook.reference import publishing
from yokebook.reference.publishing import Order
from yokebook.reference.whole import Reference
from yokebook.site.build import build_edition


def test_another_picture_than_the_approved_one_is_not_published(tmp_path: Path) -> None:
    """Nothing is written into the target; with the approved one back, the edition is published."""
    site, root = approved_department(tmp_path / "site"), tmp_path / "target"
    picture = site / "content/pages/yoke.png"
    approved = picture.read_bytes()

    def build(reference: Reference, folder: Path) -> Problem | None:
        picture.write_bytes(b"another picture")
        return build_edition(reference, folder)

    order = Order(site, site / "site", Target(root, QuickDisk()), date(2026, 3, 9), TODAY, "a@b", lambda _: None)
    outcome = publishing.publish(order, build)
    assert [("yoke.png", "E620")] == [(problem.file, problem.code) for problem in outcome.problems]
    assert not (root / "editions.js").exists()
    picture.write_bytes(approved)
    assert publishing.publish(order, build_edition).edition
    assert approved == (root / "editions/0001/yoke.png").read_bytes()
