"""Refusing to work a call out: faults that a call raises, at the argument that they are about."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import replace
from typing import Any, TypeVar, cast

from yokebook.data.department import Department
from yokebook.data.entry_names import nearest_entry
from yokebook.data.faults import Fault, Path, range_fault
from yokebook.errors import OutOfRange

T = TypeVar("T")
S = TypeVar("S")


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
    meant = nearest_entry(name, entries)
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
        raise Refusal(replace(range_fault(error), code="E530", at=at, on_key=False)) from error


def every(works: Iterable[Callable[[], T]]) -> tuple[T, ...]:
    """Return what each of several independent works gives, or refuse with the faults of all that refuse."""
    given: list[T] = []
    refusals: list[Refusal] = []
    for work in works:
        try:
            given.append(work())
        except Refusal as refusal:
            refusals.append(refusal)
    if refusals:
        raise Refusal(*dict.fromkeys(fault for refusal in refusals for fault in refusal.faults))
    return tuple(given)


def both(first: Callable[[], T], second: Callable[[], S]) -> tuple[T, S]:
    """Return what two independent works give, or refuse with the faults of both."""
    works: tuple[Callable[[], T | S], ...] = (first, second)
    given = every(works)
    return cast(T, given[0]), cast(S, given[1])
