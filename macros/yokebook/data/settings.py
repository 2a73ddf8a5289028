"""`department.yaml`: what holds for the department as a whole."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Annotated

from pydantic import Field

from yokebook import gases
from yokebook.data.entry import Entry
from yokebook.data.faults import Fault
from yokebook.data.fields import (
    Absolute,
    Duration,
    Gauge,
    Interval,
    Length,
    Margin,
    Temperature,
    Text,
    Tolerance,
    WebAddress,
    one_of,
)
from yokebook.data.ranges import TemperatureRange

ColourMarks = Annotated[str, one_of(tuple(gases.COLOUR_MARKS))]
Side = Annotated[str, one_of(("left", "right"))]
Language = Annotated[str, one_of(("en",))]


class FlowmeterReference(Entry):
    """The state in which the litres of the department's flowmeters, and so of its tables, are counted."""

    what = "flowmeter_reference"
    temperature: Temperature = Field(examples=["20 °C"])
    pressure: Absolute = Field(examples=["101.325 kPa"])


def _one_ambient(settings: Settings) -> Iterator[Fault]:
    pressure, altitude = settings.ambient_pressure, settings.altitude
    example = "ambient_pressure: 101.325 kPa"
    allowed = "either ambient_pressure or altitude"
    if pressure is None and altitude is None:
        wrong = "neither ambient_pressure nor altitude is given, so a gauge pressure has nothing to count from"
        yield Fault("E213", wrong, written="", allowed=allowed, example=example)
    if pressure is not None and altitude is not None:
        wrong = "ambient_pressure and altitude are both given; one of them would be passed over"
        yield Fault("E213", wrong, ("altitude",), on_key=True, allowed=allowed, example=example)


class Settings(Entry):
    """The department: its air, its margins, its standards, its roles."""

    what = "department.yaml"
    name: Text = Field(
        description="the department as pages and printed cards name it",
        examples=["Larkmoor Infirmary, Theatre Equipment Group"],
    )
    language: Language = "en"
    ambient_pressure: Absolute | None = Field(None, examples=["101.325 kPa"])
    altitude: Length | None = Field(None, examples=["1600 m"])
    room_temperature: TemperatureRange = Field(
        description="of the rooms in which gas is used", examples=["{low: 16 °C, usual: 20 °C, high: 26 °C}"]
    )
    flowmeter_tolerance: Tolerance = Field(
        description="how much more than it shows a flowmeter may let through", examples=["10 %"]
    )
    flowmeter_reference: FlowmeterReference = Field(
        description="the state in which litres are counted", examples=["{temperature: 20 °C, pressure: 101.325 kPa}"]
    )
    keep_back: Gauge = Field(
        description="the true pressure below which the regulator no longer holds its outlet", examples=["10 bar"]
    )
    change_time: Duration = Field(description="what it takes to swap a cylinder", examples=["5 min"])
    transfer_margin: Margin = Field(description="the factor on the time planned for a transfer", examples=["2"])
    colour_marks: ColourMarks = Field(
        description="the standard by which the department's cylinders are painted", examples=["ISO 32"]
    )
    pin_position_1: Side | None = Field(None, examples=["left"])
    review_interval: Interval = Field(
        description="how long a procedure stands before it is looked at again", examples=["12 months"]
    )
    roles: dict[str, Text] = Field(
        description="what each role answers for; roles, not people",
        examples=["{approver: signs each issue of a procedure}"],
        min_length=1,
    )
    base_url: WebAddress | None = Field(None, examples=["https://procedures.example/yokes/"])
    checks = (((), _one_ambient),)
