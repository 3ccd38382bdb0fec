"""Rough sizes, lumber, panels and shop sheets inside a furniture maker's own workbook."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from sheetkit.version import VERSION as __version__

if TYPE_CHECKING:
    from sheetkit.book.workbook import Refused
    from sheetkit.jobs.run import Outcome, run

__all__ = ["Outcome", "Refused", "__version__", "run"]


def __getattr__(name: str) -> Any:
    """Load the flow only when it is asked for, so that importing the package costs nothing."""
    if name in ("run", "Outcome", "Refused"):
        from sheetkit.jobs import run as flow

        return getattr(flow, name)
    raise AttributeError(name)
