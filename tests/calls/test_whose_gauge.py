"""On which gauge a cylinder is read: said by the call, or by the only yoke that it can be, never guessed."""

from __future__ import annotations

from pathlib import Path

import pytest

from calls_of import cell_of, copy_fleet, label_of, result_of, told
from demo_site import change

READING = 'cylinder="oxygen-e", reading="1000 psi"'
ALONE = f'duration({READING}, gauge="yoke-oxygen-psi", flow="1 L/min")'
ON_MACHINE = f'duration({READING}, machine="scanner-1", flow="1 L/min")'


def test_a_gauge_alone_leads_to_the_machine_that_hangs_the_cylinder_on_it() -> None:
    """Its place, its standing draw and its name stand in the number as if the machine had been named."""
    assert cell_of(ON_MACHINE) == cell_of(ALONE)
    assert result_of(ON_MACHINE).as_read == result_of(ALONE).as_read
    numbers = result_of(ALONE).numbers
    assert numbers is not None
    assert {'machines["scanner-1"].standing_draw', 'places["scanner-suite"].temperature'} <= set(numbers.keys)


def test_machines_that_are_alike_are_named_together(tmp_path: Path) -> None:
    """Two machines with the cylinder on one gauge, in one place, with the same draws: one number for both."""
    folder = copy_fleet(tmp_path / "site")
    machines = folder / "content/data/machines.yaml"
    text = machines.read_text(encoding="utf-8")
    first = text.index("scanner-1:\n")
    end = text.index("\n\n", first)
    machines.write_text(f"{text}\n{text[first:end].replace('scanner-1', 'scanner-2')}\n", encoding="utf-8")
    assert ", on scanner-1 or scanner-2, for dials" in label_of(ALONE, folder)
    change(machines, "scanner-2:\n  place: scanner-suite", "scanner-2:\n  place: theatre")
    ((code, wrong, allowed, example),) = told(ALONE, folder)
    assert "E522" == code
    assert "oxygen-e hangs on several machines (scanner-1, scanner-2), and their places or draws differ" == wrong
    assert ("say which: machine=", 'machine="scanner-1"') == (allowed, example)


def test_a_gauge_on_which_machines_differ_is_refused() -> None:
    """One of them drives its ventilator with oxygen, the other has none."""
    ((code, wrong, allowed, example),) = told('contents(cylinder="oxygen-e", gauge="yoke-oxygen", reading="100 bar")')
    assert "E522" == code
    assert "oxygen-e hangs on several machines (theatre-1, induction-1), and their places or draws differ" == wrong
    assert ("say which: machine=", 'machine="theatre-1"') == (allowed, example)


@pytest.mark.parametrize(
    ("on", "expected"),
    [
        (
            'cylinder="oxygen-e"',
            ("oxygen-e is read on several gauges (yoke-oxygen, yoke-oxygen-psi), and their numbers differ",
             "say which: machine= or gauge=", 'machine="theatre-1"'),
        ),
        (
            'cylinder="oxygen-e", machine="theatre-1", gauge="yoke-oxygen-psi"',
            ("oxygen-e is not read on the gauge yoke-oxygen-psi on theatre-1", "yoke-oxygen", 'gauge="yoke-oxygen"'),
        ),
        (
            'cylinder="oxygen-e", gauge="integral-dial"',
            ("oxygen-e is not read on the gauge integral-dial", "yoke-oxygen, yoke-oxygen-psi",
             'gauge="yoke-oxygen"'),
        ),
        (
            'cylinder="oxygen-transfer", gauge="yoke-oxygen"',
            ("oxygen-transfer is read on its own gauge, integral-dial", "its own gauge: gauge=",
             'gauge="integral-dial"'),
        ),
    ],
    ids=["two gauges", "machine against gauge", "no yoke", "not its own"],
)  # fmt: skip
def test_what_leaves_a_choice_or_contradicts_is_refused(on: str, expected: tuple[str, str, str]) -> None:
    """Two dials give two numbers: nothing is guessed, and no gauge is believed on which the cylinder does not hang."""
    assert [("E522", *expected)] == told(f'contents({on}, reading="100 bar")')


def test_a_machine_with_two_gauges_needs_the_gauge_too(tmp_path: Path) -> None:
    """One cylinder on two dials of one machine: said by both names."""
    folder = copy_fleet(tmp_path / "site")
    machines = folder / "content/data/machines.yaml"
    text = machines.read_text(encoding="utf-8")
    at = text.index("gauge: yoke-oxygen-psi")
    machines.write_text(text[:at] + "gauge: yoke-oxygen" + text[at + len("gauge: yoke-oxygen-psi") :], encoding="utf-8")
    ((code, wrong, allowed, example),) = told(ON_MACHINE, folder)
    assert "E522" == code
    assert "oxygen-e is read on several gauges (yoke-oxygen, yoke-oxygen-psi), and their numbers differ" == wrong
    assert ("say which: gauge=", 'gauge="yoke-oxygen"') == (allowed, example)
    both = ON_MACHINE.replace('machine="scanner-1"', 'machine="scanner-1", gauge="yoke-oxygen-psi"')
    assert cell_of(ALONE) == cell_of(both, folder)


def test_a_cylinder_that_hangs_nowhere_is_refused(tmp_path: Path) -> None:
    """No yoke, no gauge; where it does hang is named, and with a gauge beside it that no yoke has it is refused too."""
    folder = copy_fleet(tmp_path / "site")
    data = folder / "content/data"
    cylinders = data / "cylinders.yaml"
    more = "\nspare-d:\n  gas: oxygen\n  valve: pin-index\n  water_capacity: 2.32 L\n"
    more += "  filling: {pressure: 137 bar, at: 15 °C}\n  stored: theatre\n"
    cylinders.write_text(cylinders.read_text(encoding="utf-8") + more, encoding="utf-8")
    nowhere = "so it is not known on which gauge it is read"
    assert [
        (
            "E522",
            f"there is no yoke in which spare-d hangs, {nowhere}",
            "a cylinder that a yoke of machines.yaml names",
            'cylinder="oxygen-e"',
        )
    ] == told('contents(cylinder="spare-d", reading="100 bar")', folder)
    ((_, wrong, allowed, _),) = told('contents(cylinder="spare-d", gauge="yoke-oxygen", reading="100 bar")', folder)
    assert "spare-d is not read on the gauge yoke-oxygen" == wrong
    assert "a gauge of a yoke in which this cylinder hangs" == allowed
    assert [
        (
            "E522",
            f"the machine induction-1 has no yoke in which nitrous-oxide-e hangs, {nowhere}",
            "theatre-1",
            'machine="theatre-1"',
        )
    ] == told('vapour_table(cylinder="nitrous-oxide-e", machine="induction-1", flows=["2 L/min"])', folder)
