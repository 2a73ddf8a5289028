"""The one door to CoolProp: the state of a real gas, one phase at a time, and the vapour pressure of a liquefied one.

Each state that has once been worked out is kept in a plain dict, so that a run without new states never imports
CoolProp (its import takes longer than all the rest). The dict can be taken out with `states` and put back with `learn`.
Longer than other files because it is the one door: CoolProp's names stand nowhere else.

Which model stands for which gas:

- Oxygen, air, nitrogen, helium, nitrous oxide, carbon dioxide: the reference equations of state of CoolProp 8
  (Schmidt and Wagner 1985; Lemmon and others 2000; Span and others 2000; Ortiz-Vega and others; Lemmon and Span 2006;
  Span and Wagner 1996).
- Oxygen/carbon dioxide and oxygen/helium: the multi-fluid mixture of those equations with CoolProp's stored pairs.
  Oxygen and carbon dioxide is fitted (Gernert 2013); so that no number rests on one fit, the plain combining rule
  (all four parameters 1, Lorentz-Berthelot) stands beside it, up to 1.4 % less, and the worse of the two counts.
  Oxygen and helium is GERG-2008's plain combining rule (Kunz and Wagner 2012, all four parameters 1); its cross virial
  coefficient, 22.5 cm3/mol at 290 K, lies by that of the fitted pair of nitrogen and helium, 21.1, so it stands alone:
  the cubic equations hold 1 to 10 % more, never less.
- Nitrous oxide/oxygen 50:50: no pair is stored and no measured densities were found. Four models span the doubt.
  No law bounds it from below: a cubic with a larger kij lies lower still (Soave-Redlich-Kwong with 0.10 by 1.6 % at
  137 bar). That the truth does not, rests on two things. Handbooks print 2.4 to 6.4 % more than the least of the four
  (the Lorentz-Berthelot rule). And for the nearest pair that has been measured, carbon dioxide with oxygen (the same
  molar mass, critical points 5 K apart), that rule gives 0.2 to 4.7 % less than the fitted equation (10 to 26 °C, up
  to 170 bar), the cubic with 0.10 likewise less: both err to the careful side. Tests hold all of it.

Accuracy of the reference equations in density, as their authors state it: 0.1 % or better for oxygen, air, nitrogen
and carbon dioxide, 0.1 to 0.25 % for nitrous oxide, 0.1 % for helium (from memory).
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from enum import StrEnum
from functools import cache
from importlib import metadata
from typing import Any

from yokebook.errors import OutOfRange
from yokebook.gases import Gas
from yokebook.physics.limits import require
from yokebook.quantities import AbsolutePa, Kelvin, MolesPerCubicMetre

COLDEST = Kelvin(233.15)
"""Lowest temperature of a cylinder in its place, -40 °C: below it no gas here has been checked, K."""
WARMEST = Kelvin(343.15)
"""Highest temperature of a cylinder in its place, 70 °C, K."""
HIGHEST_PRESSURE = AbsolutePa(400e5)
"""Highest pressure that any formula here accepts, Pa: above every filling in use, warm cylinders included."""
TOO_FULL = "No cylinder here is filled so full."
DENSEST = MolesPerCubicMetre(30_000.0)
"""Highest density accepted, mol/m3: each gas here is above 400 bar well before it."""
WETTEST = 0.20
"""Highest mole fraction of carbon dioxide in oxygen: up to it the dew point lies below -46 °C at every pressure."""

FLUIDS = {
    "oxygen": "Oxygen",
    "nitrous oxide": "NitrousOxide",
    "air": "Air",
    "carbon dioxide": "CarbonDioxide",
    "helium": "Helium",
    "nitrogen": "Nitrogen",
}
"""CoolProp's name of each component."""
EQUATIONS = {
    "oxygen": "Schmidt and Wagner 1985",
    "nitrous oxide": "Lemmon and Span 2006",
    "air": "Lemmon and others 2000",
    "carbon dioxide": "Span and Wagner 1996",
    "helium": "Ortiz-Vega and others",
    "nitrogen": "Span and others 2000",
}
"""Who published the reference equation of each component, and when."""

INTERACTION = 0.0478
"""Interaction coefficient of nitrous oxide and oxygen (an open library's table of fitted values, from memory)."""


class Model(StrEnum):
    """How a gas's state is worked out; the value is what a reader is told."""

    REFERENCE = "reference equation of state"
    LORENTZ_BERTHELOT = "reference equations of state, Lorentz-Berthelot rule"
    PENG_ROBINSON = f"Peng-Robinson, kij {INTERACTION}"
    PENG_ROBINSON_PLAIN = "Peng-Robinson, kij 0"
    SOAVE = "Soave-Redlich-Kwong, kij 0"


FIFTY_FIFTY_MODELS = (Model.PENG_ROBINSON, Model.LORENTZ_BERTHELOT, Model.PENG_ROBINSON_PLAIN, Model.SOAVE)
"""The four models of nitrous oxide with oxygen, the named one first."""
_MODELS = {
    frozenset(("nitrous oxide", "oxygen")): FIFTY_FIFTY_MODELS,
    frozenset(("oxygen", "carbon dioxide")): (Model.REFERENCE, Model.LORENTZ_BERTHELOT),
}
_CUBIC = {
    Model.PENG_ROBINSON: ("PR", INTERACTION),
    Model.PENG_ROBINSON_PLAIN: ("PR", 0.0),
    Model.SOAVE: ("SRK", 0.0),
}


@dataclass(frozen=True)
class Saturation:
    """A liquefied gas with liquid and vapour together: vapour pressure [Pa] and both densities [mol/m3]."""

    pressure: AbsolutePa
    liquid: MolesPerCubicMetre
    vapour: MolesPerCubicMetre


def models(gas: Gas) -> tuple[Model, ...]:
    """Return the models whose spread stands for what is not known about a gas, the named one first.

    One for all gases but oxygen with carbon dioxide, which has two, and with nitrous oxide, which has four (see the
    head of this module).

    >>> from yokebook.gases import OXYGEN, FIFTY_FIFTY
    >>> models(OXYGEN)
    (<Model.REFERENCE: 'reference equation of state'>,)
    >>> len(models(FIFTY_FIFTY))
    4
    """
    return _MODELS.get(_components(gas), (Model.REFERENCE,))


def named_model(gas: Gas) -> Model:
    """Return the model of a gas's nominal values.

    For nitrous oxide with oxygen Peng-Robinson with kij 0.0478: it alone gives both the contents that handbooks print
    (2.6 to 4.6 % more) and the separation temperature at 117 bar (-5.3 against -5.5 °C).

    >>> from yokebook.gases import FIFTY_FIFTY
    >>> named_model(FIFTY_FIFTY).value
    'Peng-Robinson, kij 0.0478'
    """
    return models(gas)[0]


def density(gas: Gas, pressure: AbsolutePa, temperature: Kelvin, model: Model | None = None) -> MolesPerCubicMetre:
    """Return the molar density [mol/m3] of a gas at an absolute `pressure` [Pa] and a `temperature` [K].

    Equation: the equation of state p = p(density, T), solved for the density of the gas phase.
    Range: above 0 to 400 bar, -40 to 70 °C; a liquefied gas below its critical temperature only under its vapour
    pressure (at it, a reading says nothing of the density); carbon dioxide in oxygen up to 20 %. Whether 50:50 has
    separated is not seen here: `separation` tells.
    Raises `OutOfRange` outside, and where the model finds no single gas phase.
    Reference: see the head of this module.

    >>> from yokebook.gases import OXYGEN
    >>> round(density(OXYGEN, AbsolutePa(13801325.0), Kelvin(288.15)), 1)
    6189.8
    """
    _pressure_in_range(pressure)
    _in_range(gas, temperature)
    if gas.liquefied and temperature < critical_temperature(gas):
        limit = saturation(gas, temperature).pressure
        if pressure >= limit:
            raise OutOfRange(
                "absolute pressure",
                pressure,
                "Pa",
                low=0.0,
                high=limit,
                reason=f"At its vapour pressure {gas.name} has liquid left: a pressure says nothing of its contents.",
            )
    chosen = _chosen(gas, model)
    return MolesPerCubicMetre(
        _known(
            f"density|{_name(gas, chosen)}|{pressure!r}|{temperature!r}",
            lambda: _solve_density(gas, chosen, pressure, temperature),
        )
    )


def pressure(gas: Gas, density: MolesPerCubicMetre, temperature: Kelvin, model: Model | None = None) -> AbsolutePa:
    """Return the absolute pressure [Pa] of a closed vessel with molar `density` [mol/m3] at a `temperature` [K].

    Equation: the equation of state p = p(density, T). A liquefied gas gives its vapour pressure where liquid and vapour
    are together, and the pressure of the liquid where that fills the vessel. Mixtures are taken as one phase.
    Range: above 0 to 30 000 mol/m3, -40 to 70 °C, the result above 0 to 400 bar; carbon dioxide in oxygen up to 20 %.
    Raises `OutOfRange` outside.
    Reference: see the head of this module.

    >>> from yokebook.gases import NITROUS_OXIDE, OXYGEN
    >>> round(pressure(OXYGEN, MolesPerCubicMetre(6189.84), Kelvin(288.15)) / 1e5, 2)
    138.01
    >>> round(pressure(NITROUS_OXIDE, MolesPerCubicMetre(10000.0), Kelvin(288.15)) / 1e5, 2)
    45.04
    """
    require("molar density", density, "mol/m3", low=0.0, ends=False)
    require("molar density", density, "mol/m3", high=DENSEST, reason=TOO_FULL)
    _in_range(gas, temperature)
    chosen = _chosen(gas, model)
    found = _known(
        f"pressure|{_name(gas, chosen)}|{density!r}|{temperature!r}",
        lambda: _solve_pressure(gas, chosen, density, temperature),
    )
    _pressure_in_range(found)
    return AbsolutePa(found)


def saturation(gas: Gas, temperature: Kelvin) -> Saturation:
    """Return vapour pressure [Pa], density of liquid and of vapour [mol/m3] of a liquefied gas at a `temperature` [K].

    Equation: equal pressure and equal chemical potential of both phases in the reference equation of state.
    Range: -40 °C to just below the critical temperature (nitrous oxide 36.37 °C, carbon dioxide 30.98 °C).
    Raises `OutOfRange` outside, and for a gas that is not liquefied.
    Reference: see the head of this module.

    >>> from yokebook.gases import NITROUS_OXIDE
    >>> round(saturation(NITROUS_OXIDE, Kelvin(288.15)).pressure / 1e5, 2)
    45.04
    """
    _in_range(gas, temperature)
    critical = critical_temperature(gas)
    if not gas.liquefied or temperature >= critical:
        raise OutOfRange(
            "temperature",
            temperature,
            "K",
            low=COLDEST,
            high=critical if gas.liquefied else None,
            reason=f"At this temperature {gas.name} has no liquid.",
        )
    name = f"{_name(gas, Model.REFERENCE)}|{temperature!r}"
    keys = [f"{what}|{name}" for what in ("vapour pressure", "liquid density", "vapour density")]
    if keys[-1] not in _memo:
        _memo.update(zip(keys, _solve_saturation(gas, temperature), strict=True))
    pressure, liquid, vapour = (_memo[key] for key in keys)
    return Saturation(AbsolutePa(pressure), MolesPerCubicMetre(liquid), MolesPerCubicMetre(vapour))


def critical_temperature(gas: Gas) -> Kelvin:
    """Return the critical temperature [K] of a pure gas (or of air) in its reference equation of state.

    Raises `OutOfRange` for a mixture, which has a critical line, not a point.

    >>> from yokebook.gases import NITROUS_OXIDE
    >>> round(critical_temperature(NITROUS_OXIDE), 2)
    309.52
    """
    return Kelvin(_constant(gas, "critical temperature", "K", lambda state: state.T_critical()))


def critical_pressure(gas: Gas) -> AbsolutePa:
    """Return the critical pressure [Pa] of a pure gas (or of air) in its reference equation of state.

    Raises `OutOfRange` for a mixture, which has a critical line, not a point.

    >>> from yokebook.gases import NITROUS_OXIDE
    >>> round(critical_pressure(NITROUS_OXIDE) / 1e5, 2)
    72.45
    """
    return AbsolutePa(_constant(gas, "critical pressure", "Pa", lambda state: state.p_critical()))


def molar_mass(gas: Gas) -> float:
    """Return the molar mass [kg/mol] of a gas: the sum of mole fraction times molar mass of its components.

    Reference: molar masses of the reference equations of state.

    >>> from yokebook.gases import NITROUS_OXIDE, FIFTY_FIFTY
    >>> round(molar_mass(NITROUS_OXIDE) * 1000, 4), round(molar_mass(FIFTY_FIFTY) * 1000, 4)
    (44.0128, 38.0058)
    """
    return _known(
        f"molar mass|{_composition(gas)}",
        lambda: sum(
            fraction * float(_state("HEOS", FLUIDS[name], (1.0,), None).molar_mass())
            for name, fraction in gas.composition
        ),
    )


def isentropic_temperature(
    gas: Gas, start_temperature: Kelvin, start_pressure: AbsolutePa, end_pressure: AbsolutePa
) -> Kelvin:
    """Return the temperature [K] that a gas reaches where it is pressed together so fast that no heat leaves it.

    Equation: s(T_end, p_end) = s(T_start, p_start), with the entropy of the equation of state.
    Parameters: start -40 to 70 °C and above 0 to 400 bar (absolute), end from the start pressure to 400 bar.
    Range: the end up to the highest temperature of the gas's equation in CoolProp (2000 K; nitrous oxide 525 K).
    Oxygen's was fitted up to 300 K (Schmidt and Wagner 1985): above, the gas is thin and hot, and the ideal-gas heat
    capacity, known to 2000 K and more, decides. A bound, not a forecast: a real inlet loses heat.
    Raises `OutOfRange` outside, and for mixtures, whose equations have not been checked so hot.
    Reference: see the head of this module.

    >>> from yokebook.gases import OXYGEN
    >>> end = isentropic_temperature(OXYGEN, Kelvin(293.15), AbsolutePa(101325.0), AbsolutePa(13801325.0))
    >>> round(end - 273.15)
    787
    """
    _in_range(gas, start_temperature)
    critical_temperature(gas)
    density(gas, start_pressure, start_temperature)
    require("end pressure", end_pressure, "Pa", low=start_pressure, high=HIGHEST_PRESSURE)
    key = f"isentropic temperature|{_composition(gas)}|{start_temperature!r}|{start_pressure!r}|{end_pressure!r}"
    return Kelvin(_known(key, lambda: _solve_isentropic(gas, start_temperature, start_pressure, end_pressure)))


# Each state by its question, so that the answer never depends on what was asked before.
_memo: dict[str, float] = {}


def states() -> dict[str, float]:
    """Return each state worked out or learnt so far, by its question; the floats are exact, so JSON keeps them."""
    return dict(sorted(_memo.items()))


def learn(states: Mapping[str, float]) -> None:
    """Take in states of an earlier run of the same CoolProp `version`; those of this run stay.

    Raises `OutOfRange` where one is not a finite number, and then takes in none.
    """
    for question, answer in states.items():
        require(f"state {question!r}", answer, "SI")
    _memo.update({**states, **_memo})


def version() -> str:
    """Return CoolProp's version, without importing it.

    >>> version().split(".")[0]
    '8'
    """
    return metadata.version("CoolProp")


def _known(question: str, solve: Callable[[], float]) -> float:
    if question not in _memo:
        _memo[question] = float(solve())
    return _memo[question]


@cache
def _components(gas: Gas) -> frozenset[str]:
    return frozenset(name for name, _ in gas.composition)


@cache
def _composition(gas: Gas) -> str:
    return ",".join(f"{name} {fraction!r}" for name, fraction in gas.composition)


@cache
def _name(gas: Gas, model: Model) -> str:
    return f"{_composition(gas)}|{model.value}"


def _chosen(gas: Gas, model: Model | None) -> Model:
    chosen = named_model(gas) if model is None else model
    if chosen not in models(gas):
        raise ValueError(f"{gas.name} has no model {chosen.value!r}")
    return chosen


def _pressure_in_range(pressure: float) -> None:
    require("absolute pressure", pressure, "Pa", low=0.0, ends=False)
    require("absolute pressure", pressure, "Pa", high=HIGHEST_PRESSURE, reason=TOO_FULL)


def _in_range(gas: Gas, temperature: Kelvin) -> None:
    require("temperature", temperature, "K", low=COLDEST, high=WARMEST)
    if gas.is_mixture:
        wet = dict(gas.composition).get("carbon dioxide", 0.0)
        reason = "With more, the mixture may separate in the cold."
        require("fraction of carbon dioxide", wet, "", high=WETTEST, reason=reason)


def _constant(gas: Gas, what: str, unit: str, ask: Callable[[Any], float]) -> float:
    if gas.is_mixture:
        raise OutOfRange(what, float("nan"), unit, reason=f"{gas.name} is a mixture and has no single {what}.")
    return _known(f"{what}|{_composition(gas)}", lambda: ask(_of(gas, Model.REFERENCE)))


def _of(gas: Gas, model: Model) -> Any:
    backend, kij = _CUBIC.get(model, ("HEOS", None))
    fluids = "&".join(FLUIDS[name] for name, _ in gas.composition)
    is_plain = model is Model.LORENTZ_BERTHELOT
    return _state(backend, fluids, tuple(fraction for _, fraction in gas.composition), kij, is_plain)


@cache
def _state(backend: str, fluids: str, fractions: tuple[float, ...], kij: float | None, is_plain: bool = False) -> Any:
    """Return CoolProp's state of a gas; made once, its phase free. A plain one has all parameters of its pair at 1."""
    from CoolProp import CoolProp

    if {"NitrousOxide", "Oxygen"} <= set(fluids.split("&")):
        _set_mixing_rule()
    state = CoolProp.AbstractState(backend, fluids)
    if len(fractions) > 1:
        state.set_mole_fractions(list(fractions))
    if kij is not None:
        state.set_binary_interaction_double(0, 1, "kij", kij)
    if is_plain:
        for parameter in ("betaT", "gammaT", "betaV", "gammaV"):
            state.set_binary_interaction_double(0, 1, parameter, 1.0)
    return state


@cache
def _set_mixing_rule() -> None:
    """Give CoolProp the pair that it lacks. It changes the whole process, so it is done here, once, before any use."""
    from CoolProp import CoolProp

    CoolProp.apply_simple_mixing_rule("NitrousOxide", "Oxygen", "Lorentz-Berthelot")


def _one_phase(gas: Gas, state: Any, temperature: Kelvin) -> Any:
    """Tell CoolProp the phase where it is sure: it saves a search (some 10 ms for a mixture)."""
    from CoolProp import CoolProp

    free = gas.liquefied and temperature >= critical_temperature(gas)
    state.specify_phase(CoolProp.iphase_not_imposed if free else CoolProp.iphase_gas)
    return state


def _solve_density(gas: Gas, model: Model, pressure: AbsolutePa, temperature: Kelvin) -> float:
    from CoolProp import CoolProp

    state = _one_phase(gas, _of(gas, model), temperature)
    try:
        state.update(CoolProp.PT_INPUTS, pressure, temperature)
    except ValueError as error:
        raise OutOfRange(
            "absolute pressure",
            pressure,
            "Pa",
            low=0.0,
            reason=f"{model.value} finds no single gas phase of {gas.name} at {temperature!r} K.",
        ) from error
    return float(state.rhomolar())


def _solve_pressure(gas: Gas, model: Model, density: MolesPerCubicMetre, temperature: Kelvin) -> float:
    from CoolProp import CoolProp

    state = _of(gas, model)
    state.specify_phase(CoolProp.iphase_not_imposed if gas.liquefied else CoolProp.iphase_gas)
    state.update(CoolProp.DmolarT_INPUTS, density, temperature)
    return float(state.p())


def _solve_saturation(gas: Gas, temperature: Kelvin) -> tuple[float, float, float]:
    from CoolProp import CoolProp

    state = _of(gas, Model.REFERENCE)
    state.specify_phase(CoolProp.iphase_not_imposed)
    state.update(CoolProp.QT_INPUTS, 0.0, temperature)
    liquid = float(state.rhomolar())
    state.update(CoolProp.QT_INPUTS, 1.0, temperature)
    return float(state.p()), liquid, float(state.rhomolar())


def _solve_isentropic(
    gas: Gas, start_temperature: Kelvin, start_pressure: AbsolutePa, end_pressure: AbsolutePa
) -> float:
    """Halve the interval of temperatures until it is one float wide: entropy rises with temperature at a pressure."""
    from CoolProp import CoolProp

    state = _of(gas, Model.REFERENCE)

    def entropy(temperature: float, pressure: float) -> float:
        _one_phase(gas, state, Kelvin(temperature)).update(CoolProp.PT_INPUTS, pressure, temperature)
        return float(state.smolar())

    wanted = entropy(start_temperature, start_pressure)
    low, high = float(start_temperature), float(state.Tmax())
    if entropy(high, end_pressure) < wanted:
        raise OutOfRange(
            "end pressure",
            end_pressure,
            "Pa",
            low=start_pressure,
            reason=f"The gas would be hotter than {high:.0f} K, where its equation of state ends.",
        )
    while low < (middle := (low + high) / 2) < high:
        low, high = (middle, high) if entropy(middle, end_pressure) < wanted else (low, middle)
    return high
