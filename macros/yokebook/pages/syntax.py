"""The language of calls: `name(key="text", other=3)` and `cylinders["oxygen-e"].filling.pressure`, nothing else.

A parser of our own, since each mistake is to be told at its line and column, and texts that stand beside each other are
never to be joined in silence.
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
      | (?P<sign>[()\[\],=.])""",
    re.VERBOSE,
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
    """One data value that stands in the text, as the path to it."""

    line: int
    column: int
    path: Path


@dataclass(frozen=True)
class _Token:
    kind: str
    text: str
    line: int
    column: int


def parse(text: str, file: str, line: int, column: int) -> Call | Lookup:
    """Return what stands between the double braces.

    `line` and `column` are those of the first character of `text` in `file`.
    Raises ProblemError with the first thing that is not understood.
    """
    return _Parser(text, file, line, column).whole()


class _Parser:
    def __init__(self, text: str, file: str, line: int, column: int) -> None:
        self.file = file
        self.tokens = self._tokens(text, line, column)
        self.at = 0

    def _tokens(self, text: str, line: int, column: int) -> list[_Token]:
        tokens: list[_Token] = []
        position = 0
        while position < len(text):
            found = _TOKENS.match(text, position)
            if not found:
                raise self._problem("E501", _what_is_odd(text[position:]), _Token("", text[position], line, column))
            piece = found.group()
            if found.lastgroup != "space":
                tokens.append(_Token(str(found.lastgroup), piece, line, column))
            line, column = (
                (line + piece.count("\n"), len(piece) - piece.rfind("\n"))
                if "\n" in piece
                else (line, column + len(piece))
            )
            position = found.end()
        tokens.append(_Token("end", "}}", line, column))
        return tokens

    def _problem(self, code: str, wrong: str, token: _Token, *, allowed: str = "", example: str = "") -> ProblemError:
        return ProblemError(
            [
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
            ]
        )

    @property
    def here(self) -> _Token:
        return self.tokens[self.at]

    def take(self, text: str, wanted: str) -> _Token:
        if self.here.text != text or self.here.kind != "sign":
            raise self._problem("E501", f"{wanted} is wanted here", self.here)
        return self.step()

    def step(self) -> _Token:
        token = self.here
        self.at += 1
        return token

    def whole(self) -> Call | Lookup:
        first = self.here
        if first.kind != "name":
            raise self._problem("E501", "the name of a call or of a data file is wanted here", first)
        self.step()
        found = self.call(first) if self.here.text == "(" else self.lookup(first)
        if self.here.kind != "end":
            raise self._problem(
                "E502",
                "nothing more may stand here: no sums, filters or second calls",
                self.here,
                allowed="one call or one data value between the double braces",
            )
        return found

    def call(self, name: _Token) -> Call:
        self.take("(", "(")
        values: dict[str, Node] = {}
        keys: dict[str, Scalar] = {}
        while self.here.text != ")":
            key = self.step()
            if key.kind != "name" or self.here.text != "=":
                raise self._problem("E503", "each argument is written with its name, as in name=value", key)
            if key.text in keys:
                raise self._problem(
                    "E504",
                    f"{key.text} stands twice in this call; the first is in line {keys[key.text].line}",
                    key,
                    allowed="each argument once",
                )
            self.step()
            keys[key.text] = Scalar(key.line, key.column, key.text)
            values[key.text] = self.value(0)
            self.separate(")")
        self.take(")", "a comma or the closing )")
        return Call(name.line, name.column, name.text, Mapping(name.line, name.column, values, keys))

    def separate(self, closing: str) -> None:
        """Take the comma after a value; two values side by side are never joined."""
        if self.here.text == "," and self.here.kind == "sign":
            self.step()
        elif self.here.text != closing or self.here.kind != "sign":
            raise self._problem("E505", f"a comma or the closing {closing} is missing before this", self.here)

    def value(self, depth: int) -> Node:
        token = self.step()
        if token.kind == "text":
            return Scalar(token.line, token.column, _unquoted(token), quoted=True)
        if token.kind == "number" or token.text in ("true", "false"):
            return Scalar(token.line, token.column, token.text)
        if token.text == "[":
            if depth >= DEEPEST:
                raise self._problem("E506", f"lists stand at most {DEEPEST} deep in each other", token)
            return self.items(token, depth)
        raise self._problem(
            "E501",
            "a value is wanted here: a text in quotes, a number, true, false or a list",
            token,
            allowed='"text", 3, true, false, ["a", "b"]',
        )

    def items(self, opening: _Token, depth: int) -> Items:
        items: list[Node] = []
        while self.here.text != "]":
            items.append(self.value(depth + 1))
            self.separate("]")
        self.step()
        return Items(opening.line, opening.column, tuple(items))

    def lookup(self, first: _Token) -> Lookup:
        path: list[str | int] = [first.text]
        readers: dict[str, Callable[[], str | int]] = {".": self.field, "[": self.key}
        while self.here.text in readers:
            path.append(readers[self.step().text]())
        return Lookup(first.line, first.column, tuple(path))

    def field(self) -> str:
        token = self.step()
        if token.kind != "name":
            raise self._problem(
                "E501", "the name of a field is wanted after the point", token, example="department.keep_back"
            )
        return token.text

    def key(self) -> str | int:
        token = self.step()
        if token.kind != "text" and not token.text.isdecimal():
            raise self._problem(
                "E501",
                "a name in quotes is wanted in the square brackets",
                token,
                example='cylinders["oxygen-e"].filling.pressure',
            )
        self.take("]", "the closing ]")
        return _unquoted(token) if token.kind == "text" else int(token.text)


def _unquoted(token: _Token) -> str:
    return re.sub(r"\\(.)", r"\1", token.text[1:-1])


def _what_is_odd(rest: str) -> str:
    if rest[0] in "\"'":
        return "this text has no closing quote on its line"
    if rest[0] in "“”„‘’":
        return 'these are printed quotation marks; write the straight ones, "'
    if rest[0].isdigit() or rest[0] == "-":
        return 'this is not a plain number; a quantity is a text with its unit, such as "137 bar"'
    return f"{rest[0]} has no meaning in a call"
