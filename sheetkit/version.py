"""The version of sheetkit, told once: pyproject.toml, the package and every answer read it here."""

VERSION = "0.1.0"
