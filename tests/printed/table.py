"""The table of all checks against print, in the order of the documentation.

The test beside this module walks through it; a table for the documentation can be made of it.
"""

from __future__ import annotations

from tests.printed.check import Check
from tests.printed.europe import european_checks
from tests.printed.shop import bench_checks, lumber_checks, rough_checks
from tests.printed.wood import coefficient_checks, moisture_checks, movement_checks, panel_checks

CHECKS: tuple[Check, ...] = (
    *moisture_checks(),
    *movement_checks(),
    *coefficient_checks(),
    *european_checks(),
    *panel_checks(),
    *rough_checks(),
    *lumber_checks(),
    *bench_checks(),
)
