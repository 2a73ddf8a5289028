"""From a tree of texts to a frozen model, with every fault of it, not just the first."""

from __future__ import annotations

from typing import Any, TypeVar

from pydantic import ValidationError

from yokebook import yamlfile
from yokebook.data.entry import Entry
from yokebook.data.faults import BROKEN, EMPTY, NO_VALUE, Fault, Path

M = TypeVar("M", bound=Entry)
# What is wrong with a group of values as a whole, what is allowed, and whether the key itself is pointed at.
_WHOLE = {
    "dict_type": ("keys and values are wanted here", "keys, each with its value", False),
    "tuple_type": ("a list is wanted here", "a list: [one, two], or a line with - for each", False),
    "too_short": ("at least one is wanted here", "at least one key with its value", True),
}


def read(model: type[M], node: yamlfile.Node, name: str = "") -> tuple[M | None, list[Fault]]:
    """Return the model of a node, or None with all that is wrong; each fault's `at` starts at the node.

    A model that fails tells its first faults only. So what is faulty is set aside and the rest is read again, until
    nothing new turns up: one report, not one a run.
    """
    value = _with_empty(node)
    found: list[Fault] = []
    while True:
        try:
            entry = model.model_validate(value, context={"key": name})
        except ValidationError as error:
            fresh = [(place, fault) for place, fault in _faults(error) if fault not in found]
            if not fresh:
                return None, found
            found += [fault for _, fault in fresh]
            for place, fault in fresh:
                value = _set_aside(value, place, fault)
        else:
            return (None, found) if found else (entry, found)


def _with_empty(node: yamlfile.Node) -> Any:
    """Return a node as plain values, with a mark for a key with nothing behind it."""
    if isinstance(node, yamlfile.Mapping):
        return {key: _with_empty(value) for key, value in node.values.items()}
    if isinstance(node, yamlfile.Items):
        return [_with_empty(item) for item in node.items]
    return EMPTY if yamlfile.is_empty(node) else node.text


def _faults(error: ValidationError) -> list[tuple[Path, Fault]]:
    """Return each fault twice placed: where pydantic found it, and with `at` from the node that was read."""
    found = []
    for detail in error.errors(include_url=False):
        place: Path = tuple(detail["loc"])
        on_key = place[-1:] == ("[key]",)
        if on_key:
            place = place[:-1]
        for fault in _carried(detail):
            at = place + fault.at
            found.append((place, _moved(fault, at, on_key=fault.on_key or on_key)))
    return found


def _carried(detail: Any) -> tuple[Fault, ...]:
    if detail["type"] == "faults":
        return tuple(detail["ctx"]["faults"])
    if detail["input"] is BROKEN:
        return ()
    if detail["input"] is EMPTY:
        return (NO_VALUE,)
    if detail["type"] in _WHOLE:
        wrong, allowed, on_key = _WHOLE[detail["type"]]
        return (Fault("E203", wrong, on_key=on_key, allowed=allowed),)
    # Every other type of pydantic's is forestalled by a validator of ours; one that is not is a fault of the program.
    raise AssertionError(detail)


def _moved(fault: Fault, at: Path, *, on_key: bool) -> Fault:
    return Fault(fault.code, fault.wrong, at, on_key, fault.written, fault.allowed, fault.example, fault.suggestion)


def _set_aside(value: Any, place: Path, fault: Fault) -> Any:
    """Return the values without a faulty one: an unknown key goes, or counts as the one meant; all else is marked.

    What a check over several fields found is set aside with all these fields, since the check would find it again.
    """
    path = fault.at if fault.code in ("E201", "E202") else place
    if not path:
        return BROKEN
    if value is BROKEN:
        return value
    step, rest = path[0], path[1:]
    if isinstance(value, list) and isinstance(step, int):
        return [_set_aside(item, rest, _rest(fault)) if index == step else item for index, item in enumerate(value)]
    if not rest and (fault.code == "E201" or (fault.code == "E206" and fault.on_key)):
        meant = {fault.suggestion: BROKEN} if fault.suggestion not in ("", *value) else {}
        return {key: item for key, item in value.items() if key != step} | meant
    inner = _set_aside(value[step], rest, _rest(fault)) if step in value and rest else BROKEN
    return {**value, step: inner}


def _rest(fault: Fault) -> Fault:
    return _moved(fault, fault.at[1:], on_key=fault.on_key)
