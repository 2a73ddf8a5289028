"""What a page needs to find the row of a reading, for tables in which the row at or below it is the safe one."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal

from yokebook.calls.readings import highest_mark_shown
from yokebook.calls.result import RowFinder
from yokebook.calls.supply import Supply
from yokebook.quantities import GaugePa


def row_finder(source: Supply, rows: Sequence[GaugePa], heads: Sequence[str], which: str = "") -> RowFinder:
    """Return how the rows of a table are found by the reading of a dial.

    `rows` are their readings [Pa], the highest first; a head more than readings is that of the row for all below them.
    `which` says whose reading is meant where a machine has several cylinders of the gas.
    """
    dial = source.dial
    beside = source.machine.called if source.machine and not source.hangs_on else ""
    whose = " or ".join(one.called for one in source.hangs_on) or f"cylinder stamped {source.entry.water_capacity.text}"
    return RowFinder(
        whose=" ".join(filter(None, (whose, beside and f"beside {beside}"))),
        what=", ".join(filter(None, (source.entry.gas, which))),
        unit=dial.unit_text,
        low=_plain(dial.low),
        high=_plain(dial.high),
        highest=_plain(min(dial.high, highest_mark_shown(source))),
        readings=(*(_plain(dial.printed(row)) for row in rows), *("" for _ in heads[len(rows) :])),
    )


def _plain(number: Decimal) -> str:
    """Return a number of the dial as a program reads it.

    >>> _plain(Decimal("1E+2")), _plain(Decimal("62.50"))
    ('100', '62.5')
    """
    return f"{number.normalize():f}"
