"""The shop: what its machines take, what stock there is and what it measures, rounding."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Any

from tests.recomputed.woods import Wood, moisture_in_air, woods

MM = Fraction(254, 10)
Row = Mapping[str, Any]
CLASSES = (
    ("24", "1/8", "1/4", "1"),
    ("48", "3/16", "1/4", "1"),
    ("72", "3/16", "3/8", "1"),
    ("beyond", "3/8", "3/8", "1"),
)
"""Up to a finished length: extra thickness, width, length [in]; common practice."""
SETTINGS = {
    "Rip kerf": "1/8", "Crosscut kerf": "1/8", "Resaw kerf": "1/16", "Shortest through machines": "12",
    "Narrowest through machines": "1", "Widest stave": "6", "Narrowest stave": "2", "Edge joint": "1/8", "Panel trim": "1/2",
    "Panel length extra": "2", "Rough step": "1/8", "Ply clean-up": "1/8", "Ply width extra": "1/4", "Resaw clean-up": "1/8", "End trim": "1",
    "Edge straightening": "1/4", "Least in groove": "3/16", "Least clearance": "1/32", "Glue gap": "1/16", "Creep factor": "2",
    "Sag allowed": "1/50",
}  # fmt: skip
"""[in]; common practice."""
CLASSES_MM = (
    ("600", "3", "6", "25"),
    ("1200", "5", "6", "25"),
    ("1800", "5", "10", "25"),
    ("beyond", "10", "10", "25"),
)
SETTINGS_MM = {
    "Rip kerf": "3", "Crosscut kerf": "3", "Resaw kerf": "3/2", "Shortest through machines": "300",
    "Narrowest through machines": "25", "Widest stave": "150", "Narrowest stave": "50", "Edge joint": "3", "Panel trim": "12",
    "Panel length extra": "50", "Rough step": "2", "Ply clean-up": "3", "Ply width extra": "6", "Resaw clean-up": "3", "End trim": "25",
    "Edge straightening": "6", "Least in groove": "5", "Least clearance": "1", "Glue gap": "3/2", "Creep factor": "2",
    "Sag allowed": "1/2",
}  # fmt: skip
"""What a new mm workbook is filled with [mm]."""
SURFACED = {"3/8": "3/16", "1/2": "5/16", "5/8": "7/16", "3/4": "9/16", "4/4": "13/16", "5/4": "17/16", "6/4": "21/16", "7/4": "3/2",
            "8/4": "7/4", "10/4": "9/4", "12/4": "11/4", "14/4": "13/4", "16/4": "15/4"}  # fmt: skip
"""Surfaced on two faces: National Hardwood Lumber Association, standard thicknesses [in]."""
QUARTERS = ("4/4", "5/4", "6/4", "8/4", "10/4", "12/4", "16/4")
PREFERRED = (20, 27, 32, 40, 50, 60, 65, 70, 80, 100)
"""EN 1313-2 (from memory): preferred thicknesses of hardwood [mm]."""
CUSTOMS = ((26, 33, 41, 52, 65, 80, 105), (27, 34, 41, 54, 65, 80))
"""What yards sell in Germany and Austria, and in the United Kingdom; common practice (from memory) [mm]."""
WASTE = {"fas": "1/5", "no. 1 common": "13/50", "no. 2a common": "33/100", "s4s": "3/20"}
USUAL_WASTE = Fraction(1, 5)
FLUSH = Fraction(1, 16)
LEAN = Fraction("3.5") / MM
"""2.5 mm to straighten a dried board (27: 26.5, then 24), 1 mm to plane it; common practice."""


class Impossible(Exception):
    """The job cannot be worked out: something in it must be put right."""


@dataclass(frozen=True)
class Offer:
    stock: str
    nominal: Fraction
    measures: Fraction
    price: Row | None
    planed: bool
    lean: bool = False
    """Asked for by name, in mm, and too thin but for boards that lie flat."""

    def takes(self, usual: Fraction, glued: bool = False) -> Fraction:
        """What is taken off to make it flat: of surfaced stock only its glue lines."""
        if not self.planed:
            return min(usual, LEAN) if self.lean else usual
        return min(FLUSH, usual) if glued else Fraction(0)


@dataclass(frozen=True)
class Extras:
    thickness: Fraction
    width: Fraction
    length: Fraction


def size_of(stock: str) -> Fraction:
    return Fraction(stock.removesuffix(" mm")) / MM if stock.endswith("mm") else Fraction(stock)


class Shop:
    """A job as it is typed (sizes in its own unit), and the shop that makes it; all that is given is in inches."""

    def __init__(self, job: Mapping[str, Any]) -> None:
        self.job = job
        self.metric = job["Job"]["Units"] == "mm"
        self.unit = 1 / MM if self.metric else Fraction(1)
        self.step = self.size(job["Job"]["Round to"])
        self.in_m3 = job["Job"]["Board measure"] == "m3"
        typed = job["Job"].get("Wood moisture now")
        self.now = Fraction(8) if typed is None else Fraction(typed)
        low, high = (self._in_use(job["Job"], word) for word in ("Driest", "Wettest"))
        self.driest, self.wettest = min(low, self.now), max(high, self.now)
        if typed is None:
            self.driest, self.wettest = low, high
        own = job.get("Allowances")
        unit = self.unit
        usual = (SETTINGS_MM, CLASSES_MM) if self.metric else (SETTINGS, CLASSES)
        settings, classes = (own["settings"], own["classes"]) if own else usual
        bare = ("Creep factor",)
        self.allow = {
            name: Fraction(text) * (1 if name in bare else unit)
            for name, text in settings.items()
            if name != "Stock measures as"
        }
        self.measured_as = settings.get("Stock measures as", "kiln-dried")
        self.classes = [(None if upto == "beyond" else Fraction(upto) * unit, Extras(*(Fraction(each) * unit for each in extras)))
                        for upto, *extras in classes]  # fmt: skip

    def _in_use(self, sheet: Row, word: str) -> Fraction:
        """Wood moisture as typed, or in air of 70 F and the humidity typed."""
        if f"{word} humidity" in sheet:
            return moisture_in_air(Fraction(70), Fraction(sheet[f"{word} humidity"]))
        return Fraction(sheet[f"{word} wood moisture"])

    def size(self, typed: Any) -> Fraction:
        return Fraction(typed) * self.unit

    def row(self, row: Row) -> dict[str, Any]:
        """A row with its sizes in inches."""

        def inches(value: Any) -> Any:
            if isinstance(value, tuple):
                return tuple(inches(each) for each in value)
            return self.size(value) if isinstance(value, Fraction) else value

        return {head: inches(value) for head, value in row.items()}

    def rows(self, tab: str) -> list[dict[str, Any]]:
        return [self.row(row) for row in self.job.get(tab, ())]

    def up(self, size: Fraction) -> Fraction:
        return math.ceil(size / self.step) * self.step

    def tape(self, size: Fraction) -> Fraction:
        """Rough widths and lengths: whole steps of the tape, then of the job."""
        return self.up(math.ceil(size / self.allow["Rough step"]) * self.allow["Rough step"])

    def down(self, size: Fraction) -> Fraction:
        return math.floor(size / self.step) * self.step

    def extras(self, finished: Fraction) -> Extras:
        return next(extras for upto, extras in self.classes if upto is None or finished <= upto)

    def wood(self, row: Row) -> Wood:
        return woods()[row["Species"]]

    def measure(self, stock: str) -> Fraction:
        nominal = size_of(stock)
        if self.measured_as == "nominal":
            return nominal
        if self.measured_as == "surfaced":
            if nominal < Fraction(3, 8):
                return nominal
            return (
                Fraction(SURFACED[stock])
                if stock in SURFACED
                else nominal - (Fraction(3, 16) if nominal < Fraction(7, 4) else Fraction(1, 4))
            )
        if stock.endswith("mm"):  # sawn at 20 %, a quarter of a percent thinner for each one drier
            return nominal * (1 - (20 - self.now) / 400)
        return nominal - (Fraction(1, 16) if nominal <= Fraction(7, 4) else Fraction(1, 8))

    def offers(self, species: str, asked: str | None = None) -> list[Offer]:
        """Thinnest first; where no price is known, one asked for by name is had though the yard does not list it."""
        found = []
        for price in self.rows("Prices"):
            if price["Species"] == species:
                usual = self.measure(price["Stock"])
                measures = price.get("Measures") or usual
                found.append(
                    Offer(
                        price["Stock"],
                        size_of(price["Stock"]),
                        measures,
                        price,
                        self.measured_as == "surfaced" and measures <= usual,
                    )
                )
        for stock in () if found else dict.fromkeys((*self.yard(), *filter(None, [asked]))):
            found.append(
                Offer(stock, size_of(stock), self.measure(stock), None, self.measured_as == "surfaced")
            )
        return sorted(found, key=lambda offer: (offer.measures, offer.nominal))

    def yard(self) -> tuple[str, ...]:
        """What one yard sells: the one with most of the sizes that the job names, else the usual one of the unit."""
        in_mm = [tuple(f"{size} mm" for size in sizes) for sizes in (PREFERRED, *CUSTOMS)]
        named = {row.get("Stock") for tab in ("Parts", "Boards", "Prices") for row in self.job.get(tab, ())}
        most = max(len(named & set(yard)) for yard in (QUARTERS, *in_mm))
        usual = in_mm[0] if self.metric else QUARTERS
        best = [yard for yard in (QUARTERS, *in_mm) if len(named & set(yard)) == most]
        return usual if usual in best else best[0]

    def thinnest(self, species: str, need: Callable[[Offer], Fraction], asked: str | None = None) -> Offer:
        """The thinnest stock that measures enough, or the one asked for."""
        for offer in self.offers(species, asked):
            if asked == offer.stock:
                flat = replace(offer, lean=asked.endswith("mm") and not offer.planed)
                too_thin = offer.measures < self.up(need(offer))
                return flat if too_thin and flat.lean and offer.measures >= self.up(need(flat)) else offer
            if not asked and offer.measures >= self.up(need(offer)):
                return offer
        raise Impossible(f"no {species} for {asked or 'this'}")

    def volume(self, nominal: Fraction, width: Fraction, length: Fraction) -> Fraction:
        """Cubic meters net, or board feet, where what is thinner than an inch counts as an inch."""
        if self.in_m3:
            return nominal * width * length * Fraction("0.0254") ** 3
        return max(nominal, Fraction(1)) * width * length / 144


def total(sizes: Sequence[Fraction]) -> Fraction:
    return sum(sizes, Fraction(0))
