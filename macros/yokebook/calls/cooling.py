"""A liquefied gas that cools its own cylinder while it is drawn: how cold at the most, and what is too much."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal
from typing import Protocol

from yokebook import units
from yokebook.calls.refusal import Refusal, in_range
from yokebook.calls.result import Caution
from yokebook.calls.supply import Supply, temperature_of
from yokebook.data import cylinders, machines
from yokebook.data.department import Department
from yokebook.data.faults import Fault, Path
from yokebook.number_list import significant
from yokebook.physics import bounds, cooling, liquefied, reserve
from yokebook.quantities import Kelvin, absolute

GENERAL = Caution(
    "NOTICE",
    "The gauge stands still only while nothing is drawn. In use, boiling cools the cylinder: its reading sinks while "
    "liquid is left, the further the more is drawn. Closed and left to stand, it climbs again.",
)
EQUATION = (
    "The coldest that the contents get is where boiling takes as much heat as the room surely gives: still air, free "
    "convection (Churchill and Chu, less a quarter) and radiation (emissivity 0.8) to the smallest surface that a "
    "cylinder of this water capacity has. Contents and metal are taken to be of one temperature, and the heat that "
    "they held before is not counted."
)


class OnDraw(Protocol):
    """A cylinder from which gas is drawn, with what is not known exactly of it."""

    @property
    def entry(self) -> cylinders.Cylinder: ...
    @property
    def machine(self) -> machines.Machine | None: ...
    @property
    def physics(self) -> bounds.Cylinder: ...


@dataclass(frozen=True)
class Boiling:
    """How cold [K] a use may make a cylinder of liquefied gas, and how that comes about."""

    coldest: Kelvin
    worked: str


class Cooled(Protocol):
    """What a use takes, with what boiling does; None for a compressed gas."""

    @property
    def boiling(self) -> Boiling | None: ...


def boiling(source: OnDraw, use: bounds.Use, department: Department, at: Path) -> Boiling | None:
    """Return what a use does to a cylinder of liquefied gas by boiling it, or refuse one that takes too much for that.

    None for a compressed gas, which has nothing to boil.
    """
    if not source.entry.liquefied:
        return None
    cylinder, air = source.physics, _air(source, department)
    gas, smallest, ambient = cylinder.gas, cylinder.water_capacity.low, cylinder.ambient
    rate = in_range(lambda: reserve.amount_rate(gas, use.highest, use.condition), at)
    limit = in_range(lambda: cooling.coldest_to_use(gas, absolute(cylinder.keep_back, ambient)), ("cylinder",))
    most = in_range(lambda: cooling.greatest_rate(gas, smallest, limit, air, ambient), ("cylinder",))
    if rate > most:
        raise Refusal(_too_much(source, use, most / rate, at))
    balance = cooling.coldest_contents(gas, smallest, rate, limit, air, ambient)
    given, taken = cooling.least_heat(smallest, balance, air, ambient), cooling.heat_of_drawing(gas, balance)
    worked = (
        f"{EQUATION} At {_celsius(balance)} in a room at {_celsius(air)}: {given:.2f} W against {taken:.0f} J/mol × "
        f"{rate * 60:.5f} mol/min ÷ 60 = {rate * taken:.2f} W."
    )
    # It may come colder still from its store.
    return Boiling(min(balance, cylinder.temperature.low), worked)


def condition(columns: Iterable[Cooled]) -> str:
    """Return how cold the contents may get by what is drawn, as a sentence after another; "" for a compressed gas."""
    cold = _coldest_of(columns)
    if cold is None:
        return ""
    return f" In use, boiling may cool the contents to {_celsius(cold)}: that is counted in."


def caution(source: OnDraw, columns: Iterable[Cooled], department: Department, end: str = "") -> Caution:
    """Return what the gauge of a liquefied gas shows in use, with the lowest reading that the greediest column brings.

    `columns` may be none; `end` is what follows from it, where a column says how low the reading may sink.
    """
    cold = _coldest_of(columns)
    if cold is None:
        return GENERAL
    lowest = liquefied.vapour_reading(source.physics.gas, cold, source.physics.ambient)
    unit = department.settings.keep_back.unit.symbol
    told = units.shown(lowest, unit, "10" if unit in ("psi", "kPa") else "1", units.Rounding.DOWN)
    return Caution(
        "WARNING",
        "The gauge stands still only while nothing is drawn. In use, boiling cools the cylinder: with the most that is "
        f"drawn here its reading may sink to {told} while liquid is left. Closed and left to stand, it climbs "
        f"again.{end}",
    )


def _coldest_of(columns: Iterable[Cooled]) -> Kelvin | None:
    return min((column.boiling.coldest for column in columns if column.boiling), default=None)


def _celsius(kelvin: Kelvin) -> str:
    return units.shown(kelvin, "°C", "0.1")


def _air(source: OnDraw, department: Department) -> Kelvin:
    """Return how cold the air about the cylinder may be [K]: that of the place in use, not of the store."""
    own = department.gauges.get(source.entry.gauge) if source.entry.gauge else None
    gauge = source.dial.gauge if isinstance(source, Supply) else own
    return temperature_of(department, source.entry, source.machine, gauge)[0].low.k


def _too_much(source: OnDraw, use: bounds.Use, share: float, at: Path) -> Fault:
    """Return the fault of a use of which a cylinder can give only a share (0 to below 1)."""
    gas = source.entry.gas
    all_of_it, possible = (
        units.round_to(significant(units.from_si(flow, units.SPELLINGS["L/min"])), Decimal("0.1"), rounding)
        for flow, rounding in ((use.highest.flow, units.Rounding.UP), (use.highest.flow * share, units.Rounding.DOWN))
    )
    others = use.drive_gas.high + use.leak.high
    rest = (use.highest.flow * share - others) / (1.0 + use.flowmeter_tolerance)
    set_to = units.round_to(
        significant(units.from_si(max(rest, 0.0), units.SPELLINGS["L/min"])), Decimal("0.1"), units.Rounding.DOWN
    )
    flow = f"{set_to.normalize():f} L/min"
    by_use = at and at[0] in ("use", "uses")
    return Fault(
        "E795",
        f"up to {all_of_it} L/min of {gas} cools the cylinder more than the room surely warms it: the pressure may "
        "fall to the keep-back while liquid is left, and a time would promise too much",
        at,
        allowed=f"at most {possible} L/min in all from this cylinder, which is {flow} set on the flowmeter; for more, "
        "a larger cylinder",
        example=f"draws: {{{gas}: [{{fresh gas: {flow}}}]}}" if by_use else f'"{flow}"',
    )
