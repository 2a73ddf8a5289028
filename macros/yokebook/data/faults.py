"""A fault of the data before it has a place in a file, and the marks that stand in for values that cannot be read."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal
from math import isfinite
from typing import Any, Final, NoReturn

from pydantic_core import PydanticCustomError

from yokebook.errors import Level, OutOfRange
from yokebook.units import SPELLINGS, Rounding, UnitError, from_si, group, round_to, with_unit

Path = tuple[str | int, ...]
_LEVELS = {"E": Level.ERROR, "W": Level.WARNING, "N": Level.NOTE}


@dataclass(frozen=True)
class Fault:
    """One thing wrong with the data; `at` leads to it from where it was found, `on_key` points at the key itself.

    `written` is only filled where what is written is not the text of the value, or of the key, found at the place.
    """

    code: str
    wrong: str
    at: Path = ()
    on_key: bool = False
    written: str | None = None
    allowed: str = ""
    example: str = ""
    suggestion: str = ""

    @property
    def level(self) -> Level:
        """How much it weighs: the letter of its code."""
        return _LEVELS[self.code[0]]


NO_VALUE = Fault("E204", "nothing stands behind the key", on_key=True, allowed="a value, or leave the key out")


def refuse(faults: Iterable[Fault]) -> NoReturn:
    """Raise faults so that pydantic carries them, each under the place of the value that it validates."""
    raise PydanticCustomError("faults", "faults", {"faults": tuple(faults)})


def unit_fault(error: UnitError) -> Fault:
    """Return the fault of a text that is not one quantity of its kind."""
    return Fault(error.code, error.wrong, allowed=error.allowed, example=error.example, suggestion=error.suggestion)


# The unit, and the step, in which a reader is shown what the physics gives in SI units.
_READERS = {
    "Pa": ("bar", "0.1"), "K": ("°C", "0.1"), "m": ("m", "1"), "m3": ("L", "0.01"), "m3/s": ("L/min", "0.01"),
    "s": ("min", "0.1"), "kg": ("kg", "0.01"),
}  # fmt: skip


def range_fault(error: OutOfRange) -> Fault:
    """Return the fault of a value that lies where nothing can be computed."""
    reason = f". {error.reason}" if error.reason else ""
    limits = [_amount(value, error.unit) for value in (error.low, error.high) if value is not None]
    sides = [word for word, value in (("at least", error.low), ("at most", error.high)) if value is not None]
    allowed = " to ".join(limits) if len(limits) == 2 else " ".join(sides + limits)
    wrong = f"nothing can be computed with this {error.quantity}, {_amount(error.value, error.unit)}{reason}"
    return Fault("E250", wrong, on_key=True, allowed=allowed)


def _amount(value: float, unit: str) -> str:
    if unit not in _READERS or not isfinite(value):
        return f"{value:g} {unit.removeprefix('1')}".strip()
    symbol, step = _READERS[unit]
    number = round_to(from_si(value, SPELLINGS[symbol]), Decimal(step), Rounding.NEAREST).normalize()
    return with_unit(group(number), SPELLINGS[symbol])


class StillBrokenError(Exception):
    """A check came across a value whose own fault is known already, so there is nothing to add."""


class _Broken:
    """Stands in for a value that was reported already, so that the rest of its entry can still be checked.

    Whatever is asked of it says that nothing can be told: no fault is ever built on a fault.
    """

    def __getattr__(self, name: str) -> Any:
        # Python's own questions (is this wrapped, can it be copied) are answered as by any object.
        if name.startswith("__"):
            raise AttributeError(name)
        raise StillBrokenError

    def _refuse(self, *_: object) -> Any:
        raise StillBrokenError

    __lt__ = __le__ = __gt__ = __ge__ = __iter__ = __len__ = __getitem__ = __contains__ = _refuse


BROKEN: Final[Any] = _Broken()
"""A value that was reported already."""


class _Empty:
    """Stands for a key with nothing behind it, which is not the same as a key left out."""


EMPTY: Final[Any] = _Empty()
"""A key with nothing behind it."""
