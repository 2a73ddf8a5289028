"""What a new department starts with, and which of its data are still the examples that it started with."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from yokebook.errors import Level, Problem, ProblemError
from yokebook.files import not_written, write_whole
from yokebook.reference.layout import DATA
from yokebook.templates import folder as template_folder


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


def still_examples(folder: Path) -> Iterator[Problem]:
    """Yield each data file that is the starter's own, byte for byte: nobody has put the department's values in yet."""
    for example in sorted((starter() / DATA).iterdir()):
        file = folder / DATA / example.name
        if file.is_file() and file.read_bytes() == example.read_bytes():
            yield Problem(
                f"{DATA}/{example.name}",
                0,
                0,
                Level.WARNING,
                "W773",
                "these are the examples that yokebook start wrote, and not the values of your cylinders and machines",
                allowed="what stands on your own cylinders, dials and machines, or was measured on them",
            )
