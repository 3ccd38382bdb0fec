"""Write the table of all published numbers that are checked, tests/printed/PRINTED.md: python -m tests.make_printed."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import groupby
from pathlib import Path

from tests.printed.check import Kind
from tests.printed.exceptions import EXCEPTIONS
from tests.printed.outside import OUTSIDE
from tests.printed.table import CHECKS

PRINTED = Path(__file__).parent / "printed" / "PRINTED.md"
MEANS = {
    Kind.PRINTED: "inputs and answer both stand in the source",
    Kind.IN_PART: "the answer stands there, some inputs are from memory",
    Kind.MEMORY: "the source prints it, but it was not looked up there",
    Kind.RULE: "the source prints the rule, the numbers are worked from it",
    Kind.WORKED: "from a published formula",
    Kind.PRACTICE: "a habit of the trade that no source prints",
}
HEAD = """# Published numbers, and ours beside them

Written by `python -m tests.make_printed`; a test compares. The tolerance is half of the last
printed digit, unless a row names its own. What stands behind a number:
"""


def _row(*cells: str) -> str:
    return f"| {' | '.join(cell.replace('|', '/') for cell in cells)} |"


def _lines() -> Iterator[str]:
    yield HEAD
    yield from (f"- **{kind}**: {text}" for kind, text in MEANS.items())
    yield ""
    for group, checks in groupby(CHECKS, key=lambda check: check.group):
        yield from (f"## {group[:1].upper()}{group[1:]}", "")
        yield _row(
            "quantity", "source", "printed", "ours", "tolerance", "stands behind it", "function", "note"
        )
        yield _row(*["---"] * 8)
        for check in checks:
            ours = f"{check.ours():.{check.places + 2}f}"
            yield _row(check.quantity, check.source, check.printed, ours, f"{check.tolerance:g}", check.kind,
                       f"`{check.checked}`", check.note)  # fmt: skip
        yield ""
    yield from ("## Coefficients printed otherwise than by a species' own shrinkage", "")
    yield from (_row("species", "cut", "printed is larger by, %", "why"), _row(*["---"] * 4))
    for (species, cut), (share, why) in EXCEPTIONS.items():
        yield _row(species, cut, f"{share:g}", why)
    yield from ("", "## Held against something else than print", "")
    yield from (_row("function", "against", "test"), _row(*["---"] * 3))
    for row in OUTSIDE:
        yield _row(f"`{row.function}`", row.against, f"`{row.test}`")


def printed_text() -> str:
    """Give the whole page."""
    return "\n".join(_lines()) + "\n"


if __name__ == "__main__":
    PRINTED.write_text(printed_text(), encoding="utf-8")
