"""From a folder to a department: every file read, every problem told, in one run."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path as FilePath
from typing import Any

from yokebook import yamlfile
from yokebook.data import instruments, recommendations, references, stores
from yokebook.data.cylinders import Cylinder
from yokebook.data.department import Department, Entries
from yokebook.data.entry import Named
from yokebook.data.faults import Fault, Path, range_fault
from yokebook.data.fields import NAME
from yokebook.data.gauges import Gauge
from yokebook.data.machines import Machine
from yokebook.data.places import Place, Scale
from yokebook.data.problems import read_entry
from yokebook.data.settings import Settings
from yokebook.data.sources import FILES, Sources
from yokebook.data.uses import Use
from yokebook.errors import Collector, Level, OutOfRange, Problem, ProblemError, nearest
from yokebook.physics.ambient import pressure_at_altitude
from yokebook.quantities import AbsolutePa

MODELS: dict[str, type[Named]] = {
    "cylinders": Cylinder, "gauges": Gauge, "machines": Machine, "uses": Use, "places": Place, "scales": Scale,
}  # fmt: skip
_FIRST = {"cylinders": "oxygen-e", "gauges": "yoke-oxygen", "machines": "theatre-1", "places": "theatre"}
NEEDED = ("department", "cylinders", "gauges", "machines", "places")
"""Files without which there is no department; the other two may be left out."""


def load(folder: FilePath, shown_as: str) -> tuple[Department | None, list[Problem]]:
    """Read the data of a folder; return the department and all problems, sorted.

    `shown_as` is what problems call the folder, such as "content/data". The department is None only where
    `department.yaml` itself cannot be read: else it holds all entries that can, and `entries.broken` names the others.
    """
    trees: dict[str, yamlfile.Mapping] = {}
    sources = Sources(shown_as, trees)
    collector = Collector()
    broken: set[tuple[str, str]] = set()
    for stem in FILES:
        try:
            tree = _tree(folder, sources, stem)
        except ProblemError as error:
            collector.add(*error.problems)
            broken.add((stem, ""))
        else:
            if tree is not None:
                trees[stem] = tree
    collector.add(*_unknown_files(folder, shown_as))
    entries = _entries(sources, collector, broken)
    department = _department(entries, collector)
    for path, fault in _checks(entries, department):
        collector.add(sources.problem(path, fault))
    return department, list(collector)


def _tree(folder: FilePath, sources: Sources, stem: str) -> yamlfile.Mapping | None:
    file = sources.file(stem)
    try:
        return read_tree(folder / f"{stem}.yaml", file)
    except FileNotFoundError:
        if stem not in NEEDED:
            return None
        wrong = f"{stem}.yaml is missing"
        raise ProblemError([_of_file(file, "E233", wrong, ", ".join(f"{name}.yaml" for name in NEEDED))]) from None


def read_tree(path: FilePath, file: str) -> yamlfile.Mapping:
    """Return the keys and values of one YAML file, which problems call `file`.

    Raises FileNotFoundError where there is none, ProblemError where it cannot be read.
    """
    return tree_of(bytes_of(path, file), file)


def bytes_of(path: FilePath, file: str) -> bytes:
    """Return the bytes of a file. Raises FileNotFoundError where there is none, ProblemError where it can't be read."""
    try:
        return path.read_bytes()
    except FileNotFoundError:
        raise
    except OSError as error:
        wrong = f"the file cannot be read: {error.strerror}"
        raise ProblemError([_of_file(file, "E001", wrong, "a file that can be read")]) from None


def tree_of(content: bytes, file: str) -> yamlfile.Mapping:
    """Return the keys and values in the bytes of a YAML file. Raises ProblemError where they are none."""
    try:
        return yamlfile.read(content.decode("utf-8"), file)
    except UnicodeDecodeError as error:
        before = error.object[: error.start].decode("utf-8")
        line, column = before.count("\n") + 1, len(before) - before.rfind("\n")
        wrong = "this sign is not UTF-8 text; save the file as UTF-8"
        raise ProblemError([_of_file(file, "E001", wrong, "text in UTF-8").moved(file, line, column)]) from None


def _of_file(file: str, code: str, wrong: str, allowed: str) -> Problem:
    return Problem(file, 0, 0, Level.ERROR, code, wrong, allowed=allowed)


def _unknown_files(folder: FilePath, shown_as: str) -> Iterator[Problem]:
    known = [f"{stem}.yaml" for stem in FILES]
    found = sorted(path.name for path in folder.iterdir()) if folder.is_dir() else []
    for name in found:
        if name not in known and not name.startswith("."):
            wrong = "nothing here is read from this file"
            yield Problem(
                f"{shown_as}/{name}", 0, 0, Level.WARNING, "W301", wrong, allowed=", ".join(known),
                suggestion=nearest(name, known),
            )  # fmt: skip


def _entries(sources: Sources, collector: Collector, broken: set[tuple[str, str]]) -> Entries:
    shelves: dict[str, Any] = {}
    for stem, model in MODELS.items():
        shelves[stem] = {}
        if stem not in sources.trees:
            continue
        tree = sources.trees[stem] = _named(sources, stem, collector, broken)
        if not tree.values and stem in NEEDED:
            collector.add(sources.problem((stem,), _empty(stem)))
            broken.add((stem, ""))
        for name in tree.values:
            entry, problems = read_entry(model, tree, sources.file(stem), (name,), name)
            collector.add(*problems)
            if entry is None or not NAME.fullmatch(name):
                broken.add((stem, name))
            else:
                shelves[stem][name] = entry
    return Entries(sources, **shelves, broken=frozenset(broken))


def _empty(stem: str) -> Fault:
    wrong = f"nothing stands in {stem}.yaml"
    if stem not in _FIRST:
        return Fault(
            "E239", wrong, allowed=", ".join(Settings.keys()), example="name: Larkmoor Infirmary, Theatre Group"
        )
    allowed = "at least one entry: its name, and its keys with their values below it"
    key = next(iter(MODELS[stem].keys()))
    return Fault("E239", wrong, allowed=allowed, example=f"{_FIRST[stem]}:\n  {key}: ...")


def _named(sources: Sources, stem: str, collector: Collector, broken: set[tuple[str, str]]) -> yamlfile.Mapping:
    """Return a file's entries, each that is misnamed told once and put under the name that was surely meant.

    The name as written counts as broken, so that what refers to it is not told again.
    """
    tree = sources.trees[stem]
    named = yamlfile.Mapping(tree.line, tree.column)
    for name, node in tree.values.items():
        key = name
        if not NAME.fullmatch(name):
            meant = "-".join(re.findall("[a-z0-9]+", name.lower()))
            collector.add(sources.problem((stem,), _misnamed(name, meant)))
            broken.add((stem, name))
            key = meant if meant and meant not in tree.values and meant not in named.values else name
        named.values[key], named.keys[key] = node, tree.keys[name]
    return named


def _misnamed(name: str, meant: str) -> Fault:
    wrong = "a name is made of small letters a to z, digits and single hyphens; it also stands in links and file names"
    return Fault(
        "E211", wrong, (name,), on_key=True, allowed="small letters, digits, hyphens",
        example="oxygen-e: ...", suggestion=meant,
    )  # fmt: skip


def _department(entries: Entries, collector: Collector) -> Department | None:
    sources = entries.sources
    tree = sources.trees.get("department")
    if tree is None:
        return None
    if not tree.values:
        collector.add(sources.problem(("department",), _empty("department")))
        return None
    settings, problems = read_entry(Settings, tree, sources.file("department"))
    collector.add(*problems)
    if settings is None:
        return None
    try:
        ambient = _ambient(settings)
    except OutOfRange as error:
        collector.add(sources.problem(("department", "altitude"), range_fault(error)))
        return None
    return Department(settings, ambient, entries)


def _ambient(settings: Settings) -> AbsolutePa:
    if settings.ambient_pressure is not None:
        return settings.ambient_pressure.pa
    assert settings.altitude is not None
    return pressure_at_altitude(settings.altitude.m)


def _checks(entries: Entries, department: Department | None) -> Iterator[tuple[Path, Fault]]:
    yield from references.check(entries)
    yield from instruments.check_alone(entries)
    yield from recommendations.check(entries)
    if department is not None:
        yield from recommendations.check_settings(department)
        yield from stores.check(department)
        yield from instruments.check_with_settings(department)
