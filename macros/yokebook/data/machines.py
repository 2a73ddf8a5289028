"""`machines.yaml`: the department's machines, each with its supplies and its hanger yokes."""

from __future__ import annotations

from collections.abc import Iterator

from pydantic import Field

from yokebook.data import impossible
from yokebook.data.entry import Entry, Named, missing
from yokebook.data.faults import Fault, Path
from yokebook.data.fields import (
    Boolean,
    Date,
    Duration,
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
KEEP_BACK = (
    "measured: the true pressure below which this regulator no longer holds its outlet, the gauge's possible error "
    "added to the reading; left out, the department's counts"
)
MEASURED_KEEP_BACK = "keep_back of one regulator is one that was measured, and is worth what its day says"
_MEASURED_LIST = "[{inlet: 130 bar, outlet: 3.10 bar}, {inlet: 30 bar, outlet: 2.80 bar}]"
_MEASURED = f"measured_outlets: {_MEASURED_LIST}"


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


def _possible_drive(drive: Drive) -> Iterator[Fault]:
    for key in ("usual", "high"):
        yield from impossible.FLOW.faults(getattr(drive, key), (key,))


class Drive(Entry):
    """What drives the ventilator, as measured on this machine: no rule of thumb holds for all designs."""

    what = "drive"
    gas: GasOrNone = Field(description="the gas that drives the ventilator, or none", examples=["oxygen"])
    usual: FlowAboveZero | None = Field(None, description="at usual settings", examples=["6 L/min"])
    high: FlowAboveZero | None = Field(None, description="the most that it takes", examples=["9 L/min"])
    measured: Date | None = Field(None, description="the day on which it was measured", examples=["2026-02-11"])
    checks = (
        (("gas",), _flows_of_drive),
        (("usual", "high"), _order_of_drive),
        (("usual", "high"), _possible_drive),
    )


class Indicator(Entry):
    """The indicator lamp of the oxygen supply."""

    what = "indicator"
    red_below: GaugeAboveZero = Field(description="the reading below which the lamp is red", examples=["30 bar"])


def _outlet_below_inlet(measured: MeasuredOutlet) -> Iterator[Fault]:
    if measured.outlet.pa >= measured.inlet.pa:
        wrong = f"the outlet is not below the inlet ({measured.inlet.text}): nothing is regulated"
        yield Fault("E237", wrong, ("outlet",), allowed=f"less than {measured.inlet.text}", example="outlet: 3.10 bar")


def _possible_outlet(measured: MeasuredOutlet) -> Iterator[Fault]:
    if measured.outlet.pa < measured.inlet.pa:
        yield from impossible.SUPPLY.faults(measured.outlet, ("outlet",))


class MeasuredOutlet(Entry):
    """The outlet pressure of a yoke's regulator as measured on this machine at one inlet pressure."""

    what = "a measured outlet"
    inlet: GaugeAboveZero = Field(description="the reading of the cylinder gauge", examples=["130 bar"])
    outlet: GaugeAboveZero = Field(description="what the regulator then gave, at little flow", examples=["3.10 bar"])
    checks = ((("inlet", "outlet"), _outlet_below_inlet), (("inlet", "outlet"), _possible_outlet))


def _two_outlets(yoke: Yoke) -> Iterator[Fault]:
    measured = yoke.measured_outlets
    if measured is None:
        return
    if len(measured) != 2:
        wrong = (
            "a regulator is told by two measured outlets, one with much gas in the cylinder and one with little; "
            f"this is {len(measured)}"
        )
        yield Fault("E235", wrong, ("measured_outlets",), on_key=True, allowed="two measurements", example=_MEASURED)
    elif measured[0].inlet.pa == measured[1].inlet.pa:
        wrong = "both outlets were measured at the same inlet, so they do not tell what the inlet does"
        yield Fault("E236", wrong, ("measured_outlets", 1, "inlet"), allowed="two inlets well apart",
                    example="inlet: 30 bar")  # fmt: skip


def _possible_range(supply: PressureRange, at: Path) -> Iterator[Fault]:
    for key in ("low", "high"):
        yield from impossible.SUPPLY.faults(getattr(supply, key), (*at, key))


def _possible_regulator(yoke: Yoke) -> Iterator[Fault]:
    if yoke.regulated_pressure is not None:
        yield from _possible_range(yoke.regulated_pressure, ("regulated_pressure",))


def _measured_keep_back(yoke: Yoke) -> Iterator[Fault]:
    if yoke.keep_back is not None and yoke.keep_back_measured is None:
        yield missing("keep_back_measured", Yoke, MEASURED_KEEP_BACK)
    if yoke.keep_back is None and yoke.keep_back_measured is not None:
        yield missing("keep_back", Yoke, "keep_back_measured is given")


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
    regulated_pressure: PressureRange | None = Field(
        None, description="the outlet of its regulator", examples=["{low: 40 psi, high: 45 psi}"]
    )
    measured_outlets: tuple[MeasuredOutlet, ...] | None = Field(
        None, description="the outlet of its regulator at two readings of the gauge", examples=[_MEASURED_LIST]
    )
    keep_back: GaugeAboveZero | None = Field(None, description=KEEP_BACK, examples=["14 bar"])
    keep_back_measured: Date | None = Field(
        None, description="the day on which keep_back was measured", examples=["2026-05-12"]
    )
    plug: Text | None = Field(None, description="where its plug is", examples=["on a chain at the yoke"])
    not_used: Reason | None = Field(
        None, description="why nothing hangs in it", examples=["the room has no scavenging for it"]
    )
    checks = (
        ((), _used_or_not),
        (("measured_outlets",), _two_outlets),
        (("keep_back", "keep_back_measured"), _measured_keep_back),
        (("regulated_pressure",), _possible_regulator),
    )


class MachineAnswers(Entry):
    """The department's reasons for what is not recommended, or unusual, about a machine."""

    what = "answers of a machine"
    oxygen_yoke: Reason | None = Field(
        None,
        description="why there is no yoke for oxygen",
        alias="oxygen-yoke",
        examples=["the trolley carries the cylinder"],
    )
    nitrous_oxide_yoke: Reason | None = Field(
        None,
        description="why there is no yoke for nitrous oxide",
        alias="nitrous-oxide-yoke",
        examples=["no nitrous oxide is given here"],
    )
    two_oxygen_yokes: Reason | None = Field(
        None,
        description="why one oxygen yoke is enough without a pipeline",
        alias="two-oxygen-yokes",
        examples=["the second yoke is taken by air"],
    )
    one_regulator_per_gas: Reason | None = Field(
        None,
        description="why the regulators differ or are not known",
        alias="one-regulator-per-gas",
        examples=["the yokes have a regulator each"],
    )
    drive_measured: Reason | None = Field(
        None,
        description="why the drive gas was not measured",
        alias="drive-measured",
        examples=["measured at the next service in May"],
    )
    yoke_plug: Reason | None = Field(
        None, description="why no plug is at hand", alias="yoke-plug", examples=["plugs hang at the gas store"]
    )
    trapped_volume: Reason | None = Field(
        None,
        description="why it is so small or so large",
        alias="trapped-volume",
        examples=["a hose of two metres leads to the regulator"],
    )
    supply_pressure: Reason | None = Field(
        None,
        description="why the pressure of a pipeline or a regulator is so low or so high",
        alias="supply-pressure",
        examples=["the old pipeline of the annexe gives no more"],
    )
    drive_high: Reason | None = Field(
        None,
        description="why so little gas drives the ventilator",
        alias="drive-high",
        examples=["an electric bellows, gas moves its valves alone"],
    )


def _possible_pipelines(machine: Machine) -> Iterator[Fault]:
    for gas, pipeline in machine.pipeline.items():
        yield from _possible_range(pipeline, ("pipeline", gas))


def _possible_trapped_volume(machine: Machine) -> Iterator[Fault]:
    yield from impossible.TRAPPED_VOLUME.faults(machine.trapped_volume, ("trapped_volume",))


def _possible_in_hand(machine: Machine) -> Iterator[Fault]:
    yield from impossible.time_in_hand(machine.time_in_hand)


class Machine(Named):
    """One machine, or several that are alike in all that is said here."""

    what = "a machine"
    label: Text | None = Field(
        None,
        description="as readers know it, and as it stands on the machine; the name of this entry where left out",
        examples=["the theatre machine"],
    )
    place: Text = Field(description="the entry of places.yaml; its temperature decides", examples=["theatre"])
    used_without_pipeline: Boolean = Field(
        description="whether it is used where no pipeline is at hand", examples=["false"]
    )
    pipeline: dict[GasName, PressureRange] = Field(
        {},
        description="its pipeline supplies, each with its pressure",
        examples=["{oxygen: {low: 50 psi, high: 55 psi}}"],
    )
    drive: Drive = Field(
        description="what drives its ventilator", examples=["{gas: oxygen, usual: 6 L/min, high: 9 L/min}"]
    )
    standing_draw: Flow = Field(
        description="the oxygen that it takes for as long as it is on, besides what it delivers", examples=["0 L/min"]
    )
    time_in_hand: Duration | None = Field(
        None,
        description="its own rule when a cylinder in use is changed, where it is not the department's",
        examples=["30 min"],
    )
    trapped_volume: VolumeAboveZero | None = Field(
        None, description="between the closed cylinder valve and the regulator", examples=["20 mL"]
    )
    indicator: Indicator | None = Field(
        None, description="the indicator lamp of the oxygen supply", examples=["{red_below: 30 bar}"]
    )
    yokes: tuple[Yoke, ...] = Field(
        description="its hanger yokes", examples=["[{gas: oxygen, cylinder: oxygen-e, gauge: yoke-oxygen}]"]
    )
    answers: MachineAnswers = Field(
        MachineAnswers(),
        description="reasons for not following a recommendation",
        examples=["{yoke-plug: plugs hang at the gas store}"],
    )
    checks = (
        (("pipeline",), _possible_pipelines),
        (("trapped_volume",), _possible_trapped_volume),
        (("time_in_hand",), _possible_in_hand),
    )

    @property
    def called(self) -> str:
        """What readers call it."""
        return self.label or self.key

    @property
    def drive_gas(self) -> str:
        """The gas that drives the ventilator, "" where none does."""
        return "" if self.drive.gas == NO_GAS else self.drive.gas
