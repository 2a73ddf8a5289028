"""The language of calls: what is read, and each mistake at its line and column."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from yokebook.errors import ProblemError
from yokebook.pages.syntax import Call, Lookup, parse
from yokebook.yamlfile import plain


def test_a_call_is_read_with_its_arguments() -> None:
    """Texts, numbers, true and false, and lists of them, each argument by its name."""
    call = parse('table(a="x", b=[1, -2.5, ["y"]], c=true, d=\'it\\\'s\',)', "p.md", 1, 1)
    assert isinstance(call, Call)
    assert "table" == call.name
    assert {"a": "x", "b": ["1", "-2.5", ["y"]], "c": "true", "d": "it's"} == plain(call.arguments)


def test_places_are_those_of_the_page() -> None:
    """Line and column count on from where the call stands, over line breaks."""
    call = parse('\ntable(\n  one="x",\n   two=["y"])', "p.md", 7, 20)
    assert isinstance(call, Call)
    two = call.arguments.values["two"]
    assert (8, 1) == (call.line, call.column)
    assert (9, 3) == (call.arguments.keys["one"].line, call.arguments.keys["one"].column)
    assert (10, 8) == (two.line, two.column)


@pytest.mark.parametrize(
    ("text", "path"),
    [
        ("department.keep_back", ("department", "keep_back")),
        ('cylinders["oxygen-e"].filling.pressure', ("cylinders", "oxygen-e", "filling", "pressure")),
        ('uses["bellows"].draws["oxygen"][0]["fresh gas"]', ("uses", "bellows", "draws", "oxygen", 0, "fresh gas")),
    ],
)
def test_a_data_value_is_its_path(text: str, path: tuple[str | int, ...]) -> None:
    """Fields after points, names and numbers in square brackets."""
    lookup = parse(text, "p.md", 1, 1)
    assert isinstance(lookup, Lookup)
    assert path == lookup.path


@pytest.mark.parametrize(
    ("text", "code", "column", "written"),
    [
        ("", "E501", 1, "}}"),
        ("3", "E501", 1, "3"),
        ("a + 1", "E501", 3, "+"),
        ("a | upper", "E501", 3, "|"),
        ("f(a={})", "E501", 5, "{}"),
        ("f(a=“x”)", "E501", 5, "“x”"),
        ("f(a “x”)", "E501", 5, "“x”"),
        ('f(a="x)', "E501", 5, '"x)'),
        ("f(a=1,5)", "E501", 5, "1,5"),
        ("f(a=1e5)", "E501", 5, "1e5"),
        ("f(a=)", "E501", 5, ")"),
        ("f(a=(1))", "E501", 5, "("),
        ("f(a=[1 2, 3])", "E505", 8, "2"),
        ("f(a=b)", "E501", 5, "b"),
        ("f(a=", "E501", 5, "}}"),
        ("f(a=[1", "E505", 7, "}}"),
        ("a.", "E501", 3, "}}"),
        ("a[b]", "E501", 3, "b"),
        ("a[1.5]", "E501", 3, "1.5"),
        ('a["b"', "E501", 6, "}}"),
        ("f(a=1) f(b=2)", "E502", 8, "f"),
        ('a "b"', "E502", 3, '"b"'),
        ("f(3)", "E503", 3, "3"),
        ("f(a)", "E503", 3, "a"),
        ("f(", "E501", 3, "}}"),
        ("f(a=1", "E505", 6, "}}"),
        ("f(a=1, b=2, a=3)", "E504", 13, "a"),
        ('f(a="x" "y")', "E505", 9, '"y"'),
        ('f(a=["x" "y"])', "E505", 10, '"y"'),
        ("f(a=137 bar)", "E505", 9, "bar"),
        ("f(a=[[[[1]]]])", "E506", 8, "["),
    ],
)
def test_each_mistake_is_told_at_its_column(text: str, code: str, column: int, written: str) -> None:
    """The code of the mistake, where it stands, and what is written there."""
    with pytest.raises(ProblemError) as caught:
        parse(text, "p.md", 4, 1)
    (problem,) = caught.value.problems
    assert (code, 4, column, written) == (problem.code, problem.line, problem.column, problem.written)


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("f(3, b=x, c=1, c=2)", [("E503", 3), ("E501", 8), ("E504", 16)]),
        ('f(a=["x" "y", z], b="u" c="v", d=)', [("E505", 10), ("E501", 15), ("E505", 25), ("E501", 34)]),
        ("f(a=[[[[1, 2]], 3], x], b=y)", [("E506", 8), ("E501", 21), ("E501", 27)]),
        ("f(a=1,5, b=“x”) g", [("E501", 5), ("E501", 12), ("E502", 17)]),
    ],
)
def test_every_independent_mistake_of_a_call_is_told(text: str, told: list[tuple[str, int]]) -> None:
    """The parser goes on at the next argument, and what only follows from a mistake is not told."""
    with pytest.raises(ProblemError) as caught:
        parse(text, "p.md", 1, 1)
    assert told == [(problem.code, problem.column) for problem in caught.value.problems]


def test_deep_nesting_is_refused_without_an_end_of_the_stack() -> None:
    """However many brackets stand there."""
    with pytest.raises(ProblemError) as caught:
        parse("f(a=" + "[" * 3000, "p.md", 1, 1)
    assert ["E506"] == [problem.code for problem in caught.value.problems]


def test_each_step_of_a_data_value_has_its_place() -> None:
    """So a report can point at the very step that leads nowhere."""
    lookup = parse('cylinders["oxygen-e"].filling', "p.md", 2, 4)
    assert isinstance(lookup, Lookup)
    assert [(2, 4, "cylinders"), (2, 14, '"oxygen-e"'), (2, 26, "filling")] == [
        (step.line, step.column, step.text) for step in lookup.steps
    ]


def test_texts_side_by_side_are_never_joined() -> None:
    """The whole message for the commonest slip in a list."""
    with pytest.raises(ProblemError) as caught:
        parse('f(uses=["bellows" "bag-low-flow"])', "p.md", 2, 4)
    (problem,) = caught.value.problems
    assert "a comma or the closing ] is missing before this" == problem.wrong
    assert "one call with named arguments, or one data value" == problem.allowed


@given(st.text(alphabet="f(a=1,\"'[]).x \n{}\\é", max_size=40))
def test_any_text_is_read_or_refused(text: str) -> None:
    """Whatever stands between the braces, the answer is a call, a path or a problem inside the text."""
    try:
        found = parse(text, "p.md", 1, 1)
    except ProblemError as error:
        assert all(1 <= problem.line <= text.count("\n") + 1 for problem in error.problems)
    else:
        assert isinstance(found, Call | Lookup)
