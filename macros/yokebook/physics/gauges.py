"""How far a dial may be from the truth, and what a reading still assures.

A dial's possible error is a function of the reading, `GaugePa -> DifferencePa`; each class here is one such function.
All pressures are gauge pressures.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

from yokebook.errors import OutOfRange
from yokebook.physics.limits import require
from yokebook.quantities import DifferencePa, GaugePa, Kelvin

PossibleError = Callable[[GaugePa], DifferencePa]
"""A dial's possible error, either way, at a reading."""
ACCURACY_CLASSES = (0.1, 0.25, 0.6, 1.0, 1.6, 2.5, 4.0)
"""Accuracy classes, each a percentage of the span (EN 837-1:1996, table 11, copy read)."""
REFERENCE_TEMPERATURE = Kelvin(293.15)
"""Temperature at which a class holds, 20 °C (EN 837-1:1996)."""
TEMPERATURE_EFFECT_FROM_MEMORY = 0.0004
"""Share of the span for each kelvin away from 20 °C: from memory of EN 837-1."""
HEADROOM_FROM_MEMORY = 1.33
"""Full scale over highest pressure: from memory of ISO 5358, which could not be read."""
STOPPED_SHARE = 0.1
"""Share of the span above a stop pin within which a dial says nothing (common practice, no source)."""
LAST_BITS = 1e-9
"""Share of the span by which a reading may miss that end: in any unit a mark at 10 % is a reading."""


@dataclass(frozen=True)
class Dial:
    """A dial's face: its span from `low` to `high` [Pa, gauge], and whether a stop pin holds its pointer at `low`."""

    low: GaugePa
    high: GaugePa
    stopped: bool = False

    def __post_init__(self) -> None:
        require("low end of span", self.low, "Pa")
        require("high end of span", self.high, "Pa")
        reason = "A scale rises from its low end to its high end."
        require("span", self.high - self.low, "Pa", low=0.0, ends=False, reason=reason)

    @property
    def span(self) -> DifferencePa:
        """The length of the scale [Pa]."""
        return DifferencePa(self.high - self.low)

    @property
    def lowest_reading(self) -> GaugePa:
        """The lowest reading [Pa] that says something: `low`, or 10 % of the span above it on a stopped dial."""
        return GaugePa(self.low + STOPPED_SHARE * self.span) if self.stopped else self.low

    def shows(self, reading: GaugePa) -> bool:
        """Return whether this dial can show a reading [Pa] that says something.

        >>> dial = Dial(GaugePa(0.0), GaugePa(250e5), stopped=True)
        >>> dial.shows(GaugePa(25e5)), dial.shows(GaugePa(24e5)), dial.shows(GaugePa(251e5))
        (True, False, False)
        """
        lowest = self.lowest_reading - LAST_BITS * self.span if self.stopped else self.low
        return lowest <= reading <= self.high

    def require(self, reading: GaugePa) -> None:
        """Raise `OutOfRange` for a reading [Pa] that this dial cannot show, or that means nothing on it."""
        require("reading", reading, "Pa", low=self.low, high=self.high, reason="The dial ends there.")
        if not self.shows(reading):
            reason = "A stop pin holds the pointer: below 10 % of the span the dial says nothing."
            raise OutOfRange("reading", reading, "Pa", low=self.lowest_reading, high=self.high, reason=reason)


@dataclass(frozen=True)
class ClassError:
    """Possible error of a dial of an accuracy class: error = class / 100 x span, anywhere on the scale, at 20 °C.

    Reference: EN 837-1:1996, table 11 (copy read).

    >>> error = ClassError(Dial(GaugePa(0.0), GaugePa(250e5)), 2.5)
    >>> error(GaugePa(137e5))
    625000.0
    """

    dial: Dial
    accuracy_class: float

    def __post_init__(self) -> None:
        if self.accuracy_class not in ACCURACY_CLASSES:
            reason = "EN 837-1 has the classes 0.1, 0.25, 0.6, 1, 1.6, 2.5 and 4."
            raise OutOfRange("accuracy class", self.accuracy_class, "%", low=0.1, high=4.0, reason=reason)

    def __call__(self, reading: GaugePa) -> DifferencePa:
        """Return the possible error [Pa] at a reading [Pa]."""
        self.dial.require(reading)
        return DifferencePa(self.accuracy_class / 100.0 * self.dial.span)


@dataclass(frozen=True)
class ShareError:
    """Possible error of a dial as a sum of shares (0 to 1): error = of_span x span + of_reading x |reading|.

    Reference: common practice, no source (makers state errors so).

    >>> error = ShareError(Dial(GaugePa(0.0), GaugePa(200e5)), of_span=0.04, of_reading=0.08)
    >>> error(GaugePa(100e5))
    1600000.0
    """

    dial: Dial
    of_span: float = 0.0
    of_reading: float = 0.0

    def __post_init__(self) -> None:
        for name, share in (("share of span", self.of_span), ("share of reading", self.of_reading)):
            require(name, share, "1", low=0.0, high=1.0)

    def __call__(self, reading: GaugePa) -> DifferencePa:
        """Return the possible error [Pa] at a reading [Pa]."""
        self.dial.require(reading)
        return DifferencePa(self.of_span * self.dial.span + self.of_reading * abs(reading))


@dataclass(frozen=True)
class FixedError:
    """Possible error of a dial as a pressure: error = plus_minus [Pa], anywhere on the scale.

    >>> FixedError(Dial(GaugePa(0.0), GaugePa(250e5)), DifferencePa(5e5))(GaugePa(30e5))
    500000.0
    """

    dial: Dial
    plus_minus: DifferencePa

    def __post_init__(self) -> None:
        require("possible error", self.plus_minus, "Pa", low=0.0)

    def __call__(self, reading: GaugePa) -> DifferencePa:
        """Return the possible error [Pa] at a reading [Pa]."""
        self.dial.require(reading)
        return self.plus_minus


@dataclass(frozen=True)
class FoundError:
    """Possible error of a dial that was found wrong at its last check: error = error of its form + |found error| [Pa].

    The found error is added to the form's, either way. The form bounds a dial as it was made, tested over its whole
    scale at 20 °C (EN 837-1); a check since then looks at a few points against a reference that errs too, and the dial
    moves on until the next one. By how much is not known: what it was found to have moved stands for it (common
    practice, no source). To count only the greater of the two would promise more from a dial that is known to move.
    Of a dial that was never checked not even this is known, and no figure stands for it: who reads it is told so.

    >>> form = FixedError(Dial(GaugePa(0.0), GaugePa(250e5)), DifferencePa(5e5))
    >>> FoundError(form, DifferencePa(-3e5))(GaugePa(30e5))
    800000.0
    """

    form: PossibleError
    found: DifferencePa

    def __post_init__(self) -> None:
        require("found error", self.found, "Pa")

    def __call__(self, reading: GaugePa) -> DifferencePa:
        """Return the possible error [Pa] at a reading [Pa]."""
        return DifferencePa(self.form(reading) + abs(self.found))


@dataclass(frozen=True)
class AsRead:
    """Possible error of what somebody reads on a dial: half a scale interval, and the dial's own error (`form`) there.

    Equation: error(R) = form(R + half) + half, half = `half_interval` of `scale_interval` [Pa]: the pointer may truly
    stand half an interval higher or lower than it is read, and no form here grows as one reads lower. Where R + half
    lies beyond the scale the form counts at its end. A misreading by a whole interval is not covered.
    Reference: common practice, no source.

    >>> dial = Dial(GaugePa(0.0), GaugePa(250e5))
    >>> AsRead(ClassError(dial, 2.5), dial, DifferencePa(10e5))(GaugePa(30e5))
    1125000.0
    """

    form: PossibleError
    dial: Dial
    scale_interval: DifferencePa

    def __call__(self, reading: GaugePa) -> DifferencePa:
        """Return the possible error [Pa] at a reading [Pa]."""
        self.dial.require(reading)
        half = half_interval(self.scale_interval)
        return DifferencePa(self.form(GaugePa(min(reading + half, self.dial.high))) + half)


def temperature_effect(dial: Dial, temperature: Kelvin) -> DifferencePa:
    """Return what a dial may be out [Pa] besides its class, because it is not at 20 °C.

    Equation: 0.0004 x |T - 293.15 K| x span; T temperature of the dial [K], -40 to 70 °C. It is not part of the forms
    above; add it as a `FoundError` where the place is far from 20 °C.
    Reference: EN 837-1, from memory: never to be printed as the standard's.

    >>> round(temperature_effect(Dial(GaugePa(0.0), GaugePa(250e5)), Kelvin(303.15)))
    100000
    """
    require("temperature", temperature, "K", low=233.15, high=343.15)
    return DifferencePa(TEMPERATURE_EFFECT_FROM_MEMORY * abs(temperature - REFERENCE_TEMPERATURE) * dial.span)


def true_range(reading: GaugePa, error: PossibleError) -> tuple[GaugePa, GaugePa]:
    """Return between which gauge pressures [Pa] the truth lies when a dial shows `reading` [Pa].

    Equation: reading - error(reading) to reading + error(reading). The low end may lie below zero: then the cylinder
    may be empty. A reading that the dial cannot show raises `OutOfRange`.

    >>> true_range(GaugePa(100e5), ClassError(Dial(GaugePa(0.0), GaugePa(250e5)), 2.5))
    (9375000.0, 10625000.0)
    """
    possible = error(reading)
    return GaugePa(reading - possible), GaugePa(reading + possible)


def reading_that_assures(pressure: GaugePa, error: PossibleError, dial: Dial) -> GaugePa:
    """Return the lowest reading [Pa] of a dial at which the true pressure is surely at least `pressure` [Pa].

    Equation: smallest R with R - error(R) >= pressure, by bisection over the dial to the last bit, the upper end taken.
    R - error(R) must rise with R, as it does for every form of this module. `OutOfRange` where no reading of the dial
    assures so much.

    >>> dial = Dial(GaugePa(0.0), GaugePa(250e5))
    >>> reading_that_assures(GaugePa(10e5), ClassError(dial, 2.5), dial)
    1625000.0
    """
    require("pressure", pressure, "Pa")

    def assured(reading: GaugePa) -> GaugePa:
        return true_range(reading, error)[0]

    low, high = dial.lowest_reading, dial.high
    if assured(high) < pressure:
        reason = "No reading of this dial assures that pressure."
        raise OutOfRange("pressure", pressure, "Pa", high=assured(high), reason=reason)
    if assured(low) >= pressure:
        return low
    while low < (middle := GaugePa((low + high) / 2.0)) < high:
        low, high = (middle, high) if assured(middle) < pressure else (low, middle)
    return high


def is_scale_interval(interval: float) -> bool:
    """Return whether a scale interval, as a number in the unit of its dial, is 1, 2 or 5 times a power of ten.

    The test allows for the rounding of binary fractions (1 part in 10^9). An interval that is not positive raises
    `OutOfRange`. Reference: EN 837-1:1996 (copy read).

    >>> [is_scale_interval(interval) for interval in (0.2, 10, 25, 500)]
    [True, True, False, True]
    """
    require("scale interval", interval, "1", low=0.0, ends=False)
    exponent = math.floor(math.log10(interval))
    return any(
        math.isclose(interval, first * 10.0**power, rel_tol=1e-9)
        for power in (exponent, exponent + 1)
        for first in (1, 2, 5)
    )


def least_full_scale(highest_pressure: GaugePa) -> GaugePa:
    """Return the least full scale [Pa] of a cylinder gauge for the highest pressure [Pa, gauge] that it will meet.

    Equation: 1.33 x highest pressure (so that the highest pressure is some 75 % of full scale).
    Reference: from memory of ISO 5358 and its relatives: never to be printed as the standard's.

    >>> round(least_full_scale(GaugePa(137e5)) / 1e5)
    182
    """
    require("highest pressure", highest_pressure, "Pa", low=0.0, ends=False)
    return GaugePa(HEADROOM_FROM_MEMORY * highest_pressure)


def dial_has_headroom(dial: Dial, highest_pressure: GaugePa) -> bool:
    """Return whether a dial ends at least 33 % above the highest pressure [Pa, gauge] that it will meet.

    See `least_full_scale`, which is from memory.

    >>> dial_has_headroom(Dial(GaugePa(0.0), GaugePa(250e5)), GaugePa(137e5))
    True
    """
    return dial.high >= least_full_scale(highest_pressure)


def half_interval(scale_interval: DifferencePa) -> DifferencePa:
    """Return how finely a dial can be read [Pa]: to half of its scale interval [Pa] (common practice, no source).

    >>> half_interval(DifferencePa(10e5))
    500000.0
    """
    require("scale interval", scale_interval, "Pa", low=0.0, ends=False)
    return DifferencePa(scale_interval / 2.0)
