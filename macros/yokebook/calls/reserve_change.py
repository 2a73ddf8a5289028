"""When a cylinder in use is changed: the department's rule, and the reading of the gauge that comes of it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from yokebook import units
from yokebook.calls import threshold
from yokebook.calls.draw import Drawn
from yokebook.calls.refusal import Refusal
from yokebook.calls.reserve_words import LESS_TAKEN, LESS_TAKEN_EXAMPLE
from yokebook.calls.result import Input
from yokebook.calls.supply import Supply
from yokebook.data.department import Department
from yokebook.data.faults import Fault, Path
from yokebook.data.sources import key_text
from yokebook.number_list import minutes_text, whole_minutes_down
from yokebook.quantities import Seconds

_LABEL = "Time in hand when the change begins"


@dataclass(frozen=True)
class Rule:
    """How long a cylinder in use is still to last when its change begins, and how long the change takes.

    `argument` is the one of the call that may say so in place of the data, and `is_asked` whether it does.
    """

    in_hand: units.Duration
    change: units.Duration
    argument: str
    is_asked: bool
    inputs: tuple[Input, ...]

    @property
    def needed(self) -> Seconds:
        """How long a cylinder is to last from the reading at which it is changed [s]."""
        return Seconds(self.in_hand.s + self.change.s)

    @property
    def lasts_text(self) -> str:
        """What a cylinder still lasts where it is changed, in a sentence."""
        in_hand = f"{self.in_hand.text} and " if self.in_hand.s else ""
        return f"{in_hand}the {self.change.text} that a change takes"

    @property
    def total_text(self) -> str:
        """The time in hand and that of the change, as a sum."""
        return f"{units.shown(self.needed, 'min', '0.01')} ({self.in_hand.text} + {self.change.text})"


def rule_for(source: Supply, asked: units.Duration | None, department: Department, argument: str = "time") -> Rule:
    """Return the rule by which a cylinder is changed: the call's, else its machine's, else the department's.

    Refused where none of them says it, and where the cylinder hangs on machines that differ in it.
    """
    change = department.settings.change_time
    told = Input("Time to change a cylinder", change.text, "department.change_time")
    if asked is not None:
        return Rule(asked, change, argument, is_asked=True, inputs=(Input(_LABEL, asked.text, ""), told))
    found = list(_rules(source, department))
    if len({time.s for time, _ in found}) > 1:
        names = ", ".join(one.key for one in source.hangs_on)
        wrong = f"{source.entry.key} hangs on several machines ({names}), and they differ in the time in hand"
        example = f'machine="{source.hangs_on[0].key}"'
        raise Refusal(Fault("E522", wrong, ("cylinder",), allowed="say which: machine=", example=example))
    if not found:
        wrong = "nowhere does it stand how long a cylinder in use is still to last when its change begins"
        allowed = f"time_in_hand in department.yaml, or at a machine in machines.yaml; or {argument}= in the call"
        raise Refusal(Fault("E790", wrong, allowed=allowed, example="time_in_hand: 15 min"))
    time, key = found[0]
    return Rule(time, change, argument, is_asked=False, inputs=(Input(_LABEL, time.text, key), told))


def _rules(source: Supply, department: Department) -> Iterator[tuple[units.Duration, str]]:
    """Yield what the data say, with its key, for each machine on which the cylinder hangs, or that it supplies."""
    for machine in source.hangs_on or (source.machine,):
        if machine and machine.time_in_hand is not None:
            yield machine.time_in_hand, key_text(("machines", machine.key, "time_in_hand"))
        elif department.settings.time_in_hand is not None:
            yield department.settings.time_in_hand, "department.time_in_hand"


def change_reading(source: Supply, column: Drawn, rule: Rule, at_use: Path) -> threshold.Threshold:
    """Return the reading from which a use surely lasts the time in hand and the change after it; refuse if none."""
    found = threshold.threshold(source, column, rule.needed)
    if found is None:
        left = Seconds(threshold.full_lasts(source, column) - rule.change.s)
        raise Refusal(_longer_than_full(left, column, rule, at_use))
    return found


def _longer_than_full(left: Seconds, column: Drawn, rule: Rule, at_use: Path) -> Fault:
    """Return the fault of a time that not even a full cylinder lasts, which lasts `left` [s] besides the change."""
    minutes = whole_minutes_down(left)
    wrong = (
        f"even a full cylinder may not last {rule.in_hand.text} and {rule.change.text} more for the change "
        f"({column.head})"
    )
    if not minutes:
        return Fault("E531", wrong, at_use, allowed=LESS_TAKEN, example=LESS_TAKEN_EXAMPLE)
    at_most = f"at most {minutes_text(minutes)}"
    if rule.is_asked:
        return Fault("E531", wrong, (rule.argument,), allowed=at_most, example=f'"{minutes} min"')
    allowed = f"{LESS_TAKEN}, or another time in hand for this call: {at_most}"
    return Fault("E531", wrong, at_use, allowed=allowed, example=f'{rule.argument}="{minutes} min"')
