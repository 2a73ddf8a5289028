"""`machines.yaml`: the department's machines, each with its supplies and its hanger yokes."""

from __future__ import annotations

from collections.abc import Iterator

from pydantic import Field

from yokebook.data.entry import Entry, Named, missing
from yokebook.data.faults import Fault
from yokebook.data.fields import (
    Boolean,
    Date,
    Flow,
    FlowAboveZero,
    GasName,
    GasOrNone,
    GaugeAboveZero,
    Reason,
    Text,
    VolumeAboveZero,
)
from yokebook.data.ranges import PressureRange

NO_GAS = "none"


def _flows_of_drive(drive: Drive) -> Iterator[Fault]:
    for key in ("usual", "high"):
        given = getattr(drive, key) is not None
        if drive.gas == NO_GAS and given:
            wrong = "a machine without drive gas takes no drive flow"
            yield Fault("E227", wrong, (key,), on_key=True, allowed="gas alone, or a drive gas",
                        example="drive: {gas: none}")  # fmt: skip
        if drive.gas != NO_GAS and not given:
            yield missing(key, Drive, "the ventilator is driven by gas")


def _order_of_drive(drive: Drive) -> Iterator[Fault]:
    if drive.usual is not None and drive.high is not None and drive.usual.si > drive.high.si:
        wrong = f"high ({drive.high.text}) lies below usual ({drive.usual.text})"
        yield Fault("E212", wrong, ("high",), allowed="usual, high in rising order")


class Drive(Entry):
    """What drives the ventilator, as measured on this machine: no rule of thumb holds for all designs."""

    what = "drive"
    gas: GasOrNone = Field(description="the gas that drives the ventilator, or none", examples=["oxygen"])
    usual: FlowAboveZero | None = Field(None, description="at usual settings", examples=["6 L/min"])
    high: FlowAboveZero | None = Field(None, description="the most that it takes", examples=["9 L/min"])
    measured: Date | None = Field(None, examples=["2026-02-11"])
    checks = ((("gas",), _flows_of_drive), (("usual", "high"), _order_of_drive))


class Indicator(Entry):
    """The indicator lamp of the oxygen supply."""

    what = "indicator"
    red_below: GaugeAboveZero = Field(examples=["30 bar"])


def _used_or_not(yoke: Yoke) -> Iterator[Fault]:
    for key in ("cylinder", "gauge"):
        given = getattr(yoke, key) is not None
        if yoke.not_used is None and not given:
            yield missing(key, Yoke, "the yoke is in use; one that is not says not_used with the reason")
        if yoke.not_used is not None and given:
            wrong = f"{key} is given for a yoke that is said to be not used"
            yield Fault("E226", wrong, (key,), on_key=True, allowed="gas, not_used and plug for a yoke not used",
                        example="not_used: the room has no scavenging for it")  # fmt: skip


class Yoke(Entry):
    """One hanger yoke."""

    what = "a yoke"
    gas: GasName = Field(description="the gas for which its pins are set", examples=["oxygen"])
    cylinder: Text | None = Field(None, description="the entry of cylinders.yaml", examples=["oxygen-e"])
    gauge: Text | None = Field(None, description="the entry of gauges.yaml", examples=["yoke-oxygen"])
    regulated_pressure: PressureRange | None = Field(None, examples=["{low: 40 psi, high: 45 psi}"])
    plug: Text | None = Field(None, examples=["on a chain at the yoke"])
    not_used: Reason | None = Field(None, examples=["the room has no scavenging for it"])
    checks = (((), _used_or_not),)


class MachineAnswers(Entry):
    """The department's reasons for not following a recommendation about a machine."""

    what = "answers of a machine"
    oxygen_yoke: Reason | None = Field(None, alias="oxygen-yoke", examples=["the trolley carries the cylinder"])
    nitrous_oxide_yoke: Reason | None = Field(
        None, alias="nitrous-oxide-yoke", examples=["no nitrous oxide is given here"]
    )
    two_oxygen_yokes: Reason | None = Field(
        None, alias="two-oxygen-yokes", examples=["the second yoke is taken by air"]
    )
    one_regulator_per_gas: Reason | None = Field(
        None, alias="one-regulator-per-gas", examples=["the yokes have a regulator each"]
    )
    drive_measured: Reason | None = Field(
        None, alias="drive-measured", examples=["measured at the next service in May"]
    )
    yoke_plug: Reason | None = Field(None, alias="yoke-plug", examples=["plugs hang at the gas store"])


class Machine(Named):
    """One machine, or several that are alike in all that is said here."""

    what = "a machine"
    place: Text = Field(description="the entry of places.yaml; its temperature decides", examples=["theatre"])
    used_without_pipeline: Boolean = Field(
        description="whether it is used where no pipeline is at hand", examples=["false"]
    )
    pipeline: dict[GasName, PressureRange] = Field({}, examples=["{oxygen: {low: 50 psi, high: 55 psi}}"])
    drive: Drive = Field(
        description="what drives its ventilator", examples=["{gas: oxygen, usual: 6 L/min, high: 9 L/min}"]
    )
    standing_draw: Flow = Field(
        description="the oxygen that it takes for as long as it is on, besides what it delivers", examples=["0 L/min"]
    )
    trapped_volume: VolumeAboveZero | None = Field(
        None, description="between the closed cylinder valve and the regulator", examples=["20 mL"]
    )
    indicator: Indicator | None = Field(None, examples=["{red_below: 30 bar}"])
    yokes: tuple[Yoke, ...] = Field(
        description="its hanger yokes", examples=["[{gas: oxygen, cylinder: oxygen-e, gauge: yoke-oxygen}]"]
    )
    answers: MachineAnswers = Field(MachineAnswers(), examples=["{yoke-plug: plugs hang at the gas store}"])

    @property
    def drive_gas(self) -> str:
        """The gas that drives the ventilator, "" where none does."""
        return "" if self.drive.gas == NO_GAS else self.drive.gas
