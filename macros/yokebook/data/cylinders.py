"""`cylinders.yaml`: the kinds of cylinder that the department keeps."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal
from typing import Annotated

from pydantic import Field

from yokebook import gases
from yokebook.data import impossible
from yokebook.data.entry import Entry, Named, missing
from yokebook.data.faults import BROKEN, Fault
from yokebook.data.fields import (
    Date,
    FillingRatio,
    GasName,
    GaugeAboveZero,
    MassAboveZero,
    Reason,
    Share,
    Temperature,
    Text,
    Tolerance,
    VolumeAboveZero,
    one_of,
)
from yokebook.data.machines import KEEP_BACK, MEASURED_KEEP_BACK
from yokebook.data.slips import in_another_unit
from yokebook.units import GaugePressure

PIN_INDEX, INTEGRAL = "pin-index", "integral"
Valve = Annotated[str, one_of((PIN_INDEX, INTEGRAL))]
# A tare is only worth something if what hung on the cylinder when it was weighed is known.
TareIncludes = Annotated[str, one_of(("valve", "valve and cap", "cylinder only"))]
LIQUEFIED = frozenset(name for name, gas in gases.FIXED.items() if gas.liquefied)
_FRACTIONS = {name: tuple(name.split("/")) for name in gases.MIXTURE_NAMES}


LEAST_FILLING = GaugePressure.stated("20 bar")
"""Below it nothing is filled that is carried to a machine (common practice, no source): mostly a slip of the unit."""
HIGHEST_RATIO = Decimal("0.80")
"""Above it no liquefied gas is filled (common practice, no source): at 0.75 liquid fills the cylinder from 24 °C."""
_LIKELY_FILLING_PA = (50e5, 350e5)


def _possible_filling(filling: Filling) -> Iterator[Fault]:
    pressure, ratio = filling.pressure, filling.ratio
    if pressure is not None and pressure.pa < LEAST_FILLING.pa:
        wrong = f"no cylinder is full at {pressure.text}"
        meant = in_another_unit(pressure, ("bar", "psi"), *_LIKELY_FILLING_PA)
        allowed = f"at least {LEAST_FILLING.text}"
        yield Fault("E264", wrong, ("pressure",), allowed=allowed, example="pressure: 137 bar", suggestion=meant)
    if ratio is not None and ratio > HIGHEST_RATIO:
        wrong = "so full a cylinder would be full of liquid at room temperature, and would vent or burst in the warm"
        yield Fault("E265", wrong, ("ratio",), allowed=f"at most {HIGHEST_RATIO}", example="ratio: 0.75")


def _one_filling(filling: Filling) -> Iterator[Fault]:
    if filling.ratio is not None and (filling.pressure is not None or filling.at is not None):
        wrong = "a cylinder is filled either to a pressure or by a ratio, not both"
        allowed = "pressure with at, or ratio"
        yield Fault("E218", wrong, ("ratio",), on_key=True, allowed=allowed, example="filling: {ratio: 0.75}")
    elif filling.ratio is None:
        for key in ("pressure", "at"):
            if getattr(filling, key) is None:
                yield missing(key, Filling, "a compressed gas is filled to a pressure at a temperature")


class Filling(Entry):
    """How a full cylinder is filled: to a pressure at a temperature, or to a mass of liquid by the filling ratio."""

    what = "filling"
    pressure: GaugeAboveZero | None = Field(None, description="the gauge pressure of a full one", examples=["137 bar"])
    at: Temperature | None = Field(
        None, description="the temperature at which it has that pressure", examples=["15 °C"]
    )
    ratio: FillingRatio | None = Field(
        None, description="kilograms of liquefied gas for each kilogram of water that it would hold", examples=["0.75"]
    )
    checks = (((), _one_filling), (("pressure", "ratio"), _possible_filling))


class CylinderAnswers(Entry):
    """The department's reasons for what is not recommended, or unusual, about a cylinder."""

    what = "answers of a cylinder"
    water_capacity_tolerance: Reason | None = Field(
        None,
        description="how much smaller than stamped it may be",
        alias="water-capacity-tolerance",
        examples=["the stamped figure is the least that the maker assures"],
    )
    water_capacity: Reason | None = Field(
        None,
        description="why it is so small or so large",
        alias="water-capacity",
        examples=["a small cylinder for the transport incubator, read off its stamp"],
    )
    tare: Reason | None = Field(
        None,
        description="why it is so light or so heavy",
        alias="tare",
        examples=["wrapped in fibre, weighed on our own scale"],
    )
    filling_ratio: Reason | None = Field(
        None,
        description="why it is filled so full",
        alias="filling-ratio",
        examples=["the supplier's certificate gives this ratio"],
    )
    filling_temperature: Reason | None = Field(
        None,
        description="why its filling is stated at so unusual a temperature",
        alias="filling-temperature",
        examples=["the supplier states all fillings at 0 °C"],
    )


def _size_and_country(cylinder: Cylinder) -> Iterator[Fault]:
    if (cylinder.size is None) == (cylinder.country is None):
        return
    given, lacking = ("size", "country") if cylinder.country is None else ("country", "size")
    wrong = f"{given} is given without {lacking}; a size letter means one water capacity here and another there"
    yield Fault("E214", wrong, (given,), on_key=True, allowed="both, or neither", example="size: E, country: UK")


def _fractions(cylinder: Cylinder) -> Iterator[Fault]:
    names = _FRACTIONS.get(cylinder.gas)
    if names is None:
        if cylinder.fractions is not None:
            wrong = f"{cylinder.gas} is defined by its name alone"
            yield Fault("E216", wrong, ("fractions",), on_key=True, allowed=f"fractions for {', '.join(_FRACTIONS)}")
        return
    example = f"fractions: {{{names[0]}: 95 %, {names[1]}: 5 %}}"
    if cylinder.fractions is None:
        wrong = f"{cylinder.gas} is filled in many mixtures; its fractions are missing"
        yield Fault("E215", wrong, ("gas",), allowed=f"fractions of {names[0]} and {names[1]}", example=example)
        return
    if cylinder.fractions is BROKEN:
        return
    if set(cylinder.fractions) != set(names):
        wrong = f"the fractions are not those of {cylinder.gas}"
        yield Fault("E216", wrong, ("fractions",), on_key=True, allowed=" and ".join(names), example=example)
        return
    total = sum((share.number for share in cylinder.fractions.values()), Decimal(0))
    if total != 100 or any(share.number == 0 for share in cylinder.fractions.values()):
        wrong = f"the fractions make {total} % together, each is to be above 0 %"
        yield Fault("E217", wrong, ("fractions",), on_key=True, allowed="100 % together", example=example)


def _filling_of_gas(cylinder: Cylinder) -> Iterator[Fault]:
    liquefied = cylinder.gas in LIQUEFIED
    by_ratio, by_pressure = cylinder.filling.ratio is not None, cylinder.filling.pressure is not None
    if liquefied and by_pressure and not by_ratio:
        wrong = f"{cylinder.gas} is a liquid in the cylinder: its pressure does not tell how full it is"
        yield Fault("E219", wrong, ("filling",), on_key=True, allowed="ratio", example="filling: {ratio: 0.75}")
    if not liquefied and by_ratio and not by_pressure:
        wrong = f"{cylinder.gas} is compressed, not liquefied: it is filled to a pressure at a temperature"
        example = "filling: {pressure: 137 bar, at: 15 °C}"
        yield Fault("E219", wrong, ("filling",), on_key=True, allowed="pressure with at", example=example)


def _tare(cylinder: Cylinder) -> Iterator[Fault]:
    if cylinder.tare is None and cylinder.gas in LIQUEFIED:
        wrong = f"the tare is missing: what is left of {cylinder.gas} is told by weight alone"
        yield Fault("E220", wrong, ("gas",), allowed="tare with tare_includes", example="tare: 5.40 kg")


def _tare_includes(cylinder: Cylinder) -> Iterator[Fault]:
    if cylinder.tare is not None and cylinder.tare_includes is None:
        yield missing("tare_includes", Cylinder, "a tare tells nothing unless it is known what was weighed with it")
    if cylinder.tare is None and cylinder.tare_includes is not None:
        yield missing("tare", Cylinder, "tare_includes is given")


def _gauge(cylinder: Cylinder) -> Iterator[Fault]:
    if cylinder.valve == INTEGRAL and cylinder.gauge is None:
        yield missing("gauge", Cylinder, "a cylinder with an integral valve carries its own gauge")
    if cylinder.valve == PIN_INDEX and cylinder.gauge is not None:
        wrong = "a pin-indexed cylinder is read on the gauge of the yoke in which it hangs, not on one of its own"
        yield Fault("E228", wrong, ("gauge",), on_key=True, allowed="gauge for an integral valve only",
                    example="valve: integral")  # fmt: skip


def _keep_back(cylinder: Cylinder) -> Iterator[Fault]:
    if cylinder.valve == PIN_INDEX and cylinder.keep_back is not None:
        wrong = "the regulator of a pin-indexed cylinder belongs to the yoke: its keep-back stands there"
        yield Fault("E800", wrong, ("keep_back",), on_key=True, allowed="keep_back in the yoke, in machines.yaml",
                    example="keep_back: 14 bar, keep_back_measured: 2026-05-12")  # fmt: skip
    elif cylinder.keep_back is not None and cylinder.keep_back_measured is None:
        yield missing("keep_back_measured", Cylinder, MEASURED_KEEP_BACK)
    if cylinder.keep_back is None and cylinder.keep_back_measured is not None:
        yield missing("keep_back", Cylinder, "keep_back_measured is given")


def _hangs_on_a_yoke(cylinder: Cylinder) -> Iterator[Fault]:
    largest, capacity = impossible.LARGEST_ON_A_YOKE, cylinder.water_capacity
    if cylinder.valve == PIN_INDEX and capacity.m3 > largest.m3:
        wrong = f"no yoke bears a cylinder of {capacity.text}; is the decimal point in its place?"
        allowed = f"at most {largest.text} with a pin-indexed valve"
        yield Fault("E272", wrong, ("water_capacity",), allowed=allowed, example="water_capacity: 4.68 L")


class Cylinder(Named):
    """One kind of cylinder: its gas, its valve, how much it holds."""

    what = "a cylinder"
    gas: GasName = Field(description="what it is filled with", examples=["oxygen"])
    fractions: dict[str, Share] | None = Field(
        None, description="of a mixture that its name does not define", examples=["{oxygen: 95 %, carbon dioxide: 5 %}"]
    )
    size: Text | None = Field(None, description="its size letter, with the country", examples=["E"])
    country: Text | None = Field(None, description="whose size letter it is", examples=["UK"])
    valve: Valve = Field(description="pin-index for a hanger yoke, integral for a valve with its own regulator",
                         examples=["pin-index"])  # fmt: skip
    water_capacity: VolumeAboveZero = Field(description="as stamped on the cylinder", examples=["4.68 L"])
    water_capacity_tolerance: Tolerance | None = Field(
        None, description="how much smaller than stamped it may be", examples=["1 %"]
    )
    filling: Filling = Field(description="how a full one is filled", examples=["{pressure: 137 bar, at: 15 °C}"])
    tare: MassAboveZero | None = Field(None, description="the weight of the empty cylinder", examples=["5.40 kg"])
    tare_includes: TareIncludes | None = Field(
        None, description="what was weighed with it: valve, valve and cap, or cylinder only", examples=["valve"]
    )
    gauge: Text | None = Field(None, description="the entry of gauges.yaml", examples=["integral-dial"])
    stored: Text = Field(
        description="where it waits before it is hung, as cold or as warm as there: the entry of places.yaml",
        examples=["gas-store"],
    )
    keep_back: GaugeAboveZero | None = Field(
        None,
        description=f"of the regulator of an integral valve, {KEEP_BACK}",
        examples=["14 bar"],
    )
    keep_back_measured: Date | None = Field(
        None, description="the day on which keep_back was measured", examples=["2026-05-12"]
    )
    answers: CylinderAnswers = Field(
        CylinderAnswers(),
        description="reasons for not following a recommendation",
        examples=["{water-capacity-tolerance: why none is given}"],
    )
    checks = (
        ((), _size_and_country),
        (("gas",), _fractions),
        (("gas", "filling"), _filling_of_gas),
        (("gas",), _tare),
        ((), _tare_includes),
        (("valve",), _gauge),
        (("valve", "keep_back", "keep_back_measured"), _keep_back),
        (("valve", "water_capacity"), _hangs_on_a_yoke),
    )

    @property
    def liquefied(self) -> bool:
        """True for a gas that is liquid in the cylinder."""
        return self.gas in LIQUEFIED

    @property
    def contents(self) -> gases.Gas:
        """The gas with its composition and pin code."""
        if self.fractions is None:
            return gases.FIXED[self.gas]
        if self.gas == "oxygen/helium":
            return gases.oxygen_helium(self.fractions["helium"].fraction)
        return gases.oxygen_carbon_dioxide(self.fractions["carbon dioxide"].fraction)
