"""Numbers with a unit in an author's own words: what is one, what is none, and where none counts."""

from __future__ import annotations

import pytest

from yokebook.errors import Problem
from yokebook.pages.checks import lay_out
from yokebook.pages.page import read_page
from yokebook.pages.typed_numbers import find


def told(text: str, front: str = "title: A") -> list[Problem]:
    """Return the problems of a page."""
    draft, problems = read_page("p.md", "p.md", f"---\n{front}\n---\n{text}".encode())
    assert draft is not None
    return [*problems, *lay_out(draft)[1]]


# Spellings of common practice, no source; the units are those of the closed table and how people write them out.
@pytest.mark.parametrize(
    "text",
    [
        "10 bar", "2000 psi", "2,000 psi", "2 000 psi", "4.68 L", "4,5 L", "10 l/min", "0.5 L/min", "10 LPM",
        "30 minutes", "30 min", "24h", "1/2 h", "½ h", "1½ hours", "20 s", "3-minute", "40 to 45 psi", "40-45 psi",
        "40–45 psi", "5 or 6 bar", "137 BAR", "13.7 MPa", "700 kPa", "5 litres per minute", "5 liters", "10 L per min",
        "1 bar abs", "20 psig", "150 kgf/cm²", "30 cmH₂O", "30 cmH2O", "760 mmHg", "2 m³", "2 m3", "70 ft³",
        "20 cubic feet", "half an hour", "a quarter of an hour", "two hours",
        "Thirty minutes", "45 pounds per square inch", "-5 bar",
    ],
)  # fmt: skip
def test_a_number_with_its_unit_is_found_whole(text: str) -> None:
    """Pressures, volumes, durations and flows, as the table has them or written out."""
    assert [text] == [typed.text for typed in find(f"It reads {text}, as said.")]
    assert ["E562"] == [problem.code for problem in told(f"It reads {text}, as said.\n")]


@pytest.mark.parametrize(
    "text",
    [
        "size E 4.68", "pins 2-5", "2026-03-01", "step 3", "until it reads 0", "20 °C", "the 1990s", "5 hats",
        "12 months", "CYL-01 h", "50:50 mixture", "3 barriers", "5 minor faults", "ISO 32", "EN 837-1",
        "a hundred", "the bar", "10. Bar the door", "0.75", "75 %", "5.40 kg", "3 yokes", "Room 12, hall", "1 Lift",
    ],
)  # fmt: skip
def test_what_is_no_such_number_is_left_alone(text: str) -> None:
    """Codes, dates, steps, sizes, temperatures, masses, words that begin like a unit."""
    assert [] == list(find(f"It is {text}."))


@pytest.mark.parametrize(
    ("text", "written"),
    [
        ("**30** minutes", "30 minutes"),
        ("*30 min*", "30 min"),
        ("30&nbsp;min", "30 min"),
        ("30\u00a0min", "30 min"),
        ("30\nmin", "30 min"),
        ("> 30\n> min", "30 min"),
        ("<b>30</b> min", "30 min"),
        ("&frac12; h", "½ h"),
        ("3\\.5 bar", "3.5 bar"),
        ("1.  wait 30 min", "30 min"),
        ("| a |\n|---|\n| 30 min |", "30 min"),
        ("{{ department.keep_back }} or 20 bar", "20 bar"),
        ("<div>30 min</div>", "30 min"),
        ("[wait 30 min](https://example.org/)", "30 min"),
        ("## Wait 30 min", "30 min"),
    ],
)
def test_a_number_is_found_as_a_reader_reads_it(text: str, written: str) -> None:
    """Across emphasis, entities, line ends and tags, in each place where text stands."""
    assert [written] == [problem.written for problem in told(text + "\n") if problem.code == "E562"]


@pytest.mark.parametrize(
    "text",
    [
        "`30 min`",
        "```\n30 min\n```",
        "    30 min",
        "<!-- 30 min -->",
        "<pre>30 min</pre>",
        "[words](https://example.org/30-min/5-bar)",
        "[words][a]\n\n[a]: https://example.org/30-min",
        "<https://example.org/30-min>",
        "https://example.org/5-bar",
        '{{ typed(text="30 min", why="on purpose") }}',
        '<span title="30 min">words</span>',
        "5\n\nbar",
    ],
)
def test_where_no_reader_reads_it_as_text_it_is_left_alone(text: str) -> None:
    """Code, comments, addresses, attributes, and the call that is for it."""
    assert [] == told(text + "\n")


@pytest.mark.parametrize(
    ("text", "written"),
    [
        ("The gauge must show 1500.", "1500"),
        ("It should read at least 1,500 before you go.", "at least 1,500"),
        ("The pointer falls to 500: change.", "to 500"),
        ("It drops below 30 and stays.", "below 30"),
        ("Change it when a quarter is left.", "a quarter is left"),
        ("Two thirds of the cylinder are left.", "Two thirds of the cylinder are left"),
        ("Change when it is half full.", "half full"),
        ("At 25 % full, change.", "25 % full"),
        ("Warten: 20 Minuten.", "20 Minuten"),
        ("Attendre 2 heures.", "2 heures"),
        ("At 60 p.s.i. change.", "60 p.s.i."),
        ("Wait thirty-five minutes.", "thirty-five minutes"),
        ("One hundred and fifty bar", "One hundred and fifty bar"),
        ("fifteen hundred psi", "fifteen hundred psi"),
        ("one and a half hours", "one and a half hours"),
    ],
)
def test_a_number_in_words_in_parts_or_without_its_unit_is_found(text: str, written: str) -> None:
    """What staff would act on, however it is written: no change of the data reaches it."""
    assert [written] == [problem.written for problem in told(text + "\n")]


@pytest.mark.parametrize(
    "text",
    [
        "The list must show 2 signatures.",
        "Everybody must read 12 pages.",
        "It should show issue 12.",
        "Give it a quarter turn, and look left.",
        "Half of the staff is left to be taught.",
        "A fifth to a quarter is left, depending on how full it was filled.",
        "Nobody finds it half empty among the full ones.",
        "Of a quarter-full one it is more.",
        "A minute later, an hour at the most.",
        "Fifty people were asked.",
    ],
)
def test_what_is_no_mark_to_act_on_is_left_alone(text: str) -> None:
    """Counts of other things, turns, parts of something else, and what is known of a gas at large."""
    assert [] == told(text + "\n")


def test_title_and_summary_are_read_by_readers_too() -> None:
    """Nothing is worked out there, so the number is to be left out."""
    problems = told("", front="title: Below 10 bar\nsummary: Lasts 30 min.\nalso_called: [the 5 L one]")
    assert [(2, 8, "10 bar"), (3, 10, "30 min")] == [(p.line, p.column, p.written) for p in problems]


def test_the_message_says_what_to_write() -> None:
    """The whole message, at the number itself."""
    (problem,) = told("It holds at **45** psi.\n")
    assert (4, 15, "45 psi") == (problem.line, problem.column, problem.written)
    assert "this number is typed by hand: it would stay as it is when the department's data change" == problem.wrong
    assert (
        "a call that works it out, a value of the data, or typed with the reason why it stands here" == problem.allowed
    )
    assert '{{ typed(text="40 to 45 psi", why="as the label of the regulator says") }}' == problem.example
