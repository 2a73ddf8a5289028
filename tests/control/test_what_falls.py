"""The promise of approvals: change any value of the data, and just the pages that read otherwise lose theirs."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import replace
from itertools import chain
from pathlib import Path

import pytest

from approvals import SIGNER, TODAY
from calls_of import FLEET
from data_values import DataValue, values_of
from shared import made_once
from yokebook.calls import registry
from yokebook.reference import approving
from yokebook.reference.approval import work_out_with_records
from yokebook.reference.pages_as_read import as_read
from yokebook.reference.whole import Reference, work_out
from yokebook.site.workings import set_apart

PAGES = {
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
    # Each call there is, and one that comes later, on a page of its own.
    **{f"call-{name}": [call.example] for name, call in registry.CALLS.items()},
}


def lay_out_pages(site: Path) -> Path:
    """Lay the fleet out with a page for each family of calls, and one for each call."""
    shutil.copytree(FLEET, site)
    pages = site / "content/pages"
    pages.mkdir(exist_ok=True)
    for number, (name, calls) in enumerate(PAGES.items(), start=1):
        body = "\n\n".join(f"{{{{ {call} }}}}" for call in calls)
        text = f"---\ntitle: A page\nprocedure: REF-{number:02}\nowner: approver\n---\n\n{body}\n"
        (pages / f"{name}.md").write_text(text, encoding="utf-8")
    return site


SHARES = 6
"""Parts of the data's values that are tried apart, so that workers share them."""


@pytest.fixture(scope="module")
def site(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The fleet with every page approved."""
    site = lay_out_pages(tmp_path_factory.mktemp("fleet") / "site")
    control = work_out_with_records(site)
    assert [] == [problem for problem in control.reference.problems if problem.code.startswith("E")]
    assert len(PAGES) == len(control.pages)
    for proposal in approving.propose(control, list(control.pages), unchanged=False):
        approving.sign(control, proposal, replace(SIGNER, role="approver"), TODAY).write(control.folder)
    return site


def read_by_staff(reference: Reference) -> dict[str, str]:
    """Return the finished HTML of each page, all of it but the workings; what the row finder is told stands in it."""
    return {path: set_apart(worked.html, path, "").html for path, worked in reference.pages.items()}


def digests(reference: Reference) -> dict[str, str]:
    return {path: worked.digest.whole for path, worked in reference.pages.items()}


def others(before: dict[str, str], now: dict[str, str]) -> set[str]:
    """Return the pages of which something else is told now."""
    assert before.keys() == now.keys()
    return {path for path in before if now[path] != before[path]}


@contextmanager
def written(value: DataValue, other: str) -> Iterator[None]:
    """Let another value stand in the data for a while."""
    before = value.file.read_text(encoding="utf-8")
    try:
        value.file.write_text(value.written(other), encoding="utf-8")
        yield
    finally:
        value.file.write_text(before, encoding="utf-8")


def with_another(value: DataValue, site: Path) -> Reference | None:
    """Return the department worked out with the first other value that the data takes; None where it takes none."""
    for other in value.others():
        with written(value, other):
            reference = work_out(site)
        if not reference.problems.stops_the_build:
            return reference
    return None


def tally(*counts: int) -> list[list[int]]:
    """Note what one share came to, and return the notes of all shares by now; a name is there or it is not."""
    folder = made_once("what falls", lambda folder: None)
    (folder / " ".join(map(str, counts))).touch()
    return [[int(count) for count in path.name.split()] for path in folder.iterdir()]


@pytest.mark.slow
@pytest.mark.parametrize("share", range(SHARES))
def test_each_value_of_the_data_costs_just_the_pages_that_read_otherwise(share: int, site: Path) -> None:
    """All values of all files, one after another: no digest falls in vain, and none stays that should fall."""
    first = work_out(site)
    html, digest = read_by_staff(first), digests(first)
    changed, cost, wrong = 0, 0, []
    values = list(values_of(site / "content/data"))[share::SHARES]
    for value in values:
        if reference := with_another(value, site):
            moved, fell = others(html, read_by_staff(reference)), others(digest, digests(reference))
            changed, cost = changed + 1, cost + len(moved)
            wrong += [f"{value.key}: {page} reads otherwise, and its approval stays" for page in sorted(moved - fell)]
            wrong += [f"{value.key}: {page} reads as before, and its approval falls" for page in sorted(fell - moved)]
    assert "" == "\n".join(wrong)
    counts = tally(share, changed, cost)
    if len(counts) == SHARES:
        _, changed, cost = (sum(each) for each in zip(*counts, strict=True))
        assert changed > 120, "most values can be another"
        assert cost > 400, "most of them show somewhere"


def test_all_that_an_approval_covers_stands_in_the_lists_of_words_and_numbers(site: Path) -> None:
    """So whatever lets an approval fall can be told; cells and their heads stand in the list of numbers."""
    for path, worked in work_out(site).pages.items():
        listed = "\n".join(block.text for block in as_read(worked).words)
        for result in worked.results:
            texts = chain.from_iterable([told] if isinstance(told, str) else told for told in result.as_read.values())
            words = [text.split(": ", 1)[-1] for text in texts if isinstance(text, str)]
            assert [] == [text for text in words if text not in listed], path


def test_a_page_whose_digest_falls_is_told_as_not_approved(site: Path) -> None:
    """By W702, and no other page."""
    first = work_out_with_records(site)
    assert () == first.problems
    (value,) = (one for one in values_of(site / "content/data") if one.key == "department.change_time")
    with written(value, "9 min"):
        control = work_out_with_records(site)
    fell = others(digests(first.reference), digests(control.reference))
    assert {"call-change_at.md", "call-machine_card.md"} <= fell
    assert fell == {problem.file.rpartition("/")[2] for problem in control.problems if problem.code == "W702"}
