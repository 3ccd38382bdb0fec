"""Parts: the blanks that they take."""

from __future__ import annotations

import math
from collections import Counter
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from tests.recomputed.shop import Offer, Shop

ZERO = Fraction(0)


@dataclass(frozen=True)
class Blank:
    of: str
    tab: str
    species: str
    offer: Offer
    count: int
    thickness: Fraction
    width: Fraction
    length: Fraction
    role: str
    along: int = 1
    across: int = 1
    layers: int = 1
    together: str = ""
    how: str = ""
    glued_width: Fraction = ZERO
    per_glue_up: int = 1


def finished_length(part: dict[str, Any]) -> Fraction:
    """From shoulder to shoulder, and the tenons."""
    length: Fraction = part["Length"]
    return sum(part.get("Tenons") or (), length)


def ganged(
    piece: Fraction, count: int, extra: Fraction, kerf: Fraction, least: Fraction
) -> list[tuple[int, int, Fraction]]:
    """How many blanks hold how many pieces, and the size of each: as few pieces in one as the machines allow."""

    def size(pieces: int) -> Fraction:
        return piece * pieces + kerf * (pieces - 1) + extra

    fewest = next((pieces for pieces in range(1, count + 1) if size(pieces) >= least), count)
    lots = count // fewest
    held = Counter(count // lots + (lot < count % lots) for lot in range(lots))
    return [(held[pieces], pieces, max(size(pieces), least)) for pieces in sorted(held, reverse=True)]


def staves(shop: Shop, width: Fraction, asked: int | None) -> tuple[int, Fraction]:
    """How many, and the width of each: an inner one loses both edges to the joint, one of a pair only one."""

    def each(count: int) -> Fraction:
        edges = {1: 0, 2: 1}.get(count, 2)
        return (width + shop.allow["Panel trim"]) / count + edges * shop.allow["Edge joint"]

    count = asked or next(count for count in range(1, 10_000) if each(count) <= shop.allow["Widest stave"])
    return count, shop.tape(each(count))


def blanks_of(shop: Shop, part: dict[str, Any]) -> list[Blank]:
    name, species, qty, stock = part["Part"], part["Species"], part["Qty"], part.get("Stock")
    finished, thick = finished_length(part), Fraction(part["Thickness"])
    extra, allow = shop.extras(finished), shop.allow
    width = part["Width"] + (part.get("Rise") or 0)
    together = part.get("Keep together") or ""
    kept: dict[str, Any] = {
        "together": together,
        "how": (part.get("How") or "same board") if together else "",
    }
    if part["Made as"] == "face-glued":
        plies = part.get("Plies")
        if not plies or plies < 2:
            of = next(
                (offer for offer in shop.offers(species) if offer.stock == stock), shop.offers(species)[-1]
            )
            plies = max(
                2, math.ceil((thick + allow["Ply clean-up"]) / (of.measures - of.takes(extra.thickness)))
            )

        def ply(offer: Offer) -> Fraction:
            return (thick + allow["Ply clean-up"]) / plies + offer.takes(extra.thickness)

        offer = shop.thinnest(species, ply, stock)
        return [Blank(name, "Parts", species, offer, qty * plies, shop.up(ply(offer)), shop.tape(width + allow["Ply width extra"]),
                      shop.tape(finished + extra.length), "ply", **kept)]  # fmt: skip
    if part["Made as"] == "edge-glued":
        offer = shop.thinnest(species, lambda offer: thick + offer.takes(extra.thickness, glued=True), stock)
        count, each = staves(shop, width, part.get("Plies"))
        return [Blank(name, "Parts", species, offer, qty * count, shop.up(thick + offer.takes(extra.thickness, glued=True)), each,
                      shop.tape(finished + allow["Panel length extra"]), "stave", glued_width=width + allow["Panel trim"],
                      per_glue_up=count, **kept)]  # fmt: skip
    offer = shop.thinnest(species, lambda offer: thick + offer.takes(extra.thickness), stock)
    need = shop.up(thick + offer.takes(extra.thickness))
    found = []
    for rows, along, length in ganged(
        finished, qty, extra.length, allow["Crosscut kerf"], allow["Shortest through machines"]
    ):
        for count, across, wide in ganged(
            width, rows, extra.width, allow["Rip kerf"], allow["Narrowest through machines"]
        ):
            found.append(
                Blank(
                    name,
                    "Parts",
                    species,
                    offer,
                    count,
                    need,
                    shop.tape(wide),
                    shop.tape(length),
                    "piece",
                    along,
                    across,
                    **kept,
                )
            )
    return found


def volume(part: dict[str, Any]) -> Fraction:
    """Wood in all finished pieces, tenons included."""
    section: Fraction = part["Thickness"] * part["Width"]
    return section * finished_length(part) * int(part["Qty"])


def surface(part: dict[str, Any]) -> Fraction:
    """All six faces, from shoulder to shoulder."""
    sizes: tuple[Fraction, ...] = part["Thickness"], part["Width"], part["Length"]
    thick, width, length = sizes
    return 2 * (thick * width + width * length + length * thick) * int(part["Qty"])
