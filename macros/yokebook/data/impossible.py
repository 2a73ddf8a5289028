"""What no machine can be or do, though it is a quantity of its kind: mostly the right number in the wrong unit.

The limits lie well outside all that is in use, so that nothing of a real department is refused (common practice, no
source). What is merely unusual is noted in `plausible`.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from yokebook.data.faults import Fault, Path
from yokebook.data.slips import in_another_unit
from yokebook.units import Duration, Flow, GaugePressure, Quantity, Temperature, Volume


@dataclass(frozen=True)
class Possible:
    """Between which values a quantity can be at all: the code of the others, what is wrong with them, likely units."""

    code: str
    wrong: str
    low: Quantity
    high: Quantity
    units: tuple[str, ...]

    def faults(self, quantity: Quantity | None, at: Path) -> Iterator[Fault]:
        """Yield the fault of a quantity that cannot be, with the same number in a unit in which it can."""
        if quantity is None or self.low.si <= quantity.si <= self.high.si:
            return
        meant = in_another_unit(quantity, self.units, self.low.si, self.high.si)
        allowed = f"{self.low.text} to {self.high.text}"
        example = f"{at[-1]}: {meant}" if meant and isinstance(at[-1], str) else ""
        yield Fault(self.code, self.wrong.format(quantity.text), at, allowed=allowed, example=example, suggestion=meant)


TRAPPED_VOLUME = Possible(
    "E278",
    "{} of gas does not go between a cylinder valve and its regulator",
    Volume.stated("0.1 mL"),
    Volume.stated("1 L"),
    ("mL", "L"),
)
FLOW = Possible(
    "E273",
    "no machine takes {} of a gas",
    Flow.stated("20 mL/min"),
    Flow.stated("200 L/min"),
    ("L/min", "mL/min"),
)
SET_FLOW = Possible("E558", "no flowmeter is set to {}", FLOW.low, FLOW.high, FLOW.units)
SUPPLY = Possible(
    "E274",
    "neither a pipeline nor a regulator supplies a machine with {}",
    GaugePressure.stated("0.5 bar"),
    GaugePressure.stated("25 bar"),
    ("psi", "bar", "kPa"),
)
PLACE_TEMPERATURE = Possible(
    "E811",
    "no cylinder is kept or used at {}",
    Temperature.stated("-40 °C"),
    Temperature.stated("60 °C"),
    ("°C", "°F"),
)
"""Gas states are worked out here from −40 °C to 70 °C, and no cylinder is to become so warm (common practice)."""
CHANGE_TIME = Possible(
    "E276",
    "nobody changes a cylinder in {}",
    Duration.stated("30 s"),
    Duration.stated("2 h"),
    ("min", "s"),
)
TIME_IN_HAND = Possible(
    "E791",
    "nobody begins to change a cylinder with {} left in it",
    Duration.stated("1 min"),
    Duration.stated("4 h"),
    ("min", "s"),
)
"""Beside 0, which says that the next cylinder is at hand."""
LARGEST_ON_A_YOKE = Volume.stated("12 L")


def time_in_hand(time: Duration | None) -> Iterator[Fault]:
    """Yield the fault of a time in hand that cannot be meant; 0 can: the next cylinder is then at hand."""
    if time is not None and time.s > 0:
        for fault in TIME_IN_HAND.faults(time, ("time_in_hand",)):
            yield replace(fault, allowed=f"0 min, or {fault.allowed}", example=fault.example or "time_in_hand: 15 min")
