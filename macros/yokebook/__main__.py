"""Runs the command line as `python -m yokebook`."""

from yokebook.cli import main

main(prog_name="yokebook")
