"""What a new department starts with, and which of its data are still the examples that it started with."""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache
from pathlib import Path
from typing import Any

from yokebook.data.department import Department
from yokebook.data.faults import Fault
from yokebook.data.load import MODELS, read_tree
from yokebook.data.settings import Settings
from yokebook.errors import Problem, ProblemError
from yokebook.files import not_written, write_whole
from yokebook.reference.layout import DATA
from yokebook.templates import folder as template_folder
from yokebook.yamlfile import Mapping, plain


def starter() -> Path:
    """Return the folder that a new department's is a copy of."""
    return template_folder() / "start"


def start(folder: Path) -> None:
    """Lay a new department out in a folder that is not there yet, or empty.

    Raises FileExistsError where it holds anything, and then writes nothing; ProblemError where the disk refuses.
    """
    try:
        _lay_out(folder)
    except FileExistsError:
        raise
    except OSError as error:
        raise ProblemError([not_written(folder, error, "yokebook start our-department")]) from error


def _lay_out(folder: Path) -> None:
    if folder.exists() and (not folder.is_dir() or any(folder.iterdir())):
        raise FileExistsError(folder)
    for file in sorted(starter().rglob("*")):
        if file.is_file():
            write_whole(folder / file.relative_to(starter()), file.read_bytes())


def still_examples(department: Department | None) -> Iterator[Problem]:
    """Yield a warning for each entry of a department's data that is still the starter's, or copied from it.

    Comments, spaces and line ends count for nothing. Of the department's own settings the name tells, and the list of
    those that nobody has looked at yet: each of them may well be right as it stands.
    """
    if department is None:
        return
    sources = department.sources
    for stem, example in _examples().items():
        tree = sources.trees.get(stem, Mapping(0, 0))
        if stem == "department":
            found = (*_own_name(tree, example), *_not_looked_at(department.settings))
        else:
            found = tuple(_entries(stem, tree, example))
        yield from (sources.problem((stem,), fault) for fault in found)


@cache
def _examples() -> dict[str, Mapping]:
    return {file.stem: read_tree(file, file.name) for file in sorted((starter() / DATA).iterdir())}


def _own_name(tree: Mapping, example: Mapping) -> Iterator[Fault]:
    if plain(tree)["name"] == plain(example)["name"]:
        wrong = "this is the name that yokebook start wrote"
        allowed = "the name of your department, as readers are to see it; then look at each other value of this file"
        yield Fault("W773", wrong, ("name",), allowed=allowed, example=Settings.example_of(("name",)))


def _not_looked_at(settings: Settings) -> Iterator[Fault]:
    for key in settings.examples:
        left = [other for other in settings.examples if other != key]
        wrong = f"{key} is an example that yokebook start wrote: it stands in the list examples of this file"
        allowed = f"your own {key}, or this one where it is right as it is; then {key} taken out of examples"
        example = f"examples: [{', '.join(left)}]" if left else "no line examples at all"
        yield Fault("W773", wrong, (key,), on_key=True, allowed=allowed, example=example)


def _entries(stem: str, tree: Mapping, example: Mapping) -> Iterator[Fault]:
    """Yield each entry with an answer of the example's, whatever else was changed, and each that is all example."""
    started = plain(example)
    given = [answer for entry in started.values() for answer in _answers(entry)]
    for name, entry in plain(tree).items():
        left = [answer for answer in _answers(entry) if answer in given]
        if left:
            wrong = f"{name} is an example that yokebook start wrote, or was copied from one"
            allowed = "your own values, and this answer taken out; or your own reason, where an answer is needed"
            at = ("answers", left[0][0])
            yield Fault("W773", wrong, (name, *at), allowed=allowed, example=MODELS[stem].example_of(at))
        elif name in started and entry == started[name]:
            wrong = "all that stands under this name is the example that yokebook start wrote"
            allowed = "your own values; a name of your own, where each value is right as it is; or the entry taken out"
            yield Fault("W773", wrong, (name,), on_key=True, allowed=allowed, example=f"our-{name}: ...")


def _answers(entry: Any) -> list[tuple[str, Any]]:
    """Return the answers of an entry; none of one that cannot be read, which is told elsewhere."""
    answers = entry.get("answers") if isinstance(entry, dict) else None
    return list(answers.items()) if isinstance(answers, dict) else []
