"""The changes that the recomputation is tried with are changes to the code as it stands."""

from __future__ import annotations

from tests.recomputed.mutations import CHANGES, ROOT


def test_each_change_finds_what_it_changes() -> None:
    texts = {change.file: (ROOT / "sheetkit" / change.file).read_text(encoding="utf-8") for change in CHANGES}
    assert [change.name for change in CHANGES if change.old not in texts[change.file]] == []
