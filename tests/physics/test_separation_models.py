"""The safe limit against all four models of 50:50: none of them separates at or above it.

CoolProp gives the fugacities; the tangent plane is searched over the composition on a grid, apart from our own search.
"""

from __future__ import annotations

import math
from typing import Any

import pytest
from CoolProp import CoolProp

from yokebook.gases import FIFTY_FIFTY
from yokebook.physics import realgas, separation
from yokebook.physics.realgas import Model
from yokebook.quantities import AbsolutePa, Kelvin

PHASES = (CoolProp.iphase_gas, CoolProp.iphase_liquid)
BACKENDS = {
    Model.PENG_ROBINSON: ("PR", 0.0478),
    Model.LORENTZ_BERTHELOT: ("HEOS", None),
    Model.PENG_ROBINSON_PLAIN: ("PR", 0.0),
    Model.SOAVE: ("SRK", 0.0),
}
SHARES = (*(part / 60.0 for part in range(1, 60)), 0.99, 0.995, 0.998, 0.999)
PRESSURES = tuple(AbsolutePa(bar * 1e5) for bar in (10, 20, 45, 71, 91, 101, 111, 118, 126, 138, 151, 171, 200))


def mixture(model: Model) -> Any:
    """Return CoolProp's state of the pair; a first density makes sure that the Lorentz-Berthelot pair is set."""
    realgas.density(FIFTY_FIFTY, AbsolutePa(1e5), Kelvin(300.0), Model.LORENTZ_BERTHELOT)
    backend, kij = BACKENDS[model]
    state = CoolProp.AbstractState(backend, "NitrousOxide&Oxygen")
    if kij is not None:
        state.set_binary_interaction_double(0, 1, "kij", kij)
    return state


def fugacities(state: Any, share: float, temperature: float, pressure: float) -> list[tuple[float, float]]:
    """Return ln of both fugacity coefficients for each phase that the model finds."""
    found = []
    state.set_mole_fractions([share, 1.0 - share])
    for phase in PHASES:
        state.specify_phase(phase)
        try:
            state.update(CoolProp.PT_INPUTS, pressure, temperature)
        except ValueError:
            continue
        both = [state.fugacity_coefficient(part) for part in (0, 1)]
        # A phase imposed where it cannot be gives a negative number: that is no state of the mixture.
        if min(both) > 0.0:
            found.append((math.log(both[0]), math.log(both[1])))
    return found


def lowest_distance(state: Any, temperature: float, pressure: float) -> float:
    """Return the lowest distance of any composition from the tangent plane at one half, over RT."""
    own = min(fugacities(state, 0.5, temperature, pressure), key=sum)
    return min(
        share * (math.log(2.0 * share) + one - own[0]) + (1.0 - share) * (math.log(2.0 - 2.0 * share) + two - own[1])
        for share in SHARES
        for one, two in fugacities(state, share, temperature, pressure)
    )


@pytest.mark.parametrize("model", Model)
def test_no_model_separates_at_the_safe_limit(model: Model) -> None:
    """At and above the limit every model keeps 50:50 in one phase, at every pressure of a cylinder."""
    if model not in BACKENDS:
        assert model not in realgas.models(FIFTY_FIFTY)
        return
    state = mixture(model)
    for pressure in PRESSURES:
        limit = separation.refuse_below(pressure)
        for above in (0.0, 2.0, 8.0):
            assert -1e-9 < lowest_distance(state, limit + above, pressure), (pressure, above)


def test_the_limit_is_not_wasteful() -> None:
    """The model that separates first does so within 2 K below the limit: so the limit is near to what it must be."""
    state = mixture(Model.LORENTZ_BERTHELOT)
    pressure = AbsolutePa(118e5)
    assert -1e-6 > lowest_distance(state, separation.refuse_below(pressure) - 2.0, pressure)
