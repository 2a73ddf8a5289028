"""A dial of the data as calls use it: readings in its own unit and steps, and how far it may be out."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from yokebook import units
from yokebook.calls.refusal import Refusal
from yokebook.calls.result import Input
from yokebook.data import dials
from yokebook.data.faults import Fault, Path
from yokebook.data.gauges import Gauge
from yokebook.data.ranges import TemperatureRange
from yokebook.data.sources import key_text
from yokebook.number_list import significant
from yokebook.physics import gauges as physics
from yokebook.quantities import GaugePa

MOST_ROWS = 10


@dataclass(frozen=True)
class DialFace:
    """A gauge's dial: numbers as printed on it, in steps of its scale interval."""

    gauge: Gauge
    face: physics.Dial

    @property
    def unit_text(self) -> str:
        """The unit as the dial shows it, with its multiplier, held together on one line."""
        multiplier = self.gauge.dial_multiplier
        return units.NO_BREAK_SPACE.join(
            [self.gauge.unit.symbol, *(["×", f"{multiplier}"] if self.is_multiplied else [])]
        )

    @property
    def is_multiplied(self) -> bool:
        """True where the numbers on the dial stand for so many times more of its unit."""
        return self.gauge.dial_multiplier != 1

    @property
    def interval(self) -> Decimal:
        """The scale interval as printed on the dial."""
        return self.gauge.interval.number / self.gauge.dial_multiplier

    @property
    def high(self) -> Decimal:
        """The end of the scale as printed on the dial."""
        return self.gauge.span.high.number / self.gauge.dial_multiplier

    @property
    def low(self) -> Decimal:
        """The beginning of the scale as printed on the dial."""
        return self.gauge.span.low.number / self.gauge.dial_multiplier

    def printed(self, pressure: GaugePa) -> Decimal:
        """Return a pressure [Pa] as a number of this dial, to the 10 digits that a float is good for."""
        return significant(units.from_si(pressure, self.gauge.unit) / self.gauge.dial_multiplier)

    def pa(self, printed: Decimal) -> GaugePa:
        """Return the pressure [Pa] of a number of this dial."""
        return GaugePa(units.to_si(printed * self.gauge.dial_multiplier, self.gauge.unit))

    def label(self, printed: Decimal) -> str:
        """Return a number of this dial with its unit, as it heads a row."""
        return units.group(printed.normalize()) + units.NO_BREAK_SPACE + self.unit_text

    def in_a_cell(self, printed: Decimal) -> str:
        """Return a number of this dial as it stands in a table: of a dial with a multiplier the number alone.

        "185 kPa × 100" broken over two lines would show a bare 100; the head or the caption has the unit.
        """
        return units.group(printed.normalize()) if self.is_multiplied else self.label(printed)

    def unit_of_cells(self, before: str) -> str:
        """Return the unit for the head of cells that stand without it, with the words `before` it; else nothing."""
        return before + self.unit_text if self.is_multiplied else ""

    def as_quantity(self, printed: Decimal) -> str:
        """Return a number of this dial as an author writes it in a call, the multiplier taken in."""
        return f"{printed * self.gauge.dial_multiplier:f} {self.gauge.unit.symbol}"

    def mark_below(self, pressure: GaugePa) -> Decimal:
        """Return the last scale mark at or below a pressure [Pa], as printed on the dial."""
        return units.round_to(min(self.printed(pressure), self.high), self.interval, units.Rounding.DOWN)

    def mark_above(self, pressure: GaugePa) -> Decimal:
        """Return the first scale mark at or above a pressure [Pa], as printed on the dial."""
        return units.round_to(self.printed(pressure), self.interval, units.Rounding.UP)

    def steps_down_from(self, highest: GaugePa) -> tuple[Decimal, ...]:
        """Return readings for the rows of a table: multiples of one step of the dial, the highest first, at most 10.

        The first is the highest multiple at or below `highest` [Pa]; the last the lowest that the dial can show.
        """
        top = min(self.printed(highest), self.high)
        lowest = self.printed(self.face.lowest_reading)
        step = next(
            step
            for step in (self.interval * factor * 10**power for power in range(6) for factor in (1, 2, 5))
            if top // step - max(-(-lowest // step), 1) < MOST_ROWS
        )
        first = units.round_to(top, step, units.Rounding.DOWN)
        rows = [first - step * number for number in range(MOST_ROWS + 1)]
        return tuple(row for row in rows if row > 0 and row >= lowest)

    @property
    def inputs(self) -> tuple[Input, ...]:
        """What the working says of the dial."""
        span = f"{self.label(self.low)} to {self.label(self.high)}"
        inputs = [
            Input("Dial", span, self.key("span")),
            Input("Scale interval", self.label(self.interval), self.key("scale_interval")),
            Input("Accuracy", accuracy_text(self.gauge), self.key("accuracy")),
        ]
        found = self.gauge.found_error
        return (
            (*inputs, Input("Error found at its check", found.text, self.key("found_error")))
            if found
            else tuple(inputs)
        )

    @property
    def half_a_mark(self) -> str:
        """Half a scale interval, by which any reading may be wrong, with its unit."""
        return self.label(self.interval / 2)

    def key(self, field: str) -> str:
        """Return the data key of one of the gauge's fields."""
        return key_text(("gauges", self.gauge.key, field))


def dial_face(gauge: Gauge) -> DialFace:
    """Return a gauge's dial."""
    return DialFace(gauge, dials.dial(gauge))


def possible_error(dial: DialFace, at: Path) -> physics.PossibleError:
    """Return how far the truth may lie from what is read, half a mark of reading in it.

    A dial of whose error nobody knows is refused: nothing can be promised from it.
    """
    error = dials.error_as_read(dial.gauge)
    if error is None:
        raise Refusal(
            Fault(
                "E523",
                f"the accuracy of the gauge {dial.gauge.key} is unknown, so nothing can be promised from its reading",
                at,
                allowed="a gauge whose accuracy stands in gauges.yaml",
                example="accuracy: {class: 2.5}",
            )
        )
    return error


def error_in_place(
    dial: DialFace, error: physics.PossibleError, temperature: TemperatureRange, key: str
) -> tuple[physics.PossibleError, Input]:
    """Return a dial's possible error with what its own temperature adds in its place, and that for the working.

    `key` is where the temperature of the place is kept.
    """
    warmth = max(physics.temperature_effect(dial.face, end) for end in (temperature.low.k, temperature.high.k))
    text = f"{units.shown(warmth, 'bar', '0.01', units.Rounding.UP)} (0.04 % of the span for each kelvin from 20 °C)"
    return physics.FoundError(error, warmth), Input("Error by the dial's own temperature", text, key)


def refuse_off_dial(dial: DialFace, reading: GaugePa, at: Path) -> None:
    """Refuse a reading [Pa] that a dial cannot show, or that means nothing on it."""
    if not dial.face.shows(reading):
        lowest = dial.label(dial.printed(dial.face.lowest_reading))
        raise Refusal(
            Fault(
                "E524",
                "the dial cannot show this reading",
                at,
                allowed=f"{lowest} to {dial.label(dial.high)}",
                example=f'"{dial.as_quantity(dial.high)}"',
            )
        )


def check_text(gauge: Gauge) -> str:
    """Return what the last check found, or that there was none, as it follows the accuracy in a sentence."""
    if gauge.checked is None:
        return ", never checked"
    return f" and the {gauge.found_error.text} found at its check" if gauge.found_error else ""


def accuracy_text(gauge: Gauge) -> str:
    """Return how far a gauge may be out, in a reader's words."""
    accuracy = gauge.accuracy
    if accuracy is None:
        return "unknown"
    if accuracy.accuracy_class is not None:
        return f"class {accuracy.accuracy_class} (± {accuracy.accuracy_class} % of the span, EN 837-1)"
    if accuracy.plus_minus is not None:
        return f"± {accuracy.plus_minus.text}"
    assert accuracy.of_span is not None
    assert accuracy.of_reading is not None
    return f"± ({accuracy.of_span.text} of the span + {accuracy.of_reading.text} of the reading)"
