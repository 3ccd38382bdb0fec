"""What is wrong with a cell: the code of a message and its words."""

from __future__ import annotations


class Wrong(Exception):
    """A cell that cannot be used; carries the code of the message and its words."""

    def __init__(self, code: str, **words: object) -> None:
        super().__init__(code)
        self.code = code
        self.words = words
