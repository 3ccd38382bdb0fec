"""What a source distribution holds beyond the package: tests, templates and examples, so that its tests run.

pyproject.toml names it as setuptools' command ``sdist``, which takes only the tests directly in tests/ by itself.
"""

from __future__ import annotations

from pathlib import Path

from setuptools.command.sdist import sdist

TAKEN = (".ci", "examples", "templates", "tests")
"""Folders that go in whole."""


def source_files(top: Path) -> list[str]:
    """Return the files to add, from the top, in order."""
    found = (path for folder in TAKEN for path in (top / folder).rglob("*") if path.is_file())
    kept = (path for path in found if path.suffix != ".pyc" and not path.name.endswith("~"))
    return ["DEVELOPERS.md", *sorted(path.relative_to(top).as_posix() for path in kept)]


class SourceDistribution(sdist):
    """The command ``sdist`` with the tests and what they need."""

    def make_distribution(self) -> None:
        """Add the files, then pack."""
        self.filelist.extend(source_files(Path(__file__).parent.parent))
        self.filelist.sort()
        self.filelist.remove_duplicates()
        super().make_distribution()
