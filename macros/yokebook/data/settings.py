"""`department.yaml`: what holds for the department as a whole."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Annotated

from pydantic import Field

from yokebook import gases
from yokebook.data import impossible
from yokebook.data.entry import Entry
from yokebook.data.faults import Fault
from yokebook.data.fields import (
    Absolute,
    Duration,
    Gauge,
    Interval,
    Length,
    Margin,
    Reason,
    Temperature,
    Text,
    Tolerance,
    WebAddress,
    one_of,
)
from yokebook.data.ranges import TemperatureRange
from yokebook.data.slips import in_another_unit
from yokebook.errors import nearest
from yokebook.units import AbsolutePressure
from yokebook.units import Temperature as TemperatureQuantity

ColourMarks = Annotated[str, one_of(tuple(gases.COLOUR_MARKS))]
Side = Annotated[str, one_of(("left", "right"))]
Language = Annotated[str, one_of(("en",))]
Approvals = Annotated[str, one_of(("1", "2"))]


LOWEST_AMBIENT, HIGHEST_AMBIENT = AbsolutePressure.stated("50 kPa"), AbsolutePressure.stated("110 kPa")
"""The standard atmosphere above 5500 m, and the deepest valley in the highest pressure of the weather."""
LOWEST_REFERENCE, HIGHEST_REFERENCE = AbsolutePressure.stated("80 kPa"), AbsolutePressure.stated("110 kPa")
COLDEST_REFERENCE, WARMEST_REFERENCE = TemperatureQuantity.stated("-5 °C"), TemperatureQuantity.stated("40 °C")
"""Between these lies every state that flowmeters are marked for (common practice, no source)."""
_EXAMPLES = "examples: [keep_back, change_time]"
_ABSOLUTE_UNITS = ("kPa", "mmHg", "psia", "bar abs", "atm")


def _possible_reference(reference: FlowmeterReference) -> Iterator[Fault]:
    temperature, pressure = reference.temperature, reference.pressure
    if not COLDEST_REFERENCE.k <= temperature.k <= WARMEST_REFERENCE.k:
        wrong = f"no flowmeter is marked for gas at {temperature.text}"
        meant = in_another_unit(temperature, ("°F",), COLDEST_REFERENCE.k, WARMEST_REFERENCE.k)
        allowed = f"{COLDEST_REFERENCE.text} to {WARMEST_REFERENCE.text}"
        yield Fault("E262", wrong, ("temperature",), allowed=allowed, example="temperature: 20 °C", suggestion=meant)
    if not LOWEST_REFERENCE.pa <= pressure.pa <= HIGHEST_REFERENCE.pa:
        wrong = f"no flowmeter is marked for gas at {pressure.text}, absolute"
        meant = in_another_unit(pressure, _ABSOLUTE_UNITS, LOWEST_REFERENCE.pa, HIGHEST_REFERENCE.pa)
        allowed = f"{LOWEST_REFERENCE.text} to {HIGHEST_REFERENCE.text}"
        yield Fault("E262", wrong, ("pressure",), allowed=allowed, example="pressure: 101.325 kPa", suggestion=meant)


class FlowmeterReference(Entry):
    """The state in which the litres of the department's flowmeters, and so of its tables, are counted."""

    what = "flowmeter_reference"
    temperature: Temperature = Field(description="of the gas", examples=["20 °C"])
    pressure: Absolute = Field(description="of the gas, absolute", examples=["101.325 kPa"])
    checks = ((("temperature", "pressure"), _possible_reference),)


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


def _possible_ambient(settings: Settings) -> Iterator[Fault]:
    pressure = settings.ambient_pressure
    if pressure is not None and not LOWEST_AMBIENT.pa <= pressure.pa <= HIGHEST_AMBIENT.pa:
        wrong = f"nowhere does a hospital have {pressure.text} of air, absolute"
        meant = in_another_unit(pressure, _ABSOLUTE_UNITS, LOWEST_AMBIENT.pa, HIGHEST_AMBIENT.pa)
        allowed = f"{LOWEST_AMBIENT.text} to {HIGHEST_AMBIENT.text}"
        example = "ambient_pressure: 101.325 kPa"
        yield Fault("E261", wrong, ("ambient_pressure",), allowed=allowed, example=example, suggestion=meant)


def _above_the_sea(settings: Settings) -> Iterator[Fault]:
    if settings.altitude is not None and settings.altitude.m < 0:
        wrong = "the standard atmosphere is not used below the level of the sea"
        yield Fault("E269", wrong, ("altitude",), allowed="write ambient_pressure instead",
                    example="ambient_pressure: 103 kPa")  # fmt: skip


def _keys_of_examples(settings: Settings) -> Iterator[Fault]:
    keys = [key for key in dict(Settings.keys()) if key not in ("examples", "answers")]
    for number, key in enumerate(settings.examples):
        if key not in keys:
            wrong = "department.yaml has no such key, so that it holds no example"
            allowed, meant = ", ".join(keys), nearest(key, keys)
            yield Fault("E205", wrong, ("examples", number), allowed=allowed, example=_EXAMPLES, suggestion=meant)


def _possible_change(settings: Settings) -> Iterator[Fault]:
    yield from impossible.CHANGE_TIME.faults(settings.change_time, ("change_time",))


def _possible_in_hand(settings: Settings) -> Iterator[Fault]:
    yield from impossible.time_in_hand(settings.time_in_hand)


def _enough_roles(settings: Settings) -> Iterator[Fault]:
    if len(settings.roles) < settings.approvers_needed:
        wrong = "two people approve an issue, each in a role of their own, and there is one role"
        allowed = "as many roles as approvals"
        yield Fault("E270", wrong, ("approvals",), allowed=allowed, example="approvals: 1")


class SettingsAnswers(Entry):
    """The department's reasons for what is unusual in `department.yaml`."""

    what = "answers of the department"
    ambient_pressure: Reason | None = Field(
        None,
        description="why the air is so thin or so thick",
        alias="ambient-pressure",
        examples=["the mountain clinic lies at this height"],
    )
    flowmeter_tolerance: Reason | None = Field(
        None,
        description="why flowmeters are so exact",
        alias="flowmeter-tolerance",
        examples=["electronic flowmeters, calibrated each year"],
    )
    room_temperature: Reason | None = Field(
        None,
        description="why the rooms are so cold or so warm",
        alias="room-temperature",
        examples=["a field hospital without cooling"],
    )
    room_temperature_range: Reason | None = Field(
        None,
        description="why the temperature varies so much",
        alias="room-temperature-range",
        examples=["a field hospital without cooling or heating"],
    )


class Settings(Entry):
    """The department: its air, its margins, its standards, its roles."""

    what = "department.yaml"
    name: Text = Field(
        description="the department as pages and printed cards name it",
        examples=["Larkmoor Infirmary, Theatre Equipment Group"],
    )
    language: Language = Field("en", description="the language of the pages", examples=["en"])
    ambient_pressure: Absolute | None = Field(
        None, description="the absolute pressure of the air; or altitude", examples=["101.325 kPa"]
    )
    altitude: Length | None = Field(
        None, description="the height above sea level; or ambient_pressure", examples=["1600 m"]
    )
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
    time_in_hand: Duration | None = Field(
        None,
        description="the rule when a cylinder in use is changed: how long it must then still last, besides the change",
        examples=["15 min"],
    )
    transfer_margin: Margin = Field(description="the factor on the time planned for a transfer", examples=["2"])
    colour_marks: ColourMarks = Field(
        description="the standard by which the department's cylinders are painted", examples=["ISO 32"]
    )
    pin_position_1: Side | None = Field(
        None, description="on which side position 1 lies, seen facing the cylinder valve", examples=["left"]
    )
    review_interval: Interval = Field(
        description="how long a procedure stands before it is looked at again", examples=["12 months"]
    )
    roles: dict[str, Text] = Field(
        description="what each role answers for; roles, not people",
        examples=["{approver: signs each issue of a procedure}"],
        min_length=1,
    )
    approvals: Approvals = Field(
        "1", description="how many people, each in a role of their own, approve an issue: 1 or 2", examples=["2"]
    )
    examples: tuple[Text, ...] = Field(
        (),
        description="keys of this file that still hold what yokebook start wrote, each to be looked at",
        examples=["[keep_back, change_time]"],
    )
    base_url: WebAddress | None = Field(
        None, description="the address at which the site will be found", examples=["https://procedures.example/yokes/"]
    )
    answers: SettingsAnswers = Field(
        SettingsAnswers(),
        description="reasons for what is unusual",
        examples=["{ambient-pressure: the mountain clinic lies at this height}"],
    )
    checks = (
        ((), _one_ambient),
        (("ambient_pressure",), _possible_ambient),
        (("altitude",), _above_the_sea),
        (("approvals", "roles"), _enough_roles),
        (("change_time",), _possible_change),
        (("time_in_hand",), _possible_in_hand),
        (("examples",), _keys_of_examples),
    )

    @property
    def approvers_needed(self) -> int:
        """How many people approve an issue."""
        return int(self.approvals)
