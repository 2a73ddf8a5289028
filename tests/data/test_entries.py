"""Single entries of the data: what each field takes and refuses, beyond the mistakes that have their own folder."""

from __future__ import annotations

from decimal import Decimal

import pytest

from yokebook import units, yamlfile
from yokebook.data.cylinders import Cylinder
from yokebook.data.department import Entries
from yokebook.data.entry import Entry
from yokebook.data.faults import BROKEN, Fault, StillBrokenError, range_fault
from yokebook.data.gauges import Gauge
from yokebook.data.machines import Drive, Machine
from yokebook.data.places import Place
from yokebook.data.problems import read_entry
from yokebook.data.reading import read
from yokebook.data.settings import Settings
from yokebook.data.sources import Sources, problem_at
from yokebook.data.uses import Use
from yokebook.errors import Level, OutOfRange, Problem

OXYGEN_HELIUM = (
    "{gas: oxygen/helium, valve: pin-index, water_capacity: 2 L, "
    "stored: store, filling: {pressure: 137 bar, at: 15 °C}, fractions: %s}"
)
YOKES = "place: theatre, used_without_pipeline: true, standing_draw: 0 L/min, yokes: []"
SETTINGS = (
    "{name: x, room_temperature: {low: 1 °C, usual: 1 °C, high: 1 °C}, flowmeter_tolerance: %s, "
    "flowmeter_reference: {temperature: 20 °C, pressure: 1 atm}, keep_back: 10 bar, change_time: 5 min, "
    "transfer_margin: 2, colour_marks: CGA C-9, review_interval: %s, roles: %s}"
)


def node(text: str) -> yamlfile.Node:
    return yamlfile.read(f"entry: {text}\n", "data.yaml").values["entry"]


def faults(model: type[Entry], text: str) -> list[tuple[str, tuple[str | int, ...], str]]:
    entry, found = read(model, node(text))
    assert (entry is None) == bool(found)
    return [(fault.code, fault.at, fault.wrong) for fault in found]


@pytest.mark.parametrize(
    ("model", "text", "code", "at", "wrong"),
    [
        (Cylinder, "", "E204", (), "nothing stands behind the key"),
        (Cylinder, "oxygen", "E203", (), "keys and values are wanted for a cylinder"),
        (Cylinder, "{gas: nitrous oxide, valve: pin-index, water_capacity: 2 L, "
                   "stored: store, filling: {ratio: 0.75}, tare: 5 kg}",
         "E202", ("tare_includes",),
         "tare_includes is missing: a tare tells nothing unless it is known what was weighed with it"),
        (Cylinder, "{gas: oxygen, valve: pin-index, water_capacity: 2 L, "
                   "stored: store, filling: {pressure: 137 bar, at: 15 °C}, "
                   "tare_includes: valve}", "E202", ("tare",),
         "tare is missing: tare_includes is given"),
        (Cylinder, "{gas: oxygen, valve: integral, water_capacity: 2 L, "
                   "stored: store, filling: {pressure: 137 bar, at: 15 °C}}",
         "E202", ("gauge",),
         "gauge is missing: a cylinder with an integral valve carries its own gauge"),
        (Cylinder, "{gas: oxygen, valve: pin-index, water_capacity: 2 L, "
                   "stored: store, filling: {pressure: 137 bar}}", "E202",
         ("filling", "at"), "at is missing: a compressed gas is filled to a pressure at a temperature"),
        (Cylinder, "{gas: oxygen, valve: pin-index, water_capacity: 2 x, "
                   "stored: store, filling: {pressure: 137 bar, at: 15 °C}}",
         "E105", ("water_capacity",), "x is not a unit that is read here"),
        (Cylinder, "{gas: oxygen, country: UK, valve: pin-index, water_capacity: 2 L, "
                   "stored: store, filling: {pressure: 137 bar, at: 9 °C}}",
         "E214", ("country",),
         "country is given without size; a size letter means one water capacity here and another there"),
        (Cylinder, "{gas: oxygen, valve: pin-index, water_capacity: 2 L, "
                   "stored: store, filling: {pressure: 137 bar, at: 15 °C}, "
                   "fractions: {oxygen: 100 %}}", "E216", ("fractions",), "oxygen is defined by its name alone"),
        (Cylinder, OXYGEN_HELIUM % "{oxygen: 100 %, helium: 0 %}", "E217", ("fractions",),
         "the fractions make 100 % together, each is to be above 0 %"),
        (Cylinder, OXYGEN_HELIUM % "{oxygen: 21 %, helium: 79}", "E104", ("fractions", "helium"),
         "the unit is missing; without it this is no percentage"),
        (Cylinder, OXYGEN_HELIUM % "none", "E203", ("fractions",), "keys and values are wanted here"),
        (Cylinder, "{gas: carbon dioxide, valve: pin-index, water_capacity: 2 L, "
                   "stored: store, filling: {ratio: 67 %}, tare: 5 kg, "
                   "tare_includes: valve}", "E209", ("filling", "ratio"),
         "this is to be a plain number, with a decimal point where one is needed, without a unit"),
        (Gauge, "{unit: Bar, span: {low: 0 bar, high: 250 bar}, scale_interval: 10 bar, accuracy: unknown}", "E205",
         ("unit",), "this is not a unit of pressure that a dial is read in here"),
        (Gauge, "{unit: psia, span: {low: 0 psi, high: 250 psi}, scale_interval: 10 psi, accuracy: unknown}", "E205",
         ("unit",), "this is not a unit of pressure that a dial is read in here"),
        (Gauge, "{unit: bar, span: {low: 250 bar, high: 0 bar}, scale_interval: 10 bar, accuracy: unknown}", "E212",
         ("span", "high"), "the dial's span ends at 0\u00a0bar and begins at 250\u00a0bar"),
        (Gauge, "{unit: bar, span: {low: 0 bar, high: 250 bar}, scale_interval: 10 bar, accuracy: {of_span: 4 %}}",
         "E202", ("accuracy", "of_reading"),
         "of_reading is missing: a possible error in per cent is of_span and of_reading together"),
        (Gauge, "{unit: bar, span: {low: 0 bar, high: 250 bar}, scale_interval: 10 bar, accuracy: {}}", "E221",
         ("accuracy",), "no accuracy is stated"),
        (Gauge, "{unit: bar, span: {low: 0 bar, high: 250 bar}, scale_interval: 0 bar, accuracy: unknown}", "E108",
         ("scale_interval",), "this pressure difference is to be above 0"),
        (Gauge, "{unit: bar, span: {low: 0 bar, high: 9 bar}, scale_interval: 1 bar, accuracy: unknown, "
                "checked: 2026-02-30}", "E208", ("checked",), "there is no such day"),
        (Gauge, "{unit: bar, span: {low: 0 bar, high: 9 bar}, scale_interval: 1 bar, accuracy: unknown, "
                "dial_multiplier: 1.5}", "E209", ("dial_multiplier",),
         "this is to be a plain whole number, without a unit"),
        (Drive, "{gas: oxygen, usual: 6 L/min}", "E202", ("high",),
         "high is missing: the ventilator is driven by gas"),
        (Drive, "{gas: oxygen, usual: 6 L/min, high: 5 L/min}", "E212", ("high",),
         "high (5\u00a0L/min) lies below usual (6\u00a0L/min)"),
        (Machine, "{" + YOKES + ", drive: {gas: none}, indicator: }", "E204", ("indicator",),
         "nothing stands behind the key"),
        (Machine, "{place: t, used_without_pipeline: true, standing_draw: 0 L/min, drive: {gas: none}, "
                  "yokes: [{gas: oxygen, cylinder: oxygen-e}]}", "E202", ("yokes", 0, "gauge"),
         "gauge is missing: the yoke is in use; "
         "one that is not says not_used with the reason"),
        (Place, "{temperature: {low: 20 °C, usual: 16 °C, high: 26 °C}}", "E212", ("temperature", "usual"),
         "usual (16\u00a0°C) lies below low (20\u00a0°C)"),
        (Gauge, "{unit: bar, span: {low: 0 bar, high: 250 bar}, scale_interval: 10 bar, accuracy: {class: 2,5}}",
         "E102", ("accuracy", "class"), "a comma stands in the number; write a decimal point"),
        (Cylinder, "{gas: oxygen, valve: pin-index, water_capacity: 2 L, "
                   "stored: store, filling: {pressure: 137,5 bar, at: 15 °C}}",
         "E102", ("filling", "pressure"),
         "a comma stands in the number; write a decimal point, and nothing between thousands"),
        (Cylinder, "{gas: carbon dioxide, valve: pin-index, water_capacity: 2 L, "
                   "stored: store, filling: {ratio: 0.801}, tare: 5 kg, "
                   "tare_includes: valve}", "E265", ("filling", "ratio"),
         "so full a cylinder would be full of liquid at room temperature, and would vent or burst in the warm"),
        (Cylinder, "{gas: oxygen, valve: pin-index, water_capacity: 2 L, "
                   "stored: store, filling: {pressure: 137 kPa, at: 15 °C}}",
         "E264", ("filling", "pressure"), "no cylinder is full at 137\u00a0kPa"),
        (Gauge, "{unit: psi, span: {low: 0 psi, high: 3000 psi}, scale_interval: 10 psi, accuracy: unknown}", "E266",
         ("scale_interval",),
         "the span would bear 300 marks, more than anybody could read; count the marks on the dial"),
        (Use, "{title: x, draws: {oxygen: [{fresh gas: 1 L/min}, {leak: 0 L/min}]}}", "E268",
         ("draws", "oxygen", 1, "leak"),
         "nothing is drawn here; a draw that takes nothing may be one that was forgotten"),
        (Use, "{title: x, draws: {oxygen: [{fresh gas: 0 L/min}, {leak: 0 L/min}]}}", "E225", ("draws", "oxygen"),
         "nothing is drawn of oxygen, so that a cylinder would never run out"),
        (Settings, SETTINGS % ("10 %", "1 year", "{a: b}, ambient_pressure: 1013 kPa"), "E261", ("ambient_pressure",),
         "nowhere does a hospital have 1013\u00a0kPa of air, absolute"),
        (Settings, SETTINGS % ("10 %", "1 year", "{a: b}, altitude: -1 m"), "E269", ("altitude",),
         "the standard atmosphere is not used below the level of the sea"),
        (Use, "{title: '', draws: {oxygen: [{leak: 1 L/min}]}}", "E204", ("title",), "nothing stands behind the key"),
        (Use, "{title: x, draws: {}}", "E225", ("draws",), "no gas is drawn, so that a cylinder would never run out"),
        (Use, "{title: x, draws: {oxygen: }}", "E204", ("draws", "oxygen"), "nothing stands behind the key"),
        (Use, "{title: x, draws: {oxygen: [{}]}}", "E224", ("draws", "oxygen", 0),
         "no draw stands in this item of the list"),
        (Use, "{title: x, draws: {oxygen: [{drive gas: of the machin}]}}", "E101", ("draws", "oxygen", 0, "drive gas"),
         "no number stands at the start; a flow is a number and its unit"),
        (Settings, SETTINGS % ("60 %", "1 year", "{a: b}, altitude: 0 m"), "E108", ("flowmeter_tolerance",),
         "nothing can be told from a tolerance this wide"),
        (Settings, SETTINGS % ("ten", "1 year", "{a: b}, altitude: 0 m"), "E101", ("flowmeter_tolerance",),
         "no number stands at the start; a percentage is a number and its unit"),
        (Settings, SETTINGS % ("1 %", "1 year", "{a: b}"), "E213", (),
         "neither ambient_pressure nor altitude is given, so a gauge pressure has nothing to count from"),
        (Settings, SETTINGS % ("1 %", "1 year", "{}, altitude: 0 m"), "E203", ("roles",),
         "at least one is wanted here"),
    ],
)  # fmt: skip
def test_what_a_field_refuses(model: type[Entry], text: str, code: str, at: tuple[str | int, ...], wrong: str) -> None:
    """Each fault has its code, where it lies and what is wrong, and is the only one."""
    assert [(code, at, wrong)] == faults(model, text)


def test_a_fault_in_one_key_of_a_group_does_not_hide_the_next() -> None:
    """A gas that is not known and a flow without a unit, in one list of draws, and a title left out."""
    text = "{draws: {oxigen: [{leak: 1 L/min}], oxygen: [{fresh gas: 1}, {fresh gas: 2 L/min, leak: 1 L/min}]}}"
    assert [("E202", ("title",)), ("E104", ("draws", "oxygen", 0, "fresh gas")), ("E206", ("draws", "oxigen")),
            ("E224", ("draws", "oxygen", 1))] == sorted(
        [(code, at) for code, at, _ in faults(Use, text)], key=lambda fault: (fault[0] != "E202", fault[0])
    )  # fmt: skip


def test_no_fault_is_built_on_a_fault() -> None:
    """A value that cannot be read is no reason to say that others do not fit it."""
    text = "{unit: bar, span: {low: 0 bar, high: 250}, scale_interval: 300 bar, accuracy: {class: 2.5}}"
    assert [("E104", ("span", "high"))] == [(code, at) for code, at, _ in faults(Gauge, text)]
    text = "{low: 20, usual: 30 °C, high: 26 °C}"
    assert [("E104", ("temperature", "low")), ("E212", ("temperature", "high"))] == [
        (code, at) for code, at, _ in faults(Place, f"{{temperature: {text}}}")
    ]
    text = OXYGEN_HELIUM.replace("137 bar", "137") % "{oxygen: 21 %, helium: 79 %}"
    assert [("E104", ("filling", "pressure"))] == [(code, at) for code, at, _ in faults(Cylinder, text)]
    text = OXYGEN_HELIUM % "{oxygen: 21, helium: 79}"
    assert ["E104", "E104"] == [code for code, _, _ in faults(Cylinder, text)]


def test_nothing_can_be_told_from_a_broken_value() -> None:
    """Whatever a check asks of it ends the check; to Python itself it is an object like any other."""
    for ask in (lambda: BROKEN.si, lambda: BROKEN < 1, lambda: list(BROKEN), lambda: "a" in BROKEN, lambda: BROKEN[0]):
        with pytest.raises(StillBrokenError):
            ask()
    assert not hasattr(BROKEN, "__wrapped__")


def test_a_misspelt_key_is_one_fault_not_two() -> None:
    """The key that was surely meant is not also said to be missing, and one that is there is not meant."""
    misspelt = "{gas: oxygen, usualy: 1 L/min, high: 2 L/min}"
    assert [("E201", ("usualy",))] == [(code, at) for code, at, _ in faults(Drive, misspelt)]
    assert [("E201", ("gass",))] == [(code, at) for code, at, _ in faults(Drive, "{gas: none, gass: none}")]


def test_values_are_quantities_of_their_kinds() -> None:
    """What is read is a quantity that knows its unit, or a plain number where there is no unit."""
    gauge, found = read(
        Gauge,
        node(
            "{unit: kgf/cm2, span: {low: 0 kgf/cm2, high: 250 kgf/cm²}, scale_interval: 10 kgf/cm², "
            "accuracy: {class: 1}}"
        ),
        "old-dial",
    )
    assert [] == found
    assert gauge is not None
    assert "old-dial" == gauge.key
    assert units.SPELLINGS["kgf/cm²"] is gauge.unit
    assert 24_516_625.0 == pytest.approx(gauge.span.width_pa, rel=1e-12)
    assert Decimal(1) == gauge.dial_multiplier
    assert gauge.accuracy is not None
    assert Decimal(1) == gauge.accuracy.accuracy_class


def test_mixtures_carry_their_fractions_to_the_gas() -> None:
    """The fractions decide composition and pin code (2-4 up to 80 % helium: ISO 407, from an encyclopaedia's table)."""
    heliox, _ = read(Cylinder, node(OXYGEN_HELIUM % "{oxygen: 21 %, helium: 79 %}"))
    assert heliox is not None
    assert (("oxygen", 0.20999999999999996), ("helium", 0.79)) == heliox.contents.composition
    assert (2, 4) == heliox.contents.pins
    text = OXYGEN_HELIUM.replace("/helium", "/carbon dioxide") % "{oxygen: 95 %, carbon dioxide: 5 %}"
    carbogen, _ = read(Cylinder, node(text))
    assert carbogen is not None
    assert (("oxygen", 0.95), ("carbon dioxide", 0.05)) == carbogen.contents.composition


def test_draws_say_their_flow_or_that_the_machine_does() -> None:
    """A drive gas may be a flow of its own, for a ventilator that is no machine's."""
    draws = "[{leak: 1 L/min}, {drive gas: 7 L/min}, {drive gas: of the machine}]"
    use, _ = read(Use, node("{title: x, draws: {oxygen: " + draws + "}}"))
    assert use is not None
    leak, drive, machine = use.draws["oxygen"]
    assert ("1\u00a0L/min", "7\u00a0L/min") == tuple(draw.flow.text for draw in (leak, drive) if draw.flow)
    assert [False, False, True] == [draw.is_of_the_machine for draw in (leak, drive, machine)]
    assert machine.flow is None


def test_models_are_frozen_and_answers_are_none_by_default() -> None:
    """Nothing of the data changes once it is read."""
    machine, _ = read(Machine, node("{" + YOKES + ", drive: {gas: none}}"))
    assert machine is not None
    with pytest.raises(ValueError, match="frozen"):
        machine.place = "elsewhere"  # type: ignore[misc]  # that it is refused is what is tested
    assert machine.answers.oxygen_yoke is None


def test_a_base_address_ends_with_a_slash() -> None:
    """Addresses below it can be put behind it."""
    last = "{a: b}, altitude: 0 m, base_url: 'https://a.example'"
    settings, found = read(Settings, node(SETTINGS % ("1 %", "2 years", last)))
    assert [] == found
    assert settings is not None
    assert "https://a.example/" == settings.base_url
    assert 24 == settings.review_interval.months


def test_an_entry_read_within_a_file_has_its_problems_there() -> None:
    """Faults become problems at their places, with the example of the very key."""
    tree = yamlfile.read("a:\n  gas: none\n  usual: 6\n", "data.yaml")
    entry, problems = read_entry(Drive, tree, "data.yaml", ("a",), "a")
    assert entry is None
    assert [
        Problem(
            "data.yaml", 3, 10, Level.ERROR, "E104", "the unit is missing; without it this is no flow", written="6",
            allowed="a number and one of L/min, mL/min, L/h", example="usual: 6 L/min",
        )
    ] == [problem for problem in problems if problem.code == "E104"]  # fmt: skip


def test_faults_found_later_become_problems_of_a_tree() -> None:
    """Whoever finds a fault after reading places it by the path from the root."""
    tree = yamlfile.read("uses: [a, b]\n", "page.md", first_line=4)
    fault = Fault("E240", "no such use", ("uses", 1), allowed="c", example="c")
    problem = Problem("page.md", 4, 11, Level.ERROR, "E240", "no such use", written="b", allowed="c", example="c")
    assert problem == problem_at(tree, "page.md", (), fault)


@pytest.mark.parametrize(
    ("error", "allowed"),
    [
        (OutOfRange("temperature", 400.0, "K", low=233.15, high=343.15), "−40\u00a0°C to 70\u00a0°C"),
        (OutOfRange("absolute pressure", 5e7, "Pa", high=4e7), "at most 400\u00a0bar"),
        (OutOfRange("fraction", 0.3, "", high=0.2), "at most 0.2"),
        (OutOfRange("filling ratio", 0.3, "1", low=0.45), "at least 0.45"),
        (OutOfRange("critical point", 0.3, "K"), ""),
    ],
)
def test_limits_of_the_physics_in_a_readers_units(error: OutOfRange, allowed: str) -> None:
    """SI units become those that a reader knows."""
    assert allowed == range_fault(error).allowed


def test_no_entries_are_broken_where_none_were_read() -> None:
    """An empty set of entries knows of no broken ones."""
    assert not Entries(Sources("data")).is_broken("cylinders", "oxygen-e")


@pytest.mark.parametrize(
    ("written", "meant"),
    [
        ("oxigen", "oxygen"), ("Nitrous Oxide", "nitrous oxide"), ("nitrus oxid", "nitrous oxide"), ("aire", "air"),
        ("nitrous oxide/oxygen 5:50", "nitrous oxide/oxygen 50:50"),
        ("carbon monoxide", ""), ("nitrogen oxide", ""), ("heliox", ""), ("nitrous oxide/oxygen", ""), ("neon", ""),
    ],
)  # fmt: skip
def test_no_other_gas_is_suggested_for_one_that_is_not_known(written: str, meant: str) -> None:
    """A slip of a letter or two is mended; what is merely alike may be quite another gas."""
    _, found = read(Drive, node(f"{{gas: '{written}', usual: 6 L/min, high: 9 L/min}}"))
    assert [("E206", meant)] == [(fault.code, fault.suggestion) for fault in found]


@pytest.mark.parametrize(
    ("pressure", "meant"),
    [
        ("101.325 bar", "101.325 kPa"), ("101.325 psi", "101.325 kPa"), ("760 kPa", "760 mmHg"),
        ("14.7 bar", "14.7 psia"), ("1013 kPa", ""), ("1 MPa", "1 bar abs"),
    ],
)  # fmt: skip
def test_an_ambient_pressure_in_the_wrong_unit_is_told_with_the_right_one(pressure: str, meant: str) -> None:
    """Where the same number is the pressure of air in another unit, that unit was meant."""
    _, found = read(Settings, node(SETTINGS % ("10 %", "1 year", "{a: b}, ambient_pressure: " + pressure)))
    assert [("E261", meant, "50\u00a0kPa to 110\u00a0kPa")] == [
        (fault.code, fault.suggestion, fault.allowed) for fault in found
    ]


@pytest.mark.parametrize("pressure", ["50 kPa", "110 kPa", "14.7 psia", "1.013 bar abs", "760 mmHg"])
def test_ambient_pressures_that_can_be(pressure: str) -> None:
    """The ends of what is taken, and sea level in other units (1.013 bar, 760 mmHg, 14.7 psi: definition of 1 atm)."""
    settings, found = read(Settings, node(SETTINGS % ("10 %", "1 year", "{a: b}, ambient_pressure: " + pressure)))
    assert [] == found
    assert settings is not None
