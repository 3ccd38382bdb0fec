"""What all tests share: LibreOffice, and which tests make up the quick set."""

from __future__ import annotations

import os
import shutil
import subprocess
from collections.abc import Callable
from pathlib import Path

import pytest

from sheetkit.book.office import convert, office_program

TOP = Path(__file__).parent.parent
QUICK = (
    "sheetkit", "tests/calc", "tests/printed", "tests/test_docstrings.py", "tests/test_entry.py", "tests/test_explain.py",
    "tests/test_intake.py", "tests/test_messages.py", "tests/test_readme.py", "tests/test_schema.py", "tests/test_species.py",
    "tests/test_units.py",
)  # fmt: skip
"""Where tests are quick: ``python -m pytest -m quick`` runs these, doctests too, in well under 40 seconds."""
NOT_QUICK = ("tests/calc/test_beams.py", "tests/calc/test_rules_of_the_shop.py")
"""Modules among them that solve beams by symbols or draw many examples."""


def _quick(path: Path) -> bool:
    place = path.relative_to(TOP) if path.is_relative_to(TOP) else path
    return any(place.is_relative_to(each) for each in QUICK) and place.as_posix() not in NOT_QUICK


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Mark the quick tests."""
    for item in items:
        if _quick(item.path):
            item.add_marker("quick")


def pytest_ignore_collect(collection_path: Path, config: pytest.Config) -> bool | None:
    """Leave modules unread that hold nothing of the quick set when only that is asked for."""
    only_quick = config.option.markexpr == "quick" and collection_path.suffix == ".py"
    return True if only_quick and not _quick(collection_path) else None


@pytest.fixture
def gnumeric(tmp_path: Path) -> Callable[..., Path]:
    """Give a function that has gnumeric open a workbook and save it again, computed ``anew`` or not; needed like LibreOffice."""
    program = shutil.which("ssconvert")
    if program is None:
        if os.environ.get("SHEETKIT_NEEDS_OFFICE"):
            pytest.fail("gnumeric is not installed, and these tests must not be skipped here")
        pytest.skip("gnumeric is not installed")
    kinds = {".xlsx": "Gnumeric_Excel:xlsx2", ".ods": "Gnumeric_OpenCalc:odf"}

    def computed(path: Path, anew: bool = True) -> Path:
        out = tmp_path / f"computed-{path.name}"
        command = [program, *(["--recalc"] if anew else []), "-T", kinds[path.suffix], str(path), str(out)]
        subprocess.run(command, check=True, capture_output=True, timeout=300)
        return out

    return computed


@pytest.fixture(scope="session")
def office() -> Callable[[Path, str, Path], Path]:
    """Give a function that has LibreOffice write a file in another format; forbidden to skip where it must be there."""
    if office_program() is None:
        if os.environ.get("SHEETKIT_NEEDS_OFFICE"):
            pytest.fail("LibreOffice is not installed, and these tests must not be skipped here")
        pytest.skip("LibreOffice is not installed")
    return convert
