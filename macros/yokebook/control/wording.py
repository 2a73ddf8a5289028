"""Tells whether only the program's own words moved in what a page's calls give: no number, no unit, no rounding."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from yokebook.control.quantities_in_text import numbers_in

_SAME = ("name", "arguments", "value", "unit", "rounding")
_READ = ("shown", "rows", "columns")
_UNREAD = ("working", "label")


def moved_beside_words(old: Sequence[Mapping[str, Any]], new: Sequence[Mapping[str, Any]]) -> str:
    """Return what moved beside the program's words between two lists of numbers, "" where nothing did.

    A number with another unit behind it is another number.
    """
    if [call["name"] for call in old] != [call["name"] for call in new]:
        return "its calls are others"
    return next((moved for before, after in zip(old, new, strict=True) if (moved := _moved(before, after))), "")


def _moved(before: Mapping[str, Any], after: Mapping[str, Any]) -> str:
    for key in _SAME:
        if before[key] != after[key]:
            return f"{before['name']}: its {key} {'are others' if key.endswith('s') else 'is another'}"
    for key in _READ:
        if list(_numbers(before[key])) != list(_numbers(after[key])):
            return f"{before['name']}: a number moved"
    if list(_numbers(_texts(before))) != list(_numbers(_texts(after))):
        return f"{before['name']}: a number in its caption, condition, cautions or row finder moved"
    return ""


def _texts(call: Mapping[str, Any]) -> list[Any]:
    return [text for key, text in sorted(call["texts"].items()) if key not in _UNREAD]


def _numbers(value: Any) -> Iterator[tuple[str, str]]:
    """Yield each number in texts and lists of texts, with the unit behind it, "" where none stands there.

    >>> list(_numbers(["for cylinders stamped 4.68 L (size E)", "in 2 rows"]))
    [('4.68', 'L'), ('2', '')]
    """
    if isinstance(value, str):
        yield from ((found.number, found.unit) for found in numbers_in(value))
    elif isinstance(value, Mapping):
        yield from _numbers(list(value.values()))
    elif isinstance(value, Sequence):
        for inner in value:
            yield from _numbers(inner)
