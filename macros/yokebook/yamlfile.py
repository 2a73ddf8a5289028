"""Strict YAML with the place of every key and value; the one door to ruamel.yaml.

Scalars stay the text that the author wrote: what "1:10", "NO" or "1.10" mean is decided by the field that takes them,
never by YAML. Double keys, anchors, aliases, tags, merge keys and second documents are refused.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from copy import copy
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

from yokebook import plain_text
from yokebook.errors import Level, Problem, ProblemError

if TYPE_CHECKING:
    from ruamel.yaml.error import MarkedYAMLError

DEEPEST = 20
_WHOLE_NUMBER, _DIGIT, _COMMA = re.compile(r"[+-]?[0-9]+"), re.compile(r"[0-9]"), re.compile(r"\s?,\s?")


@dataclass(frozen=True)
class Scalar:
    """A text as written, with its place (lines and columns from 1). `quoted` tells "null" from null."""

    line: int
    column: int
    text: str
    quoted: bool = False


@dataclass(frozen=True)
class Items:
    """A list, with its place."""

    line: int
    column: int
    items: tuple[Node, ...] = ()


@dataclass(frozen=True)
class Mapping:
    """Keys and values in the order written, with the place of each key."""

    line: int
    column: int
    values: dict[str, Node] = field(default_factory=dict)
    keys: dict[str, Scalar] = field(default_factory=dict)


Node = Scalar | Items | Mapping
Path = tuple[str | int, ...]


def read(text: str, file: str, *, first_line: int = 1) -> Mapping:
    """Return the keys and values of one YAML text.

    `file` names it in problems; `first_line` is the line of the file at which the text starts (front matter).
    Raises ProblemError with every problem found. An empty text is an empty mapping.
    """
    from ruamel.yaml import YAML
    from ruamel.yaml.error import MarkedYAMLError
    from ruamel.yaml.reader import ReaderError

    if found := list(plain_text.problems(text, file, first_line)):
        raise ProblemError(found)
    text = text.removeprefix("\ufeff")
    _refuse_before_reading(text, file, first_line)
    composer = YAML(typ="safe", pure=True)
    composer.version = (1, 2)
    try:
        root = composer.compose(text)
    except MarkedYAMLError as error:
        raise ProblemError([_of_reader(error, text, file, first_line)]) from None
    except ReaderError as error:
        raise ProblemError([_unreadable(text, error.position, file, first_line)]) from None
    except RecursionError:
        raise ProblemError([_unused(file, first_line, 1, f"more than {DEEPEST} levels")]) from None
    converter = _Converter(text, file, first_line)
    node = converter.node(root, 0) if root is not None else Mapping(first_line, 1)
    problems = converter.problems
    if not isinstance(node, Mapping) and not problems:
        problems.append(
            Problem(
                file,
                node.line,
                node.column,
                Level.ERROR,
                "E005",
                "keys and values are wanted here, such as name: value",
                allowed="lines of key: value",
                example="name: Larkmoor Infirmary, Theatre Equipment Group",
            )
        )
    if problems:
        raise ProblemError(dict.fromkeys(problems))
    assert isinstance(node, Mapping)
    return node


def _refuse_before_reading(text: str, file: str, first_line: int) -> None:
    """Refuse what ruamel reads in silence: directives."""
    if found := re.search("^%.*", text, re.MULTILINE):
        line = text.count("\n", 0, found.start()) + first_line
        raise ProblemError([_unused(file, line, 1, f"the directive {found[0].strip()}")])


def _of_reader(error: MarkedYAMLError, text: str, file: str, first_line: int) -> Problem:
    """Return what stopped the reader of YAML, where it begins and in an author's words."""
    said = str(error.problem)
    mark = error.context_mark if any(part in said for part in (_NEVER_CLOSED, _NO_COLON)) else error.problem_mark
    line, column = (mark.line + first_line, mark.column + 1) if mark else (first_line, 1)
    if mark and any(part in said for part in (_NO_COLON, _SECOND_COLON)):
        for number in (mark.line, _line_before(text, mark.line)):
            if glued := _GLUED.match(text.split("\n")[number]):
                return _broken(file, number + first_line, glued.end(), _NO_SPACE)
            if said == _SECOND_COLON and number < mark.line and _WITHOUT_COLON.match(text.split("\n")[number]):
                return _broken(file, number + first_line, 1, _PLAIN_WORDS[_NO_COLON])
    if "alias" in said:
        return _unused(file, line, column, "an alias, which begins with *")
    if "another document" in said:
        return _unused(file, line, column, "a second document after ---")
    known = (words for part, words in _PLAIN_WORDS.items() if part in said)
    return _broken(file, line, column, next(known, "no key, value or list can begin or go on like this"))


def _unreadable(text: str, position: int, file: str, first_line: int) -> Problem:
    before = text[:position]
    line, column = before.count("\n") + first_line, len(before) - before.rfind("\n")
    return _broken(file, line, column, f"the character U+{ord(text[position]):04X} cannot be read")


def _line_before(text: str, number: int) -> int:
    """Return the number, from 0, of the last line with a key or a value before a line; the line itself for none."""
    lines = text.split("\n")
    before = (above for above in range(number - 1, -1, -1) if lines[above].strip() and lines[above].lstrip()[0] != "#")
    return next(before, number)


# A key with its value joined to its colon is no key, and goes on in the next line: there it is that the reader stops.
_GLUED = re.compile(r"[ ]*(?:-[ ]+)?[A-Za-z][\w -]*:(?=[^\s/])")
_WITHOUT_COLON = re.compile(r"[ ]*(?:-[ ]+)?[A-Za-z][^:#]*$")
_NO_SPACE = "a space is missing after the colon"
_NEVER_CLOSED = "unexpected end of stream"
_NO_COLON, _SECOND_COLON = "could not find expected ':'", "mapping values are not allowed here"
# What the reader of YAML says, and what an author can do about it.
_PLAIN_WORDS = {
    _SECOND_COLON: "a second colon stands in the line, or the line is indented too far",
    "'\\t' that cannot start": "a tab stands here; indent with spaces",
    "that cannot start any token": "a text that begins with this sign needs quotes round it",
    _NEVER_CLOSED: "a quotation mark is never closed",
    _NO_COLON: "the colon after a key is missing, or a space after the colon",
    "expected <block end>": "the indent of this line does not fit the lines above",
    "expected ',' or": "a comma or a closing bracket is missing",
    "expected the node content": "a value is missing between two signs",
}


def _broken(file: str, line: int, column: int, detail: str) -> Problem:
    return Problem(
        file,
        line,
        column,
        Level.ERROR,
        "E002",
        f"this cannot be read as YAML: {detail}",
        allowed="key: value, two spaces of indent for each level, no tabs, and quotes round a text that holds ': '",
        example="water_capacity: 4.68 L",
    )


def _unused(file: str, line: int, column: int, what: str) -> Problem:
    return Problem(
        file,
        line,
        column,
        Level.ERROR,
        "E004",
        f"this part of YAML is not used here: {what}",
        allowed="plain keys, values and lists, each written out",
        example="gas: oxygen",
    )


@dataclass
class _Converter:
    """Turns composed nodes into ours and notes what is refused on the way."""

    text: str
    file: str
    first_line: int
    problems: list[Problem] = field(default_factory=list)

    def node(self, node: Any, depth: int) -> Node:
        """Return our form of one node and all below it."""
        line, column = node.start_mark.line + self.first_line, node.start_mark.column + 1
        if refused := self._refused(node, depth):
            self.problems.append(_unused(self.file, line, column, refused))
            return Scalar(line, column, "")
        kind = type(node).__name__
        if kind == "ScalarNode":
            return Scalar(line, column, str(node.value), quoted=node.style is not None)
        if kind == "SequenceNode":
            return Items(line, column, tuple(self.node(item, depth + 1) for item in node.value))
        mapping = Mapping(line, column)
        for key_node, value_node in self._pairs(node):
            key, value = self.node(key_node, depth + 1), self.node(value_node, depth + 1)
            if not isinstance(key, Scalar):
                self.problems.append(_unused(self.file, key.line, key.column, "a key that is not a plain text"))
            elif key.text == "<<":
                self.problems.append(_unused(self.file, key.line, key.column, "the merge key <<"))
            elif key.text in mapping.values:
                self.problems.append(_doubled(self.file, key, mapping.keys[key.text].line))
            else:
                mapping.values[key.text], mapping.keys[key.text] = value, key
        return mapping

    def _pairs(self, node: Any) -> list[tuple[Any, Any]]:
        """Return the keys and values of a mapping; what a decimal comma in braces has parted is put together again.

        YAML reads {class: 2,5} as a class of 2 and a key 5: two puzzles in the place of one plain fault of the number.
        """
        pairs: list[tuple[Any, Any]] = []
        for key, value in node.value:
            if pairs and node.flow_style and self._goes_on(pairs[-1][1], key, value):
                owner, first = pairs.pop()
                whole = copy(first)
                whole.value = self.text[first.start_mark.index : key.end_mark.index]
                pairs.append((owner, whole))
            else:
                pairs.append((key, value))
        return pairs

    def _goes_on(self, number: Any, key: Any, value: Any) -> bool:
        """Return whether a plain number before a comma goes on in a key that has no colon of its own."""
        plain = all(type(node).__name__ == "ScalarNode" and node.style is None for node in (number, key))
        return (
            plain
            and bool(_WHOLE_NUMBER.fullmatch(number.value) and _DIGIT.match(key.value))
            and bool(_COMMA.fullmatch(self.text, number.end_mark.index, key.start_mark.index))
            and value.start_mark.index == value.end_mark.index
            and not self.text[key.end_mark.index :].lstrip().startswith(":")
        )

    def _refused(self, node: Any, depth: int) -> str:
        """Return what a node is refused for. It is not gone into: aliases of aliases grow without end."""
        if depth > DEEPEST:
            return f"more than {DEEPEST} levels"
        if node.anchor:
            return f"the anchor &{node.anchor}"
        if self.text.startswith("!", node.start_mark.index):
            return f"the tag {self.text[node.start_mark.index :].split(maxsplit=1)[0]}"
        return ""


def _doubled(file: str, key: Scalar, before: int) -> Problem:
    return Problem(
        file,
        key.line,
        key.column,
        Level.ERROR,
        "E003",
        f"the key stands here a second time; the first is in line {before}",
        written=key.text,
        allowed="each key once",
        example="give the second one another name, or take one of the two out",
    )


def is_empty(node: Node) -> bool:
    """True for a value left out: nothing, null or ~ without quotes."""
    return isinstance(node, Scalar) and not node.quoted and node.text in ("", "null", "~", "Null", "NULL")


def plain(node: Node) -> Any:
    """Return a node as dicts, lists, texts and None, without its places."""
    if isinstance(node, Mapping):
        return {key: plain(value) for key, value in node.values.items()}
    if isinstance(node, Items):
        return [plain(item) for item in node.items]
    return None if is_empty(node) else node.text


def find(node: Node, path: Iterable[str | int]) -> tuple[Node, Scalar | None]:
    """Return the deepest node along a path that exists, and the key that leads to it (None at the root, in a list)."""
    key: Scalar | None = None
    for step in path:
        if isinstance(node, Mapping) and isinstance(step, str) and step in node.values:
            key, node = node.keys[step], node.values[step]
        elif isinstance(node, Items) and isinstance(step, int) and 0 <= step < len(node.items):
            key, node = None, node.items[step]
        else:
            break
    return node, key
