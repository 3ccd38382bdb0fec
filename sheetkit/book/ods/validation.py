"""Drop-down lists: the validations of a document, each written once."""

from __future__ import annotations

from sheetkit.book.markup import Element
from sheetkit.book.ods.formula import Titles, literal, open_title, to_open
from sheetkit.book.ods.names import OURS, fingerprint, make, name
from sheetkit.book.ods.text import clean, put_text
from sheetkit.page import Choice, cell_name

NAME = name("table:name")
REFERENCE = name("table:content-validation-name")


class Validations:
    """The validations of one document, ours among them."""

    def __init__(self, holder: Element) -> None:
        self._holder = holder
        self._known = {child.get(NAME, ""): child for child in holder if isinstance(child.tag, str)}

    def name_of(self, choice: Choice, title: str, titles: Titles) -> str:
        """Return the name of the validation that offers this choice on this tab."""
        element = _validation(choice, title, titles)
        label = f"{OURS}v.{fingerprint(element)}"
        if label not in self._known:
            element.set(NAME, label)
            self._holder.append(element)
            self._known[label] = element
        return label

    def sweep(self, used: set[str], suspects: set[str]) -> bool:
        """Take away our validations, and those of ``suspects``, that no cell bears any more.

        Say whether there were any.
        """
        before = len(self._known)
        for label, element in list(self._known.items()):
            if label not in used and (label.startswith(OURS) or label in suspects):
                self._holder.remove(element)
                del self._known[label]
        return len(self._known) < before


def _validation(choice: Choice, title: str, titles: Titles) -> Element:
    corner = cell_name(choice.where.first_row, choice.where.first_column)
    attributes = {
        "table:allow-empty-cell": "true",
        "table:base-cell-address": f"{open_title(title)}.{corner}",
    }
    if choice.words:
        words = ";".join(literal(clean(word)) for word in choice.words)
    else:
        words = to_open(choice.source, titles).removeprefix("of:=") if choice.source else ""
    if words:
        attributes |= {
            "table:condition": f"of:cell-content-is-in-list({words})",
            "table:display-list": "unsorted",
        }
    element = make("table:content-validation", attributes)
    if choice.hint:
        message = make("table:help-message", {"table:display": "true"})
        put_text(message, choice.hint)
        element.append(message)
    strict = "true" if choice.strict else "false"
    element.append(make("table:error-message", {"table:message-type": "stop", "table:display": strict}))
    return element
