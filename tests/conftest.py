"""What all tests share: LibreOffice, and workbooks written as text tables."""

from __future__ import annotations

import os
from collections.abc import Callable
from pathlib import Path

import pytest

from sheetkit.book.office import convert, office_program


@pytest.fixture(scope="session")
def office() -> Callable[[Path, str, Path], Path]:
    """Give a function that has LibreOffice write a file in another format; forbidden to skip where it must be there."""
    if office_program() is None:
        if os.environ.get("SHEETKIT_NEEDS_OFFICE"):
            pytest.fail("LibreOffice is not installed, and these tests must not be skipped here")
        pytest.skip("LibreOffice is not installed")
    return convert
