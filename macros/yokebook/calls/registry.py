"""The calls that there are, and running one: its name and arguments to a result, or to problems at their places."""

from __future__ import annotations

from dataclasses import replace

from yokebook import yamlfile
from yokebook.calls import card, figure, gauge, regulator, reserve, units, weight, yoke
from yokebook.calls.arguments import Arguments
from yokebook.calls.definition import Definition
from yokebook.calls.refusal import Refusal
from yokebook.calls.result import Result
from yokebook.data.department import Department
from yokebook.data.faults import Fault
from yokebook.data.reading import read
from yokebook.data.sources import problem_at
from yokebook.errors import Level, Problem, nearest

FAMILIES = (reserve, weight, units, yoke, gauge, regulator, figure, card)
# Faults of one value, read as in the data: their examples are the text alone.
_BARE_EXAMPLES = ("E1", "E205", "E206")
CALLS = {definition.name: definition for family in FAMILIES for definition in family.CALLS}


def run(
    name: str, arguments: yamlfile.Mapping, department: Department, file: str
) -> tuple[Result | None, list[Problem]]:
    """Return what a call gives, or every problem in it, each at the place of the argument that it is about.

    `arguments` carries the place of the call itself and of each argument.
    """
    definition = CALLS.get(name)
    if definition is None:
        return None, [_unknown(name, arguments, file)]
    entry, faults = read(definition.arguments, arguments)
    if entry is None:
        return None, [_problem(fault, definition, arguments, file) for fault in faults]
    try:
        result = definition.work_out(entry, department).result(name, yamlfile.plain(arguments))
        return result.with_inputs(department.sources), []
    except Refusal as refusal:
        return None, [_problem(fault, definition, arguments, file) for fault in refusal.faults]


def _problem(fault: Fault, definition: Definition, arguments: yamlfile.Mapping, file: str) -> Problem:
    """Return a fault at its argument, its example written as in a call."""
    return replace(problem_at(arguments, file, (), fault), example=_example(fault, definition.arguments))


def _example(fault: Fault, arguments: type[Arguments]) -> str:
    """Return the example of a fault as an author writes it in a call: text in quotes, behind its argument's name."""
    example = fault.example or arguments.example_of(fault.at)
    keys, (key, _, value) = arguments.keys(), example.partition(": ")
    if key in keys:
        return f"{key}={value}"
    if fault.code.startswith(_BARE_EXAMPLES) and not example.startswith(('"', "[")):
        example = f'"{example}"'
    if fault.at and example.startswith('"') and len(fault.at) > 1:
        example = f"[{example}]"
    return f"{fault.at[0]}={example}" if fault.at and example.startswith(('"', "[")) else example


def _unknown(name: str, arguments: yamlfile.Mapping, file: str) -> Problem:
    return Problem(
        file,
        arguments.line,
        arguments.column,
        Level.ERROR,
        "E520",
        "there is no such call",
        written=name,
        allowed=", ".join(sorted(CALLS)),
        example="{{ " + next(iter(CALLS.values())).example + " }}",
        suggestion=nearest(name, CALLS),
    )
