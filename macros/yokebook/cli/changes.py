"""Commands that tell what changed, or would change: two states side by side, and where a value is used."""

from __future__ import annotations

import sys
from datetime import datetime
from pathlib import Path

import click

from yokebook.cli.options import (
    DAY,
    PROBLEMS,
    site_and_format,
    site_folder,
    today,
)


@click.command()
@site_and_format
@click.argument("sides", nargs=-1, metavar="[FROM [TO]]")
@click.option("--target", type=click.Path(exists=True, file_okay=False, path_type=Path), help="Where editions lie.")
@click.option("--on", "day", type=DAY, help="Tell what was in force on this day, or begin from it.")
def compare(site: Path, form: str, sides: tuple[str, ...], target: Path | None, day: datetime | None) -> None:
    """Set two states of the reference side by side: words, numbers, which data moved them, who approved it and why.

    FROM and TO are numbers of editions, or draft for the department's folder as it is; left out, they are the newest
    edition and the draft. For example: yokebook compare 6 7 --target /srv/procedures
    """
    from yokebook.errors import ProblemError
    from yokebook.reference import comparing, report
    from yokebook.reference.edition_of_day import edition_of_day
    from yokebook.reference.issues_told import department
    from yokebook.reference.whole import lines_of

    is_json = form == "json"
    try:
        of_day = edition_of_day(day.date(), today(), site, target) if day else None
        if of_day and not sides:
            click.echo(of_day.as_json() if is_json else of_day.as_text(), nl=False)
            return
        if of_day:
            click.echo(of_day.told, err=True)
        asked = comparing.asked(sides, of_day.edition if of_day else None, target)
        folder = site_folder(site) if comparing.DRAFT in asked else site
        old, new = (comparing.side(words, folder, target) for words in asked)
        records = department(site, target)
    except comparing.NoSuchSideError as error:
        raise click.UsageError(str(error)) from None
    except ProblemError as error:
        click.echo(report.as_text(error.problems, lambda file: lines_of(site, file)), nl=False)
        sys.exit(PROBLEMS)
    told = comparing.as_json if is_json else comparing.as_text
    click.echo(told(old, new, comparing.compare(old, new, records), records), nl=False)


@click.command(context_settings={"ignore_unknown_options": True})  # a new value may begin with a minus sign
@site_and_format
@click.argument("key")
@click.argument("new_value", required=False)
def trace(site: Path, form: str, key: str, new_value: str | None) -> None:
    """Find where a value of the data is used; with NEW_VALUE also what would move, tried in a copy.

    KEY is written as in a call, or with points: yokebook trace cylinders.oxygen-e.filling.pressure "135 bar"
    """
    from yokebook.reference import report, tracing
    from yokebook.reference.approval import look_up_records
    from yokebook.reference.new_value import CannotReplaceError
    from yokebook.reference.whole import work_out

    control = look_up_records(work_out(site_folder(site)))
    problems = control.reference.problems
    if problems.stops_the_build:
        click.echo(report.as_text(problems, control.reference.lines_of), nl=False)
        sys.exit(PROBLEMS)
    try:
        found = tracing.trace(control.reference, key)
        trial = tracing.try_value(control, key, new_value) if new_value is not None else None
    except (tracing.NoSuchKeyError, CannotReplaceError) as error:
        raise click.UsageError(str(error)) from None
    except tracing.TriedError as error:
        click.echo(report.as_text(error.problems, error.lines_of), nl=False)
        sys.exit(PROBLEMS)
    if form == "json":
        click.echo(tracing.as_json(found, trial), nl=False)
    elif trial is None:
        click.echo(tracing.as_text(found), nl=False)
    else:
        click.echo(tracing.trial_text(trial, found.key, found.value, str(new_value)), nl=False)
