"""Numbers that stand in a text on purpose: each read with its unit from the closed table."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Annotated

from yokebook import units
from yokebook.calls.quantities import any_quantity
from yokebook.data.faults import Fault, refuse, unit_fault
from yokebook.data.fields import scalar

# Digits that follow a letter belong to a name (O2, CYL-01), digits that follow a point or a comma to a number before.
_NUMBER = re.compile(r"(?<![0-9A-Za-z.,])(?<![A-Za-z][-−])[-+−]?[0-9]+(?:\.[0-9]+)?")
_RANGE = re.compile(r"\s*(?:to|and|or|[-–−])\s*(?=[0-9])")
_EXAMPLE = '"40 to 45 psi"'
_SPACE = r"[ \u00a0\u202f]*"
_UNIT = re.compile(rf"{_SPACE}(?P<unit>{units.ANY_SPELLING})(?![A-Za-z0-9²³/])")


@dataclass(frozen=True)
class TypedText:
    """A text as an author typed it, with the quantities in it in their order."""

    text: str
    quantities: tuple[units.Quantity, ...]


def read(text: str) -> TypedText:
    """Return a text with the quantities in it; the first number of a range has the unit of the second.

    Raises the faults of all that is no quantity, as pydantic carries them.

    >>> [quantity.text for quantity in read("40 to 45 psi").quantities]
    ['40\\xa0psi', '45\\xa0psi']
    """
    parts = list(_parts(text))
    faults = [part for part in parts if isinstance(part, Fault)]
    if not parts:
        wrong = "no number with its unit stands in the text, so it can stand on the page as it is, without typed"
        faults = [Fault("E552", wrong, allowed="a text with a number and its unit in it", example=_EXAMPLE)]
    if faults:
        refuse(faults)
    return TypedText(text, tuple(part for part in parts if isinstance(part, units.Quantity)))


def _parts(text: str) -> Iterator[units.Quantity | Fault]:
    """Yield each quantity of a text, or what is wrong with it."""
    waiting: list[str] = []
    for found in _NUMBER.finditer(text):
        number = found.group().replace(units.MINUS, "-")
        unit = _UNIT.match(text, found.end())
        if unit is None and _RANGE.match(text, found.end()):
            waiting.append(number)
            continue
        after = unit["unit"] if unit else _next_word(text[found.end() :])
        for one in (*waiting, number) if unit else (number,):
            try:
                yield any_quantity(f"{one}{' ' if unit else ''}{after}")
            except units.UnitError as error:
                fault = unit_fault(error)
                yield replace(fault, wrong=f"at {found.group()}{after}: {fault.wrong}", example=_EXAMPLE)
        waiting.clear()


def _next_word(rest: str) -> str:
    """Return what follows a number up to the end of the next word, as its unit would stand there."""
    found = re.match(r"\s*\S+", rest)
    return found.group().rstrip(".,;:!?)") if found else ""


Typed = Annotated[TypedText, scalar(read)]
