"""What stands beside a number of nitrous oxide/oxygen 50:50: its danger in the cold, and whose equations it is by."""

from __future__ import annotations

from pathlib import Path

import pytest

from calls_of import copy_fleet, result_of, working_of
from demo_site import change

ON = 'cylinder="fifty-fifty-d"'
DANGER = (
    "DANGER: Where this mixture has been cold it separates: too much oxygen comes out first, too little afterwards, "
    "and a patient may be starved of oxygen. Use no cylinder that may have been cold before it is warm and mixed again "
    "as its supplier says."
)
OXYGEN = "oxygen: Schmidt and Wagner 1985"
NITROUS_OXIDE = "nitrous oxide: Lemmon and Span 2006"


@pytest.fixture
def hung(tmp_path: Path) -> Path:
    """A fleet with two pin-indexed cylinders of the mixture on a machine."""
    folder = copy_fleet(tmp_path / "site")
    data = folder / "content/data"
    change(
        data / "cylinders.yaml",
        "  size: D\n  country: UK\n  valve: integral",
        "  size: D\n  country: UK\n  valve: pin-index",
    )
    change(data / "cylinders.yaml", "  gauge: integral-dial-fifty-fifty\n", "")
    machines = data / "machines.yaml"
    gas, gauge = "gas: nitrous oxide/oxygen 50:50", "gauge: integral-dial-fifty-fifty"
    yoke = f"    - {{{gas}, cylinder: fifty-fifty-d, {gauge}, plug: tied on}}\n"
    text = machines.read_text(encoding="utf-8")
    after = "    - {gas: nitrous oxide, not_used: "
    assert 1 == text.count(after)
    machines.write_text(text.replace(after, yoke * 2 + after), encoding="utf-8")
    return folder


def cautions_of(call: str, folder: Path | None = None) -> list[str]:
    return list((result_of(call, folder) if folder else result_of(call)).as_read["cautions"])


@pytest.mark.parametrize(
    "call",
    [
        f'reserve_table({ON}, uses=["demand-valve"])',
        f'leave_with_table({ON}, flows=["4 L/min"], times=["10 min"])',
        f'weight_table({ON}, scale="store-scale")',
        f'contents_figure({ON}, beside="oxygen-e")',
        'contents_figure(cylinder="oxygen-transfer", beside="fifty-fifty-d")',
        f'reserve_figure({ON}, uses=["demand-valve"])',
    ],
)
def test_each_table_of_the_mixture_tells_its_danger(call: str) -> None:
    """A table that a patient's oxygen hangs on says what the cold does."""
    assert DANGER in cautions_of(call)


def test_the_mixture_on_a_machine_tells_its_danger_too(hung: Path) -> None:
    """All cylinders in turn, each of them a mixture."""
    gas = 'gas="nitrous oxide/oxygen 50:50"'
    call = f'machine_reserve_table(machine="scanner-1", {gas}, flows=["4 L/min"], spare="100 bar")'
    assert DANGER in cautions_of(call, hung)


def test_no_other_gas_has_this_danger() -> None:
    """Oxygen and nitrous oxide each alone do not separate."""
    for call in (
        'reserve_table(cylinder="oxygen-e", machine="theatre-1", flows=["2 L/min"])',
        'weight_table(cylinder="nitrous-oxide-e", scale="store-scale")',
        'machine_reserve_table(machine="theatre-1", flows=["2 L/min"], spare="100 bar")',
    ):
        assert [] == [caution for caution in cautions_of(call) if caution.startswith("DANGER")]


@pytest.mark.parametrize(
    ("call", "told"),
    [
        ('contents(cylinder="oxygen-e", machine="theatre-1", reading="100 bar")', f"({OXYGEN})."),
        ('vapour_table(cylinder="nitrous-oxide-e", machine="theatre-1", flows=["2 L/min"])', f"({NITROUS_OXIDE})."),
        (f'contents({ON}, reading="100 bar")', f"({NITROUS_OXIDE}; {OXYGEN})."),
        (f'weight_table({ON}, scale="store-scale")', f"({NITROUS_OXIDE}; {OXYGEN})."),
    ],
)
def test_the_working_names_who_published_the_equations(call: str, told: str) -> None:
    """Oxygen: R. Schmidt and W. Wagner 1985; nitrous oxide: E. W. Lemmon and R. Span 2006 (both from memory)."""
    (line,) = [line for line in working_of(call) if line.startswith("Source of the densities")]
    assert line.endswith(told)


def test_the_working_of_the_mixture_names_each_of_its_models() -> None:
    """What a reading means differs by model, and the worst of four counts."""
    (line,) = [line for line in working_of(f'contents({ON}, reading="100 bar")') if line.startswith("Source")]
    models = line.removeprefix("Source of the densities: ").split(" (")[0]
    assert (
        "Peng-Robinson, kij 0.0478, reference equations of state, Lorentz-Berthelot rule, Peng-Robinson, kij 0, "
        "Soave-Redlich-Kwong, kij 0" == models
    )
