"""The shop as a plan needs it: stock and what it measures, size classes, rounding, words for sizes."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from sheetkit.calc.lumber import kiln_dried_thickness, surfaced_thickness
from sheetkit.calc.metric_stock import STRAIGHTENED_OFF, metric_dried_thickness, straightened_thickness
from sheetkit.calc.movement import Movement, coefficient_from_shrinkage
from sheetkit.calc.shrinkage import shrinkage_from_coefficient
from sheetkit.calc.weight import basic_specific_gravity, density_lb_ft3, specific_gravity, weight_lb
from sheetkit.records.allowances import Allowances, SizeClass
from sheetkit.records.job import Job, JobSheet, Price, Stock
from sheetkit.records.notes import Spot
from sheetkit.records.units import Units
from sheetkit.tables import Species, nominal_of, surfaced_stock, yard_of, yards
from sheetkit.units import MM, length_text, rounded_down, rounded_up

USUAL_MOISTURE = 8.0
"""Moisture of furniture lumber when no reading is given, common practice [%]."""
GRAVITY_AT = 12.0
"""Moisture at which the tables print the gravity of dry wood [%]."""
FLUSH = 1 / 16
"""Taken off surfaced stock to plane its glue lines flush, common practice [in]."""
LEAN = STRAIGHTENED_OFF + 1 / MM
"""Taken off boards in mm that lie flat: straightened, then 1 mm at least to plane; common practice [in]."""
THINNEST_SURFACED = 3 / 8
"""Thinner lumber is sold planed, as thick as it is called, common practice [in]."""


@dataclass(frozen=True, slots=True)
class Offer:
    """A stock that can be had of a species."""

    stock: Stock
    measures: float
    price: Price | None = None
    surfaced: bool = False
    """Planed flat at the mill: it needs no flattening."""
    lean: float | None = None
    """What is taken off boards that lie flat, where the class's allowance would take more [in]."""


def straightens(offer: Offer) -> bool:
    """Return whether a stock is sawn to a size in mm, of which it is known what straightening leaves."""
    return offer.stock.name.endswith("mm") and not offer.surfaced


class Shop:
    """A job with its look-ups made once."""

    def __init__(self, job: Job) -> None:
        self.job = job
        self.sheet = job.sheet
        self.units = Units.of(job.sheet)
        self.allowances: Allowances = job.allowances
        self._offers: dict[str, tuple[Offer, ...]] = {}
        self._movement: dict[tuple[str, str], Movement | None] = {}
        self._density: dict[str, float | None] = {}
        self._words: dict[float, str] = {}
        self.assumed: set[str] = set()

    @property
    def moisture(self) -> float:
        """Today's wood moisture, or the usual one."""
        return USUAL_MOISTURE if self.sheet.moisture_now is None else self.sheet.moisture_now

    @property
    def driest(self) -> float:
        """The driest that the wood sees, today included [%]."""
        return moistures_seen(self.sheet)[0]

    @property
    def wettest(self) -> float:
        """The wettest that the wood sees, today included [%]."""
        return moistures_seen(self.sheet)[1]

    def size_class(self, finished_length: float) -> SizeClass:
        """Return the class of a part by its finished length, tenons included."""
        for size in self.allowances.classes:
            if finished_length <= size.up_to + 1e-9:
                return size
        return self.allowances.classes[-1]

    def up(self, size: float) -> float:
        """Round a blank's size up to the job's step."""
        return rounded_up(size, self.sheet.step)

    def taped(self, size: float) -> float:
        """Round a rough width or length up to the step of the tape by which it is cut."""
        return self.up(rounded_up(size, self.allowances.rough_step))

    def taped_words(self, size: float) -> str:
        """Write a rough width or length for a person, and what it is cut to when that is more."""
        need, cut = self.words(self.up(size)), self.words(self.taped(size))
        return need if need == cut else f"{need}, cut {cut}"

    def down(self, size: float) -> float:
        """Round a panel's size down to the job's step."""
        return rounded_down(size, self.sheet.step)

    def words(self, size: float) -> str:
        """Write a size for a person, in the job's unit."""
        if size not in self._words:
            self._words[size] = length_text(size, self.sheet.unit)
        return self._words[size]

    def sizes(self, **sizes: float) -> dict[str, str]:
        """Return sizes as a person reads them, each by the name that a message has for it."""
        return {name: self.words(size) for name, size in sizes.items()}

    def in_steps(self, size: float) -> str:
        """Write a size for a person, to the nearest whole step of the job."""
        return length_text(size, self.sheet.unit, self.sheet.step)

    def fine(self, size: float) -> str:
        """Write a small size for a person: thousandths of an inch, or tenths of a millimeter."""
        return self.units.fine(size)

    def measures(self, stock: Stock) -> float:
        """Return what a stock measures when Prices does not say."""
        way = self.allowances.measures_as
        if way == "nominal":
            return stock.nominal
        if way == "surfaced":
            if stock.nominal < THINNEST_SURFACED:
                return stock.nominal
            return surfaced_stock().get(stock.name) or surfaced_thickness(stock.nominal)
        if stock.name.endswith("mm"):
            return metric_dried_thickness(stock.nominal, self.moisture)
        return kiln_dried_thickness(stock.nominal)

    @property
    def yard(self) -> str:
        """The yard whose stock is assumed where Prices lists none: that with most of what the job names."""
        job = self.job
        named = [part.stock for part in job.parts if part.stock is not None]
        named += [each.stock for each in job.boards] + [each.stock for each in job.prices]
        return yard_of((stock.name for stock in named), self.units.metric)

    def offers(self, species: Species) -> tuple[Offer, ...]:
        """Return the stocks of a species, thinnest first: those on Prices, else the usual ones."""
        if species.id not in self._offers:
            listed = [
                self._offer(
                    price.stock,
                    self.measures(price.stock) if price.measures is None else price.measures,
                    price,
                )
                for price in self.job.prices
                if price.species == species
            ]
            if not listed:
                self.assumed.add(species.id)
                stocks = [Stock(name, nominal_of(name)) for name in yards()[self.yard]]
                listed = [self._offer(stock, self.measures(stock)) for stock in stocks]
            self._offers[species.id] = tuple(
                sorted(listed, key=lambda offer: (offer.measures, offer.stock.nominal))
            )
        return self._offers[species.id]

    def _offer(self, stock: Stock, measures: float, price: Price | None = None) -> Offer:
        """Return an offer; one that measures more than the surfaced size is rough, whatever is set."""
        surfaced = self.allowances.measures_as == "surfaced" and measures <= self.measures(stock) + 1e-9
        return Offer(stock, measures, price, surfaced)

    def flattening(self, offer: Offer, size: SizeClass, glued: bool = False) -> float:
        """Return what to take off a stock's thickness: the class's allowance; if surfaced, glue lines."""
        if not offer.surfaced:
            return size.thickness if offer.lean is None else min(offer.lean, size.thickness)
        return min(FLUSH, size.thickness) if glued else 0.0

    def thickness_words(self, final: float, offer: Offer, size: SizeClass, glued: bool = False) -> str:
        """Say how the thickness of a blank came about."""
        extra = self.flattening(offer, size, glued)
        need = self.words(self.up(final + extra))
        if not offer.surfaced:
            return f"{self.words(final)} + {self.words(extra)} = {need} thick: {offer.stock.name}"
        flush = f" + {self.words(extra)} to plane it flush = {need}" if extra else ""
        measures = self.words(offer.measures)
        surfaced = f"{offer.stock.name}, surfaced to {measures}"
        return f"{self.words(final)}{flush} thick: {surfaced}, nothing taken for flattening"

    def thickest(self, species: Species) -> float:
        """Return the thickest that a species can be had in, as it measures."""
        return self.offers(species)[-1].measures

    def named(self, species: Species, stock: Stock) -> Offer | None:
        """Return the offer of a stock by name; None when Prices lists the species but not this stock."""
        for offer in self.offers(species):
            if abs(offer.stock.nominal - stock.nominal) < 1e-6:
                return offer
        return self._offer(stock, self.measures(stock)) if species.id in self.assumed else None

    def movement(self, species: Species, cut: str) -> Movement | None:
        """Return how a cut of a species moves, worked out once."""
        key = (species.id, cut)
        if key not in self._movement:
            self._movement[key] = movement_of(species, cut)
        return self._movement[key]

    def weight(self, species: Species, volume: float) -> float | None:
        """Return the weight of a volume at today's moisture [lb of in3], None when no gravity is known."""
        if species.id not in self._density:
            basic = species.gravity_green
            if species.gravity_12 is not None:
                basic = basic_specific_gravity(species.gravity_12, GRAVITY_AT)
            self._density[species.id] = (
                None
                if basic is None
                else density_lb_ft3(specific_gravity(basic, self.moisture), self.moisture)
            )
        density = self._density[species.id]
        return None if density is None else weight_lb(volume, density)


def without_bench(job: Job) -> Job:
    """Return a job free of all that no size and no price hangs on; its openings are planned before."""
    panels = tuple(replace(panel, run="", rails="") for panel in job.panels)
    return replace(
        job, panels=panels, boards=(), joints=(), runs=(), shapes=(), loads=(), glue_ups=(), finish=()
    )


def moistures_seen(sheet: JobSheet) -> tuple[float, float]:
    """Return the driest and wettest moisture that the wood really sees [%]; today's counts where known."""
    now = () if sheet.moisture_now is None else (sheet.moisture_now,)
    return min((sheet.moisture_driest, *now)), max((sheet.moisture_wettest, *now))


def rift_remark(cut: str, spot: Spot) -> str:
    """Say how a rift-sawn board is taken, since no figures are published for it."""
    return spot.tell("rift-as-flat", cut) if cut == "rift" else ""


def movement_of(species: Species, cut: str) -> Movement | None:
    """Return how a cut of a species moves; ``either`` is the larger of the two, None when nothing is known.

    Rift-sawn lies between the two and is taken as flat-sawn, so that movement is never understated.

    Imports print coefficients that older shrinkage figures led to: there the larger counts.
    """
    if cut == "quarter":
        printed, shrinkage = species.coef_radial, species.shrink_radial
    else:
        printed, shrinkage = species.coef_tangential, species.shrink_tangential
    derived = coefficient_from_shrinkage(shrinkage, species.shrink_start) if shrinkage else None
    if printed is None or (derived is not None and species.origin == "import"):
        printed = max(filter(None, (printed, derived)), default=None)
    if printed is None:
        return None
    if shrinkage is not None:
        # a group row's coefficient may exceed what the species' own shrinkage gives: never move less outside
        shrinkage = max(shrinkage, shrinkage_from_coefficient(printed, species.shrink_start))
    return Movement(printed, shrinkage, species.shrink_start)


def chosen_stock(
    species: Species,
    needs: Callable[[Offer], float],
    wanted: Stock | None,
    plies_hint: int,
    shop: Shop,
    spot: Spot,
) -> tuple[Offer | None, str]:
    """Return the thinnest stock that measures enough, or the one asked for, with a remark on it."""
    offers = shop.offers(species)
    # in whole steps, as the blank will be
    need = shop.up(needs(offers[-1]))
    if wanted is not None:
        offer = shop.named(species, wanted)
        if offer is None:
            choices = ", ".join(dict.fromkeys(other.stock.name for other in offers))
            spot.tell("stock-unknown", wanted.name, species=species.name, choices=choices)
            return None, ""
        need = shop.up(needs(offer))
        if offer.measures < need - 1e-9:
            lean = replace(offer, lean=LEAN)
            if straightens(offer) and offer.measures >= shop.up(needs(lean)) - 1e-9:
                return lean, spot.tell(
                    "stock-straightened",
                    wanted.name,
                    stock=offer.stock.name,
                    measures=shop.words(shop.down(offer.measures)),
                    straight=shop.words(shop.down(straightened_thickness(offer.measures))),
                )
            return offer, spot.tell(
                "stock-too-thin",
                wanted.name,
                stock=offer.stock.name,
                measures=shop.words(offer.measures),
                need=shop.words(need),
                short=shop.words(need - offer.measures),
            )
        return offer, ""
    for offer in offers:
        if offer.measures >= shop.up(needs(offer)) - 1e-9:
            return offer, ""
    spot.tell("none-thick-enough", species=species.name, need=shop.words(need), plies=plies_hint or 2)
    return None, ""


def joined(remarks: Sequence[str]) -> tuple[str, ...]:
    """Return the remarks that say something, each once."""
    return tuple(dict.fromkeys(filter(None, remarks)))
