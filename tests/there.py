"""What a test takes for granted: given as it is, or the test fails."""

from __future__ import annotations

from typing import TypeVar

Thing = TypeVar("Thing")


def there(thing: Thing | None) -> Thing:
    """Give what must be there, such as a tab, an element or an attribute."""
    assert thing is not None
    return thing
