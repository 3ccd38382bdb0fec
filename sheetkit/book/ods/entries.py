"""The entries around the content: styles, settings and pictures, and the manifest that lists them."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Mapping

from sheetkit.book.markup import Element, tree, written
from sheetkit.book.ods.names import OURS, make, name
from sheetkit.book.ods.opening import MANIFEST, manifest_of
from sheetkit.book.package import Package

_PATH = name("manifest:full-path")
_PICTURE = re.compile(rb'href="(?:\./)?(Pictures/[^"]*)"')


class Entry:
    """One XML entry that is written back only if it was changed."""

    def __init__(self, package: Package, label: str, blank: Callable[[], Element]) -> None:
        self.package = package
        self.label = label
        self.root = tree(package.read(label), label) if label in package else blank()
        self._before = written(self.root)

    def save(self) -> None:
        """Write the entry if it says something else than before."""
        after = written(self.root)
        if after != self._before:
            if self.label not in self.package:
                add_to_manifest(self.package, [self.label])
            self.package.write(self.label, after)


def child(parent: Element, prefixed: str, before: tuple[str, ...] = ()) -> Element:
    """Return the child of this name, put in ahead of certain others if it is missing."""
    found = parent.find(name(prefixed))
    if found is None:
        found = make(prefixed)
        following = next(
            (parent.find(name(other)) for other in before if parent.find(name(other)) is not None), None
        )
        if following is None:
            parent.append(found)
        else:
            following.addprevious(found)
    return found


def pictures_in(*parts: bytes) -> set[str]:
    """Return the picture entries that XML refers to."""
    return {found.decode() for part in parts for found in _PICTURE.findall(part)}


def put_pictures(package: Package, pictures: Mapping[str, bytes], used: set[str], suspects: set[str]) -> None:
    """Put our pictures in, and take away ours and ``suspects`` that nothing refers to any more."""
    fresh = [entry for entry in pictures if entry not in package]
    for entry, png in pictures.items():
        package.write(entry, png)
    ours = f"Pictures/{OURS}"
    gone = {
        entry
        for entry in package.names()
        if entry.startswith("Pictures/")
        and entry not in used
        and (entry.startswith(ours) or entry in suspects)
    }
    for entry in gone:
        package.delete(entry)
    add_to_manifest(package, fresh, gone)


def manifest_line(entry: str) -> Element:
    """Return the line of the manifest for one entry."""
    kind = "image/png" if entry.endswith(".png") else "text/xml"
    return make("manifest:file-entry", {"manifest:full-path": entry, "manifest:media-type": kind})


def add_to_manifest(package: Package, fresh: Iterable[str], gone: Iterable[str] = ()) -> None:
    """List new entries in the manifest and take others from it."""
    fresh, gone = list(fresh), set(gone)
    if not fresh and not gone:
        return
    manifest = manifest_of(package)
    listed = set()
    for line in list(manifest):
        path = line.get(_PATH)
        listed.add(path)
        if path in gone:
            manifest.remove(line)
    manifest.extend(manifest_line(entry) for entry in fresh if entry not in listed)
    package.write(MANIFEST, written(manifest))
