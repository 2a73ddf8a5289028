"""The promise of approvals: change any value of the data, and just the pages on which something shown moved fall."""

from __future__ import annotations

import json
import shutil
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from approvals import SIGNER
from calls_of import FLEET
from data_values import DataValue, values_of
from yokebook.reference import approving
from yokebook.reference.approval import Control, work_out_with_records
from yokebook.reference.whole import WorkedPage

CALLS = {
    "reserve": [
        'reserve_table(cylinder="oxygen-e", machine="theatre-1", uses=["bellows", "bag-low-flow"])',
        'reserve_table(cylinder="oxygen-e", machine="scanner-1", flows=["2 L/min"])',
    ],
    "leaving": ['leave_with_table(cylinder="oxygen-transfer", uses=["mask"], times=["10 min", "20 min"])'],
    "machine": ['machine_reserve_table(machine="theatre-1", uses=["bellows"], spare="100 bar")'],
    "weight": ['weight_table(cylinder="nitrous-oxide-e", scale="store-scale", flows=["2 L/min"])'],
    "mixture": ['contents(cylinder="fifty-fifty-d", reading="60 bar")'],
    "vapour": ['vapour_table(cylinder="nitrous-oxide-e", machine="theatre-1", flows=["2 L/min"])'],
    "pins": ["pin_table()", 'yoke_check(machine="theatre-1")'],
    "gauge": ['gauge_table(gauge="yoke-oxygen-psi")', 'indicator_table(machine="theatre-1", uses=["bellows"])'],
    "regulator": ['regulator_table(machine="theatre-1", gas="oxygen")'],
    "leak": ['leak_table(machine="theatre-1")'],
    "values": ["department.keep_back", "department.change_time", 'machines["theatre-1"].place'],
    "words": [],
}


def lay_out_pages(site: Path) -> Path:
    """Lay the fleet out with a page for each family of calls."""
    shutil.copytree(FLEET, site)
    pages = site / "content/pages"
    pages.mkdir(exist_ok=True)
    for number, (name, calls) in enumerate(CALLS.items(), start=1):
        body = "\n\n".join(f"{{{{ {call} }}}}" for call in calls)
        text = f"---\ntitle: A page\nprocedure: REF-{number:02}\nowner: approver\n---\n\n{body}\n"
        (pages / f"{name}.md").write_text(text, encoding="utf-8")
    return site


@pytest.fixture(scope="module")
def approved(tmp_path_factory: pytest.TempPathFactory) -> Control:
    """The fleet with every page approved."""
    site = lay_out_pages(tmp_path_factory.mktemp("fleet") / "site")
    control = work_out_with_records(site)
    assert [] == [problem for problem in control.reference.problems if problem.code.startswith("E")]
    assert len(CALLS) == len(control.pages)
    for proposal in approving.propose(control, list(control.pages), unchanged=False):
        approving.sign(control, proposal, replace(SIGNER, role="approver")).write(control.folder)
    return control


def shown(worked: WorkedPage) -> str:
    """Return all that an approval is to cover of a page, without its digest: what each call gives a reader."""
    as_read: list[Any] = [(result.canonical, dict(result.as_read)) for result in worked.results]
    cells = [result.numbers.as_plain() for result in worked.results if result.numbers]
    kept = [{key: call[key] for key in ("rows", "columns", "shown")} for call in cells]
    return json.dumps([as_read, kept, worked.embedded], sort_keys=True)


def fallen(control: Control) -> set[str]:
    return {problem.file.rpartition("/")[2] for problem in control.problems if problem.code == "W702"}


def with_another(value: DataValue, site: Path) -> Iterator[Control]:
    """Yield the department worked out with another value, the first that the data takes; nothing without any."""
    before = value.file.read_text(encoding="utf-8")
    for other in value.others():
        try:
            value.file.write_text(value.written(other), encoding="utf-8")
            control = work_out_with_records(site)
        finally:
            value.file.write_text(before, encoding="utf-8")
        if not control.reference.problems.stops_the_build:
            yield control
            return


def test_each_value_of_the_data_costs_just_the_pages_on_which_something_shown_moved(approved: Control) -> None:
    """All values of all files, one after another: no approval falls in vain, and none stays that should fall."""
    site = approved.reference.folder
    before = {path: shown(worked) for path, worked in approved.reference.pages.items()}
    assert set() == fallen(work_out_with_records(site))
    changed, cost, wrong = 0, 0, []
    for value in values_of(site / "content/data"):
        for control in with_another(value, site):
            moved = {path for path, worked in control.reference.pages.items() if shown(worked) != before[path]}
            changed, cost = changed + 1, cost + len(moved)
            if moved != fallen(control):
                wrong.append((value.key, sorted(moved ^ fallen(control))))
    assert [] == wrong
    assert changed > 120, "most values can be another"
    assert cost > 150, "most of them show somewhere"
