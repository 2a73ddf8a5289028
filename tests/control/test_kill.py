"""Publishing killed after each operation in turn, and at 50 random moments: readers find whole editions each time."""

from __future__ import annotations

import random
import time
from functools import partial
from itertools import count
from pathlib import Path

import pytest

from fake_editions import QuickDisk, assert_finished, assert_whole, withdrawal
from killed import MortalDisk, in_a_process, publish_next, starting_from
from yokebook.control.disk import Disk
from yokebook.control.publishing import announce, finish
from yokebook.control.target import Target

pytestmark = pytest.mark.slow

RANDOM_MOMENTS = 50


@pytest.mark.parametrize("half", [False, True], ids=["after", "half-way"])
@pytest.mark.parametrize("published", [0, 2])
def test_killed_after_each_operation_in_turn(published: int, half: bool, tmp_path: Path) -> None:
    """Each time the target is whole, and the next run publishes and finishes, without a word about what was before."""
    operations = 0
    came_to_its_end = False
    while not came_to_its_end:
        operations += 1
        root = tmp_path / str(operations)
        starting_from(root, published)
        came_to_its_end = in_a_process(partial(publish_next, root, MortalDisk(operations, half=half)))
        before = len(assert_whole(root).editions)
        publish_next(root, QuickDisk())
        assert before + 1 == len(assert_finished(root).editions)
    assert operations > 25


@pytest.mark.parametrize("published", [1, 2])
def test_finishing_after_each_operation_in_turn(published: int, tmp_path: Path) -> None:
    """What was announced is finished from the list alone, and a finishing that is itself killed by the next one."""
    operations = 0
    came_to_its_end = False
    while not came_to_its_end:
        operations += 1
        root = tmp_path / str(operations)
        starting_from(root, published)
        came_to_its_end = in_a_process(partial(publish_next, root, MortalDisk(operations)))
        announced = assert_whole(root)
        in_a_process(partial(finish, Target(root, MortalDisk(3)), "a@b"))
        assert announced == assert_whole(root)
        finish(Target(root, QuickDisk()), "a@b")
        assert announced == assert_finished(root)


def test_withdrawing_killed_after_each_operation_in_turn(tmp_path: Path) -> None:
    """The procedure is withdrawn or it is not; what leads to it never says more than the list."""
    operations = 0
    came_to_its_end = False
    while not came_to_its_end:
        operations += 1
        root = tmp_path / str(operations)
        starting_from(root, 2)
        came_to_its_end = in_a_process(partial(withdraw, root, MortalDisk(operations)))
        editions = Target(root).editions()
        if not editions.withdrawn:
            assert_whole(root)
        finish(Target(root, QuickDisk()), "a@b")
        assert editions == assert_finished(root)
    assert {"CYL-02"} == set(editions.withdrawn)


def withdraw(root: Path, disk: Disk) -> None:
    target = Target(root, disk)
    with target.locked("a@b", "withdrawing CYL-02"):
        announce(target, target.editions().with_procedure_withdrawn("CYL-02", withdrawal("CYL-01")), "it is withdrawn")


def test_killed_at_random_moments(tmp_path: Path) -> None:
    """One target, published into again and again: whole after each kill, and finished by the run that is let live.

    The disk flushes as it does for a department, so the moments fall into all parts of the work.
    """
    dice, roots, times_s = random.Random(11), (tmp_path / str(number) for number in count()), []
    root = next(roots)
    for _ in range(3):
        start = time.perf_counter()
        assert in_a_process(partial(publish_next, root, Disk()))
        times_s.append(time.perf_counter() - start)
    longest_s, kills, published = 1.2 * max(times_s), 0, len(assert_finished(root).editions)
    while kills < RANDOM_MOMENTS:
        killed = not in_a_process(partial(publish_next, root, Disk()), kill_after_s=dice.uniform(0, longest_s))
        kills += killed
        editions = len(assert_whole(root).editions)
        assert published <= editions <= published + 1
        published = editions
        if published >= 12:  # a short history is quick to look over
            publish_next(root, QuickDisk())
            assert_finished(root)
            root, published = next(roots), 0
    publish_next(root, QuickDisk())
    assert published + 1 == len(assert_finished(root).editions)
