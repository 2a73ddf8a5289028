"""Commands for what is published: the next edition, withdrawing, verifying."""

from __future__ import annotations

import sys
from datetime import datetime
from functools import partial
from pathlib import Path

import click

from yokebook.cli.options import (
    DAY,
    GOOD,
    PROBLEMS,
    agreed,
    each_step,
    format_option,
    last_step,
    site_and_format,
    site_folder,
    today,
)


@click.command()
@site_and_format
@click.argument("target", type=click.Path(path_type=Path))
@click.option("--in-force", type=DAY, help="The day from which the edition is in force, such as 2026-03-02.")
@click.option("--in-force-is-right", is_flag=True, help="The day is meant, though it lies far from the last approval.")
@click.option("--check", "only_check", is_flag=True, help="Say what would be published; write nothing.")
@click.option("--finish", is_flag=True, help="Finish what a run that was stopped has published already.")
@click.option("--pdf", "with_pdf", is_flag=True, help="Make PDFs as well: of each procedure, each card, and the whole.")
def publish(
    site: Path, form: str, target: Path, in_force: datetime | None, in_force_is_right: bool, only_check: bool,
    finish: bool, with_pdf: bool,
) -> None:  # fmt: skip
    """Publish the next edition into the folder TARGET: a file share, a web root, a stick.

    For example: yokebook publish /share/gas --in-force 2026-03-02
    """
    if finish == bool(in_force) or (finish and only_check):
        raise click.UsageError(
            "give the day from which the edition is in force (--in-force 2026-03-02), or --finish alone"
        )
    from yokebook.control.target import Target, this_user
    from yokebook.errors import Collector
    from yokebook.reference import publishing, report
    from yokebook.site.build import DEFAULT_FOLDER, build_edition

    place = Target(target)
    if in_force is None:
        problems = Collector()
        problems.add(*publishing.finish(site_folder(site), place, this_user()))
        outcome = publishing.Outcome(problems, ["Finished: all that leads to the editions follows from their list."])
    else:
        order = publishing.Order(
            site_folder(site),
            site / DEFAULT_FOLDER,
            place,
            in_force.date(),
            today(),
            this_user(),
            last_step,
            in_force_is_right,
        )
        make = partial(build_edition, with_pdf=each_step("PDF of {}") if with_pdf else None)
        outcome = publishing.publish(order, make, only_check=only_check)
        last_step("")
    stopped = outcome.problems.stops_the_build
    if form == "json":
        number = outcome.edition.number if outcome.edition else None
        click.echo(report.as_json(outcome.problems, edition=number, told=list(outcome.lines)), nl=False)
    else:
        click.echo(report.as_text(outcome.problems, outcome.lines_of), nl=False)
        click.echo("\n".join(["", *outcome.lines] if not stopped else ["Stopped."]))
        if outcome.edition:
            click.echo(f"Published. Open {target / 'index.html'} in a browser.")
        elif only_check and not stopped:
            click.echo("Nothing was written; without --check this edition would be published.")
    sys.exit(PROBLEMS if stopped else GOOD)


@click.command()
@site_and_format
@click.argument("target", type=click.Path(exists=True, file_okay=False, path_type=Path))
@click.argument("procedure", required=False)
@click.option("--edition", type=click.IntRange(1), help="The number of the edition that is withdrawn.")
@click.option(
    "--on", type=DAY, required=True, help="From which day it is not to be used, today or earlier: 2026-03-02."
)
@click.option("--reason", required=True, help="Why, in a sentence; readers see it.")
@click.option("--instead", required=True, help="What to use instead: CYL-01, edition 7, or words.")
@click.option("--by", default="", help="Who decided it; kept in the records alone.")
@click.option("--correct", is_flag=True, help="It is withdrawn already, and readers were told something wrong.")
@click.option("--yes", is_flag=True, help="Do not ask; withdraw what is shown.")
def withdraw(
    site: Path, form: str, target: Path, procedure: str | None, edition: int | None, on: datetime, correct: bool,
    yes: bool, **told: str,
) -> None:  # fmt: skip
    """Withdraw a PROCEDURE, or an edition, in the folder TARGET: show it, ask, and tell readers at once.

    For example: yokebook withdraw /share/gas CYL-04 --on 2026-03-02 --reason "..." --instead CYL-01
    """
    if bool(procedure) == bool(edition):
        raise click.UsageError("give the number of a procedure, such as CYL-04, or of an edition: --edition 7")
    from yokebook.control.standing import Withdrawal
    from yokebook.control.target import Target, this_user
    from yokebook.reference import report, withdrawing

    withdrawal = Withdrawal(on.date(), told["reason"], told["instead"])
    order = withdrawing.Order(
        site_folder(site), Target(target), withdrawal, this_user(), today(), told["by"], corrects=correct
    )
    what, is_text = procedure or edition or 0, form == "text"
    outcome = withdrawing.propose(order, what)
    if not outcome.problems:
        click.echo("\n".join([*outcome.lines, ""]), err=not is_text)
        agreed("Withdraw this?", yes=yes, err=not is_text)
        outcome = withdrawing.withdraw(order, what)
    problems = outcome.problems
    if not is_text:
        click.echo(report.as_json(problems, told=outcome.lines), nl=False)
    elif problems:
        click.echo(report.as_text(problems, lambda _: ()), nl=False)
    else:
        withdrawn = procedure.upper() if procedure else f"edition {edition}"
        click.echo(f"Withdrawn: {withdrawn}. Use instead: {withdrawal.instead}")
        if outcome.lines:
            click.echo("\n".join(outcome.lines))
    sys.exit(PROBLEMS if problems else GOOD)


@click.command()
@click.option(
    "--site",
    type=click.Path(exists=True, file_okay=False, path_type=Path),
    help="The department's folder, where each approval is to be held against its page.",
)
@format_option
@click.argument("target", type=click.Path(exists=True, file_okay=False, path_type=Path))
def verify(site: Path | None, form: str, target: Path) -> None:
    """Hold every file in the folder TARGET against what was published; exit status 1 where anything differs."""
    from yokebook.control.target import Target
    from yokebook.reference import verification

    findings = verification.verify(Target(target), site_folder(site) if site else None)
    click.echo(verification.as_json(findings) if form == "json" else verification.as_text(findings), nl=False)
    sys.exit(PROBLEMS if findings else GOOD)
