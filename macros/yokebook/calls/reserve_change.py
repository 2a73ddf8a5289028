"""From which reading a use still lasts a time and the change of the cylinder, or why no reading can be told."""

from __future__ import annotations

from yokebook import units
from yokebook.calls import threshold
from yokebook.calls.draw import Drawn
from yokebook.calls.refusal import Refusal
from yokebook.calls.reserve_words import LESS_TAKEN, LESS_TAKEN_EXAMPLE
from yokebook.calls.supply import Supply
from yokebook.data.department import Department
from yokebook.data.faults import Fault, Path
from yokebook.number_list import minutes_text, whole_minutes_down
from yokebook.quantities import Seconds


def change_reading(
    source: Supply, column: Drawn, asked: units.Duration, department: Department, at_use: Path
) -> threshold.Threshold:
    """Return the reading from which a use surely lasts the time asked for and the change after it; refuse if none."""
    change = department.settings.change_time
    found = threshold.threshold(source, column, Seconds(asked.s + change.s))
    if found is None:
        left = Seconds(threshold.full_lasts(source, column) - change.s)
        raise Refusal(_longer_than_full(left, column, change.text, at_use))
    return found


def total_text(asked: units.Duration, department: Department) -> str:
    """Return the time asked for and that of the change, as a sum."""
    change = department.settings.change_time
    return f"{units.shown(asked.s + change.s, 'min', '0.01')} ({asked.text} + {change.text})"


def _longer_than_full(left: Seconds, column: Drawn, change: str, at_use: Path) -> Fault:
    """Return the fault of a time that not even a full cylinder lasts, which lasts `left` [s] besides the change."""
    minutes = whole_minutes_down(left)
    return Fault(
        "E531",
        f"even a full cylinder may not last so long and {change} more for the change ({column.head})",
        ("time",) if minutes else at_use,
        allowed=f"at most {minutes_text(minutes)}" if minutes else LESS_TAKEN,
        example=f'"{minutes} min"' if minutes else LESS_TAKEN_EXAMPLE,
    )
