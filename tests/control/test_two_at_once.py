"""Two people at work on one department's records at once: whoever writes second is told, and nothing is lost."""

from __future__ import annotations

import os
import subprocess
import sys
from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest

from approvals import SIGNER, TODAY, approve, ask_for_two, looked_at, small_department, states, told
from demo_site import change
from fake_editions import QuickDisk
from test_cli_approve import yokebook
from test_publishing import FIRST, SECOND, publish, published, withdraw
from yokebook.control import withdrawing, writing
from yokebook.control.approving import NextRecord
from yokebook.control.target import Target
from yokebook.control.writing import ChangedError, write_record
from yokebook.reference import approving
from yokebook.reference.publishing import finish

LEAD = replace(SIGNER, role="equipment lead", name="B. Sample")
RECORD = "content/control/CYL-02.yaml"


@pytest.fixture
def site(tmp_path: Path) -> Path:
    """A department that asks for two approvals, nothing approved."""
    site = small_department(tmp_path / "site")
    ask_for_two(site)
    return site


def files_of(site: Path) -> dict[str, bytes]:
    folder = site / "content/control"
    return {path.relative_to(folder).as_posix(): path.read_bytes() for path in folder.rglob("*") if path.is_file()}


def refusal(site: Path, made: NextRecord) -> str:
    """Return why a record is not written; nothing is written then."""
    before = files_of(site)
    with pytest.raises(ChangedError) as refused:
        made.write(site / "content/control")
    assert before == files_of(site)
    assert str(site / "content/control" / f"{made.procedure}.yaml") == refused.value.filename
    return str(refused.value.strerror)


CHANGED = "it was changed since it was read here, by another run of the program or by hand"


def test_two_first_approvals_at_once_are_one(site: Path) -> None:
    """Both people looked before either wrote: the second one is told of the first, and signs second the next time."""
    (first,) = approve(site, "CYL-02", write=False)
    (second,) = approve(site, "CYL-02", signer=LEAD, write=False)
    first.write(site / "content/control")
    assert f"{CHANGED}; it now says: issue 1, approved by approver A. Example on 2026-03-02" == refusal(site, second)
    approve(site, "CYL-02", signer=LEAD)
    assert (1, "approved") == states(site)["CYL-02"]
    assert [] == told(site)


def test_two_second_approvals_or_reviews_at_once_are_not_lost(site: Path) -> None:
    """The same for what is added to an issue."""
    approve(site, "CYL-02")
    (second,) = approve(site, "CYL-02", signer=LEAD, write=False)
    approve(site, "CYL-02", signer=LEAD)
    signed = "issue 1, approved by approver A. Example on 2026-03-02, equipment lead B. Sample on 2026-03-02"
    assert f"{CHANGED}; it now says: {signed}" == refusal(site, second)
    later = replace(SIGNER, on=date(2026, 6, 1))
    (review,) = approve(site, "CYL-02", signer=later, unchanged=True, write=False)
    approve(site, "CYL-02", signer=later, unchanged=True)
    assert f"{CHANGED}; it now says: {signed}, last looked at on 2026-06-01" == refusal(site, review)


def test_an_approval_takes_no_withdrawal_back(site: Path, tmp_path: Path) -> None:
    """Somebody stands at the question while a colleague withdraws the procedure."""
    for signer in (SIGNER, LEAD):
        approve(site, "CYL-01", "CYL-02", signer=signer)
    published(site, tmp_path / "target")
    change(site / "content/pages/other.md", "in good light", "in daylight")
    april = replace(SIGNER, on=date(2026, 4, 1), reason="daylight it is now")
    (made,) = approve(site, "CYL-02", signer=april, write=False)
    assert [] == withdraw(site, tmp_path / "target", "CYL-02", "CYL-01", on=date(2026, 4, 2))
    assert f"{CHANGED}; it now says: withdrawn on 2026-04-02" == refusal(site, made)
    assert "withdrawn" == states(site)["CYL-02"][1]


@pytest.mark.parametrize(
    ("content", "now"),
    [
        (None, "; it is no longer there"),
        (b"issues: none\n", ""),
        (b"\xff", ""),
        (b"issues: [\n", ""),
    ],
    ids=["gone", "no record", "no text", "no YAML"],
)
def test_a_record_that_was_changed_by_hand_is_left_alone(content: bytes | None, now: str, site: Path) -> None:
    """What it now says is told where that can be read."""
    approve(site, "CYL-02")
    (made,) = approve(site, "CYL-02", signer=LEAD, write=False)
    record = site / RECORD
    record.unlink()
    if content is not None:
        record.write_bytes(content)
    assert CHANGED + now == refusal(site, made)


def test_approve_says_what_to_do_when_somebody_was_quicker(site: Path) -> None:
    """At the command line, with what was approved before it in the same run."""
    (record,) = approve(site, "CYL-02", write=False)
    quick = (
        "import sys; from pathlib import Path; from yokebook.reference import approving; import yokebook.cli.approval;"
        "from yokebook.control import approving as c; plain = c.NextRecord.write;\n"
        "def write(made, folder):\n"
        "    if made.procedure == 'CYL-02': (folder / 'CYL-02.yaml').write_text(Path('quick').read_text())\n"
        "    plain(made, folder)\n"
        "c.NextRecord.write = write\n"
        "from yokebook.cli import main; main()"
    )
    (site / "quick").write_text(record.record, encoding="utf-8")
    who = ["--role", "equipment lead", "--name", "B. Sample", "--on", "2026-03-02", "--reason", "first issue of it"]
    result = subprocess.run(
        [sys.executable, "-c", quick, "approve", "CYL-01", "CYL-02", *who, "--yes"],
        cwd=site, stdin=subprocess.DEVNULL, capture_output=True, text=True, check=False, timeout=300,
    )  # fmt: skip
    assert 2 == result.returncode
    assert result.stdout.endswith("CYL-01: issue 1 waits for one approval more, by somebody else in another role.\n"), (
        result.stderr
    )
    assert (
        f"Error: content/control/CYL-02.yaml was not written: {CHANGED}; it now says: issue 1, approved by approver "
        "A. Example on 2026-03-02. Give the command again for what was not approved: it shows first how things stand."
    ) in " ".join(result.stderr.split())
    assert record.record == (site / RECORD).read_text(encoding="utf-8")
    result = yokebook("approve", "CYL-02", *who, "--yes", cwd=site)
    assert result.stdout.endswith("CYL-02: issue 1 is approved.\n")


HOLD = """
import sys, time
from pathlib import Path
from yokebook.control.disk import Disk
lock = Disk().lock(Path(sys.argv[1]), 5.0)
print("held", flush=True)
sys.stdin.readline()
lock.release()
"""


def test_records_are_written_one_run_after_another(site: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """While another run writes there nothing is written, nor where it does not come to an end; then all is."""
    folder = site / "content/control"
    folder.mkdir()
    monkeypatch.setattr(writing, "PATIENCE_S", 0.2)
    holder = subprocess.Popen(
        [sys.executable, "-c", HOLD, str(folder / writing.LOCK)],
        stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True,
    )  # fmt: skip
    with holder:
        assert holder.stdout
        assert "held\n" == holder.stdout.readline()
        with pytest.raises(OSError, match="another run of the program is writing records here") as refused:
            write_record(folder, "CYL-02.yaml", "new", None)
        assert str(folder / "CYL-02.yaml") == refused.value.filename
        assert not (folder / "CYL-02.yaml").exists()
        holder.communicate("\n")
    write_record(folder, "CYL-02.yaml", "new", None)
    assert {"CYL-02.yaml": b"new"} == files_of(site), "no lock is left behind"


ADD_LINES = """
import sys
from pathlib import Path
from yokebook.control.writing import ChangedError, content_of, write_record
folder, name, who = Path(sys.argv[1]), "CYL-02.yaml", sys.argv[2]
written = 0
while written < 25:
    before = content_of(folder / name)
    try:
        write_record(folder, name, (before or b"").decode() + f"{who} {written}\\n", before)
        written += 1
    except ChangedError:
        pass
"""


def test_many_runs_at_once_lose_nothing(site: Path) -> None:
    """Each line that a run was told is written is there in the end."""
    folder = site / "content/control"
    runs = [subprocess.Popen([sys.executable, "-c", ADD_LINES, str(folder), str(who)]) for who in range(4)]
    assert [0, 0, 0, 0] == [run.wait(60) for run in runs]
    lines = (folder / "CYL-02.yaml").read_text(encoding="utf-8").splitlines()
    assert sorted(f"{who} {count}" for who in range(4) for count in range(25)) == sorted(lines)
    assert {"CYL-02.yaml"} == set(files_of(site))


def test_a_disk_without_locks_is_written_all_the_same(site: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """What was read is held against what is there; only the moment between the two is not closed to others."""

    def no_lock(*_: object) -> None:
        raise OSError(95, os.strerror(95))

    monkeypatch.setattr("yokebook.control.disk.Disk.lock", no_lock)
    folder = site / "content/control"
    write_record(folder, "CYL-02.yaml", "new", None)
    assert {"CYL-02.yaml": b"new"} == files_of(site)
    with pytest.raises(ChangedError):
        write_record(folder, "CYL-02.yaml", "newer", None)


def meanwhile(monkeypatch: pytest.MonkeyPatch, record: Path, text: str) -> None:
    """Let somebody add to a record right before the next one is written."""
    plain = writing.write_record

    def write(folder: Path, name: str, *rest: object) -> None:
        record.write_text(record.read_text(encoding="utf-8") + text, encoding="utf-8")
        plain(folder, name, *rest)  # type: ignore[arg-type]

    monkeypatch.setattr(writing, "write_record", write)
    monkeypatch.setattr(withdrawing, "write_record", write)


def test_a_withdrawal_and_an_edition_lose_nothing_that_others_wrote(
    site: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Readers are told; the record is left as the other one wrote it, and finishing writes there what it lacks."""
    for signer in (SIGNER, LEAD):
        approve(site, "CYL-01", "CYL-02", signer=signer)
    root, record, editions = tmp_path / "target", site / RECORD, site / "content/control/editions.yaml"
    published(site, root)
    with monkeypatch.context() as patched:
        meanwhile(patched, record, "# a word by hand\n")
        (problem,) = withdraw(site, root, "CYL-02", "CYL-01")
    signed = "issue 1, approved by approver A. Example on 2026-03-02, equipment lead B. Sample on 2026-03-02"
    assert (
        RECORD,
        "E613",
        f"it is withdrawn, and the department's own record cannot be written ({CHANGED}; it now says: {signed})",
        "yokebook publish TARGET --finish, once this file can be written: it reads it anew",
    ) == (problem.file, problem.code, problem.wrong, problem.allowed)
    assert record.read_text(encoding="utf-8").endswith("# a word by hand\n")
    assert [] == finish(site, Target(root, QuickDisk()), "a@b")
    assert "withdrawn" == states(site)["CYL-02"][1]
    with monkeypatch.context() as patched:
        meanwhile(patched, editions, "# a word by hand\n")
        (problem,) = publish(site, root, SECOND).problems
    assert f"the department's own record cannot be written ({CHANGED})" == problem.wrong
    assert editions.read_text(encoding="utf-8").endswith("# a word by hand\n")
    assert [] == finish(site, Target(root, QuickDisk()), "a@b")
    assert [FIRST, SECOND] == [edition.in_force for edition in looked_at(site).records.editions]


def test_what_is_approved_is_written_only_with_its_record(site: Path) -> None:
    """The file of what the quicker one approved is not the slower one's."""
    control = looked_at(site)
    (proposal,) = approving.propose(control, ["CYL-02"], unchanged=False)
    slow = approving.sign(control, proposal, LEAD, TODAY)
    change(site / "content/pages/other.md", "in good light", "in daylight")
    approve(site, "CYL-02")
    assert slow.as_read != (site / "content/control/approved/CYL-02-1.json").read_bytes()
    refusal(site, slow)
    assert [("W702", "issue 1 waits for one approval more, in another role than approver")] == told(site)
