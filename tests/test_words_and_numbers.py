"""What is printed round a number, read literally: no bound is turned round, and no page contradicts another."""

from __future__ import annotations

import re
from functools import cache
from pathlib import Path

import pytest

from bad_sites import folders, lay_out
from calls_of import cell_of, copy_fleet, result_of
from demo_site import ROOT, change
from yokebook.pages import words
from yokebook.pages.placing import Piece
from yokebook.pages.tokens import token
from yokebook.pages.turned_bounds import turned_round
from yokebook.reference import report
from yokebook.reference.one_call import try_call
from yokebook.reference.whole import Reference, work_out

_CHANGE = 'change_at(cylinder="oxygen-e", machine="theatre-1", use="bellows", time="15 min"{})'
_MARKS = re.compile(
    r"\b(?:at|below|under|less than) [0-9.,]+[ \u00a0](?:bar|psi|kPa)(?:[ \u00a0]×[ \u00a0]100)? or more"
)


@cache
def demo() -> Reference:
    """The demo department, worked out once and only read."""
    return work_out(ROOT)


@cache
def demo_text() -> dict[str, str]:
    """All that staff read on each page of the demo, workings and authors' pages left out, a block a line."""
    pages = {}
    for path, worked in demo().pages.items():
        if not path.startswith("writing/"):
            blocks = words.read(worked.rendering.html, worked.pieces)
            finders = [str(result.as_read.get("finder", "")) for result in worked.results]
            front = worked.page.front
            told_first = [front.title, front.summary or ""]
            pages[path] = "\n".join([*told_first, *(block.text for block in blocks), *finders]).replace("\u00a0", " ")
    return pages


def step_text(path: str) -> str:
    """Return a page of the demo on one line."""
    return demo_text()[path].replace("\n", " ")


@pytest.mark.parametrize("mistake", folders("E78", "W78"), ids=lambda folder: folder.name)
def test_words_that_mislead_give_their_report(mistake: Path, tmp_path: Path) -> None:
    """The report is the one that lies beside the mistake, to the letter."""
    reference = work_out(lay_out(mistake, tmp_path / "site"))
    expected = (mistake / "expected.txt").read_text(encoding="utf-8")
    assert expected == report.as_text(reference.problems, reference.lines_of)


def test_a_threshold_is_the_bare_reading_unless_its_author_asks_for_or_more() -> None:
    """ "Change before it reads below 70 bar" and "it must show 70 bar or more" are both right, literally."""
    assert "70\u00a0bar" == cell_of(_CHANGE.format("")).text
    assert "70\u00a0bar or more" == cell_of(_CHANGE.format(", or_more=true")).text


@pytest.mark.parametrize(
    ("sentence", "shown", "warned"),
    [
        ("<p>Change at <strong>{}</strong>.</p>", "70\u00a0bar or more", True),
        ("<p>Change it until it reads\n{}.</p>", "70 bar or more", True),
        ("<p>When the reading falls to {}, change.</p>", "70 bar or more", True),
        ("<li>The flow is at most {}</li>", "at least 3 cylinders", True),
        ("<p>It lasts {} or less.</p>", "at least 35 min", True),
        ("<p>Below {} or more.</p>", "70 bar", True),
        ("<p>Change before it reads below {}.</p>", "70 bar", False),
        ("<p>It must show {}.</p>", "70 bar or more", False),
        ("<p>It lasts {}.</p>", "at least 35 min", False),
        ("<p>Below.</p><p>{} are there.</p>", "at least 35 min", False),
        ("<p>Stay at it {}.</p>", "at least 35 min", False),
    ],
)
def test_a_bound_is_warned_of_where_the_words_beside_it_turn_it_round(sentence: str, shown: str, warned: bool) -> None:
    """Only the words of the same sentence count, whatever tags and line ends stand between."""
    piece = Piece("", is_block=False, at_end="", line=3, column=5, written="change_at")
    found = list(turned_round(sentence.format(token(0)), [piece], [shown], "page.md"))
    assert ([("W780", 3, 5)] if warned else []) == [(one.code, one.line, one.column) for one in found]


def test_the_flow_in_a_head_is_that_of_the_draws(tmp_path: Path) -> None:
    """Two draws of fresh gas are added; a use that sets nothing names no flow; the mixture is breathed, not set."""
    folder = copy_fleet(tmp_path / "site")
    uses = folder / "content/data/uses.yaml"
    change(uses, "oxygen: [{fresh gas: 6 L/min}]", "oxygen: [{fresh gas: 6 L/min}, {fresh gas: 0.5 L/min}]")
    table = 'reserve_table(cylinder="oxygen-transfer", uses=["mask"])'
    heads = result_of(table, folder).as_read["heads"]
    assert "Mask on transfer, 6.5\u00a0L/min set: up to 7.2\u00a0L/min" == heads[1]
    heads = result_of('reserve_table(cylinder="fifty-fifty-d", uses=["demand-valve"])').as_read["heads"]
    assert "Demand valve, 8\u00a0L/min breathed: up to 9\u00a0L/min" == heads[1]


def test_no_head_of_the_demo_names_a_flow_that_its_draw_does_not_have() -> None:
    """What is set never exceeds what may flow, and no title brings a second flow along."""
    heads = re.findall(r"^(.*): up to ([0-9.]+) L/min$", "\n".join(demo_text().values()), re.MULTILINE)
    assert len(heads) > 20
    for title, most in heads:
        flows = [float(flow) for flow in re.findall(r"([0-9.]+) L/min", title)]
        assert len(flows) <= 1, title
        assert all(flow <= float(most) for flow in flows), title


def test_no_threshold_of_the_demo_stands_behind_a_word_that_turns_it_round() -> None:
    """ "Change at 70 bar or more" orders a change at a healthy reading."""
    assert [] == [(path, found) for path, text in demo_text().items() for found in _MARKS.findall(text)]
    assert [] == [problem for problem in demo().problems if problem.code == "W780"]
    assert "change before it reads below 70 bar" in step_text("reference/theatre-1.md")


def test_no_key_of_the_data_is_shown_to_staff() -> None:
    """Machines, dials and cylinders are told by the words that stand on them."""
    department = demo().department
    assert department
    entries = department.entries
    files = (entries.cylinders, entries.gauges, entries.machines, entries.uses, entries.places, entries.scales)
    keys = sorted(key for file in files for key in file if "-" in key)
    pattern = re.compile(rf"(?<![\w/-])(?:{'|'.join(keys)})(?![\w-])")
    assert [] == [(path, found) for path, text in demo_text().items() for found in pattern.findall(text)]


def test_readers_meet_the_label_of_a_machine(tmp_path: Path) -> None:
    """In captions and on cards; the name of the entry only where no label is given."""
    folder = copy_fleet(tmp_path / "site")
    call = 'leak_table(machine="theatre-1")'
    assert " on theatre-1 costs" in result_of(call, folder).as_read["caption"]
    change(folder / "content/data/machines.yaml", "theatre-1:\n", "theatre-1:\n  label: the old machine\n")
    assert " on the old machine costs" in result_of(call, folder).as_read["caption"]
    card = (
        'machine_card(cylinder="oxygen-e", machine="theatre-1", uses=["bellows"], time="15 min", first="the left one", '
        'hazards=["Ventilate by hand."])'
    )
    assert "Old machine · Oxygen" == result_of(card, folder).as_read["head"]


def test_a_title_with_a_flow_is_refused_by_try_too(tmp_path: Path) -> None:
    """Whoever tries a call before it stands on a page is told at the same place."""
    folder = copy_fleet(tmp_path / "site")
    change(folder / "content/data/uses.yaml", "title: Mask on transfer", "title: Mask, 8 L/min set")
    result, problems = try_call(folder, 'reserve_table(cylinder="oxygen-transfer", uses=["mask"])')
    assert [("E781", "content/data/uses.yaml")] == [(one.code, one.file) for one in problems]
    assert result is None


def test_cylinders_for_a_time_planned_have_the_margin_in() -> None:
    """The fleet's margin is 2: half an hour planned is an hour to last."""
    of = 'cylinders_needed(cylinder="oxygen-transfer", flow="15 L/min", in_hand="0 min", {})'
    assert cell_of(of.format('time="1 h"')) == cell_of(of.format('time="30 min", planned=true'))
    assert cell_of(of.format('time="30 min"')).value < cell_of(of.format('time="30 min", planned=true')).value


def test_the_first_steps_are_the_same_wherever_they_stand() -> None:
    """When oxygen fails: one cylinder open, hose out, by hand; on the front page, in the procedure, on the card."""
    for path, begins in (
        ("index.md", "The pipeline has failed"),
        ("procedures/pipeline-fails.md", "The order:"),
        ("procedures/pipeline-fails.md", "Call out"),
        ("cards/theatre-1-oxygen.md", "Pipeline fails:"),
    ):
        text = step_text(path).partition(begins)[2].lower()
        found = [text.index(words_of) for words_of in ("one cylinder", "hose", "by hand")]
        if begins == "Call out":
            found[0] = text.index("open one oxygen cylinder")
        assert sorted(found) == found, (path, begins)


def test_nothing_of_the_safe_wording_was_lost() -> None:
    """What a quick mend of the words could drop."""
    fails = step_text("procedures/pipeline-fails.md")
    for kept in (
        "in a circle system with its absorber",
        "Keep off the flush",
        "Keep the patient asleep",
        "turn the key a little",
        "No tube from the wall goes to that bag",
        "the patient breathes carbon dioxide back",
    ):
        assert kept in fails, kept


def test_a_joint_under_pressure_is_tightened_by_one_rule() -> None:
    """Each page that orders it says: only what was just loosened, by as much, face away."""
    rule = re.compile(r"[Tt]ighten (?:the screw )?again")
    for path in ("changing-a-cylinder", "plugging-an-empty-yoke", "it-will-not-fit"):
        text = step_text(f"procedures/{path}.md")
        ordered = list(rule.finditer(text))
        assert ordered, path
        assert all("as much" in text[found.end() : found.end() + 60] for found in ordered), path
        assert "tighten at once" not in text.lower()
        assert "you have just loosened" in text


def test_bled_is_said_only_where_something_may_have_been_bled() -> None:
    """Nothing is bled at a delivery; where a patient may be on the machine, what is true instead stands beside it."""
    said = "closed, bled, reading as written"
    assert said not in step_text("procedures/receiving-and-storing.md")
    of_quarantine = step_text("procedures/it-will-not-fit.md").split(said)[1:]
    assert len(of_quarantine) == 3
    assert all("not bled" in after[:300] for after in of_quarantine)


def test_supply_pressures_stand_in_the_unit_of_the_dials() -> None:
    """Who reads dials in bar is not sent to a number in psi."""
    department = demo().department
    assert department
    for machine in department.machines.values():
        dials = {department.gauges[yoke.gauge].unit.symbol for yoke in machine.yokes if yoke.gauge}
        supplies = [*machine.pipeline.values(), *(yoke.regulated_pressure for yoke in machine.yokes)]
        units = {end.text.split()[-1] for supply in supplies if supply for end in (supply.low, supply.high)}
        assert units == dials, machine.key
