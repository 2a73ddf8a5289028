"""One data value that stands in a sentence."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from decimal import Decimal
from functools import partial

from markupsafe import escape

from yokebook import units, yamlfile
from yokebook.calls.result import Result
from yokebook.data.department import Department
from yokebook.data.faults import Path
from yokebook.data.fields import ReviewInterval
from yokebook.data.lookup import NoSuchValueError, Value, look_up
from yokebook.data.sources import key_text
from yokebook.errors import Level, Problem
from yokebook.number_list import CallNumbers, Shown


def look_up_value(
    path: Path, department: Department, file: str, steps: Sequence[yamlfile.Scalar]
) -> tuple[Result | None, list[Problem]]:
    """Return a data value as an author wrote it, or the problem at the very step of its path that leads nowhere.

    `steps` are those of the path as they are written, with their places.
    """
    if department.entries.is_broken(str(path[0]), str(path[1]) if len(path) > 1 else ""):
        return None, []
    try:
        value = look_up(department, path)
    except NoSuchValueError as error:
        step = steps[error.depth]
        problem = Problem(
            file,
            step.line,
            step.column,
            Level.ERROR,
            "E521",
            error.wrong,
            written=step.text,
            allowed=error.allowed,
            example=f"{{{{ {error.example} }}}}" if error.example else "",
            suggestion=error.suggestion,
        )
        return None, [problem]
    key = key_text(path)
    text = _text(value)
    result = Result(partial(str, escape(text)), False, key, _numbers(key, value, text), {"value": text})
    return result.with_inputs(department.sources), []


def _text(value: Value) -> str:
    if isinstance(value, units.Quantity | ReviewInterval):
        return value.text
    if isinstance(value, units.Unit):
        return value.symbol
    if isinstance(value, bool):
        return "yes" if value else "no"
    return units.group(value) if isinstance(value, Decimal) else value.isoformat() if isinstance(value, date) else value


def _numbers(key: str, value: Value, text: str) -> CallNumbers | None:
    """Return the value's part of the list of numbers; a word has none."""
    if not isinstance(value, units.Quantity | Decimal):
        return None
    number = value.number if isinstance(value, units.Quantity) else value
    unit = value.unit.symbol if isinstance(value, units.Quantity) else ""
    return CallNumbers(key, {}, ("value",), ("value",), ((Shown(text, number, number),),), unit, "nearest", (key,))
