"""Contents and readings: there and back, what stays behind, and what is refused."""

from __future__ import annotations

import math
from collections.abc import Callable

import pytest

from yokebook.errors import OutOfRange
from yokebook.gases import AIR, FIFTY_FIFTY, HELIUM, NITROUS_OXIDE, OXYGEN, Gas, oxygen_carbon_dioxide
from yokebook.physics import contents, realgas
from yokebook.physics.contents import Condition
from yokebook.quantities import AbsolutePa, CubicMetres, GasCubicMetres, GaugePa, Kelvin, Moles, MolesPerCubicMetre

E_SIZE = CubicMetres(0.00468)
AMBIENT = AbsolutePa(101325.0)
FIFTEEN, COLD, WARM = Kelvin(288.15), Kelvin(278.15), Kelvin(303.15)
FULL, KEEP_BACK, EMPTY = GaugePa(137e5), GaugePa(10e5), GaugePa(0.0)
GASES = [OXYGEN, AIR, HELIUM, FIFTY_FIFTY, oxygen_carbon_dioxide(0.05)]


def test_one_water_capacity_stays_behind_at_zero() -> None:
    """At keep-back 0 the usable gas is all gas less what the water capacity holds at ambient pressure."""
    total = contents.total(OXYGEN, E_SIZE, FULL, FIFTEEN, AMBIENT)
    usable = contents.usable(OXYGEN, E_SIZE, FULL, EMPTY, FIFTEEN, AMBIENT)
    behind = contents.gas_volume(OXYGEN, Moles(total - usable), Condition(FIFTEEN, AMBIENT))
    assert pytest.approx(behind) == E_SIZE


@pytest.mark.parametrize("reading", [KEEP_BACK, GaugePa(9e5), EMPTY])
def test_nothing_is_usable_at_or_below_the_keep_back(reading: GaugePa) -> None:
    """At or below the keep-back nothing is left, even where the cylinder has grown warmer since it was read."""
    assert contents.usable(OXYGEN, E_SIZE, reading, KEEP_BACK, FIFTEEN, AMBIENT, None, WARM) == 0.0


def test_usable_is_never_below_zero() -> None:
    """Just above the keep-back, gas that ends cold leaves more behind than there was: nothing is usable, not less."""
    assert contents.usable(OXYGEN, E_SIZE, GaugePa(10.1e5), KEEP_BACK, WARM, AMBIENT, None, COLD) == 0.0


def test_a_cold_end_leaves_more_behind() -> None:
    """Gas that ends colder at the keep-back is denser there, so less of it was usable."""
    same = contents.usable(OXYGEN, E_SIZE, FULL, KEEP_BACK, FIFTEEN, AMBIENT)
    assert contents.usable(OXYGEN, E_SIZE, FULL, KEEP_BACK, FIFTEEN, AMBIENT, None, COLD) < same


@pytest.mark.parametrize("gas", GASES, ids=lambda gas: gas.name)
def test_inverses_go_there_and_back(gas: Gas) -> None:
    """Reading of the total, of the usable and of a share give the reading back, in each model."""
    for model in realgas.models(gas):
        total = contents.total(gas, E_SIZE, FULL, FIFTEEN, AMBIENT, model)
        usable = contents.usable(gas, E_SIZE, FULL, KEEP_BACK, FIFTEEN, AMBIENT, model, WARM)
        share = contents.share_left(gas, GaugePa(60e5), FULL, FIFTEEN, AMBIENT, model)
        back = (
            contents.reading_of(gas, E_SIZE, total, FIFTEEN, AMBIENT, model),
            contents.reading_with_usable(gas, E_SIZE, usable, KEEP_BACK, FIFTEEN, AMBIENT, model, WARM),
            contents.reading_with_share(gas, share, FULL, FIFTEEN, AMBIENT, model),
        )
        assert (FULL, FULL, GaugePa(60e5)) == pytest.approx(back, rel=1e-9)


def test_volume_and_amount_are_inverse() -> None:
    """A volume at a condition, made an amount, is the same volume again."""
    condition = Condition(FIFTEEN, AMBIENT)
    amount = contents.amount_of(NITROUS_OXIDE, GasCubicMetres(1.8), condition)
    assert pytest.approx(contents.gas_volume(NITROUS_OXIDE, amount, condition)) == 1.8


def test_nothing_more_needed_is_the_keep_back_itself() -> None:
    """A need of nothing asks for the keep-back, though a warm end would ask for less."""
    reading = contents.reading_with_usable(OXYGEN, E_SIZE, Moles(0.0), KEEP_BACK, FIFTEEN, AMBIENT, None, WARM)
    assert reading == KEEP_BACK
    at_zero = contents.reading_with_usable(OXYGEN, E_SIZE, Moles(0.0), EMPTY, FIFTEEN, AMBIENT)
    assert at_zero == pytest.approx(0.0, abs=1e-6)


def test_closed_cylinder_moves_with_temperature() -> None:
    """A full oxygen cylinder reads 0.67 bar more for each kelvin, where an ideal gas would read 0.48 bar more."""
    # An independent calculation: 126.9 bar at 0 °C and 147.1 bar at 30 °C, filled to 137 bar at 15 °C.
    cold = contents.reading_at(OXYGEN, FULL, FIFTEEN, Kelvin(273.15), AMBIENT)
    warm = contents.reading_at(OXYGEN, FULL, FIFTEEN, WARM, AMBIENT)
    assert 0.67e5 == pytest.approx((warm - cold) / 30.0, rel=0.01)


def test_vapour_that_grows_cold_comes_to_its_vapour_pressure() -> None:
    """Nitrous oxide vapour close to its vapour pressure reads that once some of it has become liquid in the cold."""
    cold = contents.reading_at(NITROUS_OXIDE, GaugePa(40e5), FIFTEEN, Kelvin(268.15), AMBIENT)
    assert realgas.saturation(NITROUS_OXIDE, Kelvin(268.15)).pressure - AMBIENT == pytest.approx(cold, rel=1e-9)


def test_reading_with_liquid_left_is_refused() -> None:
    """A reading of nitrous oxide at its vapour pressure, and an amount that leaves liquid, are both refused."""
    with pytest.raises(OutOfRange, match="has liquid left"):
        contents.total(NITROUS_OXIDE, E_SIZE, GaugePa(44.5e5), FIFTEEN, AMBIENT)
    with pytest.raises(OutOfRange, match="has liquid left"):
        contents.reading_of(NITROUS_OXIDE, E_SIZE, Moles(40.0), FIFTEEN, AMBIENT)


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (
            lambda: contents.total(OXYGEN, E_SIZE, GaugePa(-1.0), FIFTEEN, AMBIENT),
            "reading -1.0 Pa: allowed 0.0 to None.",
        ),
        (
            lambda: contents.total(OXYGEN, CubicMetres(0.0), FULL, FIFTEEN, AMBIENT),
            "volume 0.0 m3: allowed 0.0 to None.",
        ),
        (
            lambda: contents.total(OXYGEN, E_SIZE, FULL, FIFTEEN, AbsolutePa(0.0)),
            "ambient pressure 0.0 Pa: allowed 0.0 to None.",
        ),
        (
            lambda: contents.total(OXYGEN, E_SIZE, GaugePa(math.nan), FIFTEEN, AMBIENT),
            "reading nan Pa: allowed 0.0 to None. Not a finite number.",
        ),
        (
            lambda: contents.usable(OXYGEN, E_SIZE, FULL, GaugePa(-1.0), FIFTEEN, AMBIENT),
            "keep-back -1.0 Pa: allowed 0.0 to None.",
        ),
        (
            lambda: contents.gas_volume(OXYGEN, Moles(-1.0), Condition(FIFTEEN, AMBIENT)),
            "amount -1.0 mol: allowed 0.0 to None.",
        ),
        (
            lambda: contents.amount_of(OXYGEN, GasCubicMetres(-1.0), Condition(FIFTEEN, AMBIENT)),
            "volume of gas -1.0 m3: allowed 0.0 to None.",
        ),
        (
            lambda: contents.amount_in(0.001, MolesPerCubicMetre(-1.0)),
            "molar density -1.0 mol/m3: allowed 0.0 to None.",
        ),
        (
            lambda: contents.reading_of(OXYGEN, CubicMetres(0.0), Moles(1.0), FIFTEEN, AMBIENT),
            "water capacity 0.0 m3: allowed 0.0 to None.",
        ),
        (
            lambda: contents.reading_of(OXYGEN, E_SIZE, Moles(0.0), FIFTEEN, AMBIENT),
            "amount 0.0 mol: allowed 0.0 to None.",
        ),
        (
            lambda: contents.reading_of(OXYGEN, E_SIZE, Moles(1.0), FIFTEEN, AbsolutePa(-1.0)),
            "ambient pressure -1.0 Pa: allowed 0.0 to None.",
        ),
        (
            lambda: contents.reading_with_usable(OXYGEN, E_SIZE, Moles(-1.0), KEEP_BACK, FIFTEEN, AMBIENT),
            "amount -1.0 mol: allowed 0.0 to None.",
        ),
        (
            lambda: contents.share_left(OXYGEN, GaugePa(138e5), FULL, FIFTEEN, AMBIENT),
            "reading 13800000.0 Pa: allowed 0.0 to 13700000.0.",
        ),
        (lambda: contents.reading_with_share(OXYGEN, 0.0, FULL, FIFTEEN, AMBIENT), "share 0.0 : allowed 0.0 to None."),
        (lambda: contents.reading_with_share(OXYGEN, 1.1, FULL, FIFTEEN, AMBIENT), "share 1.1 : allowed None to 1.0."),
    ],
)
def test_impossible_input_is_an_error(call: Callable[[], object], message: str) -> None:
    """What no cylinder can hold or show is refused with its limits."""
    with pytest.raises(OutOfRange) as raised:
        call()
    assert message == str(raised.value)


def test_amount_below_ambient_is_no_reading() -> None:
    """Less gas than one water capacity at ambient pressure has no reading on a gauge."""
    with pytest.raises(OutOfRange) as raised:
        contents.reading_of(OXYGEN, E_SIZE, Moles(0.1), FIFTEEN, AMBIENT)
    assert "So little gas lies below the ambient pressure." == raised.value.reason
    assert raised.value.value < 0.0
