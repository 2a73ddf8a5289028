"""Every value of a department's data, with others that could stand in its place: to see what moves with it."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal
from pathlib import Path

from yokebook import yamlfile
from yokebook.data.sources import key_text

_NUMBER = re.compile(r"[0-9]+(\.[0-9]+)?")
_DAY = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}")

# Words of closed lists of which a department need not use more than one.
_WORDS = {"left": ("right",), "ISO 32": ("CGA C-9",), "stop": ("free",), "valve": ("cylinder only",),
          "2.5": ("1.6", "4"), "1.6": ("2.5",), "unknown": ("{class: 2.5}",)}  # fmt: skip


@dataclass(frozen=True)
class DataValue:
    """One value: its key, the file that it stands in, and where."""

    key: str
    file: Path
    scalar: yamlfile.Scalar
    of_its_kind: tuple[str, ...] = ()
    """What stands under the same word elsewhere in the data: names and words that may be right here too."""

    def others(self) -> Iterator[str]:
        """Yield what could stand there instead, the least change first."""
        text = self.scalar.text
        if text in ("true", "false"):
            yield "false" if text == "true" else "true"
        elif _DAY.fullmatch(text):
            yield (date.fromisoformat(text) + timedelta(days=1)).isoformat()
        elif found := _NUMBER.match(text):
            number = Decimal(found.group())
            # A step of the last digit, then of a tenth: some values are to stay above or below others.
            step = Decimal(1).scaleb(int(number.as_tuple().exponent))
            for other in (number - step, number + step, number * Decimal("0.9"), number * Decimal("1.1")):
                if other > 0:
                    yield f"{other.normalize():f}{text[found.end() :]}"
        else:
            yield f"{text} too"
        yield from (other for other in (*self.of_its_kind, *_WORDS.get(text, ())) if other != text)

    def written(self, other: str) -> str:
        """Return the text of the file with another value."""
        lines = self.file.read_text(encoding="utf-8").split("\n")
        line, start = lines[self.scalar.line - 1], self.scalar.column - 1
        quotes = 2 if self.scalar.quoted else 0
        end = start + len(self.scalar.text) + quotes
        lines[self.scalar.line - 1] = f"{line[:start]}{other}{line[end:]}"
        return "\n".join(lines)


def values_of(folder: Path) -> Iterator[DataValue]:
    """Yield each value of the files of a folder of data."""
    found: list[tuple[Path, tuple[str | int, ...], yamlfile.Scalar]] = []
    for file in sorted(folder.glob("*.yaml")):
        tree = yamlfile.read(file.read_text(encoding="utf-8"), file.name)
        found += [(file, path, scalar) for path, scalar in _below(tree)]
    for file, path, scalar in found:
        kind = dict.fromkeys(other.text for _, way, other in found if way[-1] == path[-1])
        yield DataValue(key_text((file.stem, *path)), file, scalar, tuple(kind))


def _below(node: yamlfile.Node) -> Iterator[tuple[tuple[str | int, ...], yamlfile.Scalar]]:
    if isinstance(node, yamlfile.Scalar):
        yield (), node
        return
    inner = node.values.items() if isinstance(node, yamlfile.Mapping) else enumerate(node.items)
    for key, value in inner:
        for path, scalar in _below(value):
            yield (key, *path), scalar
