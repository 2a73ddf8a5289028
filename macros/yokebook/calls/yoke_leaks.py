"""What a leaking or open yoke costs: how soon a full cylinder on it is used up."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from yokebook import units
from yokebook.calls.pin_words import cylinder_text
from yokebook.calls.refusal import in_range
from yokebook.calls.result import Caution, Input, Table, Working
from yokebook.calls.supply import (
    counting_inputs,
    filling_text,
    in_its_place,
    refuse_separation,
    store_input,
    temperature_of,
    tolerance_input,
)
from yokebook.calls.working import TIMES_DOWN, digits
from yokebook.data.cylinders import Cylinder
from yokebook.data.department import Department
from yokebook.data.keep_back import KeepBack, keep_back
from yokebook.data.machines import Machine
from yokebook.data.sources import key_text
from yokebook.number_list import Shown, duration_down, significant
from yokebook.physics import bounds, contents, liquefied, realgas, reserve
from yokebook.physics.contents import Condition
from yokebook.physics.realgas import Model
from yokebook.quantities import CubicMetres, GaugePa, Kelvin, Moles, Seconds

LIMIT = units.Flow.stated("100 mL/min")
"""The most that a yoke of a machine with two or more for one gas may leak (ISO 5358:1992, clause 5.4, read in a
national adoption: at 20 °C and 101.3 kPa, from a cylinder at 15 MPa)."""
EXAMPLES = (LIMIT, *(units.Flow.stated(text) for text in ("1 L/min", "5 L/min", "20 L/min")))
_NO_LIMIT = Caution(
    "WARNING",
    "The flows are examples. A yoke without its plug, a check valve that does not close or a damaged washer sets no "
    "upper limit: a cylinder may be used up sooner than any row says.",
)
_CLOSE = Caution(
    "WARNING",
    "Close each cylinder that is not in use, and fit the plug into each yoke that is to stay empty. Listen for a hiss.",
)


@dataclass(frozen=True)
class FullCylinder:
    """A full cylinder in its place, with what is not known exactly."""

    entry: Cylinder
    physics: bounds.Cylinder
    kept: KeepBack
    inputs: tuple[Input, ...]

    def usable(self, capacity: CubicMetres, end: Kelvin, model: Model | None) -> Moles:
        """Return the gas [mol] of a filling down to the keep-back, which is reached at the temperature `end` [K]."""
        cylinder = self.physics
        filling = self.entry.filling
        if filling.ratio is not None:
            stays = contents.left_behind(cylinder.gas, capacity, cylinder.keep_back, end, cylinder.ambient)
            return Moles(self.held(capacity, None) - stays)
        pressure, at = self.filled
        return contents.usable(
            cylinder.gas, capacity, pressure, cylinder.keep_back, at, cylinder.ambient, model, end_temperature=end
        )

    def held(self, capacity: CubicMetres, model: Model | None) -> Moles:
        """Return all gas [mol] of a filling."""
        filling, gas = self.entry.filling, self.physics.gas
        if filling.ratio is not None:
            mass = liquefied.filled_mass(float(filling.ratio), capacity)
            return liquefied.amount_of_mass(mass, realgas.molar_mass(gas))
        pressure, at = self.filled
        return contents.total(gas, capacity, pressure, at, self.physics.ambient, model)

    @property
    def filled(self) -> tuple[GaugePa, Kelvin]:
        """The pressure [Pa] of a filling of compressed gas, and the temperature [K] at which it has it."""
        pressure, at = self.entry.filling.pressure, self.entry.filling.at
        assert pressure is not None
        assert at is not None
        return pressure.pa, at.k

    def worst(self, flow: units.Flow, condition: Condition) -> Worst:
        """Return the corner in which a leak uses the cylinder up soonest."""
        gas, low = self.physics.gas, self.physics.water_capacity.low
        corners = [
            Worst(model, end, self.held(low, model), self.usable(low, end, model), self._rate(flow, condition, model))
            for model in realgas.models(gas)
            for end in self.physics.temperature.corners
        ]
        return min(corners, key=lambda corner: corner.duration)

    def nominal(self, flow: units.Flow, condition: Condition) -> Seconds:
        """Return how long [s] a leak takes to use the cylinder up, nominal values taken as exact."""
        cylinder = self.physics
        usable = self.usable(cylinder.water_capacity.nominal, cylinder.temperature.nominal, None)
        return Seconds(usable / self._rate(flow, condition, None))

    def _rate(self, flow: units.Flow, condition: Condition, model: Model | None) -> float:
        return reserve.amount_rate(self.physics.gas, reserve.Draw(flow.m3_per_s), condition, model)


@dataclass(frozen=True)
class Worst:
    """One corner of how long a leak takes: model, temperature at the keep-back [K], amounts [mol], rate [mol/s]."""

    model: Model
    end: Kelvin
    held: Moles
    usable: Moles
    rate: float

    @property
    def duration(self) -> Seconds:
        """How long the leak takes [s]."""
        return Seconds(self.usable / self.rate)


def full_cylinder(department: Department, entry: Cylinder, machine: Machine | None) -> FullCylinder:
    """Return a full cylinder on a machine, or in the rooms of the department where none is named."""
    gauge = department.gauges.get(entry.gauge or "")
    temperature, key = temperature_of(department, entry, machine, gauge)
    kept = keep_back(department, entry, [machine] if machine else ())
    physics = in_its_place(department, entry, temperature, kept)
    refuse_separation(entry, physics)
    of_cylinder = ("cylinders", entry.key)
    inputs = (
        Input(f"{entry.key}: gas", entry.gas, key_text((*of_cylinder, "gas"))),
        Input(f"{entry.key}: water capacity", entry.water_capacity.text, key_text((*of_cylinder, "water_capacity"))),
        *tolerance_input(entry),
        Input(f"{entry.key}: filling", filling_text(entry), key_text((*of_cylinder, "filling"))),
        Input("Temperature of the cylinder", f"{temperature.low.text} to {temperature.high.text}", key),
        store_input(department, entry),
    )
    return FullCylinder(entry, physics, kept, inputs)


def table_of(
    full: tuple[FullCylinder, ...], flows: tuple[units.Flow, ...], department: Department, where: str
) -> Table:
    """Return the table of what leaks cost, the greatest first; `where` says on which machine."""
    reference = department.settings.flowmeter_reference
    condition = Condition(reference.temperature.k, reference.pressure.pa)
    flows = tuple(sorted(flows, key=lambda flow: flow.si, reverse=True))
    return Table(
        caption=f"What a leaking or open yoke{where} costs: litres lost, and how soon a full cylinder is used up",
        condition=_condition(full, flows, department),
        corner="Leak",
        rows=tuple(flow.text for flow in flows),
        columns=(
            "Lost in an hour",
            *(f"Full {cylinder_text(one.entry)}: used up at the earliest after" for one in full),
        ),
        cells=tuple((_lost(flow), *(_cell(one, flow, condition) for one in full)) for flow in flows),
        unit=("L", *("min" for _ in full)),
        rounding=(units.Rounding.UP, *(units.Rounding.DOWN for _ in full)),
        cautions=(_NO_LIMIT, _CLOSE),
        working=_working(full, flows, department, condition),
    )


def _lost(flow: units.Flow) -> Shown:
    exact = significant(flow.si * 3600 * 1000)
    litres = units.round_to(exact, Decimal(1), units.Rounding.UP)
    return Shown(units.with_unit(units.group(litres), units.SPELLINGS["L"]), significant(litres), exact)


def _cell(full: FullCylinder, flow: units.Flow, condition: Condition) -> Shown:
    worst = in_range(lambda: full.worst(flow, condition), ("cylinder",))
    return duration_down(worst.duration, in_range(lambda: full.nominal(flow, condition), ("cylinder",)))


def _condition(full: tuple[FullCylinder, ...], flows: tuple[units.Flow, ...], department: Department) -> str:
    settings = department.settings
    reference = settings.flowmeter_reference
    small = dict.fromkeys(one.entry.water_capacity_tolerance for one in full)
    lesser = [f"water capacity {tolerance.text} less than stamped" for tolerance in small if tolerance]
    places = dict.fromkeys((one.physics.temperature.low, one.physics.temperature.high) for one in full)
    warm = [f"{units.shown(low, '°C', '0.1')} to {units.shown(high, '°C', '0.1')} at the end" for low, high in places]
    parts = (
        "a cylinder filled as it should be",
        *lesser,
        *warm,
        *(f"down to a true pressure of {kept}" for kept in dict.fromkeys(one.kept.text for one in full)),
    )
    limit = (
        f" {LIMIT.text} is the most that ISO 5358:1992, clause 5.4, lets a yoke leak on a machine that has two or more "
        "for one gas."
        if any(flow.si == LIMIT.si for flow in flows)
        else ""
    )
    return (
        f"Worked with each tolerance at its worst, litres rounded up and times down: {', '.join(parts)}. A leak is "
        f"taken as steady.{limit} Litres are litres at {reference.temperature.text} and {reference.pressure.text}."
    )


def _working(
    full: tuple[FullCylinder, ...], flows: tuple[units.Flow, ...], department: Department, condition: Condition
) -> Working:
    inputs = (
        *(entry for one in full for entry in one.inputs),
        *counting_inputs(department, *(one.kept for one in full)),
        *(Input("Leak", flow.text, "") for flow in flows),
    )
    models = dict.fromkeys(model.value for one in full for model in realgas.models(one.physics.gas))
    lines = (
        "Litres in an hour = leak × 60 min. Time = (gas filled − gas left at the keep-back) ÷ (leak × molar density at "
        "the condition of the litres).",
        *(f"First row, {cylinder_text(one.entry)}: {_worked(one, flows[0], condition)}" for one in full),
        f"Litres are rounded up to 1 L. {TIMES_DOWN}",
        f"Source of the densities: {', '.join(models)}. Source of the limit: ISO 5358:1992, clause 5.4, read in a "
        "national adoption (at 20 °C and 101.3 kPa, from a cylinder at 15 MPa).",
    )
    return Working(tuple(dict.fromkeys(inputs)), lines)


def _worked(full: FullCylinder, flow: units.Flow, condition: Condition) -> str:
    worst = full.worst(flow, condition)
    amounts = [digits(amount, "0.001") for amount in (worst.held, worst.held - worst.usable, worst.usable)]
    capacity = digits(full.physics.water_capacity.low * 1000, "0.0001")
    per_litre = digits(worst.rate / flow.si / 1000, "0.000001")
    steps = (
        f"a water capacity of {capacity} L holds {amounts[0]} mol when filled ({worst.model.value})",
        f"at the keep-back at {units.shown(worst.end, '°C', '0.1')} {amounts[1]} mol stay behind, {amounts[2]} mol go",
        f"the leak takes {units.shown(flow.si, 'L/min', '0.001')} × {per_litre} mol/L = "
        f"{digits(worst.rate * 60, '0.00001')} mol/min",
        f"that is {units.shown(worst.duration, 'min', '0.01')}, shown as {_cell(full, flow, condition).text}.",
    )
    return "; ".join(steps)
