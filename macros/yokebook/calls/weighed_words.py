"""What stands around numbers by weight: conditions, cautions, and the working of one row."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from yokebook import units
from yokebook.calls import cooling, reserve_words, working
from yokebook.calls.draw import Drawn, flowmeters_text
from yokebook.calls.result import Caution
from yokebook.calls.weighing import Weighing
from yokebook.data.department import Department
from yokebook.number_list import Shown
from yokebook.physics import realgas, reserve
from yokebook.quantities import Kelvin, Kilograms, absolute

EQUATION = (
    "Usable gas = (weight − tare) ÷ molar mass − water capacity × molar density at the keep-back; litres = usable gas "
    f"÷ molar density at the condition of the litres. {working.ABSOLUTE}"
)
TIME = "Time = usable gas ÷ (flow × molar density at the condition of the litres)."
# Near the end of its time only gas is left, whose pressure falls to the keep-back as a matter of course.
_TOO_LOW = " If it sinks further before the time is nearly up, the times do not hold: change the cylinder."


def condition(weighed: Weighing, drawn: Iterable[Drawn], department: Department) -> str:
    """Return under which conditions a number by weight holds, and which way it was rounded."""
    columns, temperature = tuple(drawn), weighed.physics.temperature
    capacity = weighed.entry.water_capacity_tolerance
    parts = (
        f"scale out by {weighed.scale.tolerance.text} and half a step",
        "tare out by half of its last figure",
        *([f"water capacity {capacity.text} more than stamped"] if capacity else []),
        f"cylinder at {units.shown(temperature.low, '°C', '0.1')} to {units.shown(temperature.high, '°C', '0.1')}",
        *flowmeters_text(columns),
        *(["drive gas at its high value"] if any(column.physics.drive_gas.high > 0 for column in columns) else []),
        f"down to a true pressure of {weighed.kept.text}",
    )
    return (
        f"Worked with each tolerance at its worst and rounded down: {', '.join(parts)}. "
        f"{reserve_words.litres_at(department)}{_of_boiling(weighed, columns)}"
    )


def _of_boiling(weighed: Weighing, columns: tuple[Drawn, ...]) -> str:
    if not weighed.entry.liquefied:
        return ""
    return f"{cooling.condition(columns)} The litres hold where so little is drawn that the cylinder stays warm."


def cautions(weighed: Weighing, drawn: Iterable[Drawn], department: Department) -> tuple[Caution, ...]:
    """Return what is to be known by those who weigh a cylinder and then draw from it."""
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
        *_of_its_gauge(weighed, drawn, department),
        reserve_words.NOT_INSTEAD,
    )


def _of_its_gauge(weighed: Weighing, drawn: Iterable[Drawn], department: Department) -> Iterator[Caution]:
    gas = weighed.entry.gas
    if weighed.entry.liquefied:
        told = f"While liquid is left, a gauge of {gas} shows the vapour pressure, not the contents."
        yield Caution("NOTICE", told)
        yield cooling.caution(weighed, drawn, department, _TOO_LOW)
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
    steps = (
        f"{to(gross, '0.0001')} − {to(weighed.tare.kg, '0.0001')} − {doubts} = {to(held * molar_mass, '0.0001')} kg",
        f"÷ {to(molar_mass, '0.0000001')} kg/mol = {to(held, '0.001')} mol",
        *_kept_back(weighed, gross, weighed.end()),
        f"÷ {_per_litre(weighed)} mol/L = {to(usable / _densest(weighed) * 1000, '0.1')} L, shown as {text}.",
    )
    return "; ".join(steps)


def worked_time(weighed: Weighing, gross: Kilograms, column: Drawn, shown: Shown) -> str:
    """Return how long a use lasts from one weight, worked through with its numbers."""
    usable = weighed.least_usable(gross, column.coldest)
    gas, use = weighed.physics.gas, column.physics
    rate = max(reserve.amount_rate(gas, use.highest, use.condition, model) for model in realgas.models(gas))
    cooled = column.coldest is not None and column.coldest < weighed.end()
    steps = (
        *(_kept_back(weighed, gross, weighed.end(column.coldest)) if cooled else ()),
        f"the use takes at most {units.shown(column.greatest_flow, 'L/min', '0.001')} × {_per_litre(weighed)} mol/L = "
        f"{working.digits(rate * 60, '0.00001')} mol/min",
        f"{working.digits(usable, '0.001')} mol ÷ {working.digits(rate * 60, '0.00001')} mol/min = "
        f"{working.digits(usable / rate / 60, '0.01')} min, shown as {shown.text}.",
    )
    return "; ".join(steps)


def _kept_back(weighed: Weighing, gross: Kilograms, end: Kelvin) -> tuple[str, str]:
    """Return what of one weight stays in a cylinder as cold as `end` [K] at the keep-back, and what can be used."""
    cylinder, held, to = weighed.physics, weighed.least_held(gross), working.digits
    usable, keep_back = weighed.least_usable(gross, end), absolute(cylinder.keep_back, cylinder.ambient)
    densities = [realgas.density(cylinder.gas, keep_back, end, model) for model in realgas.models(cylinder.gas)]
    return (
        f"of it stays, at the keep-back and {units.shown(end, '°C', '0.1')}, "
        f"{to(cylinder.water_capacity.high * 1000, '0.0001')} L × {to(max(densities) / 1000, '0.0001')} mol/L = "
        f"{to(held - usable, '0.001')} mol",
        f"usable: {to(usable, '0.001')} mol",
    )


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
