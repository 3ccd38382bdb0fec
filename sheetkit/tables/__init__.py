"""Published data, each table a CSV file with a source key in every row, and the one place that loads them."""

from __future__ import annotations

import csv
import difflib
from collections.abc import Iterable
from dataclasses import dataclass
from functools import cache, lru_cache
from importlib import resources


@cache
def rows(name: str) -> tuple[dict[str, str], ...]:
    """Return the rows of a table, such as ``species``, as text."""
    text = resources.files(__package__).joinpath(f"{name}.csv").read_text(encoding="utf-8")
    return tuple(csv.DictReader(text.splitlines()))


@dataclass(frozen=True, slots=True)
class Species:
    """A species of wood and what is published about it. A value not published is None."""

    id: str
    name: str
    botanical: str
    group: str
    origin: str
    shrink_radial: float | None
    """Radial shrinkage from green to ovendry [% of green size]."""
    shrink_tangential: float | None
    """Tangential shrinkage from green to ovendry [% of green size]."""
    shrink_start: float
    """Moisture at which shrinkage starts [%]."""
    coef_radial: float | None
    """Change per 1 % moisture, printed [fraction of size]."""
    coef_tangential: float | None
    gravity_green: float | None
    """Specific gravity, ovendry weight on green volume."""
    gravity_12: float | None
    """Specific gravity, ovendry weight on volume at 12 %."""
    rupture_psi: float | None
    elasticity_psi: float | None
    hardness_lbf: float | None
    facts: tuple[tuple[str, str], ...] = ()
    """The row as it stands in the table: sources, what was verified, notes."""

    def __hash__(self) -> int:
        return hash(self.id)


def _number(text: str) -> float | None:
    return float(text) if text else None


def _species(row: dict[str, str]) -> Species:
    elasticity = _number(row["elasticity_mpsi"])
    return Species(
        row["id"],
        row["name"],
        row["botanical"],
        row["group"],
        row["origin"],
        _number(row["shrink_radial"]),
        _number(row["shrink_tangential"]),
        float(row["shrink_start"] or 30),
        _number(row["coef_radial"]),
        _number(row["coef_tangential"]),
        _number(row["gravity_green"]),
        _number(row["gravity_12"]),
        _number(row["rupture_psi"]),
        None if elasticity is None else elasticity * 1e6,
        _number(row["hardness_lbf"]),
        tuple(row.items()),
    )


@cache
def all_species() -> tuple[Species, ...]:
    """Return all species, in the order of the table."""
    return tuple(_species(row) for row in rows("species"))


@cache
def other_names(what: str) -> dict[str, tuple[str, ...]]:
    """Return the other names, in whatever language, of each ``species`` (by its id), ``tab`` or ``heading``.

    >>> other_names("tab")["Labor"], other_names("heading")["Width"]
    (('Labour', 'Arbeit', 'Arbeitszeit'), ('Breite',))
    """
    found: dict[str, tuple[str, ...]] = {}
    for row in rows("names"):
        if row["what"] == what:
            found[row["known_as"]] = (*found.get(row["known_as"], ()), row["also_called"])
    return found


def _words(name: str) -> str:
    """Return a species name as it is compared: word order, case, hyphens and commas do not count."""
    return " ".join(sorted(name.casefold().replace(",", " ").replace("-", " ").split()))


@cache
def _names() -> dict[str, Species]:
    by_id = {species.id: species for species in all_species()}
    names = {_words(name): by_id[id] for id, called in other_names("species").items() for name in called}
    names.update((_words(species.name), species) for species in all_species())
    return names


@cache
def _or_in_europe() -> dict[str, str]:
    """Return the names that mean one wood in America and another in Europe -> name of the European one."""
    by_id = {species.id: species.name for species in all_species()}
    return {
        _words(row["also_called"]): by_id[row["or_in_europe"]] for row in rows("names") if row["or_in_europe"]
    }


def find_species(name: str, metric: bool = False) -> Species | None:
    """Return the species of this name, or None; so too where a ``metric`` job may mean a European wood by it.

    >>> find_species("oak, white").name, find_species("poplar").name, find_species("plastic")
    ('White oak', 'Yellow-poplar', None)
    >>> find_species("ash").name, find_species("ash", metric=True)
    ('White ash', None)
    """
    words = _words(name)
    return None if metric and words in _or_in_europe() else _names().get(words)


COMMON = (
    "White oak",
    "Northern red oak",
    "White ash",
    "Sugar maple",
    "European oak",
    "European beech",
    "Black walnut",
    "Black cherry",
    "Yellow-poplar",
)
"""Species that most shops know, named first."""


@lru_cache(1024)
def nearest_species(name: str, count: int = 4, metric: bool = False) -> tuple[str, ...]:
    """Return the names that share most words with this one, then those most like it, to choose from.

    European woods stand first in a ``metric`` job.

    >>> nearest_species("oak"), nearest_species("blak wallnut", 1)
    (('White oak', 'Northern red oak', 'European oak', 'Black oak'), ('Black walnut',))
    >>> nearest_species("sycamore", 2, metric=True)
    ('Sycamore maple', 'American sycamore')
    """
    known = {_words(species.name): species.name for species in all_species()}
    wanted = set(_words(name).split())
    shared = {known[words]: len(wanted & set(words.split())) for words in known}
    european = {species.name for species in all_species() if species.origin == "Europe"} if metric else set()
    holding = sorted(
        (each for each in (*COMMON, *shared) if shared[each]),
        key=lambda each: (-shared[each], each not in european),
    )
    meant = _or_in_europe().get(_words(name))
    if metric and meant is not None:  # both woods that go by the name
        holding = [meant, _names()[_words(name)].name, *holding]
    close = [known[words] for words in difflib.get_close_matches(_words(name), known, n=count, cutoff=0.6)]
    return tuple(dict.fromkeys((*holding, *close, *COMMON)))[:count]


@cache
def source(key: str) -> str:
    """Return the full citation of a source key."""
    for row in rows("SOURCES"):
        if row["key"] == key:
            return ", ".join(part for part in (row["title"], row["edition"], row["place"]) if part)
    raise KeyError(key)


@cache
def surfaced_stock() -> dict[str, float]:
    """Return the NHLA standard surfaced (S2S) thickness of each stock [in]."""
    return {row["stock"]: float(row["surfaced_in"]) for row in rows("thickness")}


@cache
def usual_stocks() -> tuple[str, ...]:
    """Return the rough thicknesses usually sold, in quarters."""
    return ("4/4", "5/4", "6/4", "8/4", "10/4", "12/4", "16/4")


PREFERRED, QUARTERS = "preferred", "quarters"
"""The stocks that are assumed where nothing in the job tells of others, in a mm job and in an inch job."""


@cache
def metric_stocks(yard: str = PREFERRED) -> tuple[str, ...]:
    """Return the thicknesses of sawn hardwood that a yard in Europe sells; the preferred are of EN 1313-2."""
    return tuple(f"{row['stock_mm']} mm" for row in rows("metric_stock") if row["yard"] == yard)


@cache
def yards() -> dict[str, tuple[str, ...]]:
    """Return the stocks that yards sell, each of one standard or one country's custom."""
    names = dict.fromkeys(row["yard"] for row in rows("metric_stock"))
    return {QUARTERS: usual_stocks(), **{name: metric_stocks(name) for name in names}}


def yard_of(named: Iterable[str], metric: bool) -> str:
    """Return the yard that sells most of the stocks named; the usual one of the unit where none sells more.

    >>> yard_of(["26 mm", "52 mm"], True), yard_of(["27 mm"], True), yard_of([], False)
    ('Germany, Austria', 'preferred', 'quarters')
    """
    asked, usual = set(named), PREFERRED if metric else QUARTERS
    return max(yards(), key=lambda yard: (len(asked & set(yards()[yard])), yard == usual))


def nominal_of(stock: str) -> float:
    """Return the thickness by which a stock that yards sell is counted [in]."""
    if stock.endswith("mm"):
        return float(stock.removesuffix(" mm")) / 25.4
    return int(stock.removesuffix("/4")) / 4


@cache
def offered_metric_stocks() -> tuple[str, ...]:
    """Return all thicknesses of sawn hardwood that merchants in Europe offer, preferred and customary."""
    return tuple(sorted({stock for name in yards() for stock in metric_stocks(name)}, key=nominal_of))


@cache
def grade_waste() -> dict[str, float]:
    """Return the usual waste by grade, as a share of what is bought (common practice)."""
    return {
        row["grade"].casefold(): float(row["waste_share"]) for row in rows("grades") if row["waste_share"]
    }


@cache
def grades_without_waste() -> frozenset[str]:
    """Return the grades whose standard says nothing of how much can be used, as compared."""
    return frozenset(row["grade"].casefold() for row in rows("grades") if not row["waste_share"])


def offered_grades(metric: bool) -> tuple[str, ...]:
    """Return the grades of lumber, those of the maker's country first.

    >>> offered_grades(False)[0], offered_grades(True)[0]
    ('FAS', 'Q-B A')
    """
    return tuple(
        row["grade"] for row in sorted(rows("grades"), key=lambda row: (not row["waste_share"]) != metric)
    )


def offered_species(metric: bool) -> tuple[Species, ...]:
    """Return all species, those of the maker's country first.

    >>> offered_species(True)[0].origin, offered_species(False)[0].origin
    ('Europe', 'US')
    """
    return tuple(sorted(all_species(), key=lambda species: (species.origin != "Europe") == metric))


def offered_sizes(metric: bool) -> tuple[dict[str, str], ...]:
    """Return the sizes of mattresses, those of the maker's country first.

    >>> offered_sizes(True)[0]["name"], offered_sizes(False)[0]["name"]
    ('EU 80 x 200', 'US twin')
    """
    order = ("EU", "UK", "US") if metric else ("US", "UK", "EU")
    return tuple(sorted(rows("mattresses"), key=lambda row: order.index(row["market"])))


@cache
def piles() -> dict[tuple[float, float], tuple[float, float]]:
    """Return (longest blank [in], face [sq ft]) -> lumber enough in 5 and in 9 of 10 simulated piles [-]."""
    return {
        (float(row["longest_in"]), float(row["face_sqft"])): (float(row["half"]), float(row["nine_in_ten"]))
        for row in rows("piles")
    }
