"""The language of calls: `name(key="text", other=3)` and `cylinders["oxygen-e"].filling.pressure`, nothing else.

A parser of our own, since each mistake is to be told at its line and column, and texts that stand beside each other are
never to be joined in silence. It goes on after a mistake, at the next argument, so that one never hides another.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass

from yokebook.errors import Level, Problem, ProblemError
from yokebook.yamlfile import Items, Mapping, Node, Path, Scalar

DEEPEST = 3
_TOKENS = re.compile(
    r"""(?P<space>[ \t\r\n]+)
      | (?P<text>"(?:[^"\\\n]|\\["\\])*"|'(?:[^'\\\n]|\\['\\])*')
      | (?P<number>-?[0-9]+(?:\.[0-9]+)?(?![0-9A-Za-z_]|[.,][0-9]))
      | (?P<name>[A-Za-z_][A-Za-z0-9_]*)
      | (?P<sign>[()\[\],=.])
      | (?P<odd>["'][^\n]*
               |[“”„‘’][^“”„‘’"'\n]*[“”„‘’]?
               |-?[0-9](?:[0-9A-Za-z_]|[.,](?=[0-9]))*
               |[^\s"'“”„‘’0-9A-Za-z_()\[\],=.]+
               |.)""",
    re.VERBOSE | re.DOTALL,
)
_EXAMPLE = 'reserve_table(cylinder="oxygen-e", machine="theatre-1", uses=["bellows"])'


@dataclass(frozen=True)
class Call:
    """A call with its place; its arguments are places and texts like those of a data file."""

    line: int
    column: int
    name: str
    arguments: Mapping


@dataclass(frozen=True)
class Lookup:
    """One data value that stands in the text, as the path to it and each step of the path as it is written."""

    line: int
    column: int
    path: Path
    steps: tuple[Scalar, ...]


@dataclass(frozen=True)
class Unread:
    """Stands for a call in which a problem was found already."""

    line: int
    column: int


@dataclass(frozen=True)
class _Token:
    kind: str
    text: str
    line: int
    column: int


class _LostError(Exception):
    """The parser cannot go on here; what is wrong has been noted."""


def parse(text: str, file: str, line: int, column: int) -> Call | Lookup:
    """Return what stands between the double braces.

    `line` and `column` are those of the first character of `text` in `file`.
    Raises ProblemError with every independent mistake.
    """
    return _Parser(text, file, line, column).whole()


class _Parser:
    def __init__(self, text: str, file: str, line: int, column: int) -> None:
        self.file = file
        self.problems: list[Problem] = []
        self.tokens = self._tokens(text, line, column)
        self.at = 0

    def _tokens(self, text: str, line: int, column: int) -> list[_Token]:
        tokens: list[_Token] = []
        for found in _TOKENS.finditer(text):
            piece = found.group()
            if found.lastgroup != "space":
                tokens.append(_Token(str(found.lastgroup), piece, line, column))
            line += piece.count("\n")
            column = len(piece) - piece.rfind("\n") if "\n" in piece else column + len(piece)
        tokens.append(_Token("end", "}}", line, column))
        return tokens

    def note(self, code: str, wrong: str, token: _Token, *, allowed: str = "", example: str = "") -> _LostError:
        """Note a problem; return what a caller raises where it cannot go on."""
        if token.kind == "odd":
            code, wrong, allowed, example = "E501", _what_is_odd(token.text), "", ""
        self.problems.append(
            Problem(
                self.file,
                token.line,
                token.column,
                Level.ERROR,
                code,
                wrong,
                written=token.text,
                allowed=allowed or "one call with named arguments, or one data value",
                example="{{ " + (example or _EXAMPLE) + " }}",
            )
        )
        return _LostError()

    @property
    def here(self) -> _Token:
        return self.tokens[self.at]

    def is_sign(self, text: str) -> bool:
        return self.here.kind == "sign" and self.here.text == text

    def step(self) -> _Token:
        token = self.here
        self.at = min(self.at + 1, len(self.tokens) - 1)
        return token

    def whole(self) -> Call | Lookup:
        try:
            found = self.one()
        except _LostError:
            found = None
        if found is None or self.problems:
            raise ProblemError(self.problems)
        return found

    def one(self) -> Call | Lookup:
        first = self.step()
        if first.kind != "name":
            raise self.note("E501", "the name of a call or of a data file is wanted here", first)
        found = self.call(first) if self.is_sign("(") else self.lookup(first)
        if self.here.kind != "end":
            raise self.note(
                "E502",
                "nothing more may stand here: no sums, filters or second calls",
                self.here,
                allowed="one call or one data value between the double braces",
            )
        return found

    def call(self, name: _Token) -> Call:
        self.step()
        values: dict[str, Node] = {}
        keys: dict[str, Scalar] = {}
        while not self.is_sign(")") and self.here.kind != "end":
            try:
                self.argument(keys, values)
                self.separate(")")
            except _LostError:
                self.skip_to(")")
        if self.is_sign(")"):
            self.step()
        elif not self.problems:
            self.note("E501", "a comma or the closing ) is wanted here", self.here)
        return Call(name.line, name.column, name.text, Mapping(name.line, name.column, values, keys))

    def argument(self, keys: dict[str, Scalar], values: dict[str, Node]) -> None:
        key = self.step()
        if key.kind != "name" or not self.is_sign("="):
            wrong = "each argument is written with its name, as in name=value"
            raise self.note("E503", wrong, self.here if self.here.kind == "odd" else key)
        self.step()
        if key.text in keys:
            wrong = f"{key.text} stands twice in this call; the first is in line {keys[key.text].line}"
            self.note("E504", wrong, key, allowed="each argument once")
        keys[key.text] = Scalar(key.line, key.column, key.text)
        values[key.text] = self.value(0)

    def separate(self, closing: str) -> None:
        """Take the comma after a value; two values side by side are never joined."""
        if self.is_sign(","):
            self.step()
        elif not self.is_sign(closing):
            raise self.note("E505", f"a comma or the closing {closing} is missing before this", self.here)

    def skip_to(self, closing: str) -> None:
        """Go on behind the next comma of the list or call that one is in, or to its closing sign."""
        depth = 0
        while self.here.kind != "end":
            if depth == 0 and (self.is_sign(closing) or self.is_sign(",")):
                if self.is_sign(","):
                    self.step()
                return
            if self.here.kind == "sign":
                depth += {"(": 1, "[": 1, ")": -1, "]": -1}.get(self.here.text, 0)
            self.step()

    def value(self, depth: int) -> Node:
        token = self.step()
        if token.kind == "text":
            return Scalar(token.line, token.column, _unquoted(token), quoted=True)
        if token.kind == "number" or token.text in ("true", "false"):
            return Scalar(token.line, token.column, token.text)
        if token.kind == "sign" and token.text == "[":
            if depth < DEEPEST:
                return self.items(token, depth)
            self.at -= 1
            raise self.note("E506", f"lists stand at most {DEEPEST} deep in each other", token)
        if token.kind == "sign":
            # What stands in the place of the value may also end it, or open something to skip as a whole.
            self.at -= 1
        raise self.note(
            "E501",
            "a value is wanted here: a text in quotes, a number, true, false or a list",
            token,
            allowed='"text", 3, true, false, ["a", "b"]',
        )

    def items(self, opening: _Token, depth: int) -> Items:
        items: list[Node] = []
        while not self.is_sign("]"):
            try:
                items.append(self.value(depth + 1))
                self.separate("]")
            except _LostError:
                self.skip_to("]")
                if self.here.kind == "end":
                    raise
        self.step()
        return Items(opening.line, opening.column, tuple(items))

    def lookup(self, first: _Token) -> Lookup:
        path: list[str | int] = [first.text]
        steps = [first]
        readers: dict[str, Callable[[], tuple[str | int, _Token]]] = {".": self.field, "[": self.key}
        while self.here.kind == "sign" and self.here.text in readers:
            step, token = readers[self.step().text]()
            path.append(step)
            steps.append(token)
        places = tuple(Scalar(token.line, token.column, token.text) for token in steps)
        return Lookup(first.line, first.column, tuple(path), places)

    def field(self) -> tuple[str, _Token]:
        token = self.step()
        if token.kind != "name":
            wrong = "the name of a field is wanted after the point"
            raise self.note("E501", wrong, token, example="department.keep_back")
        return token.text, token

    def key(self) -> tuple[str | int, _Token]:
        token = self.step()
        example = 'cylinders["oxygen-e"].filling.pressure'
        if token.kind != "text" and not token.text.isdecimal():
            raise self.note("E501", "a name in quotes is wanted in the square brackets", token, example=example)
        if not self.is_sign("]"):
            raise self.note("E501", "the closing ] is wanted here", self.here, example=example)
        self.step()
        return _unquoted(token) if token.kind == "text" else int(token.text), token


def _unquoted(token: _Token) -> str:
    return re.sub(r"\\(.)", r"\1", token.text[1:-1])


def _what_is_odd(piece: str) -> str:
    if piece[0] in "\"'":
        return "this text has no closing quote on its line"
    if piece[0] in "“”„‘’":
        return 'these are printed quotation marks; write the straight ones, "'
    if piece[0].isdigit() or len(piece) > 1:
        return 'this is not a plain number; a quantity is a text with its unit, such as "137 bar"'
    return f"{piece} has no meaning in a call"
