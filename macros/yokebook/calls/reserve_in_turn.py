"""Cylinders one after the other: each but the last is changed at the reading of the rule, the last is used up."""

from __future__ import annotations

from dataclasses import dataclass, replace

from yokebook import units
from yokebook.calls import threshold, working
from yokebook.calls.draw import Drawn
from yokebook.calls.refusal import in_range
from yokebook.calls.reserve_change import Rule, change_reading
from yokebook.calls.reserve_source import least, nominal
from yokebook.calls.supply import Supply
from yokebook.data.faults import Path
from yokebook.physics import bounds
from yokebook.quantities import GaugePa, Seconds

TOGETHER = (
    "One after the other: each cylinder but the last supplies till its gauge has come to the reading at which it is "
    "changed; with the gauge reading low there, it then still holds as much more as the possible error. One that "
    "begins no higher counts as nothing. The last one supplies down to the keep-back."
)


@dataclass(frozen=True)
class InTurn:
    """A use that like cylinders supply one after the other, by a rule when each but the last is changed."""

    source: Supply
    column: Drawn
    rule: Rule
    change: threshold.Threshold

    @property
    def mark(self) -> str:
        """The reading at which a cylinder is changed, as a number of the dial with its unit."""
        return self.source.dial.label(self.change.mark)

    @property
    def till_changed(self) -> Supply:
        """The cylinder with all kept back that it may hold when its gauge has come to the mark."""
        physics = bounds.changed_at(self.source.physics, self.source.reading(self._mark))
        return replace(self.source, physics=physics)

    def least_till_change(self, reading: GaugePa) -> Seconds:
        """Return how long [s] a cylinder surely supplies from a reading [Pa] till it is changed."""
        return least(self.till_changed, reading, self.column)

    def nominal_till_change(self, reading: GaugePa) -> Seconds:
        """Return the same with nominal values, where it is changed among them."""
        source = self.source
        physics = replace(source.physics, keep_back=self.change.nominal)
        return nominal(replace(source, physics=physics), reading, self.column)

    def worked(self, reading: GaugePa) -> str:
        """Return how long a cylinder supplies from a reading [Pa] till it is changed, worked through."""
        highest = units.shown(self.source.reading(self._mark).highest, "bar", "0.01")
        ends = f"when the gauge has come to {self.mark}, where the true pressure may be as high as {highest},"
        return working.worked_duration(self.till_changed, reading, self.column, "not rounded", ends)

    def proof(self) -> str:
        """Return how the reading at which a cylinder is changed came about."""
        return f"Changed at, {self.column.title}: " + threshold.worked(
            self.source, self.column, self.change, self.rule.total_text
        )

    @property
    def _mark(self) -> GaugePa:
        return self.source.dial.pa(self.change.mark)


def in_turn(source: Supply, column: Drawn, rule: Rule, at_use: Path) -> InTurn:
    """Return a use on cylinders in turn; refuse one that not even a full cylinder lasts as long as the rule asks."""
    found = InTurn(source, column, rule, change_reading(source, column, rule, at_use))
    in_range(lambda: found.till_changed, ("cylinder",))
    return found
