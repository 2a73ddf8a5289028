"""The list of numbers: what each call shows, as values that can be compared and traced; and how durations round.

Values are written as Decimal of 10 significant digits, so that neither the last bits of a float nor the machine decide
whether a number has moved.
"""

from __future__ import annotations

import json
import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from decimal import ROUND_FLOOR, ROUND_HALF_EVEN, Context, Decimal
from typing import Any

SIGNIFICANT_DIGITS = 10
_EXACT = Context(prec=SIGNIFICANT_DIGITS, rounding=ROUND_HALF_EVEN)
_CHANGE_NOW = "change now"
_NO_BREAK_SPACE = "\u00a0"  # as in `units`, which stands on the same floor
_LONGEST_MINUTES = 720
# Durations are told in steps that grow with them, always downwards: (below so many minutes, step in minutes).
_STEPS = ((20, 1), (120, 5), (math.inf, 15))


def significant(value: float | Decimal) -> Decimal:
    """Return a number with 10 significant digits.

    Raises ValueError for a value that is not finite: it must never reach a page.

    >>> significant(0.29 * 100)
    Decimal('29')
    """
    if not math.isfinite(value):
        raise ValueError(f"{value} is no number that a reader could be shown")
    number = _EXACT.create_decimal(value).normalize(_EXACT)
    return number.quantize(Decimal(1)) if number == number.to_integral_value() and number.adjusted() < 10 else number


@dataclass(frozen=True)
class Shown:
    """One cell as shown, with the value behind the text (rounded, in the unit of its call) and the nominal value.

    A word has neither.
    """

    text: str
    value: Decimal | None = None
    nominal: Decimal | None = None


def whole_minutes_down(seconds: float) -> int:
    """Return a duration [s] in minutes, rounded down: under 20 min to 1 min, under 2 h to 5 min, else to 15 min.

    >>> [whole_minutes_down(minutes * 60) for minutes in (19.99, 20, 119.9, 139.9, -3)]
    [19, 20, 115, 135, 0]
    """
    minutes = int((significant(seconds) / 60).to_integral_value(ROUND_FLOOR))
    step = next(step for below, step in _STEPS if minutes < below)
    return max(minutes, 0) // step * step


def minutes_text(minutes: int) -> str:
    """Return whole minutes as a reader sees them, held together on one line.

    >>> [minutes_text(m) for m in (0, 19, 60, 85, 720, 735)]
    ['change now', '19\xa0min', '1\xa0h', '1\xa0h\xa025\xa0min', '12\xa0h', 'more than 12\xa0h']
    """
    if minutes > _LONGEST_MINUTES:
        return f"more than 12{_NO_BREAK_SPACE}h"
    if minutes == 0:
        return _CHANGE_NOW
    hours, rest = divmod(minutes, 60)
    parts = ((hours, "h"), (rest, "min"))
    return _NO_BREAK_SPACE.join(f"{number}{_NO_BREAK_SPACE}{unit}" for number, unit in parts if number)


def duration_down(at_least_s: float, nominal_s: float) -> Shown:
    """Return a duration that staff act on: the worst corner's value [s], rounded down, beside the nominal one [s].

    The value is in minutes; above 12 h it is cut to 12 h, so that what is compared is what is read.

    >>> duration_down(5399.9, 6000.0).text
    '1\xa0h\xa025\xa0min'
    """
    minutes = whole_minutes_down(at_least_s)
    value = Decimal(min(minutes, _LONGEST_MINUTES))
    return Shown(minutes_text(minutes), value, significant(significant(nominal_s) / 60))


@dataclass(frozen=True)
class CallNumbers:
    """What one call shows, grouped as the reader finds it; `cells` are rows × columns.

    `unit` and `rounding` hold for all cells, or are given for each column. `texts` is what stands around the cells: no
    number stands in any call's HTML that its list lacks. `inputs` has the text that the data keeps under each key, so
    that a comparison can name what moved a number.
    """

    name: str
    arguments: Mapping[str, Any]
    rows: Sequence[str]
    columns: Sequence[str]
    cells: Sequence[Sequence[Shown]]
    unit: str | Sequence[str]
    rounding: str | Sequence[str]
    keys: Sequence[str] = ()
    texts: Mapping[str, Any] = field(default_factory=dict)
    inputs: Mapping[str, str] = field(default_factory=dict)

    def as_plain(self) -> dict[str, Any]:
        """Return the call as plain lists and texts, in the order in which it is written."""
        return {
            "name": self.name,
            "arguments": dict(self.arguments),
            "rows": list(self.rows),
            "columns": list(self.columns),
            "shown": [[cell.text for cell in row] for row in self.cells],
            "value": [[decimal_text(cell.value) for cell in row] for row in self.cells],
            "nominal": [[decimal_text(cell.nominal) for cell in row] for row in self.cells],
            "unit": self.unit if isinstance(self.unit, str) else list(self.unit),
            "rounding": self.rounding if isinstance(self.rounding, str) else list(self.rounding),
            "keys": sorted(set(self.keys)),
            "inputs": dict(sorted(self.inputs.items())),
            "texts": dict(self.texts),
        }


def decimal_text(number: Decimal | None) -> str | None:
    """Return a Decimal in plain digits, None for a word.

    >>> decimal_text(Decimal("1.5E+3"))
    '1500'
    """
    return None if number is None else f"{number:f}"


def page_json(calls: Sequence[CallNumbers]) -> str:
    """Return one page's list of numbers as JSON text, a call a line, the same for the same numbers."""
    lines = ",\n".join(json.dumps(call.as_plain(), ensure_ascii=False) for call in calls)
    return f'{{"calls": [\n{lines}\n]}}\n'
