"""All answers to a job, worked out: tables as ``sheetkit.run(...).plain()`` gives them, in the job's own unit."""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal
from fractions import Fraction
from typing import Any

from tests.recomputed import joints, loads, lumber, money, panels, parts, supplies
from tests.recomputed.lumber import Laid
from tests.recomputed.parts import Blank
from tests.recomputed.shop import Shop, total
from tests.recomputed.woods import pounds

Job = Mapping[str, Any]
Tables = dict[str, list[dict[str, Any]]]


class Answers:
    """The tables that follow from a job; ``laid`` is what the board layout chose, by species and stock."""

    def __init__(self, job: Job, laid: Mapping[tuple[str, str], Laid] | None = None) -> None:
        self.job, self.shop = job, Shop(job)
        self.parts = [(row, parts.blanks_of(self.shop, row)) for row in self.shop.rows("Parts")]
        self.panels = [panels.answered(self.shop, row) for row in self.shop.rows("Panels")]
        self.blanks = [blank for _, made in self.parts for blank in made] + [
            blank for panel in self.panels for blank in panel.blanks
        ]
        self.laid = dict(laid or {})
        self.lines = lumber.lines(self.shop, self.blanks, self.laid)

    def size(self, inches: Fraction) -> Fraction:
        return inches / self.shop.unit

    def weight(self, row: Mapping[str, Any], volume: Fraction) -> Fraction | None:
        weighs = pounds(self.shop.wood(row), volume, self.shop.now)
        return weighs if weighs is None or not self.shop.metric else weighs * loads.KG

    @property
    def weights(self) -> list[Fraction | None]:
        return [self.weight(row, parts.volume(row)) for row, _ in self.parts] + [
            self.weight(panel.row, panel.volume) for panel in self.panels
        ]

    @property
    def whole_weight(self) -> Fraction | None:
        known = [weight for weight in self.weights if weight is not None]
        return total(known) if known and len(known) == len(self.weights) else None

    def tables(self) -> Tables:
        weights, size = self.weights, self.size
        found: Tables = {"job": [{"weight": self.whole_weight}]}
        found["parts"] = [
            {"blank_thickness": size(longest.thickness), "blank_width": size(max(blank.width for blank in made)),
             "blank_length": size(longest.length), "blanks": sum(blank.count for blank in made), "volume": lumber.net(self.shop, made),
             "weight": weights[number]}
            for number, (row, made) in enumerate(self.parts)
            for longest in [max(made, key=lambda blank: (blank.length, blank.width))]
        ]  # fmt: skip
        found["panels"] = [
            {"width": size(panel.width), "height": size(panel.height), "gap": size(panel.gap), "bearing": size(panel.bearing),
             "clearance": size(panel.clearance), "measured": panel.measured, "leaf_width": size(panel.blanks[0].width),
             "leaf_length": size(panel.blanks[0].length), "volume": lumber.net(self.shop, panel.blanks),
             "weight": weights[len(self.parts) + number]}
            for number, panel in enumerate(self.panels)
        ]  # fmt: skip
        found["rough_sizes"] = [self._blank(blank) for blank in self.blanks]
        found["lumber"] = [
            {"species": line.species, "stock": line.stock, "blanks": line.blanks, "net": line.net, "waste": line.waste, "buy": line.buy,
             "cost": line.cost, "least_width": size(line.least_width), "least_length": size(line.least_length)}
            for line in self.lines
        ]  # fmt: skip
        found["purchases"] = [row for line in self.lines if (row := self._purchase(line))]
        found["joints"] = [self._sized(joints.answered(self.shop, row)) for row in self.shop.rows("Joints")]
        found["spacing"] = [
            self._sized(joints.spaced(row, self.job["Parts"])) for row in self.shop.rows("Spacing")
        ]
        found["loads"] = [
            {**self._sized(beam), "stress": beam["stress"]} if beam else {}
            for beam in (loads.answered(self.shop, row) for row in self.shop.rows("Loads"))
        ]
        if self.job.get("Boards"):
            found["boards"] = [{"volume": held} for held in lumber.rack(self.shop).values()]
        return {**found, **self._money()}

    def _purchase(self, line: lumber.Line) -> dict[str, Any] | None:
        """What is missing of a stock: all of it by waste, or boards bought at the yard and those still wanted."""
        laid = self.laid.get((line.species, line.stock))
        if laid is None:
            return {
                "species": line.species,
                "stock": line.stock,
                "volume": line.buy,
                "cost": line.cost,
                "by_waste": True,
            }
        volume, cost = lumber.missing(self.shop, line, laid)
        if not volume:
            return None
        return {
            "species": line.species,
            "stock": line.stock,
            "volume": volume,
            "cost": cost,
            "by_waste": False,
        }

    def _sized(self, row: Mapping[str, Any]) -> dict[str, Any]:
        def shown(value: Any) -> Any:
            if isinstance(value, list):
                return [shown(each) for each in value]
            return self.size(value) if isinstance(value, Fraction) else value

        return {key: shown(value) for key, value in row.items()}

    def _blank(self, blank: Blank) -> dict[str, Any]:
        sizes = {key: getattr(blank, key) for key in ("thickness", "width", "length", "glued_width")}
        bare = {
            key: getattr(blank, key)
            for key in (
                "of",
                "tab",
                "species",
                "count",
                "role",
                "along",
                "across",
                "layers",
                "together",
                "how",
                "each",
                "per_glue_up",
                "wholes",
            )
        }
        return {
            **bare,
            **self._sized(sizes),
            "stock": blank.offer.stock,
            "volume": lumber.volume(self.shop, blank),
        }

    def _finished(self, name: str | None) -> Fraction:
        """Surface of the part of a name, without one of all parts and panels [in2]."""
        if name is not None:
            return total([parts.surface(row) for row, _ in self.parts if row["Part"] == name])
        panes = [2 * panel.width * panel.height * panel.row["Qty"] for panel in self.panels]
        return total([parts.surface(row) for row, _ in self.parts] + panes)

    def counts(self) -> dict[str, Fraction]:
        """What Labor counts by."""
        surface = self._finished(None)
        rows = self.job.get
        return {
            "job": Fraction(1),
            "part": Fraction(sum(row["Qty"] for row in rows("Parts", ()))),
            "blank": Fraction(sum(blank.count for blank in self.blanks)),
            **{
                name: Fraction(sum(row["Qty"] for row in rows("Joints", ()) if row["Kind"] in kinds))
                for name, kinds in money.COUNTED_AS.items()
            },
            "panel": Fraction(sum(row["Qty"] for row in rows("Panels", ()))),
            "surface": surface * Fraction("0.0254") ** 2 if self.shop.metric else surface / 144,
        }

    def _money(self) -> Tables:
        sheet, counts = self.job["Job"], self.counts()
        extras = [money.extra_cost(row) for row in self.job.get("Extras", ())]
        works = [money.labor(row, counts, sheet.get("Hourly rate")) for row in self.job.get("Labor", ())]
        used = supplies.needed(self.job, self.shop.metric, self._finished)
        made = money.estimate(
            sheet,
            [line.cost for line in self.lines],
            extras,
            [each["cost"] for each in used],
            [cost for _, _, cost in works],
        )
        made["hours"] = total([hours for _, hours, _ in works])
        shares = {
            "tax": sheet.get("Tax") or 0,
            "deposit": min(sheet.get("Deposit") or Decimal(0), Decimal(1)),
        }
        return {
            "extras": [{"cost": cost} for cost in extras],
            "supplies": used,
            "labour": [{"count": count, "hours": hours, "cost": cost} for count, hours, cost in works],
            "estimate": [made],
            "quote": [{"name": name, "amount": made[name], "share": Fraction(shares[name]) if name in shares else None}
                      for name in ("price", "delivery", "tax", "total", "deposit", "balance")],
        }  # fmt: skip
