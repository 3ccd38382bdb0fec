"""A workbook without its document properties: no author, company, program, date or list of tabs."""

from __future__ import annotations

from sheetkit.book.xlsx.relations import Parts

FOLDER = "docprops/"


def without_properties(data: bytes) -> bytes:
    """Return a workbook whose package holds no document properties; the standard does not ask for any."""
    parts = Parts(data)
    gone = [each for each in parts.relations("") if each.target.casefold().startswith(FOLDER)]
    parts.unrelate("", [each.id for each in gone])
    for each in gone:
        parts.delete(each.target)
    return parts.save()
