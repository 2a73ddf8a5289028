"""Publishing as a department does it: the command line, the host's pages, one manifest wherever an edition is made."""

from __future__ import annotations

import json
import os
import random
import shutil
import subprocess
import sys
from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest

from approvals import SIGNER, TODAY, approve
from demo_site import ROOT, change
from fake_editions import QuickDisk, assert_finished
from real_editions import approved_department, publish
from site_contents import content_of
from yokebook.control.standing import Withdrawal
from yokebook.control.target import Target
from yokebook.control.verification import Kind
from yokebook.reference import verification, withdrawing

pytestmark = pytest.mark.slow

NOTHING_WRONG = "0 errors, 0 warnings, 0 notes.\n\n"
HERE = {"LC_ALL": "C.UTF-8"}
ELSEWHERE = {
    "TZ": "Pacific/Auckland",
    "PYTHONHASHSEED": "4711",
    "LC_ALL": "C",
    "SOURCE_DATE_EPOCH": "2000000000",
    "PYTHONPATH": str(ROOT / "tests" / "on_another_day"),
}
FLIPS = 25


def yokebook(*arguments: str | Path, cwd: Path, **environment: str) -> subprocess.CompletedProcess[str]:
    """Run the program as its own process."""
    return subprocess.run(
        [sys.executable, "-m", "yokebook", *map(str, arguments)],
        cwd=cwd,
        capture_output=True,
        text=True,
        check=False,
        encoding="utf-8",
        env={**os.environ, **environment},
    )


@pytest.fixture
def site(tmp_path: Path) -> Path:
    """A department whose pages are approved."""
    return approved_department(tmp_path / "site")


@pytest.fixture
def root(tmp_path: Path) -> Path:
    """Where editions are published."""
    return tmp_path / "target"


def test_from_the_first_edition_to_a_withdrawal(site: Path, root: Path) -> None:
    """Each command says what it did, and verify finds all as it was published and approved."""
    plan = """\
Edition 1, in force from 2026-03-09
  CYL-01  issue 1, new: Changing a cylinder on the yoke
  CYL-02  issue 1, new: Reading the gauge
"""
    checked = yokebook("publish", root, "--in-force", "2026-03-09", "--check", cwd=site)
    assert (
        0,
        f"{NOTHING_WRONG}{plan}Nothing was written; without --check this edition would be published.\n",
        "",
    ) == (checked.returncode, checked.stdout, checked.stderr)
    assert not root.exists()
    published = yokebook("publish", root, "--in-force", "2026-03-09", cwd=site)
    assert (
        0,
        f"{NOTHING_WRONG}{plan}Published. Open {root / 'index.html'} in a browser.\n",
        "",
    ) == (published.returncode, published.stdout, published.stderr)
    words = ["--on", "2026-05-01", "--reason", "no gauge is left", "--instead", "CYL-01"]
    withdrawn = yokebook("withdraw", root, "CYL-02", *words, "--yes", cwd=site)
    shown = "CYL-02  Reading the gauge\n  Readers are told at once: withdrawn on 2026-05-01. no gauge is left. "
    assert (0, f"{shown}Use instead: CYL-01\n\nWithdrawn: CYL-02. Use instead: CYL-01\n", "") == (
        withdrawn.returncode,
        withdrawn.stdout,
        withdrawn.stderr,
    )
    again = yokebook("publish", root, "--in-force", "2026-05-02", "--format", "json", cwd=site)
    told = json.loads(again.stdout)
    assert (0, 2, []) == (again.returncode, told["edition"], told["problems"])
    assert "  CYL-02  withdrawn on 2026-05-01: Reading the gauge" in told["told"]
    same = yokebook("publish", root, "--in-force", "2026-05-03", cwd=site)
    assert (1, "") == (same.returncode, same.stderr)
    assert "Wrong:         nothing changed since edition 2, in force from 2026-05-02\n" in same.stdout
    correct = [*words[:-1], "the poster in the store", "--correct"]
    corrected = yokebook("withdraw", root, "CYL-02", *correct, "--yes", cwd=site)
    instead = "Use instead: the poster in the store\n"
    assert (0, f"{shown}{instead}\nWithdrawn: CYL-02. {instead}", "") == (
        corrected.returncode,
        corrected.stdout,
        corrected.stderr,
    )
    assert_finished(root)
    verified = yokebook("verify", root, "--site", site, cwd=site.parent)
    assert (0, "All is as it was published.\n", "") == (verified.returncode, verified.stdout, verified.stderr)


def test_what_is_refused_says_so_and_exits_1(site: Path, root: Path) -> None:
    """Without a trace, and nothing is written."""
    change(site / "content/pages/other.md", "in good light", "in a good light")
    result = yokebook("publish", root, "--in-force", "2026-03-09", cwd=site)
    assert (1, "") == (result.returncode, result.stderr)
    assert "error E616, not approved as it is" in result.stdout
    assert result.stdout.endswith("\n1 error, 0 warnings, 0 notes.\nStopped.\n")
    finish = yokebook("publish", root, "--finish", cwd=site)
    assert (1, "") == (finish.returncode, finish.stderr)
    assert "E612, list of editions not as it was" in finish.stdout
    withdraw = yokebook(
        "withdraw", site, "CYL-02", "--on", "2026-05-01", "--reason", "a b c", "--instead", "x", cwd=site
    )
    assert (1, "") == (withdraw.returncode, withdraw.stderr)
    assert "Wrong:         nothing has been published here" in withdraw.stdout
    assert not root.exists()


@pytest.mark.parametrize(
    "arguments",
    [
        ("publish", "target"),
        ("publish", "target", "--in-force", "2026-03-09", "--finish"),
        ("publish", "target", "--finish", "--check"),
        ("publish", "target", "--in-force", "9.3.2026"),
        ("withdraw", ".", "--on", "2026-03-09", "--reason", "a b c", "--instead", "words"),
        ("withdraw", ".", "CYL-01", "--edition", "1", "--on", "2026-03-09", "--reason", "a b c", "--instead", "words"),
        ("verify", "nowhere"),
    ],
)
def test_wrong_use_exits_2(arguments: tuple[str, ...], site: Path) -> None:
    """With a word on what is wanted."""
    result = yokebook(*arguments, cwd=site)
    assert (2, "") == (result.returncode, result.stdout)
    assert result.stderr.startswith("Usage: ")
    assert "Traceback" not in result.stderr


def test_verify_names_what_changed_and_exits_1(site: Path, root: Path) -> None:
    """In text for people, in JSON for a nightly job."""
    yokebook("publish", root, "--in-force", "2026-03-09", cwd=site)
    page = root / "editions/0001/other.html"
    page.write_bytes(page.read_bytes().replace(b"good light", b"bad light!"))
    result = yokebook("verify", root, cwd=site)
    expected = "changed:    editions/0001/other.html\n\n0 missing, 0 added, 1 changed, 0 unfinished.\n"
    assert (1, expected, "") == (result.returncode, result.stdout, result.stderr)
    findings = json.loads(yokebook("verify", root, "--format", "json", cwd=site).stdout)["findings"]
    assert [{"path": "editions/0001/other.html", "kind": "changed", "words": ""}] == findings


def test_two_builds_of_one_edition_have_one_manifest(site: Path, root: Path, tmp_path: Path) -> None:
    """In another folder, with files of another age, on another day and in another time zone, hash seed and locale."""
    days = [
        subprocess.run(
            [sys.executable, "-c", "from datetime import date; print(date.today())"],
            capture_output=True,
            text=True,
            check=True,
            env={**os.environ, **environment, "TZ": "UTC"},
        ).stdout.strip()
        for environment in (HERE, ELSEWHERE)
    ]
    assert (date.fromisoformat(days[1]) - date.fromisoformat(days[0])).days in (400, 401), "midnight may lie between"
    other = shutil.copytree(site, tmp_path / "elsewhere" / "deep" / "department")
    for folder, target, environment in ((site, root, HERE), (other, tmp_path / "far" / "target", ELSEWHERE)):
        for day in (date(2026, 3, 9), date(2026, 5, 4)):
            result = yokebook("publish", target, "--in-force", str(day), cwd=folder, **environment)
            assert 0 == result.returncode, result.stdout + result.stderr
            if day < date(2026, 5, 4):
                change(folder / "content/pages/other.md", "in good light", "in a good light")
                approve(folder, "CYL-02", signer=replace(SIGNER, on=date(2026, 4, 1), reason="the light was misread"))
        for number, path in enumerate(sorted(other.rglob("*.*"))):
            os.utime(path, (1_000_000_000 + number, 1_000_000_000 + number))
    assert content_of(root) == content_of(tmp_path / "far" / "target")


def test_a_flipped_bit_in_a_real_edition_is_named(site: Path, root: Path) -> None:
    """Of pages, lists, scripts, manifests, pointers alike; what was approved is held against it at the same time."""
    publish(site, root, date(2026, 3, 9))
    change(site / "content/pages/other.md", "in good light", "in a good light")
    approve(site, "CYL-02", signer=replace(SIGNER, on=date(2026, 4, 1), reason="the light was misread"))
    publish(site, root, date(2026, 5, 4))
    told = Withdrawal(date(2026, 6, 1), "no gauge is left", "CYL-01")
    order = withdrawing.Order(site, Target(root, QuickDisk()), told, "a@b", TODAY)
    assert [] == withdrawing.withdraw(order, "CYL-02").problems
    assert [] == verification.verify(Target(root), site)
    dice = random.Random(5)
    editions = [root / "editions/0001", root / "editions/0002"]
    always = ["MANIFEST.sha256", "records.json", "versions.json", "words/page.json", "numbers/page.json"]
    chosen = [dice.choice(editions) / name for name in always]
    chosen += [
        root / name for name in ("editions.js", "index.html", "editions.html", "go/cyl-01.html", "go/cyl-02.html")
    ]
    others = sorted(
        path for edition in editions for path in edition.rglob("*") if path.is_file() and path not in chosen
    )
    for path in [*chosen, *dice.sample(others, FLIPS - len(chosen))]:
        good = path.read_bytes()
        bit = dice.randrange(len(good) * 8)
        path.write_bytes(good[: bit // 8] + bytes([good[bit // 8] ^ 1 << bit % 8]) + good[bit // 8 + 1 :])
        found = {finding.path: finding.kind for finding in verification.verify(Target(root), site)}
        assert Kind.CHANGED is found.pop(path.relative_to(root).as_posix())
        is_listed = path.parent.name in ("words", "numbers") or path.name == "records.json"
        assert is_listed or not found, f"nothing else is named for {path}"
        path.write_bytes(good)
    assert [] == verification.verify(Target(root), site)


def test_the_departments_own_files_stay_at_home(site: Path, root: Path) -> None:
    """No record, no file of data, no page's source is published; each name is fit for any share."""
    yokebook("publish", root, "--in-force", "2026-03-09", cwd=site)
    names = set(content_of(root))
    assert not [name for name in names if name.endswith((".yaml", ".yml", ".md", ".partial"))]
    assert {"editions/0001/MANIFEST.sha256"} == {name for name in names if name != name.lower()}
    assert max(len(name) for name in names) <= 150
