"""Runs one call with a department's data, as a page would: those of `fleet/`, which stand still when the demo moves."""

from __future__ import annotations

import shutil
from pathlib import Path

from yokebook.calls import registry
from yokebook.calls.result import Result
from yokebook.data.department import Department
from yokebook.data.load import load
from yokebook.errors import Problem
from yokebook.number_list import Shown
from yokebook.pages.syntax import Call, parse

FLEET = Path(__file__).parent / "fleet"


def copy_fleet(folder: Path) -> Path:
    """Return a folder with the fleet's data, to change in a test."""
    return shutil.copytree(FLEET, folder)


def department(folder: Path = FLEET) -> Department:
    """Return the department of a folder, which is to be without errors."""
    found, problems = load(folder / "content/data", "content/data")
    assert found is not None
    assert [] == [problem for problem in problems if problem.code.startswith("E")]
    return found


def run(call: str, folder: Path = FLEET) -> tuple[Result | None, list[Problem]]:
    """Return what a call gives with the data of a folder, and its problems."""
    parsed = parse(call, "page", 1, 1)
    assert isinstance(parsed, Call)
    return registry.run(parsed.name, parsed.arguments, department(folder), "page")


def result_of(call: str, folder: Path = FLEET) -> Result:
    """Return what a call gives that is to be without problems."""
    result, problems = run(call, folder)
    assert [] == problems
    assert result is not None
    return result


def told(call: str, folder: Path = FLEET) -> list[tuple[str, str, str, str]]:
    """Return the problems of a call that gives nothing: code, what is wrong, what is allowed, example."""
    result, problems = run(call, folder)
    assert result is None
    return [(problem.code, problem.wrong, problem.allowed, problem.example) for problem in problems]


def cell_of(call: str, folder: Path = FLEET) -> Shown:
    """Return the one cell of a call that gives one."""
    numbers = result_of(call, folder).numbers
    assert numbers is not None
    ((cell,),) = numbers.cells
    return cell


def label_of(call: str, folder: Path = FLEET) -> str:
    """Return what a call's value in a sentence is, as reports name it."""
    numbers = result_of(call, folder).numbers
    assert numbers is not None
    return str(numbers.texts["label"])


def working_of(call: str, folder: Path = FLEET) -> list[str]:
    """Return the working of a call, line by line."""
    numbers = result_of(call, folder).numbers
    assert numbers is not None
    return list(numbers.texts["working"])
