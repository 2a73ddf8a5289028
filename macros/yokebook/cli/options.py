"""What the commands share: options, exit statuses, and how they tell of long work."""

from __future__ import annotations

import sys
from collections.abc import Callable
from datetime import date, datetime, time
from pathlib import Path
from typing import Any

import click

GOOD, PROBLEMS = 0, 1

site_option = click.option(
    "--site",
    type=click.Path(exists=True, file_okay=False, path_type=Path),
    default=Path(),
    help="Folder where mkdocs.yml lies; default: here.",
)


class _Day(click.ParamType[datetime]):
    """A day as everything here writes it; what is no day is told as in the data."""

    name = "year-month-day"

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> datetime:
        """Return the day that was given; say what is allowed where it is none."""
        if isinstance(value, datetime):
            return value
        from yokebook.data.fields import day_of

        try:
            return datetime.combine(day_of(value), time())
        except ValueError as error:
            return self.fail(f"{value}: {error}. Allowed: year-month-day. Example: 2026-03-02", param, ctx)


DAY = _Day()


def today() -> date:
    """Return the day that it is where this computer stands, by its clock: the only place that asks for it."""
    return datetime.now().astimezone().date()


format_option = click.option(
    "--format", "form", type=click.Choice(["text", "json"]), default="text", help="Report for people or for programs."
)


def site_and_format(command: Callable[..., Any]) -> Callable[..., Any]:
    """Give a command the options --site and --format."""
    return site_option(format_option(command))


def site_folder(folder: Path) -> Path:
    """Return a department's folder; refuse one without a configuration."""
    if not (folder / "mkdocs.yml").is_file():
        raise click.UsageError(f"{folder / 'mkdocs.yml'} is not there. Give the folder where it lies: --site DIR")
    return folder


def agreed(question: str, *, yes: bool, err: bool = False) -> None:
    """Ask whether what was shown is to be done. Stops the program where it is not."""
    if yes:
        return
    if not sys.stdin.isatty():
        raise click.UsageError("nobody is there to be asked: look at what is shown, then give --yes")
    click.confirm(question, abort=True, err=err)


def last_step(words: str) -> None:
    """Show how far long work is, on a terminal alone, each time over the last."""
    if sys.stderr.isatty():
        click.echo(f"\r{words}\033[K", err=True, nl=False)


def each_step(line: str) -> Callable[[str], None]:
    """Return what shows long work, a line a step, to somebody at a terminal, and nothing to a program."""
    if not sys.stderr.isatty():
        return lambda _told: None
    return lambda told: click.echo(line.format(told), err=True)
