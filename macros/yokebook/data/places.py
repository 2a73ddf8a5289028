"""`places.yaml` and `scales.yaml`: where cylinders are kept, and on what they are weighed."""

from __future__ import annotations

from pydantic import Field

from yokebook.data.entry import Named
from yokebook.data.fields import Mass, MassAboveZero
from yokebook.data.ranges import TemperatureRange


class Place(Named):
    """Where cylinders are: their temperature decides, not that of the room in which the gas is used."""

    what = "a place"
    temperature: TemperatureRange = Field(
        description="of the cylinders there over the year", examples=["{low: 16 °C, usual: 20 °C, high: 26 °C}"]
    )


class Scale(Named):
    """A scale on which cylinders are weighed."""

    what = "a scale"
    interval: MassAboveZero = Field(description="the smallest step that it shows", examples=["0.01 kg"])
    tolerance: Mass = Field(description="how far it may be out", examples=["0.02 kg"])
