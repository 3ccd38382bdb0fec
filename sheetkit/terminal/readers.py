"""Whoever reads what a command says may leave early, as ``head`` does: that is no fault."""

from __future__ import annotations

import os
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

import click


class Commands(click.Group):
    """Commands whose help and version a reader such as ``head`` may leave early."""

    def make_context(self, *given: Any, **named: Any) -> click.Context:
        """Read the arguments, ``--help`` among them."""
        with _left_early():
            return super().make_context(*given, **named)

    def invoke(self, ctx: click.Context) -> Any:
        """Carry out a command, whose ``--help`` it may be."""
        with _left_early():
            return super().invoke(ctx)


@contextmanager
def _left_early() -> Iterator[None]:
    try:
        yield
    except BrokenPipeError:
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        raise click.exceptions.Exit(0) from None


@contextmanager
def whoever_reads() -> Iterator[None]:
    """Let a reader such as ``head`` stop early: the work is done, and the exit code stays its own."""
    try:
        yield
        sys.stdout.flush()
    except BrokenPipeError:
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
