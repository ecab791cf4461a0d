"""The command line: parse, call one workflow, show."""

from jointmap.cli.main import main

__all__ = ["main"]
