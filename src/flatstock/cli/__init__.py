"""Words in, answers out: the `flatstock` command."""

from flatstock.cli.app import main

__all__ = ["main"]
