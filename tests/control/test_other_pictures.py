"""A picture saved, or taken away, while an edition is made: nobody approved it, and it is not published."""

from __future__ import annotations

import json
from hashlib import sha256
from pathlib import Path

import pytest

from fake_editions import QuickDisk, build, plan_after
from yokebook.control import publishing
from yokebook.control.target import Target
from yokebook.errors import Problem, ProblemError

ALLOWED = "the picture as it was approved: yokebook check tells whether it is; then publish again"


def made(tmp_path: Path, name: str, worked_with: bytes, built: bytes | None) -> list[tuple[str, str, str, str]]:
    """Return what is said of an edition that has a picture, None where it is not there any more."""
    target = Target(tmp_path / "target", QuickDisk())
    plan = plan_after(target.editions(), {"CYL-01": 1})

    def with_picture(folder: Path, _: Path | None) -> list[Problem]:
        build(plan, folder)
        (lists,) = (folder / "words").iterdir()
        told = json.loads(lists.read_text(encoding="utf-8"))
        files = {name: sha256(worked_with).hexdigest()}
        lists.write_text(json.dumps(told | {"files": files}), encoding="utf-8")
        if built is not None:
            (folder / name).write_bytes(built)
        return []

    try:
        publishing.make(target, plan, with_picture, tmp_path / "edition")
    except ProblemError as error:
        return [(problem.file, problem.code, problem.wrong, problem.allowed) for problem in error.problems]
    return []


@pytest.mark.parametrize("built", [b"other", None])
def test_another_picture_is_refused(tmp_path: Path, built: bytes | None) -> None:
    """By its name, with the page that shows it."""
    wrong = "somebody saved this picture, or took it away, while the edition was made; cyl-01.md shows it"
    assert [("yoke.png", "E620", wrong, ALLOWED)] == made(tmp_path, "yoke.png", b"one", built)


@pytest.mark.parametrize(("name", "built"), [("yoke.png", b"one\n"), ("yoke.svg", b"one\r\n")])
def test_the_picture_that_was_worked_with_is_published(tmp_path: Path, name: str, built: bytes) -> None:
    """One that is text may have ends of lines as another system writes them."""
    assert [] == made(tmp_path, name, b"one\n", built)
