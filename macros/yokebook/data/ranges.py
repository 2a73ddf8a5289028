"""Values with a low and a high end, in order."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from itertools import pairwise
from typing import Any

from pydantic import Field

from yokebook.data import impossible
from yokebook.data.entry import Entry
from yokebook.data.faults import Fault
from yokebook.data.fields import Gauge, Temperature


def _in_order(entry: Any, *names: str) -> Iterator[Fault]:
    for lower, upper in pairwise(names):
        low, high = getattr(entry, lower), getattr(entry, upper)
        if low.si > high.si:
            yield Fault(
                "E212", f"{upper} ({high.text}) lies below {lower} ({low.text})", (upper,),
                allowed=f"{', '.join(names)} in rising order",
            )  # fmt: skip


def _possible_at(key: str) -> Callable[[Any], Iterator[Fault]]:
    return lambda entry: impossible.PLACE_TEMPERATURE.faults(getattr(entry, key), (key,))


class PressureRange(Entry):
    """Two gauge pressures between which something is kept."""

    what = "a pressure range"
    low: Gauge = Field(description="the lowest", examples=["40 psi"])
    high: Gauge = Field(description="the highest", examples=["45 psi"])
    checks = ((("low", "high"), lambda entry: _in_order(entry, "low", "high")),)


class Span(Entry):
    """The first and the last pressure on a dial."""

    what = "a span"
    low: Gauge = Field(description="the lowest", examples=["0 bar"])
    high: Gauge = Field(description="the highest", examples=["250 bar"])

    @property
    def width_pa(self) -> float:
        """The span's width, Pa."""
        return self.high.pa - self.low.pa

    @staticmethod
    def rises(span: Span) -> Iterator[Fault]:
        """Yield a fault where the dial has no width."""
        if span.width_pa <= 0:
            wrong = f"the dial's span ends at {span.high.text} and begins at {span.low.text}"
            yield Fault("E212", wrong, ("high",), allowed="a high end above the low one", example="high: 250 bar")

    checks = ((("low", "high"), rises),)


class TemperatureRange(Entry):
    """The temperatures that a place has over the year, with the usual one between."""

    what = "a temperature range"
    low: Temperature = Field(description="the lowest", examples=["16 °C"])
    usual: Temperature = Field(description="what it usually is", examples=["20 °C"])
    high: Temperature = Field(description="the highest", examples=["26 °C"])
    checks = (
        *(((key,), _possible_at(key)) for key in ("low", "usual", "high")),
        (("low", "usual"), lambda entry: _in_order(entry, "low", "usual")),
        (("usual", "high"), lambda entry: _in_order(entry, "usual", "high")),
    )
