"""`gauges.yaml`: the dials on which cylinder pressures are read."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal
from typing import Annotated, Any

from pydantic import BeforeValidator, Field

from yokebook.data.entry import Entry, Named, missing
from yokebook.data.faults import BROKEN, Fault, refuse
from yokebook.data.fields import (
    AccuracyClass,
    Date,
    DialMultiplier,
    DialUnit,
    Difference,
    DifferenceAboveZero,
    GasName,
    Reason,
    Share,
    Text,
    one_of,
)
from yokebook.data.ranges import Span
from yokebook.errors import nearest
from yokebook.physics.gauges import ACCURACY_CLASSES
from yokebook.units import from_si

UNKNOWN = "unknown"
FEWEST_MARKS, MOST_MARKS = 4, 200
"""Scale intervals on the coarsest and the finest dial of a cylinder (common practice, no source)."""
Zero = Annotated[str, one_of(("free", "stop"))]
_FORMS = "{class: 2.5}, or {of_span: 4 %, of_reading: 8 %}, or {plus_minus: 5 bar}, or unknown"


def _one_form(accuracy: Accuracy) -> Iterator[Fault]:
    percent = accuracy.of_span is not None or accuracy.of_reading is not None
    forms = [accuracy.accuracy_class is not None, percent, accuracy.plus_minus is not None]
    if sum(forms) != 1:
        wrong = "the accuracy is stated in several forms at once" if sum(forms) else "no accuracy is stated"
        yield Fault("E221", wrong, on_key=True, written="", allowed=_FORMS, example="accuracy: {class: 2.5}")
    elif percent:
        for key in ("of_span", "of_reading"):
            if getattr(accuracy, key) is None:
                yield missing(key, Accuracy, "a possible error in per cent is of_span and of_reading together")


def _known_class(accuracy: Accuracy) -> Iterator[Fault]:
    if accuracy.accuracy_class is not None and float(accuracy.accuracy_class) not in ACCURACY_CLASSES:
        wrong = "this is none of the accuracy classes of EN 837-1"
        allowed = ", ".join(f"{number:g}" for number in ACCURACY_CLASSES)
        yield Fault("E222", wrong, ("class",), allowed=allowed, example="accuracy: {class: 2.5}")


def _some_error(accuracy: Accuracy) -> Iterator[Fault]:
    shares = (accuracy.of_span, accuracy.of_reading)
    if all(share is not None and share.number == 0 for share in shares):
        wrong = "no gauge is without a possible error"
        yield Fault("E263", wrong, ("of_span",), allowed="of_span or of_reading above 0 %, or accuracy: unknown",
                    example="accuracy: {of_span: 4 %, of_reading: 8 %}")  # fmt: skip


class Accuracy(Entry):
    """How far a gauge may be out, in one of three forms."""

    what = "accuracy"
    accuracy_class: AccuracyClass | None = Field(
        None, description="the class of EN 837-1 on the dial", alias="class", examples=["2.5"]
    )
    of_span: Share | None = Field(None, description="per cent of the span, together with of_reading", examples=["4 %"])
    of_reading: Share | None = Field(
        None, description="per cent of the reading, together with of_span", examples=["8 %"]
    )
    plus_minus: DifferenceAboveZero | None = Field(
        None, description="the same anywhere on the scale", examples=["5 bar"]
    )
    checks = (((), _one_form), (("accuracy_class",), _known_class), (("of_span", "of_reading"), _some_error))


def _unknown(value: Any) -> Any:
    if value == UNKNOWN:
        return None
    if isinstance(value, str):
        wrong = "an accuracy is stated with its form, or as unknown"
        example = "accuracy: {class: 2.5}"
        refuse([Fault("E221", wrong, allowed=_FORMS, example=example, suggestion=nearest(value, (UNKNOWN,)))])
    return value


def _units_of_dial(gauge: Gauge) -> Iterator[Fault]:
    span = gauge.span
    for at, quantity in (
        (("span", "low"), span.low), (("span", "high"), span.high), (("scale_interval",), gauge.interval)
    ):  # fmt: skip
        if quantity is not BROKEN and quantity.unit.pint_name != gauge.unit.pint_name:
            wrong = f"the dial reads in {gauge.unit.symbol}, this is in {quantity.unit.symbol}"
            same = f"{round(from_si(quantity.si, gauge.unit), 2).normalize():f} {gauge.unit.symbol}"
            allowed = f"a number of {gauge.unit.symbol}, as the dial shows it"
            yield Fault("E223", wrong, at, allowed=allowed, example=f"{at[-1]}: {same}")


def _interval_in_span(gauge: Gauge) -> Iterator[Fault]:
    if gauge.interval.pa >= gauge.span.width_pa > 0:
        wrong = "one scale interval is as wide as the whole span"
        yield Fault("E234", wrong, ("scale_interval",), allowed=f"less than {gauge.span.high.text}")


def _countable_marks(gauge: Gauge) -> Iterator[Fault]:
    marks = gauge.span.width_pa / gauge.interval.pa
    if marks > MOST_MARKS + 0.5:
        wrong = f"the span would bear {marks:.0f} marks, more than anybody could read; count the marks on the dial"
        yield Fault("E266", wrong, ("scale_interval",), allowed=f"an interval that gives at most {MOST_MARKS} marks",
                    example="scale_interval: 10 bar")  # fmt: skip


def _dated(gauge: Gauge) -> Iterator[Fault]:
    if gauge.found_error is not None and gauge.checked is None:
        wrong = "an error was found, and it is not said when"
        yield Fault("E232", wrong, ("found_error",), on_key=True, allowed="checked beside it",
                    example="checked: 2026-03-01")  # fmt: skip


class GaugeAnswers(Entry):
    """The department's reasons for what is not recommended, or unusual, about a gauge."""

    what = "answers of a gauge"
    accuracy_unknown: Reason | None = Field(
        None,
        description="why the accuracy is not known, and what is done about it",
        alias="accuracy-unknown",
        examples=["the dial bears no class; it is replaced in April"],
    )
    never_checked: Reason | None = Field(
        None,
        description="why it was never checked, and what is done about it",
        alias="never-checked",
        examples=["new in March, checked at its first service"],
    )
    fine_accuracy: Reason | None = Field(
        None,
        description="why its possible error is smaller than the dial can be read",
        alias="fine-accuracy",
        examples=["its calibration certificate of March says so"],
    )
    dial_multiplier: Reason | None = Field(
        None,
        description="why the figures on its dial are multiplied by so unusual a number",
        alias="dial-multiplier",
        examples=["the dial is marked kPa x 10; looked at again"],
    )
    accuracy_class: Reason | None = Field(
        None,
        description="why its accuracy class is that of a test gauge",
        alias="accuracy-class",
        examples=["the dial bears the class, and it is calibrated each year"],
    )


class Gauge(Named):
    """One kind of dial, or one single dial that was checked."""

    what = "a gauge"
    unit: DialUnit = Field(description="the unit printed on the dial", examples=["bar"])
    span: Span = Field(description="where the dial begins and ends", examples=["{low: 0 bar, high: 250 bar}"])
    interval: DifferenceAboveZero = Field(
        alias="scale_interval", description="from one mark to the next", examples=["10 bar"]
    )
    accuracy: Annotated[Accuracy | None, BeforeValidator(_unknown)] = Field(
        description="how far it may be out", examples=["{class: 2.5}"]
    )
    zero: Zero = Field("free", description="stop where the pointer rests on a pin, else free", examples=["stop"])
    dial_multiplier: DialMultiplier = Field(
        Decimal(1), description="by how much the figures on the dial are to be multiplied", examples=["100"]
    )
    gas: GasName | None = Field(None, description="the gas whose name stands on the dial", examples=["oxygen"])
    label: Text | None = Field(None, description="the words on the dial", examples=["Oxygen, cylinder"])
    place: Text | None = Field(None, description="the entry of places.yaml", examples=["theatre"])
    checked: Date | None = Field(None, description="the day of the last check", examples=["2026-03-01"])
    found_error: Difference | None = Field(None, description="what the last check found", examples=["3 bar"])
    answers: GaugeAnswers = Field(
        GaugeAnswers(),
        description="reasons for not following a recommendation",
        examples=["{accuracy-unknown: why it is not known}"],
    )
    checks = (
        (("unit", "span"), _units_of_dial),
        (("interval", "span"), _interval_in_span),
        (("interval", "span"), _countable_marks),
        ((), _dated),
    )

    @property
    def called(self) -> str:
        """What readers call it: the words on its dial."""
        return f'"{self.label}"' if self.label else self.key

    @property
    def has_few_marks(self) -> bool:
        """True for a dial with so few scale intervals that one of its figures is likely a slip."""
        return self.span.width_pa < FEWEST_MARKS * self.interval.pa
