"""What looks like a person in a page's text is warned of, and false alarms can be named."""

from __future__ import annotations

import pytest

from yokebook.pages.identity import has_check_digit, look_for


def told(body: str, *no_person: str) -> list[tuple[str, str]]:
    """Return the code and the words of each warning about a text."""
    return [(problem.code, problem.written or problem.wrong) for problem in look_for([], body, "p.md", no_person)]


@pytest.mark.parametrize(
    "text",
    [
        "943 476 5919", "943-476-5919", "9434765919", "born 3.4.1951", "born on 3 May 1950", "DOB: 03/04/51",
        "date of birth 1950-02-03", "D.O.B. 3rd of April 1951", "Dr Example", "Mrs. Example", "Sister Mary Example",
        "Nurse O’Example", "Prof. E. Example", "07700 900123", "tel. 020 7946 0123", "+44 7700 900123",
        "0044 7700 900 123", "(0171) 555 0123", "(555) 010-0123", "mobile: 123 456", "anna.example@larkmoor.example",
        "[Anna](tel:+447700900123)",
    ],
)  # fmt: skip
def test_a_person_is_seen(text: str) -> None:
    """A number with its check digit, a date of birth, a title with a name, a telephone number, a personal address."""
    assert ["W771"] == [code for code, _ in told(f"It was {text} who said so.")]


@pytest.mark.parametrize(
    "text",
    [
        "943 476 5918", "94347659190", "0000000000", "2026-03-02", "reborn 12 L", "12 May 2026", "the nurse in charge",
        "Miss the step", "a doctor", "DR-01", "Sister to that yoke", "batch 9434765919.5", "ring 2222", "bleep 1234",
        "01.02.2026", "steps 01 02 03 04 05 06", "2026-02-03 2026-03-04", "phone 2026-02-03", "1000 1500 2000 2500",
        "equipment@larkmoor.example", "0.25 0.50 0.75",
    ],
)  # fmt: skip
def test_what_is_no_person_is_left_alone(text: str) -> None:
    """Numbers without a check digit, days of other things, roles."""
    assert [] == told(f"It was {text} there.")


def test_a_false_alarm_is_named_once_and_must_stand_in_the_text() -> None:
    """The words are taken as no person; a name that stands nowhere might hide a later slip."""
    assert [] == told("From Sister Ward to theatre.", "Sister Ward")
    assert [("W772", "not_a_person names Doctor Street, and the text does not hold it")] == told("A.", "Doctor Street")


def test_it_is_told_at_its_line_and_column() -> None:
    """Lines count from the top of the file, its front matter included."""
    (problem,) = look_for(["---", "title: A", "---"], "One.\nIt was Dr Example.", "p.md", ())
    assert (5, 8) == (problem.line, problem.column)


def test_the_check_digit_is_that_of_the_ten_digit_book_number() -> None:
    """ISO 2108 (ten digits, modulus 11, weights 10 to 2): worked examples from memory, all with a digit below X."""
    for good in ("0306406152", "0198526636"):
        assert has_check_digit(good)
        for digit in range(10):
            if f"{good[:-1]}{digit}" != good:
                assert not has_check_digit(f"{good[:-1]}{digit}")
