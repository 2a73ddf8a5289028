"""What stands around numbers by weight: conditions, cautions, and the working of one row."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from yokebook import units
from yokebook.calls import reserve_words, working
from yokebook.calls.draw import Drawn
from yokebook.calls.result import Caution
from yokebook.calls.weighing import Weighing
from yokebook.data.department import Department
from yokebook.numbers import Shown
from yokebook.physics import realgas, reserve
from yokebook.quantities import Kilograms, absolute

EQUATION = (
    "Usable gas = (weight − tare) ÷ molar mass − water capacity × molar density at the keep-back; litres = usable gas "
    f"÷ molar density at the condition of the litres. {working.ABSOLUTE}"
)
TIME = "Time = usable gas ÷ (flow × molar density at the condition of the litres)."


def condition(weighed: Weighing, drawn: Iterable[Drawn], department: Department) -> str:
    """Return under which conditions a number by weight holds, and which way it was rounded."""
    columns, settings, temperature = tuple(drawn), department.settings, weighed.physics.temperature
    capacity = weighed.entry.water_capacity_tolerance
    parts = (
        f"scale out by {weighed.scale.tolerance.text} and half a step",
        "tare out by half of its last figure",
        *([f"water capacity {capacity.text} more than stamped"] if capacity else []),
        f"cylinder at {units.shown(temperature.low, '°C', '0.1')} to {units.shown(temperature.high, '°C', '0.1')}",
        *([f"flowmeter letting through {settings.flowmeter_tolerance.text} more than it shows"] if columns else []),
        *(["drive gas at its high value"] if any(column.physics.drive_gas.high > 0 for column in columns) else []),
        f"down to a true pressure of {weighed.kept.text}",
    )
    return (
        f"Worked with each tolerance at its worst and rounded down: {', '.join(parts)}. "
        f"{reserve_words.litres_at(department)}"
    )


def cautions(weighed: Weighing) -> tuple[Caution, ...]:
    """Return what is to be known by those who weigh a cylinder."""
    tare = weighed.tare.text
    return (
        Caution(
            "WARNING", f"Weigh the cylinder {weighed.alone}. If the weight lies between two rows, use the lower one."
        ),
        Caution(
            "WARNING",
            f"The tare is stamped on each cylinder. Where it is more than {tare}, take the difference off the weight "
            "before you read this table: it would promise too much.",
        ),
        *reserve_words.of_gas(weighed),
        *_of_its_gauge(weighed),
        reserve_words.NOT_INSTEAD,
    )


def _of_its_gauge(weighed: Weighing) -> Iterator[Caution]:
    gas = weighed.entry.gas
    if weighed.entry.liquefied:
        told = f"While liquid is left, a gauge of {gas} shows the vapour pressure, not the contents."
        yield Caution("NOTICE", told)
    elif len(realgas.models(weighed.physics.gas)) > 1:
        told = f"What a reading of {gas} means is not known exactly; by weight that doubt is gone."
        yield Caution("NOTICE", told)


def worked_litres(weighed: Weighing, gross: Kilograms, text: str) -> str:
    """Return the litres of one weight worked through with their numbers; `text` is what is shown of them."""
    cylinder, held = weighed.physics, weighed.least_held(gross)
    usable = weighed.least_usable(gross)
    if not usable:
        return (
            "less both doubts and the tare, no more than what stays below the keep-back is left: nothing to count on."
        )
    molar_mass, to = realgas.molar_mass(cylinder.gas), working.digits
    doubts = " − ".join(to(doubt, "0.0001") for doubt in (weighed.scale_doubt, weighed.tare_doubt))
    end, largest = cylinder.temperature.low, cylinder.water_capacity.high
    density = max(
        realgas.density(cylinder.gas, absolute(cylinder.keep_back, cylinder.ambient), end, model)
        for model in realgas.models(cylinder.gas)
    )
    steps = (
        f"{to(gross, '0.0001')} − {to(weighed.tare.kg, '0.0001')} − {doubts} = {to(held * molar_mass, '0.0001')} kg",
        f"÷ {to(molar_mass, '0.0000001')} kg/mol = {to(held, '0.001')} mol",
        f"of it stays, at the keep-back and {units.shown(end, '°C', '0.1')}, {to(largest * 1000, '0.0001')} L × "
        f"{to(density / 1000, '0.0001')} mol/L = {to(held - usable, '0.001')} mol",
        f"usable: {to(usable, '0.001')} mol",
        f"÷ {_per_litre(weighed)} mol/L = {to(usable / _densest(weighed) * 1000, '0.1')} L, shown as {text}.",
    )
    return "; ".join(steps)


def worked_time(weighed: Weighing, gross: Kilograms, column: Drawn, shown: Shown) -> str:
    """Return how long a use lasts from one weight, worked through with its numbers."""
    usable = weighed.least_usable(gross)
    gas, use = weighed.physics.gas, column.physics
    rate = max(reserve.amount_rate(gas, use.highest, use.condition, model) for model in realgas.models(gas))
    steps = (
        f"the use takes at most {units.shown(column.greatest_flow, 'L/min', '0.001')} × {_per_litre(weighed)} mol/L = "
        f"{working.digits(rate * 60, '0.00001')} mol/min",
        f"{working.digits(usable, '0.001')} mol ÷ {working.digits(rate * 60, '0.00001')} mol/min = "
        f"{working.digits(usable / rate / 60, '0.01')} min, shown as {shown.text}.",
    )
    return "; ".join(steps)


def sources(weighed: Weighing) -> str:
    """Return where molar mass and densities come from."""
    models = working.densities(weighed.physics.gas)
    return f"Source of the densities and the molar mass: {models}."


def _densest(weighed: Weighing) -> float:
    """The molar density [mol/m3] at the condition of the litres, of the model that makes fewest litres."""
    gas, condition = weighed.physics.gas, weighed.condition
    return max(realgas.density(gas, condition.pressure, condition.temperature, model) for model in realgas.models(gas))


def _per_litre(weighed: Weighing) -> str:
    return working.digits(_densest(weighed) / 1000, "0.000001")
