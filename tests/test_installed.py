"""What is packed to be given away: a wheel that works in another folder, and a source distribution with its tests."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
import tarfile
import zipfile
from collections.abc import Sequence
from pathlib import Path

import pytest

from sheetkit.version import VERSION
from tests.source_distribution import TAKEN, source_files

TOP = Path(__file__).parent.parent
PACK = (
    "from setuptools import build_meta as build; build.build_sdist({there!r}); build.build_wheel({there!r})"
)


def done(words: Sequence[object], folder: Path, **env: str) -> str:
    """Run a command in a folder and return what it says."""
    ran = subprocess.run(
        [*map(str, words)], cwd=folder, env=os.environ | env, capture_output=True, text=True, check=False
    )
    assert ran.returncode == 0, ran.stdout + ran.stderr
    return ran.stdout


@pytest.fixture(scope="module")
def packed(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with the wheel and the source distribution, packed from a copy so that the tree stays clean."""
    copy, there = tmp_path_factory.mktemp("source"), tmp_path_factory.mktemp("packed")
    unwanted = shutil.ignore_patterns("__pycache__", "*.pyc", "*.egg-info")
    for name in (*TAKEN, "sheetkit"):
        shutil.copytree(TOP / name, copy / name, ignore=unwanted)
    for name in ("pyproject.toml", "README.md", "DEVELOPERS.md"):
        shutil.copy(TOP / name, copy / name)
    done([sys.executable, "-c", PACK.format(there=str(there))], copy)
    return there


def test_the_wheel_works_from_another_folder(packed: Path, tmp_path: Path) -> None:
    (wheel,) = packed.glob("*.whl")
    library, shop = tmp_path / "library", tmp_path / "shop"
    shop.mkdir()
    done(
        [sys.executable, "-m", "pip", "install", "-q", "--no-deps", "--no-index", "--target", library, wheel],
        shop,
    )
    where = done(
        [sys.executable, "-c", "import sheetkit; print(sheetkit.__file__)"], shop, PYTHONPATH=str(library)
    )
    assert Path(where.strip()).is_relative_to(library)
    (command,) = (each for each in (library / "bin").iterdir() if each.stem == "sheetkit")
    for ending in (".xlsx", ".ods"):
        done([command, "new", f"bench{ending}", "--example"], shop, PYTHONPATH=str(library))
        said = done([command, "run", f"bench{ending}", "--effort", "0.1"], shop, PYTHONPATH=str(library))
        assert "Entry bench: 49 parts" in said
        assert f"Written to bench{ending}" in said
    assert "urn:sheetkit:answers" in done([command, "explain", "--schema"], shop, PYTHONPATH=str(library))
    assert VERSION in done([command, "--version"], shop, PYTHONPATH=str(library))


def test_the_wheel_holds_the_package_its_data_and_its_license_and_nothing_else(packed: Path) -> None:
    (wheel,) = packed.glob("*.whl")
    with zipfile.ZipFile(wheel) as archive:
        names = set(archive.namelist())
        (about,) = (name for name in names if name.endswith("METADATA"))
        told = archive.read(about).decode().splitlines()
    ours = {
        path.relative_to(TOP).as_posix()
        for path in (TOP / "sheetkit").rglob("*")
        if path.is_file() and path.suffix != ".pyc"
    }
    assert {name for name in names if name.startswith("sheetkit/")} == ours
    assert {name.split("/")[0] for name in names} == {"sheetkit", f"sheetkit-{VERSION}.dist-info"}
    assert f"sheetkit-{VERSION}.dist-info/licenses/sheetkit/LICENSE" in names
    assert {"License-Expression: MIT", "License-File: sheetkit/LICENSE", f"Version: {VERSION}"} <= set(told)


def test_the_source_distribution_holds_the_tests_and_what_they_need(packed: Path) -> None:
    (source,) = packed.glob("*.tar.gz")
    with tarfile.open(source) as archive:
        names = {name.partition("/")[2] for name in archive.getnames()}
    assert set(source_files(TOP)) <= names
    assert {"README.md", "pyproject.toml", "sheetkit/LICENSE", ".ci/run"} <= names
    assert {name.split("/")[0] for name in source_files(TOP)} == {*TAKEN, "DEVELOPERS.md"}
