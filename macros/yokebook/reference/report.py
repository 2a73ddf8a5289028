"""Reports: problems and results as text for a terminal and as JSON for other programs."""

from __future__ import annotations

import json
from collections import Counter
from collections.abc import Callable, Iterable, Sequence
from dataclasses import asdict
from datetime import date
from typing import Any

from yokebook.calls.result import Result
from yokebook.control.standing import State
from yokebook.errors import TITLES, Level, Problem
from yokebook.reference.register_page import Registered

LinesOf = Callable[[str], Sequence[str]]
_WIDEST = 100


def as_text(problems: Iterable[Problem], lines_of: LinesOf) -> str:
    """Return problems as a report: where, the line with a mark under the fault, what is wrong, what is allowed.

    `lines_of` gives the lines of a file named in a problem (empty where it cannot be read).
    """
    problems = list(problems)
    blocks = [_block(problem, lines_of(problem.file)) for problem in problems]
    return "\n".join([*blocks, _count(problems), ""])


def _block(problem: Problem, lines: Sequence[str]) -> str:
    where = f"{problem.file}, line {problem.line}, column {problem.column}" if problem.line else problem.file
    rows = [f"{where}: {problem.level.word} {problem.code}, {TITLES[problem.code]}"]
    if 0 < problem.line <= len(lines):
        rows += _marked(lines[problem.line - 1], problem)
    told = [
        ("Written", problem.written),
        ("Wrong", problem.wrong),
        ("Perhaps meant", problem.suggestion),
        ("Allowed", problem.allowed),
        ("Example", problem.example),
    ]
    rows += [f"  {label + ':':<15}" + text.replace("\n", "\n" + " " * 17) for label, text in told if text]
    return "\n".join(rows) + "\n"


def _marked(line: str, problem: Problem) -> list[str]:
    """Return the author's line, cut to its readable part, with a mark under what is written there."""
    start = max(0, problem.column - 1 - _WIDEST // 2) if len(line) > _WIDEST else 0
    shown = line[start : start + _WIDEST].replace("\t", " ")
    at = problem.column - 1 - start
    width = max(1, min(len(problem.written) or 1, len(shown) - at))
    number = str(problem.line)
    return [f"  {number} | {shown}", f"  {' ' * len(number)} | {' ' * at}{'^' * width}"]


def _count(problems: Sequence[Problem]) -> str:
    counts = Counter(problem.level for problem in problems)
    return ", ".join(_so_many(counts[level], level.word) for level in Level) + "."


def _so_many(number: int, word: str) -> str:
    return f"{number} {word}" if number == 1 else f"{number} {word}s"


def as_json(problems: Iterable[Problem], **more: Any) -> str:
    """Return problems as JSON, with whatever else the command has to say beside them."""
    listed = [asdict(problem) | {"level": problem.level.word, "title": TITLES[problem.code]} for problem in problems]
    return json.dumps({"problems": listed, **more}, ensure_ascii=False, indent=1) + "\n"


def register_text(register: Iterable[Registered], today: date) -> str:
    """Return the register as it is today, as a table for a terminal, one line a procedure; "" without procedures."""
    rows = [("number", "issue", "state", "in force since", "review due", "title")]
    rows += [
        (
            listed.standing.procedure,
            str(listed.standing.issue or "-"),
            _state(listed, today),
            _in_force(listed, today),
            str(listed.standing.review_due or "-"),
            listed.standing.title,
        )
        for listed in register
    ]
    return "\n".join([*_aligned(rows), ""]) if len(rows) > 1 else ""


def _state(listed: Registered, today: date) -> str:
    """Return what the newest issue is today: what a later day brings is told with that day."""
    standing, begins = listed.standing, listed.begins_after(today)
    if standing.withdrawal and standing.withdrawal.on > today:
        return f"withdrawn from {standing.withdrawal.on}"
    if standing.state is State.IN_FORCE and begins:
        return f"{State.APPROVED}, in force from {begins}"
    return standing.state.value


def _in_force(listed: Registered, today: date) -> str:
    """Return since when which issue is in force today: it need not be the newest."""
    issue = listed.in_force_on(today)
    if issue is None:
        return "-"
    of_another = f" (issue {issue.number})" if issue.number != listed.standing.issue else ""
    return f"{issue.since(today)}{of_another}"


def register_json(register: Iterable[Registered], today: date) -> list[dict[str, Any]]:
    """Return the register of procedures, as it is today, for other programs."""
    return [_plain(listed, today) for listed in register]


def _plain(listed: Registered, today: date) -> dict[str, Any]:
    standing, issue, begins = listed.standing, listed.in_force_on(today), listed.begins_after(today)
    is_to_come = standing.state is State.IN_FORCE and begins
    return {
        "procedure": standing.procedure,
        "title": standing.title,
        "owner": standing.owner,
        "issue": standing.issue,
        "state": State.APPROVED.value if is_to_come else standing.state.value,
        "in_force_from": _day(begins),
        "issue_in_force": issue.number if issue else None,
        "in_force_since": _day(issue.since(today) if issue else None),
        "review_due": _day(standing.review_due),
    }


def _day(day: date | None) -> str | None:
    return day.isoformat() if day else None


def _aligned(rows: Sequence[Sequence[str]]) -> list[str]:
    widths = [max(len(row[column]) for row in rows) for column in range(len(rows[0]))]
    return ["  ".join(text.ljust(width) for text, width in zip(row, widths, strict=True)).rstrip() for row in rows]


def numbers_json(result: Result) -> str:
    """Return one call's part of the list of numbers as JSON; null for a word, which has none."""
    plain = result.numbers.as_plain() if result.numbers else None
    return json.dumps(plain, ensure_ascii=False, indent=1) + "\n"


def result_text(result: Result) -> str:
    """Return what a reader reads from one call as plain text, a table with its columns aligned."""
    as_read = result.as_read
    if "rows" not in as_read:
        label = result.numbers.texts.get("label") if result.numbers else None
        return "\n".join([*filter(None, [label]), *as_read.values()]) + "\n"
    lines = _aligned([as_read["heads"], *as_read["rows"]])
    return "\n".join([as_read["caption"], "", *lines, "", as_read["condition"], *as_read["cautions"], ""])
