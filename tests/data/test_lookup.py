"""Looking up one value of the data by its key."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from pathlib import Path

import pytest

from yokebook import units
from yokebook.data.department import Department
from yokebook.data.faults import Path as KeyPath
from yokebook.data.fields import ReviewInterval
from yokebook.data.load import load
from yokebook.data.lookup import NoSuchValueError, look_up

DATA = Path(__file__).parents[2] / "content" / "data"


@pytest.fixture(scope="module")
def demo() -> Department:
    department, _ = load(DATA, "content/data")
    assert department is not None
    return department


@pytest.mark.parametrize(
    ("path", "value"),
    [
        (("department", "keep_back"), units.GaugePressure.read("10 bar")),
        (("department", "roles", "equipment lead"), "Keeps the procedures and the data in this folder"),
        (("department", "transfer_margin"), Decimal(2)),
        (("department", "review_interval"), ReviewInterval(12, "12 months")),
        (("cylinders", "oxygen-e", "filling", "pressure"), units.GaugePressure.read("137 bar")),
        (("gauges", "yoke-oxygen", "accuracy", "class"), Decimal("2.5")),
        (("gauges", "yoke-oxygen", "scale_interval"), units.PressureDifference.read("10 bar")),
        (("gauges", "yoke-oxygen", "checked"), date(2026, 3, 1)),
        (("gauges", "yoke-oxygen", "unit"), units.SPELLINGS["bar"]),
        (("machines", "theatre-1", "used_without_pipeline"), False),
        (("machines", "theatre-1", "yokes", 2, "regulated_pressure", "low"), units.GaugePressure.read("2.8 bar")),
        (("uses", "bellows", "draws", "oxygen", 1, "drive gas"), "of the machine"),
        (("places", "theatre", "temperature", "high"), units.Temperature.read("24 °C")),
        (("scales", "store-scale", "interval"), units.Mass.read("0.01 kg")),
    ],
)
def test_a_key_leads_to_its_value(demo: Department, path: KeyPath, value: object) -> None:
    """Keys are those that an author writes in the data, names and numbers of a list among them."""
    assert value == look_up(demo, path)


def test_an_accuracy_that_is_not_known_says_so(demo: Department) -> None:
    """Unknown is a statement, not a gap."""
    gauge = demo.gauges["yoke-oxygen"].model_copy(update={"accuracy": None})
    demo.gauges["unknown-one"] = gauge
    assert "unknown" == look_up(demo, ("gauges", "unknown-one", "accuracy"))
    del demo.gauges["unknown-one"]


@pytest.mark.parametrize(
    ("path", "wrong", "allowed", "example", "suggestion"),
    [
        ((), "no key is given", "department, cylinders, gauges, machines, uses, places, scales",
         "department.keep_back", ""),
        (("cylindres",), "the department's data has no cylindres",
         "department, cylinders, gauges, machines, uses, places, scales", "cylinders", "cylinders"),
        (("cylinders", "oxigen-e", "tare"), "cylinders has no oxigen-e",
         "oxygen-e, nitrous-oxide-e, air-e, oxygen-transfer, fifty-fifty-d", 'cylinders["oxygen-e"]', "oxygen-e"),
        (("cylinders", "oxygen-e", "filling", "presure"), 'cylinders["oxygen-e"].filling has no presure',
         "pressure, at, ratio", 'cylinders["oxygen-e"].filling.pressure', "pressure"),
        (("cylinders", "oxygen-e", "filling"), 'cylinders["oxygen-e"].filling has parts', "pressure, at, ratio",
         'cylinders["oxygen-e"].filling.pressure', ""),
        (("cylinders", "oxygen-e", "tare"), 'cylinders["oxygen-e"].tare is not given in the department\'s data',
         "a key that is given", "", ""),
        (("department", "keep_back", "bar"), "department.keep_back has no parts, so bar leads nowhere",
         "department.keep_back", "", ""),
        (("machines", "theatre-1", "yokes", 9, "gas"), 'machines["theatre-1"].yokes has no 9', "0, 1, 2",
         'machines["theatre-1"].yokes[0]', ""),
        (("machines", "scanner-1", "pipeline"), 'machines["scanner-1"].pipeline holds no value',
         "a key that is given", "", ""),
    ],
)  # fmt: skip
def test_a_key_that_leads_nowhere_is_told(
    demo: Department, path: KeyPath, wrong: str, allowed: str, example: str, suggestion: str
) -> None:
    """What is wrong, what may stand there, an example, and the key that was likely meant."""
    with pytest.raises(NoSuchValueError) as refused:
        look_up(demo, path)
    error = refused.value
    assert min(len(path), 1) <= error.depth + 1 <= max(len(path), 1)
    assert wrong == str(error)
    assert (wrong, allowed, example, suggestion) == (error.wrong, error.allowed, error.example, error.suggestion)
