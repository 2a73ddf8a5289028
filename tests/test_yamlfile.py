"""Strict YAML: where each key and value stands, and what is refused with which words."""

from __future__ import annotations

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from yokebook import yamlfile
from yokebook.errors import Level, Problem, ProblemError
from yokebook.yamlfile import Items, Mapping, Scalar

NOT_YAML = "key: value, two spaces of indent for each level, no tabs, and quotes round a text that holds ': '"
LAUGHS = "a: &a [x, x]\n" + "".join(
    f"{key}: &{key} [*{before}, *{before}, *{before}]\n" for before, key in pairwise("abcdefghijklmnopq")
)


def problems_of(text: str, first_line: int = 1) -> tuple[Problem, ...]:
    with pytest.raises(ProblemError) as refused:
        yamlfile.read(text, "data.yaml", first_line=first_line)
    return refused.value.problems


def read_or_problems(text: str) -> Mapping | tuple[Problem, ...]:
    try:
        return yamlfile.read(text, "data.yaml")
    except ProblemError as error:
        return error.problems


def test_scalars_stay_as_written_with_their_places() -> None:
    """What YAML would turn into something else stays text: a time, a truth value, a version number."""
    read = yamlfile.read("at: 1:10\nno: NO\nlist: [1.10, 'null']\n", "data.yaml")
    assert {"at": "1:10", "no": "NO", "list": ["1.10", "null"]} == yamlfile.plain(read)
    assert Scalar(1, 5, "1:10") == read.values["at"]
    assert Scalar(2, 1, "no") == read.keys["no"]
    assert Items(3, 7, (Scalar(3, 8, "1.10"), Scalar(3, 14, "null", quoted=True))) == read.values["list"]


def test_lines_count_from_where_the_text_starts() -> None:
    """Front matter starts further down its file."""
    assert 8 == yamlfile.read("a: 1\n", "page.md", first_line=8).keys["a"].line
    assert [(9, 1)] == [(problem.line, problem.column) for problem in problems_of("a: 1\na: 2\n", first_line=8)]


def test_an_empty_text_has_no_keys() -> None:
    """Nothing, or comments alone, is a file without entries, not a fault."""
    assert Mapping(1, 1) == yamlfile.read("", "data.yaml")
    assert Mapping(1, 1) == yamlfile.read("# to come\n", "data.yaml")


@pytest.mark.parametrize(
    ("text", "plain"),
    [
        ("a: {b: 2,5}", {"b": "2,5"}),
        ("a: {b: 137,5 bar, c: 15 °C}", {"b": "137,5 bar", "c": "15 °C"}),
        ("a: {b: -1 , 600 m}", {"b": "-1 , 600 m"}),
        ("a: {b: 1, 2: }", {"b": "1", "2": None}),
        ("a: {b: 1, 2: x}", {"b": "1", "2": "x"}),
        ("a: {b: 1.5, 2}", {"b": "1.5", "2": None}),
        ("a: {b: '1', 2}", {"b": "1", "2": None}),
        ("a: {b: 1, '2'}", {"b": "1", "2": None}),
        ("a: {b: [1], 2}", {"b": ["1"], "2": None}),
        ("a: {b: 1, c}", {"b": "1", "c": None}),
    ],
)
def test_a_number_that_a_decimal_comma_parts_in_braces_is_one_text(text: str, plain: object) -> None:
    """The comma is the number's, not the list's: so it is told as what it is; keys that are keys stay so."""
    assert {"a": plain} == yamlfile.plain(yamlfile.read(text, "data.yaml"))


def test_windows_files_read_alike() -> None:
    """A byte order mark and carriage returns move no place."""
    assert yamlfile.read("a: 1\nb: x\n", "f") == yamlfile.read("\ufeffa: 1\r\nb: x\r\n", "f")


@pytest.mark.parametrize(
    ("text", "line", "column", "code", "wrong"),
    [
        ("a: b: c", 1, 5, "E002", "a second colon stands in the line, or the line is indented too far"),
        ("a: 1\n b: 2", 2, 3, "E002", "a second colon stands in the line, or the line is indented too far"),
        ("a:\n\tb: 1", 2, 1, "E002", "a tab stands here; indent with spaces"),
        ("a: @x", 1, 4, "E002", "a text that begins with this sign needs quotes round it"),
        ("a: 1\nb: 'x\nc: 2\n", 2, 4, "E002", "a quotation mark is never closed"),
        ("a: 1\nb\nc: 2", 2, 1, "E002", "the colon after a key is missing, or a space after the colon"),
        ("a:\n  b c\n  d: 2", 2, 1, "E002", "the colon after a key is missing, or a space after the colon"),
        ("a:\n  size: E\n  gas:oxygen\n  c: 2", 3, 6, "E002", "a space is missing after the colon"),
        ("a:\n  size: E\n  gas:oxygen\n\n# x\n  c: 2", 3, 6, "E002", "a space is missing after the colon"),
        ("a:\n  gas:oxygen\n  c: 2", 2, 6, "E002", "a space is missing after the colon"),
        ("a:\n  - gas:oxygen\n    c: 2", 2, 8, "E002", "a space is missing after the colon"),
        ("a:\n  - x\n b: 1", 3, 2, "E002", "the indent of this line does not fit the lines above"),
        ("a: {b: 1 c: 2}", 1, 11, "E002", "a comma or a closing bracket is missing"),
        ("a: {b: 1, , }", 1, 11, "E002", "a value is missing between two signs"),
        ("a: >x", 1, 5, "E002", "no key, value or list can begin or go on like this"),
        ("a: \ud83d", 1, 4, "E002", "the character U+D83D cannot be read"),
        ("b: 1\n'b': 2", 2, 1, "E003", "the key stands here a second time; the first is in line 1"),
        ("a: &x [1]\nb: *x", 1, 4, "E004", "the anchor &x"),
        ("a: *x", 1, 4, "E004", "an alias, which begins with *"),
        ("a: 1\n---\nb: 2", 2, 1, "E004", "a second document after ---"),
        ("# c\n%YAML 1.1\n---\na: NO", 2, 1, "E004", "the directive %YAML 1.1"),
        ("a: !!int 3", 1, 4, "E004", "the tag !!int"),
        ("😀: 1\r\nb: !own {c: 1}", 2, 4, "E004", "the tag !own"),
        ("<<: {a: 1}", 1, 1, "E004", "the merge key <<"),
        ("? [a]\n: b", 1, 3, "E004", "a key that is not a plain text"),
        ("a: " + "[" * 30 + "]" * 30, 1, 24, "E004", "more than 20 levels"),
        ("a: " + "[" * 3000 + "]" * 3000, 1, 1, "E004", "more than 20 levels"),
        ("- a\n- b", 1, 1, "E005", ""),
        ("just text", 1, 1, "E005", ""),
    ],
)
def test_what_is_refused_is_told_at_its_place(text: str, line: int, column: int, code: str, wrong: str) -> None:
    """Each fault of a file has its code, line and column, and words that an author can act on."""
    told = {
        "E002": Problem(
            "data.yaml",
            line,
            column,
            Level.ERROR,
            "E002",
            f"this cannot be read as YAML: {wrong}",
            allowed=NOT_YAML,
            example="water_capacity: 4.68 L",
        ),
        "E003": Problem(
            "data.yaml",
            line,
            column,
            Level.ERROR,
            "E003",
            wrong,
            written="b",
            allowed="each key once",
            example="give the second one another name, or take one of the two out",
        ),
        "E004": Problem(
            "data.yaml",
            line,
            column,
            Level.ERROR,
            "E004",
            f"this part of YAML is not used here: {wrong}",
            allowed="plain keys, values and lists, each written out",
            example="gas: oxygen",
        ),
        "E005": Problem(
            "data.yaml",
            line,
            column,
            Level.ERROR,
            "E005",
            "keys and values are wanted here, such as name: value",
            allowed="lines of key: value",
            example="name: Larkmoor Infirmary, Theatre Equipment Group",
        ),
    }
    assert (told[code],) == problems_of(text)


def test_aliases_of_aliases_cost_no_time() -> None:
    """A text whose aliases would unfold into millions of values is refused at each anchor, at once."""
    told = problems_of(LAUGHS)
    assert [("E004", line) for line in range(1, 18)] == [(problem.code, problem.line) for problem in told]


def test_one_fault_does_not_hide_the_next() -> None:
    """All that is refused within a readable text is told in one run."""
    told = problems_of("a: !x 1\na: 2\nb: {c: 1, c: 2}\n<<: {d: 1}\n")
    assert [(1, "E004"), (2, "E003"), (3, "E003"), (4, "E004")] == [(problem.line, problem.code) for problem in told]


@pytest.mark.parametrize(
    ("text", "empty"),
    [("a:", True), ("a: ~", True), ("a: null", True), ("a: ''", False), ("a: 'null'", False), ("a: 0", False)],
)
def test_a_value_left_out_is_told_from_one_in_quotes(text: str, empty: bool) -> None:
    """Nothing, ~ and null stand for no value; in quotes they are a text."""
    read = yamlfile.read(text, "data.yaml")
    assert empty == yamlfile.is_empty(read.values["a"])
    assert (yamlfile.plain(read)["a"] is None) == empty


def test_find_goes_as_far_as_a_path_exists() -> None:
    """The deepest value along a path and its key, for the place of a problem."""
    read = yamlfile.read("a:\n  b: [x, {c: 1}]\n", "data.yaml")
    assert (Scalar(2, 14, "1"), Scalar(2, 11, "c")) == yamlfile.find(read, ("a", "b", 1, "c"))
    assert (Scalar(2, 7, "x"), None) == yamlfile.find(read, ("a", "b", 0, "d"))
    assert (read.values["a"], Scalar(1, 1, "a")) == yamlfile.find(read, ("a", "z"))
    assert 2 == len(yamlfile.find(read, ("a", "b", -1))[0].items)  # type: ignore[union-attr]  # the list itself
    assert (read, None) == yamlfile.find(read, ("z",))


@given(text=st.text(alphabet=st.sampled_from(list("ab:-?[]{},&*!|>'\"%@`# \n\t0\\~<=\u00a0\u2028é")), max_size=40))
def test_law_any_text_is_read_or_told(text: str) -> None:
    """No text fails otherwise than with problems, each at a place within the text or at its end."""
    last = text.count("\n") + 1
    problems = read_or_problems(text)
    if isinstance(problems, tuple):
        assert problems
        assert all(1 <= problem.line <= last + 1 and problem.column >= 1 for problem in problems)
