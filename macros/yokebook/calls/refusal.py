"""Refusing to work a call out: faults that a call raises, at the argument that they are about."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from typing import Any, TypeVar

from yokebook import units
from yokebook.data.department import Department
from yokebook.data.faults import Fault, Path
from yokebook.errors import OutOfRange, nearest

T = TypeVar("T")
# What physics calls its quantities, with the unit in which a reader is told.
_SHOWN_IN = {"Pa": "bar", "K": "°C", "m3": "L", "m3/s": "L/min", "s": "min", "kg": "kg"}


class Refusal(Exception):
    """A call that is not worked out, with the reasons."""

    def __init__(self, *faults: Fault) -> None:
        self.faults = faults
        super().__init__("; ".join(fault.wrong for fault in faults))


def pick(department: Department, file: str, name: str, at: Path) -> Any:
    """Return the entry of a data file that an argument names, or refuse with the entries that there are.

    An entry that could not be read was reported in its file: the call is refused without a word of its own.
    """
    entries: Mapping[str, Any] = getattr(department, file)
    if name in entries:
        return entries[name]
    if department.entries.is_broken(file, name):
        raise Refusal
    meant = nearest(name, entries)
    raise Refusal(
        Fault(
            "E521",
            f"{file}.yaml has no entry of this name",
            at,
            allowed=", ".join(sorted(entries)) or "none yet",
            example=f'"{meant or next(iter(sorted(entries)), "oxygen-e")}"',
            suggestion=meant,
        )
    )


def pick_named(department: Department, file: str, name: str) -> Any:
    """Return the entry that another entry of the data names; where it leads nowhere, the data's report says so."""
    try:
        return pick(department, file, name, ())
    except Refusal:
        raise Refusal from None


def in_range(work: Callable[[], T], at: Path) -> T:
    """Return what `work` gives; where a formula does not hold, refuse in words for a reader."""
    try:
        return work()
    except OutOfRange as error:
        raise Refusal(_told(error, at)) from error


def _told(error: OutOfRange, at: Path) -> Fault:
    told = f"no number can be given: {error.quantity} {_amount(error.value, error.unit)}. {error.reason}".rstrip()
    low, high = (None if limit is None else _amount(limit, error.unit) for limit in (error.low, error.high))
    if low and high:
        allowed = f"{low} to {high}"
    else:
        allowed = f"at least {low}" if low else f"at most {high}" if high else "what a real cylinder can be"
    return Fault("E530", told, at, allowed=allowed)


def _amount(value: float, unit: str) -> str:
    symbol = _SHOWN_IN.get(unit)
    return units.shown(value, symbol, "0.1") if symbol and math.isfinite(value) else f"{value:g} {unit}".rstrip()
