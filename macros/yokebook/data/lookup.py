"""One value of the data by its key, as calls and traces name it."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from decimal import Decimal

from yokebook.data.department import Department
from yokebook.data.entry import Entry
from yokebook.data.entry_names import nearest_entry
from yokebook.data.faults import Path
from yokebook.data.fields import ReviewInterval
from yokebook.data.sources import FILES, key_text
from yokebook.errors import nearest
from yokebook.units import Quantity, Unit

Value = Quantity | Decimal | bool | str | date | ReviewInterval | Unit
"""What a key may lead to. An accuracy that is not known is the text "unknown"."""


class NoSuchValueError(KeyError):
    """A key that leads to no value, after `depth` steps that lead on; whoever looked it up adds code and place."""

    def __init__(self, wrong: str, depth: int, *, allowed: str, example: str = "", suggestion: str = "") -> None:
        self.wrong = wrong
        self.depth = depth
        self.allowed = allowed
        self.example = example
        self.suggestion = suggestion
        super().__init__(wrong)

    def __str__(self) -> str:
        return self.wrong


def look_up(department: Department, path: Path) -> Value:
    """Return the value that a key leads to, such as ("cylinders", "oxygen-e", "filling", "pressure").

    Raises NoSuchValueError where no value stands there: with what may follow and a suggestion for a misspelt step.
    """
    if not path:
        raise NoSuchValueError("no key is given", 0, allowed=_listed(FILES), example="department.keep_back")
    value: object = _parts(department)
    for depth, step in enumerate(path):
        steps = _next_steps(value)
        if step not in steps:
            raise _lost(path, depth, tuple(steps))
        value = steps[step]
        if value is None:
            if path[depth:] == ("accuracy",):
                return "unknown"
            wrong = f"{key_text(path[: depth + 1])} is not given in the department's data"
            raise NoSuchValueError(wrong, depth, allowed="a key that is given")
    last = len(path) - 1
    if steps := _next_steps(value):
        example = key_text((*path, next(iter(steps))))
        raise NoSuchValueError(f"{key_text(path)} has parts", last, allowed=_listed(steps), example=example)
    if not isinstance(value, Value):
        raise NoSuchValueError(f"{key_text(path)} holds no value", last, allowed="a key that is given")
    return value


def _parts(department: Department) -> dict[str, object]:
    return {"department": department.settings, **{name: getattr(department, name) for name in FILES[1:]}}


def _next_steps(value: object) -> dict[str | int, object]:
    """Return what may follow after a value, by step; nothing after a value that is one."""
    if isinstance(value, Entry):
        return {key: getattr(value, name) for name, key in _names(type(value))}
    if isinstance(value, dict):
        return dict(value)
    if isinstance(value, tuple):
        return dict(enumerate(value))
    return {}


def _names(model: type[Entry]) -> Iterable[tuple[str, str]]:
    return ((name, field.alias or name) for name, field in model.model_fields.items())


def _lost(path: Path, depth: int, steps: tuple[str | int, ...]) -> NoSuchValueError:
    step = path[depth]
    before = key_text(path[:depth]) if depth else "the department's data"
    if not steps:
        wrong = f"{before} has no parts, so {step} leads nowhere"
        return NoSuchValueError(wrong, depth, allowed=before if depth else "")
    names = [str(name) for name in steps]
    meant = nearest_entry(str(step), names) if depth == 1 and path[0] in FILES[1:] else nearest(str(step), names)
    return NoSuchValueError(
        f"{before} has no {step}", depth, allowed=_listed(steps),
        example=key_text((*path[:depth], meant or steps[0])), suggestion=meant,
    )  # fmt: skip


def _listed(steps: Iterable[str | int]) -> str:
    return ", ".join(str(step) for step in steps)
