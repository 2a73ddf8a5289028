"""`places.yaml` and `scales.yaml`: where cylinders are kept, and on what they are weighed."""

from __future__ import annotations

from pydantic import Field

from yokebook.data.entry import Entry, Named
from yokebook.data.fields import Mass, MassAboveZero, Reason
from yokebook.data.ranges import TemperatureRange


class PlaceAnswers(Entry):
    """The department's reasons for what is unusual about a place."""

    what = "answers of a place"
    temperature: Reason | None = Field(
        None,
        description="why it is so cold or so warm there",
        alias="temperature",
        examples=["a store in the open yard"],
    )
    temperature_range: Reason | None = Field(
        None,
        description="why it varies so much there",
        alias="temperature-range",
        examples=["a store in the open yard, without heating"],
    )


class Place(Named):
    """Where cylinders are: their temperature decides, not that of the room in which the gas is used."""

    what = "a place"
    temperature: TemperatureRange = Field(
        description="of the cylinders there over the year", examples=["{low: 16 °C, usual: 20 °C, high: 26 °C}"]
    )
    answers: PlaceAnswers = Field(
        PlaceAnswers(), description="reasons for what is unusual", examples=["{temperature: a store in the open yard}"]
    )


class Scale(Named):
    """A scale on which cylinders are weighed."""

    what = "a scale"
    interval: MassAboveZero = Field(description="the smallest step that it shows", examples=["0.01 kg"])
    tolerance: Mass = Field(description="how far it may be out", examples=["0.02 kg"])
