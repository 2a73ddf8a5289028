"""The list of editions, and what follows from it: pointers, days in force, what to use instead."""

from __future__ import annotations

import random
import re
from datetime import date, timedelta

import pytest

from fake_editions import withdrawal
from yokebook.control import pointers
from yokebook.control.editions import DamagedError, Edition, Editions, Listed, Span, read_script
from yokebook.control.standing import Withdrawal

CHANGING = Listed(1, "Changing a cylinder", "procedures/changing.html")
PLUGGING = Listed(2, "Plugging an empty yoke", "procedures/plugging.html")
DAYS = (date(2026, 1, 5), date(2026, 3, 2), date(2026, 3, 2), date(2026, 5, 4))
FOUR = Editions(
    tuple(
        Edition(number, day, f"{number:064x}", {"CYL-01": CHANGING, "CYL-02": PLUGGING})
        for number, day in enumerate(DAYS, start=1)
    )
)


def text_of(editions: Editions, name: str) -> str:
    """Return what a reader reads in one of the files beside the editions."""
    html = pointers.of_target(editions)[name].decode("utf-8")
    return " ".join(re.sub("<[^>]+>", " ", html.partition("<body>")[2]).split())


def link_of(editions: Editions, name: str) -> str:
    """Return where a pointer leads at once, "" where it does not."""
    found = re.search(r'http-equiv="refresh" content="0; url=([^"]+)"', pointers.of_target(editions)[name].decode())
    return found[1] if found else ""


def test_the_list_is_one_classic_script() -> None:
    """Its keys are those that pages read, in one line of plain ASCII."""
    one = Editions((Edition(1, date(2026, 1, 5), "0" * 64, {"CYL-01": Listed(2, "Größe", "procedures/page.html")}),))
    assert (
        'var yokebookEditions = {"version": 1, "current": 1, "editions": [{"number": 1, "in_force": "2026-01-05", '
        f'"manifest": "{"0" * 64}", "withdrawn": null, "procedures": {{"CYL-01": {{"issue": 2, "title": '
        '"Gr\\u00f6\\u00dfe", "page": "procedures/page.html"}}}], "withdrawn": {}, "digest": "'
    ) == one.as_script().decode("ascii").rpartition('"digest": "')[0] + '"digest": "'


def test_a_draft_has_a_list_without_editions() -> None:
    """A page that asks for the list finds one, and nothing in it."""
    files = pointers.of_draft({"CYL-01": CHANGING})
    assert b'{"version": 1, "current": null, "editions": [], "withdrawn": {}, "digest": ' in files["editions.js"]
    assert {"editions.css", "editions.js", "editions.html", "index.html", "go/cyl-01.html"} == set(files)
    assert b"url=../editions/draft/procedures/changing.html" in files["go/cyl-01.html"]
    assert b"url=editions/draft/index.html" in files["index.html"]
    assert b"No edition has been published here." in files["editions.html"]


def test_the_list_is_read_back() -> None:
    """With all that was withdrawn."""
    editions = FOUR.with_edition_withdrawn(3, withdrawal("edition 2")).with_procedure_withdrawn(
        "CYL-02", withdrawal("-")
    )
    assert editions == read_script(editions.as_script())


def test_no_bit_of_the_list_can_change_unseen() -> None:
    """Each of 400 flipped bits is seen, and so is a list that was cut short or written by other hands."""
    good, dice = FOUR.as_script(), random.Random(7)
    for bit in dice.sample(range(len(good) * 8), 400):
        flipped = bytearray(good)
        flipped[bit // 8] ^= 1 << bit % 8
        with pytest.raises(DamagedError):
            read_script(bytes(flipped))
    for content in (b"", good[:-1], good + b"\n", good.replace(b", ", b",")):
        with pytest.raises(DamagedError):
            read_script(content)


@pytest.mark.parametrize(
    ("old", "new", "why"),
    [
        (b'"version": 1', b'"version": 2', "another version of the program wrote it"),
        (b'"number": 2', b'"number": 3', "its editions are not numbered 1, 2, 3"),
        (b"2026-05-04", b"2026-01-01", "its editions are not in the order of their days"),
        (b'"manifest": "0', b'"manifest": "x', "an edition has no digest of its manifest"),
        (b'"issue": 1', b'"issue": {}', "it is not the whole list that publish wrote"),
        (b'"issue": 1', b'"issue": 7', "it does not fit the digest that it carries"),
        (b"var ", b"let ", "it does not begin with var yokebookEditions = and end with ;"),
    ],
)
def test_a_damaged_list_says_what_is_wrong(old: bytes, new: bytes, why: str) -> None:
    """In words, not in a trace."""
    with pytest.raises(DamagedError) as caught:
        read_script(FOUR.as_script().replace(old, new))
    assert why == str(caught.value)


@pytest.mark.parametrize(
    ("day", "number"),
    [
        ("2026-01-04", None),
        ("2026-01-05", 1),
        ("2026-03-01", 1),
        ("2026-03-02", 3),
        ("2026-05-04", 4),
        ("2030-01-01", 4),
    ],
)
def test_the_edition_of_a_day(day: str, number: int | None) -> None:
    """The newest that was in force by then; of two that begin on one day the later number."""
    edition = FOUR.on(date.fromisoformat(day))
    assert number == (edition and edition.number)


FIRST, THIRD = Span(date(2026, 1, 5), date(2026, 3, 1)), Span(date(2026, 3, 2), date(2026, 5, 3))


def spans(editions: Editions) -> list[list[Span]]:
    return [editions.spans_of(edition) for edition in editions.editions]


def test_the_days_on_which_each_edition_was_in_force() -> None:
    """Till the day before the next; on none, where the next began on the same day; the last has no end."""
    assert [[FIRST], [], [THIRD], [Span(date(2026, 5, 4), None)]] == spans(FOUR)


@pytest.mark.parametrize(
    ("instead", "on", "third", "fourth"),
    [
        ("the poster", "2026-06-01", [THIRD], [Span(date(2026, 5, 4), date(2026, 5, 31))]),
        (
            "edition 3",
            "2026-06-01",
            [THIRD, Span(date(2026, 6, 1), None)],
            [Span(date(2026, 5, 4), date(2026, 5, 31))],
        ),
        ("edition 3", "2026-05-01", [Span(date(2026, 3, 2), None)], []),
    ],
)
def test_a_withdrawn_edition_is_in_force_till_the_day_before(
    instead: str, on: str, third: list[Span], fourth: list[Span]
) -> None:
    """The edition named instead is in force again; where it is none, no edition is."""
    withdrawn = FOUR.with_edition_withdrawn(4, withdrawal(instead, date.fromisoformat(on)))
    assert [[FIRST], [], third, fourth] == spans(withdrawn)


def test_the_edition_of_a_day_follows_what_is_used_instead() -> None:
    """What was in force is asked for; nothing was, where words took the place of a withdrawn edition."""
    back = FOUR.with_edition_withdrawn(4, withdrawal("edition 3", date(2026, 6, 1)))
    days = (date(2026, 5, 31), date(2026, 6, 1))
    assert [4, 3] == [edition and edition.number for edition in map(back.on, days)]
    gone = FOUR.with_edition_withdrawn(4, withdrawal("the poster", date(2026, 6, 1)))
    assert [4, None] == [edition and edition.number for edition in map(gone.on, days)]


@pytest.mark.parametrize("seed", range(20))
def test_a_day_has_the_edition_whose_days_hold_it_and_no_other(seed: int) -> None:
    """Whatever was withdrawn, when, and in favour of what: the list for readers and an answer on one day agree."""
    dice, editions = random.Random(seed), FOUR
    for number in dice.sample(range(1, 5), dice.randint(1, 3)):
        instead = dice.choice(["the poster", *(f"edition {other}" for other in range(1, 5) if other != number)])
        day = date(2025, 12, 20) + timedelta(days=dice.randrange(250))
        editions = editions.with_edition_withdrawn(number, withdrawal(instead, day))
    for day in (date(2025, 12, 20) + timedelta(days=count) for count in range(300)):
        holding = [
            edition.number
            for edition in editions.editions
            for span in editions.spans_of(edition)
            if span.since <= day <= (span.until or date.max)
        ]
        found = editions.on(day)
        assert ([found.number] if found else []) == holding


def test_a_pointer_leads_to_the_procedure_now() -> None:
    """At once, and by a link that says which issue it is."""
    assert "../editions/0004/procedures/changing.html" == link_of(FOUR, "go/cyl-01.html")
    assert (
        "CYL-01 Changing a cylinder Edition 4, in force from 2026-05-04 CYL-01 issue 1, Changing a cylinder "
        "List of editions"
    ) == text_of(FOUR, "go/cyl-01.html")
    assert "editions/0004/index.html" == link_of(FOUR, "index.html")


def test_a_pointer_to_a_withdrawn_procedure_says_why_and_what_instead() -> None:
    """It leads nowhere by itself; the way to what is used instead is a link."""
    editions = FOUR.with_procedure_withdrawn("CYL-02", withdrawal("CYL-01"))
    assert "" == link_of(editions, "go/cyl-02.html")
    assert (
        "CYL-02 Plugging an empty yoke: withdrawn Withdrawn. Do not use CYL-02. It was withdrawn on 2026-03-02. "
        "Reason: The machine that it was for has gone. Use instead: CYL-01 Changing a cylinder List of editions"
    ) == text_of(editions, "go/cyl-02.html")
    assert (
        b'<a href="../go/cyl-01.html">CYL-01 Changing a cylinder</a>' in pointers.of_target(editions)["go/cyl-02.html"]
    )
    assert "CYL-02 Plugging an empty yoke : withdrawn on 2026-03-02." in text_of(editions, "editions.html")


def test_a_withdrawn_edition_leads_to_the_same_procedure_in_the_one_used_instead() -> None:
    """First the reason, then a link; nobody is led on without having seen it."""
    editions = FOUR.with_edition_withdrawn(4, withdrawal("edition 3", date(2026, 5, 6)))
    for name in ("index.html", "go/cyl-01.html"):
        assert "" == link_of(editions, name)
        assert "Do not use edition 4. It was withdrawn on 2026-05-06." in text_of(editions, name)
    to_procedure = b'<a href="../editions/0003/procedures/changing.html">CYL-01 issue 1 in edition 3</a>'
    assert to_procedure in pointers.of_target(editions)["go/cyl-01.html"]
    assert b'<a href="editions/0003/index.html">Edition 3</a>' in pointers.of_target(editions)["index.html"]


def test_what_is_used_instead_may_itself_be_withdrawn_later() -> None:
    """The pointer then leads to what is used in its place, never to a withdrawn edition."""
    twice = FOUR.with_edition_withdrawn(4, withdrawal("edition 3")).with_edition_withdrawn(3, withdrawal("edition 1"))
    assert b'<a href="editions/0001/index.html">Edition 1</a>' in pointers.of_target(twice)["index.html"]
    assert b"edition 3" not in pointers.of_target(twice)["go/cyl-01.html"]
    words = FOUR.with_edition_withdrawn(4, withdrawal("edition 3")).with_edition_withdrawn(3, withdrawal("the poster"))
    assert "Use instead: the poster List" in text_of(words, "go/cyl-01.html")


def test_an_edition_that_lacks_the_procedure_says_so() -> None:
    """Nobody is led to a page that is not there."""
    new = Edition(5, date(2026, 6, 1), "5" * 64, {"CYL-09": CHANGING})
    editions = FOUR.with_edition(new, {}).with_edition_withdrawn(5, withdrawal("edition 4"))
    assert "Use instead: Edition 4, which does not hold CYL-09 List" in text_of(editions, "go/cyl-09.html")


def test_a_superseded_edition_that_is_withdrawn_moves_no_pointer() -> None:
    """Who goes to a procedure gets the current edition; the list tells of the withdrawal."""
    editions = FOUR.with_edition_withdrawn(1, withdrawal("edition 4"))
    assert link_of(FOUR, "go/cyl-01.html") == link_of(editions, "go/cyl-01.html")
    assert (
        "Edition 1 from 2026-01-05 to 2026-03-01 Withdrawn on 2026-03-02. Reason: The machine that it was for has "
        "gone. Use instead: Edition 4 To the pages"
    ) in text_of(editions, "editions.html")


def test_a_procedure_that_is_in_no_edition_any_more_keeps_its_pointer() -> None:
    """A printed code or a bookmark still leads to a page that says so."""
    editions = FOUR.with_edition(Edition(5, date(2026, 6, 1), "5" * 64, {"CYL-01": CHANGING}), {})
    assert "Do not use CYL-02: it is not in edition 5, and stood last in edition 4." in text_of(
        editions, "go/cyl-02.html"
    )


def test_the_list_for_readers_tells_each_edition_with_its_days() -> None:
    """The newest first, by words and not by colour."""
    assert (
        "Edition 4 from 2026-05-04 The newest "
        "Edition 3 from 2026-03-02 to 2026-05-03 Superseded by edition 4 from 2026-05-04 on "
        "Edition 2 on no day Never in force "
        "Edition 1 from 2026-01-05 to 2026-03-01 Superseded by edition 3 from 2026-03-02 on To the pages"
    ) in text_of(FOUR, "editions.html")


def test_what_became_of_each_edition_follows_its_days() -> None:
    """The fourth goes and the third is in force again; the fifth was withdrawn before it began."""
    fifth = FOUR.with_edition(Edition(5, date(2026, 6, 1), "5" * 64), {})
    still = fifth.with_edition_withdrawn(5, withdrawal("edition 4", date(2026, 5, 20)))
    third = "Edition 3 from 2026-03-02 to 2026-05-03 "
    assert f"Edition 4 from 2026-05-04 In force {third}Superseded by edition 4 from 2026-05-04 on " in text_of(
        still, "editions.html"
    )
    back = still.with_edition_withdrawn(4, withdrawal("edition 3", date(2026, 6, 8)))
    assert f"{third}from 2026-06-08 In force again Edition 2" in text_of(back, "editions.html")
    gone = back.with_edition(Edition(6, date(2026, 7, 1), "6" * 64), {})
    assert f"{third}from 2026-06-08 to 2026-06-30 Superseded by edition 6 from 2026-07-01 on " in text_of(
        gone, "editions.html"
    )


def test_an_edition_that_gave_way_to_one_that_was_withdrawn_names_it() -> None:
    """Nothing was in force after it: words took the place of the one that came, on its first day."""
    withdrawn = FOUR.with_edition_withdrawn(4, withdrawal("the poster", DAYS[3]))
    assert "Edition 3 from 2026-03-02 to 2026-05-03 Superseded by edition 4 from 2026-05-04 on " in text_of(
        withdrawn, "editions.html"
    )


def test_words_of_the_department_are_no_html() -> None:
    """A title or a reason with signs of HTML is shown as it is written."""
    reason = Withdrawal(date(2026, 3, 2), "below <10 bar> & unread", "<b>none</b>")
    editions = FOUR.with_procedure_withdrawn("CYL-02", reason)
    html = pointers.of_target(editions)["go/cyl-02.html"]
    assert b"below &lt;10 bar&gt; &amp; unread" in html
    assert b"<b>" not in html


def test_pointers_need_no_script_and_fetch_nothing() -> None:
    """They work where scripts are off, over file://, and under a policy that forbids all but their style."""
    for name, content in pointers.of_target(FOUR).items():
        if name.endswith(".html"):
            assert b"<script" not in content
            assert b"style=" not in content
            assert b"default-src 'none'; style-src 'self'" in content
            assert not re.search(rb'(?:href|src|url)="?(?:[a-z]+:|/)', content)
