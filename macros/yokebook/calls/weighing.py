"""A cylinder on a scale: what its weight surely says, with the data keys of each value."""

from __future__ import annotations

from dataclasses import dataclass, replace
from decimal import Decimal

from yokebook import units
from yokebook.calls.refusal import Refusal, pick, pick_named
from yokebook.calls.result import Input
from yokebook.calls.supply import (
    counting_inputs,
    filling_text,
    in_its_place,
    refuse_separation,
    stamped_text,
    store_input,
    temperature_input,
    temperature_of,
    tolerance_input,
)
from yokebook.data import cylinders, machines, places
from yokebook.data.department import Department
from yokebook.data.faults import Fault, Path
from yokebook.data.keep_back import KeepBack, keep_back
from yokebook.data.sources import key_text
from yokebook.number_list import significant
from yokebook.physics import bounds, contents, liquefied, liquefied_bounds, realgas
from yokebook.physics.contents import Condition
from yokebook.quantities import CubicMetres, Kelvin, Kilograms, Moles

_WEIGHED_WITH = {"valve": "with its valve", "valve and cap": "with its valve and cap"}
_ALONE = {
    "valve": "with its valve and nothing else on it: no cap, no key, no plug",
    "valve and cap": "with its valve and its cap and nothing else on it: no key, no plug",
}


@dataclass(frozen=True)
class Weighing:
    """One cylinder with its tare and its tolerances, the scale, and the condition in which litres are counted."""

    entry: cylinders.Cylinder
    machine: machines.Machine | None
    scale: places.Scale
    physics: bounds.Cylinder
    condition: Condition
    kept: KeepBack
    inputs: tuple[Input, ...]

    @property
    def stamped(self) -> str:
        """How a reader tells the cylinder: by its stamped water capacity and tare."""
        return f"{stamped_text(self.entry)} and tare {self.tare.text}"

    @property
    def weighed(self) -> str:
        """What is on the scale with the cylinder."""
        return _WEIGHED_WITH[self.entry.tare_includes or ""]

    @property
    def alone(self) -> str:
        """What is on the scale with the cylinder, and what is not to hang on it."""
        return _ALONE[self.entry.tare_includes or ""]

    @property
    def tare(self) -> units.Mass:
        """The tare as stamped."""
        assert self.entry.tare is not None
        return self.entry.tare

    @property
    def scale_doubt(self) -> Kilograms:
        """How far the weight shown may be out [kg]: the scale's tolerance, and half a step that the display leaves."""
        return Kilograms(self.scale.tolerance.kg + self.scale.interval.kg / 2)

    @property
    def tare_doubt(self) -> Kilograms:
        """How far the tare may be out [kg]: half of the last figure that is stamped."""
        exponent = self.tare.number.as_tuple().exponent
        assert isinstance(exponent, int)
        return Kilograms(units.to_si(Decimal(5).scaleb(exponent - 1), self.tare.unit))

    @property
    def interval(self) -> Decimal:
        """The smallest step of the scale, in its own unit."""
        return self.scale.interval.number

    def printed(self, mass: Kilograms) -> Decimal:
        """Return a mass [kg] as a number of this scale."""
        return significant(units.from_si(mass, self.scale.interval.unit))

    def kg(self, printed: Decimal) -> Kilograms:
        """Return the mass [kg] of a number of this scale."""
        return Kilograms(units.to_si(printed, self.scale.interval.unit))

    def label(self, printed: Decimal) -> str:
        """Return a number of this scale with its unit, with as many figures as the scale shows."""
        return units.with_unit(self.figures(printed), self.scale.interval.unit)

    def figures(self, printed: Decimal) -> str:
        """Return a number of this scale with as many figures as it shows."""
        return units.group(printed.quantize(self.interval))

    @property
    def full(self) -> Kilograms:
        """What a full cylinder weighs [kg], nominal values taken as exact."""
        return Kilograms(self.tare.kg + self._filled(self.physics.water_capacity.nominal, None))

    @property
    def heaviest(self) -> Kilograms:
        """What a full cylinder may weigh at most on this scale [kg]."""
        gas, largest = self.physics.gas, self.physics.water_capacity.high
        filled = max(self._filled(largest, model) for model in realgas.models(gas))
        return Kilograms(self.tare.kg + filled + self.scale_doubt + self.tare_doubt)

    @property
    def lightest(self) -> Kilograms:
        """What an empty cylinder may weigh at least on this scale [kg]."""
        return Kilograms(self.tare.kg - self.scale_doubt - self.tare_doubt)

    def _filled(self, capacity: CubicMetres, model: realgas.Model | None) -> Kilograms:
        """Return the mass of a filling [kg]; a liquefied gas is weighed in by the stamped water capacity."""
        filling, gas = self.entry.filling, self.physics.gas
        if filling.ratio is not None:
            return liquefied.filled_mass(float(filling.ratio), self.entry.water_capacity.m3)
        assert filling.pressure is not None
        assert filling.at is not None
        held = contents.total(gas, capacity, filling.pressure.pa, filling.at.k, self.physics.ambient, model)
        return Kilograms(held * realgas.molar_mass(gas))

    def least_held(self, gross: Kilograms) -> Moles:
        """Return the gas [mol] that a cylinder of this weight [kg] surely holds, all of it counted."""
        gas = self.physics.gas
        return liquefied_bounds.least_by_weight(gas, gross, self.tare.kg, self.scale_doubt, self.tare_doubt)

    def least_usable(self, gross: Kilograms, coldest: Kelvin | None = None) -> Moles:
        """Return the gas [mol] that a cylinder of this weight [kg] surely gives down to the keep-back.

        `coldest` is how cold [K] what is drawn may make it, where that counts.
        """
        cylinder, held = self.physics, self.least_held(gross)
        temperature = replace(cylinder.temperature, low=self.end(coldest))
        return liquefied_bounds.least_usable_by_weight(
            cylinder.gas, held, cylinder.water_capacity, cylinder.keep_back, temperature, cylinder.ambient
        )

    def end(self, coldest: Kelvin | None = None) -> Kelvin:
        """Return how cold [K] the cylinder may be when the keep-back is reached."""
        return self.physics.temperature.low if coldest is None else coldest

    def nominal_usable(self, gross: Kilograms) -> Moles:
        """Return the gas [mol] that a cylinder of this weight [kg] gives, nominal values taken as exact."""
        cylinder = self.physics
        mass = max(gross - self.tare.kg, 0.0)
        stays = contents.left_behind(
            cylinder.gas,
            cylinder.water_capacity.nominal,
            cylinder.keep_back,
            cylinder.temperature.nominal,
            cylinder.ambient,
        )
        return Moles(max(mass / realgas.molar_mass(cylinder.gas) - stays, 0.0))


def weighing(
    department: Department, entry: cylinders.Cylinder, scale: places.Scale, machine: machines.Machine | None
) -> Weighing:
    """Return a cylinder of the data on a scale; refuse one of which its weight says nothing."""
    assert entry.tare is not None
    assert entry.tare_includes is not None
    gauge = pick_named(department, "gauges", entry.gauge) if entry.gauge else None
    temperature, temperature_key = temperature_of(department, entry, machine, gauge)
    kept = keep_back(department, entry, [machine] if machine else ())
    physics = in_its_place(department, entry, temperature, kept)
    refuse_separation(entry, physics)
    reference = department.settings.flowmeter_reference
    of_cylinder, of_scale = ("cylinders", entry.key), ("scales", scale.key)
    inputs = (
        Input("Gas", entry.gas, key_text((*of_cylinder, "gas"))),
        Input("Tare", entry.tare.text, key_text((*of_cylinder, "tare"))),
        Input("The tare includes", entry.tare_includes, key_text((*of_cylinder, "tare_includes"))),
        Input("Water capacity", entry.water_capacity.text, key_text((*of_cylinder, "water_capacity"))),
        *tolerance_input(entry),
        Input("Filling", filling_text(entry), key_text((*of_cylinder, "filling"))),
        Input("Step of the scale", scale.interval.text, key_text((*of_scale, "interval"))),
        Input("Tolerance of the scale", scale.tolerance.text, key_text((*of_scale, "tolerance"))),
        temperature_input(temperature, temperature_key),
        store_input(department, entry),
        *counting_inputs(department, kept),
    )
    condition = Condition(reference.temperature.k, reference.pressure.pa)
    return Weighing(entry, machine, scale, physics, condition, kept, inputs)


def checked(weighed: Weighing, weight: units.Mass, at: Path) -> Decimal:
    """Return a weight as a number of the scale, or refuse one that it cannot show or this cylinder cannot have."""
    unit = weighed.scale.interval.unit
    if weight.unit != unit or weight.number % weighed.interval:
        wrong = (
            f"the scale {weighed.scale.key} shows {unit.symbol}"
            if weight.unit != unit
            else f"the scale {weighed.scale.key} shows no step as small as this"
        )
        nearest = units.round_to(weighed.printed(weight.kg), weighed.interval, units.Rounding.DOWN)
        raise Refusal(
            Fault(
                "E544",
                wrong,
                at,
                allowed=f"the weight as the scale shows it, in steps of {weighed.scale.interval.text}",
                example=_example(weighed, nearest),
            )
        )
    low = units.round_to(weighed.printed(weighed.lightest), weighed.interval, units.Rounding.UP)
    high = units.round_to(weighed.printed(weighed.heaviest), weighed.interval, units.Rounding.DOWN)
    allowed = f"{weighed.label(low)} to {weighed.label(high)}"
    if weight.number < low:
        wrong = "the cylinder would be lighter than empty; the tare, the scale or the cylinder is another"
        raise Refusal(Fault("E543", wrong, at, allowed=allowed, example=_example(weighed, high)))
    if weight.number > high:
        wrong = "the cylinder would be heavier than full; something hangs on it, or its tare is another"
        raise Refusal(Fault("E541", wrong, at, allowed=allowed, example=_example(weighed, high)))
    return weight.number


def _example(weighed: Weighing, printed: Decimal) -> str:
    return f'"{printed.quantize(weighed.interval)} {weighed.scale.interval.unit.symbol}"'


def with_tare(department: Department, name: str) -> cylinders.Cylinder:
    """Return the cylinder that a call names, or refuse one whose tare does not tell gas from metal."""
    entry: cylinders.Cylinder = pick(department, "cylinders", name, ("cylinder",))
    weighed = [key for key, other in department.cylinders.items() if other.tare_includes in _WEIGHED_WITH]
    allowed = f"a cylinder with a tare that includes its valve: {', '.join(weighed) or 'none yet'}"
    example = f'"{weighed[0]}"' if weighed else "tare: 5.40 kg with tare_includes: valve, in cylinders.yaml"
    if entry.tare is None:
        raise Refusal(
            Fault(
                "E542",
                "no tare of this cylinder stands in cylinders.yaml, so its weight says nothing of its contents",
                ("cylinder",),
                allowed=allowed,
                example=example,
            )
        )
    if entry.tare_includes not in _WEIGHED_WITH:
        raise Refusal(
            Fault(
                "E542",
                "the tare is that of the cylinder without its valve, which is always weighed with it: so much would "
                "count as gas",
                ("cylinder",),
                allowed=allowed,
                example=example,
            )
        )
    return entry
