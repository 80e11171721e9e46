"""The command line: one module a verb; :mod:`~cardref.cli.dispatch` imports the one that is used."""

from cardref.cli.dispatch import VERBS, main

__all__ = ["VERBS", "main"]
