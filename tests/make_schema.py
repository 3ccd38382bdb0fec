"""Write the JSON Schema that is shipped with the package: python -m tests.make_schema."""

from __future__ import annotations

import json

from sheetkit.data.schema import SHIPPED, answers_schema


def schema_text() -> str:
    """Return the schema as it is shipped."""
    return json.dumps(answers_schema(), indent=1, ensure_ascii=True) + "\n"


if __name__ == "__main__":
    SHIPPED.write_text(schema_text(), "utf-8")
