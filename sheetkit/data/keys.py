"""Every table and key in which answers leave as plain data: the one declaration, for --json, frames() and the README.

The keys of an input tab come from columns.py; declared here is what the answers tell beyond it.
"""

from __future__ import annotations

from dataclasses import dataclass

from sheetkit.form.columns import TABLES, Column, Kind
from sheetkit.form.labels import JOB
from sheetkit.records.job import JobSheet
from sheetkit.records.units import QUANTITIES

FORM = 3
"""Number of the form. It rises when a key goes or means something else; new keys may come without."""

BARE = ("text", "count", "yes or no", "date")
"""What has no unit."""
UNITS = {name: (each.inch, each.mm) for name, each in QUANTITIES.items()}
"""Unit of each quantity in an inch job and in a mm job; volume, money, price and rate go by the tab Job as well."""
BY_JOB = ("volume", "money", "price", "rate")
FIXED = {
    "amount": "as unit says",
    "own_money": "as currency says",
    "percent": "%",
    "per_percent": "of 1 per % moisture",
    "gravity": "of water",
    "strength": "lbf/in2",
    "stiffness": "million lbf/in2",
    "pounds": "lbf",
}
"""Quantities with the same unit in every job."""


@dataclass(frozen=True, slots=True)
class Key:
    """One key of a table's rows."""

    name: str
    holds: str
    """Text, count, yes or no, date, or the quantity; of a list, what each of its items is."""
    meaning: str
    of: str = ""
    """Field of the answer that it tells, when that bears another name."""
    heading: str = ""
    """As it stands on the page; made from the name when empty."""
    many: bool = False
    """Whether it is a list."""

    @property
    def field(self) -> str:
        """The field of the answer that it tells."""
        return self.of or self.name

    @property
    def title(self) -> str:
        """The heading."""
        return self.heading or self.name.replace("_", " ").capitalize()


@dataclass(frozen=True, slots=True)
class Table:
    """A list of rows, all with the same keys."""

    name: str
    row_is: str
    keys: tuple[Key, ...]
    tab: str = ""
    """The input tab whose rows these are."""
    asked: frozenset[str] = frozenset()
    """Names of the keys that the maker fills in."""
    beside: frozenset[str] = frozenset()
    """Names of the keys that are filled in beside them."""


def _of_column(column: Column) -> Key:
    listed = column.kind in (
        Kind.TENONS,
        Kind.GAPS,
        Kind.NAMES,
        Kind.NUMBERS,
        Kind.SURFACES,
        Kind.PLACES,
    ) or column.name in ("alternatives", "bad_from", "bad_to")
    return Key(column.name, column.holds, column.help, heading=column.heading, many=listed)


_AREA = Key("glue_area", "glue_area", "Glued area of one joint.")
_WEIGHT = Key("weight", "weight", "All pieces together at today's moisture.")
_SMALL = Key(
    "small",
    "text",
    "What is done because the machines do not take it, or its plies or staves, as it is.",
    many=True,
)
MORE: dict[str, tuple[Key, ...]] = {
    "Parts": (_WEIGHT, _SMALL),
    "Panels": (
        Key("measured", "yes or no", "Whether it is sized from a measured opening; else it is provisional: do not cut."),
        Key("worked_out", "text", "How the sizes came about."),
        _WEIGHT,
        _SMALL,
    ),
    "Joints": (
        Key("count", "count", "How many there are, by their places where Qty is empty.", of="qty"),
        Key("run", "text", "The run on Spacing on whose members it is centered, where At names one.", of="at_run"),
        Key("tenons", "count", "Tenons or dowels in all; 0 for a groove.", of="pieces"),
        Key("spans", "length", "Where each mortise begins and ends along the part that takes it; from the shoulder when it has tenons.", many=True),
        Key("centres", "length", "Centers of dowels along that part.", of="centers", many=True),
        Key("grooves", "length", "Each groove along that part: start, stop, and where the cutter goes in and comes out.", many=True),
        Key("passes", "length", "Depths to set, pass by pass, for a hardware mortise.", many=True),
        _AREA,
    ),
    "Spacing": (
        Key("end_gap", "length", "Clear gap at the reference end."),
        Key("each_gap", "length", "Every gap in its order from the end, those at the ends too; none when the members do not fit.", of="gaps", many=True),
        Key("width", "length", "Width of each member."),
        Key("centres", "length", "Center of each member from the end.", of="centers", many=True),
        Key("sides", "length", "Near and far side of each member from the end.", many=True),
    ),
    "Shapes": (
        Key("offset", "length", "Of each tapered face at the small end."),
        Key("faces", "count", "Faces that are tapered; 0 for a curve."),
        Key("starts_at", "length", "Where the taper starts, from the large end."),
        Key("offsets", "length", "Each place along it, the offset there, and the other curve's: a bent strip's for an arc, an arc's for a strip.",
            of="stations", many=True),
        Key("departure", "length", "Largest difference between the arc and the bent strip."),
    ),
    "Loads": (
        Key("sag_later", "length", "Sag after some years, creep included; Sag allowed is for the sag when new."),
        Key("passes", "yes or no", "Whether sag and stress keep to what is allowed; advice, no certificate."),
        Key("least_thickness", "length", "Least thickness that would pass."),
        Key("longest_span", "length", "Longest span that would pass."),
    ),
    "Glue-ups": (
        Key("steps", "count", "Joints in each go; one when all fit, none when not even one joint does or none is given.", many=True),
        Key("joints_counted", "count", "Joints in all its goes, as typed or of the rows of Joints that are named.", of="joints"),
        Key("goes_taken", "count", "In how many goes it is glued.", of="goes"),
        Key("glued_part", "text", "The part or panel whose plies, staves or leaves it glues.", of="of"),
        Key("assembly_time", "minutes", "Minutes from the first glue to the last clamp that the adhesive allows."),
        Key("spread", "spread", "Least and most adhesive to spread.", many=True),
        Key("would_do", "text", "Other adhesives that leave time for all in one go.", many=True),
        Key("clamp_spacing", "length", "From clamp to clamp.", of="spacing"),
        Key("clamp_places", "length", "Place of each clamp from the end.", many=True),
        Key("alternate", "yes or no", "Whether clamps go above and below by turns."),
        Key("joined", "yes or no", "Whether two clamps are to be joined end to end."),
        Key("glued_area", "glue_area", "Area glued in all, as typed or worked out.", of="area"),
        Key("clamp_hours", "hours", "How long the clamps stay on."),
        Key("caution", "text", "What to take care of."),
    ),
    "Finish": (
        Key("goes_on", "text", "Parts and panels that it goes on.", of="names", many=True),
        Key("goes_on_before", "text", "Parts and panels that it goes on before the assembly.", of="early", many=True),
        Key("goes_on_after", "yes or no", "Whether it goes on anything after the assembly.", of="late"),
        Key("starts_before", "hours", "When each coat before the assembly starts, when some of it comes before and some after.", of="early_starts", many=True),
        Key("ready_before", "hours", "When those have dried.", of="early_ready"),
        Key("starts", "hours", "When each coat starts, from the opening of the first day; after the assembly, when any of it comes then.", many=True),
        Key("ready", "hours", "When the next step may begin, from the opening of the first day."),
        Key("first_day", "count", "Day of the first coat, counted from 1."),
        Key("ready_day", "count", "Day on which the next step may begin."),
        Key("cautions", "text", "What to take care of.", many=True),
    ),
    "Boards": (Key("listed", "text", "Where the board is listed: Boards, To buy, or the workbook of the rack; row is a row there."),),
    "Labor": (Key("rate_used", "rate", "Its own rate, else the hourly rate on Job.", of="rate"),),
}  # fmt: skip
"""What the answers to a tab's rows tell beyond its columns."""


def _table_of_tab(title: str) -> Table:
    tab = next(tab for tab in TABLES if tab.title == title)
    columns = tuple(_of_column(column) for column in (*tab.asked, *tab.answered))
    row = Key("row", "count", "Row on the tab.")
    return Table(
        tab.lasting or title.casefold().replace("-", "_"),
        tab.row_is,
        (row, *columns, *MORE.get(title, ())),
        title,
        frozenset(column.name for column in tab.asked),
        frozenset(column.name for column in tab.answered),
    )


OF_TABS = tuple(_table_of_tab(tab.title) for tab in TABLES if tab.answered)

_SPECIES, _STOCK = Key("species", "text", "The wood."), Key("stock", "text", "The stock, such as 8/4.")
_BOARD = Key("board", "text", "Mark of the board.")
_OF = Key("of", "text", "Part or panel that it is for.")

JOB_TABLE = Table(
    "job",
    "the job; there is one",
    (
        *(_of_column(label) for label in JOB if label.name in JobSheet.__dataclass_fields__),
        Key("collected", "yes or no", "Whether the client fetches the piece."),
        Key("step", "length", "Step to which blanks are rounded up and panels down."),
        Key(
            "climate_assumed",
            "yes or no",
            "Whether driest and wettest are assumed, as common practice has it.",
        ),
        Key("weight", "weight", "The whole piece at today's moisture, without hardware."),
    ),
)
ROUGH_SIZES = Table(
    "rough_sizes",
    "equal blanks to cut",
    (
        _OF,
        Key("tab", "text", "Parts or Panels."),
        Key("row", "count", "Row on that tab."),
        _SPECIES,
        _STOCK,
        Key("count", "count", "How many blanks."),
        Key("thickness", "length", "Least thickness of each."),
        Key("width", "length", "Width to rip to."),
        Key("length", "length", "Length to crosscut to."),
        Key("along", "count", "Pieces in one blank, end to end."),
        Key("across", "count", "Pieces in one blank, side by side."),
        Key("layers", "count", "Leaves that one blank yields by resawing."),
        Key("role", "text", "Piece, ply, stave or leaf."),
        Key("together", "text", "Label of what is kept together."),
        Key("how", "text", "How it is kept together."),
        Key("each", "count", "So many, those of one piece, are a group of their own; 0 when all with the label are one."),
        Key("provisional", "yes or no", "Whether the opening has not been measured: do not cut."),
        Key("glued_width", "length", "Width of the whole that these staves are glued to; 0 when they are not staves."),
        Key("per_glue_up", "count", "Plies, staves or leaves in one glue-up."),
        Key("wholes", "count", "Glue-ups that they make; 0 when nothing is glued."),
        Key("volume", "volume", "Wood in all of them."),
        Key("worked_out", "text", "How the sizes came about."),
    ),
)  # fmt: skip
LUMBER = Table(
    "lumber",
    "species and stock to buy",
    (
        _SPECIES,
        _STOCK,
        Key("blanks", "count", "Blanks cut from it."),
        Key("net", "volume", "Wood in the blanks."),
        Key("waste", "share", "Share of what is bought that is lost."),
        Key("own_waste", "yes or no", "Whether Prices states that waste itself."),
        Key("buy", "volume", "Wood to buy; what is in the boards when Board layout chose them."),
        Key("price", "price", "Price of the stock."),
        Key("cost", "money", "What it costs; none when unpriced."),
        Key(
            "least_width", "length", "Least width of board that the blanks need, edge to straighten included."
        ),
        Key("least_length", "length", "Least length of board, both ends to trim."),
        Key("boards", "text", "Boards that are cut.", many=True),
        Key("bought", "text", "Those of them that are at the yard, to be bought.", many=True),
        Key(
            "half_needed",
            "volume",
            "Wood that was enough in half of the simulated piles; none with boards in the rack.",
        ),
        Key("most_needed", "volume", "The same in nine of ten."),
        Key("price_row", "count", "Row on Prices that gives price and waste; 0 when none."),
    ),
)
LAYOUTS = Table(
    "layouts",
    "species and stock laid out on the boards in the rack",
    (
        _SPECIES,
        _STOCK,
        Key("boards", "text", "Boards to cut.", many=True),
        Key("unused", "text", "Boards to leave in the rack.", many=True),
        Key("complete", "yes or no", "Whether every blank found a place; to_buy tells the rest."),
        Key("volume", "volume", "Wood in the boards to cut.", of="board_feet"),
        Key("bought", "text", "Boards at the yard to buy.", many=True),
        Key(
            "cost",
            "money",
            "What those boards cost, with boards at the yard what is spent there; none when they are counted by volume.",
        ),
        Key(
            "least_cost",
            "money",
            "Proven: no layout of these pieces costs less. None when nothing is proven.",
        ),
        Key("least_volume", "volume", "The same when boards are counted by volume."),
        Key("gap", "share", "How far this may be above the least possible; none when nothing is proven."),
        Key("stopped", "text", "Why the search was broken off; empty when it was not."),
    ),
)
TO_BUY = Table(
    "to_buy",
    "equal boards that the blanks without a place need, or, with no boards in the rack, the wide, long and matched ones",
    (
        _SPECIES,
        _STOCK,
        Key("count", "count", "How many boards."),
        Key("width", "length", "Least width, edge to straighten included."),
        Key("length", "length", "Least length, ends to trim included."),
        Key("in_one", "length", "Length of one board that would do instead; 0 when none."),
        Key("how", "text", "How the blanks are kept together; empty when they are only wide or long."),
        Key("of", "text", "Parts and panels that they are for.", many=True),
    ),
)
PURCHASES = Table(
    "purchases",
    "species and stock of which lumber is missing, to take to the yard",
    (
        _SPECIES,
        _STOCK,
        Key("volume", "volume", "What is to be bought; nothing of what the rack holds."),
        Key("price", "price", "Price of the stock."),
        Key("cost", "money", "What it costs; none when unpriced."),
        Key("by_waste", "yes or no", "Whether no boards are listed, so that the volume allows for waste."),
        Key("wishes", "text", "Grain, figure and cut that are asked for, part by part.", many=True),
        Key("instead", "text", "What else would do, and what it costs.", many=True),
    ),
)
PIECES = Table(
    "pieces",
    "a blank or stave at its place on a board",
    (
        _SPECIES,
        _STOCK,
        _BOARD,
        _OF,
        Key("number", "count", "Number among the equal blanks, from 1."),
        Key("stave", "count", "Number of the stave in that blank, from 1; 0 for a blank in one width."),
        Key("x", "length", "Where it begins, from the end that is trimmed first."),
        Key("y", "length", "Where it begins, from the edge that is straightened first."),
        Key("length", "length", "Length along the board."),
        Key("width", "length", "Width across the board."),
        Key("section", "count", "Number of the section that it is cut from."),
        Key("strip", "count", "Number of the strip in that section."),
    ),
)
CUTS = Table(
    "cuts",
    "a cut, in the order of work",
    (
        _SPECIES,
        _STOCK,
        _BOARD,
        Key("number", "count", "Number of the cut on its board."),
        Key("kind", "text", "Crosscut or rip."),
        Key("purpose", "text", "What it does."),
        Key("at", "length", "From the end for a crosscut, for a rip from the board's edge as it was."),
        Key("size", "length", "Length or width that it makes; 0 for a trim."),
        Key("section", "count", "Number of the section; 0 when it cuts none."),
        Key("strip", "count", "Number of the strip; 0 when it cuts none."),
        _OF,
    ),
)
LEFT_OVERS = Table(
    "left_overs",
    "a left-over to keep",
    (
        _SPECIES,
        _STOCK,
        _BOARD,
        Key("x", "length", "Where it begins, from the end that is trimmed first."),
        Key("length", "length", "Its length."),
        Key("width", "length", "Its width, that of the board."),
        Key("clear", "length", "Its length free of the end to trim."),
    ),
)
TENON_STOCK = Table(
    "tenon_stock",
    "loose tenons or dowels of one section",
    (
        Key("thickness", "length", "Thickness, or diameter of a dowel."),
        Key("width", "length", "Width; as thickness for a dowel."),
        Key("round", "yes or no", "Whether they are dowels."),
        Key("count", "count", "How many in all."),
        Key("cuts", "count", "Saw cuts."),
        Key(
            "length",
            "length",
            "Length of stock, kerfs included, and no shorter than goes through the machines.",
        ),
        Key(
            "lengths",
            "length",
            "How many of each length, longest first: pairs of count and length.",
            many=True,
        ),
        Key(
            "edge_radius",
            "length",
            "Of the rounded edges of a loose tenon, as the cutter leaves the ends of its mortise.",
        ),
        Key(
            "source",
            "length",
            "What it can be milled from: species, stock, board, whether a left-over, strips and their rough width; null when nothing in the rack serves, and for dowels.",
        ),
        Key("joints", "text", "Joints that they are for.", many=True),
        _SMALL,
    ),
)
CAVITIES = Table(
    "cavities",
    "something cut in a part for a joint, or its tenon",
    (
        Key("joint", "text", "Name of the joint."),
        Key("what", "text", "Mortise, hole, groove, recess or tenon."),
        Key("part", "text", "The part."),
        Key("pieces", "count", "Those of its pieces that have it, from 1.", many=True),
        Key("surface", "text", "Face, back, edge, far edge, end or far end."),
        Key("assumed", "yes or no", "Whether the surface was taken, not told."),
        Key(
            "along",
            "length",
            "Where it begins and ends on the surface: from the reference end or shoulder, on an end from the edge.",
            many=True,
        ),
        Key(
            "across",
            "length",
            "Where it begins and ends from the edge, on an edge or end from the face.",
            many=True,
        ),
        Key("depth", "length", "From the surface; for a tenon its length."),
        Key(
            "box",
            "length",
            "From where to where along, across and through the part, from its reference end, edge and face.",
            many=True,
        ),
        Key(
            "runs",
            "length",
            "The uninterrupted pieces of a groove: start, stop, and where the cutter goes in and comes out.",
            many=True,
        ),
    ),
)
MARKS = Table(
    "marks",
    "a mark on a story stick",
    (
        Key("stick", "count", "Number of the stick, from 1."),
        Key("members", "text", "Members that share it.", of="names", many=True),
        Key("kind", "text", "Member, run, curve or taper."),
        Key("stick_length", "length", "Length of the stick.", of="length"),
        Key("surface", "text", "Surface of the member that it marks; empty for a run or shape."),
        Key("note", "text", "What to know of the stick."),
        Key("number", "count", "Number of the mark, from 1."),
        Key(
            "at",
            "length",
            "From the reference end (the shoulder of a member with tenons), to 1/64 in or 0.5 mm.",
        ),
        Key("exact", "length", "The same, not rounded."),
        Key("offset", "length", "How far the curve or taper stands off there, to 1/64 in or 0.5 mm."),
        Key("exact_offset", "length", "The same, not rounded."),
        Key("until", "length", "The other end of what begins here, not rounded."),
        Key(
            "across",
            "length",
            "Where it begins, or a dowel has its center, from the edge, on an edge or end from the face; null in the middle.",
        ),
        Key("joint", "yes or no", "Whether it is the edge of something cut away."),
        Key("what", "text", "What it is."),
    ),
)
ELEVATIONS = Table(
    "elevations",
    "a piece of a frame, or an opening in it, as it is seen from the front",
    (
        Key("frame", "count", "Number of the frame, from 1."),
        Key("frame_name", "text", "Its rails."),
        Key("frames", "count", "Frames alike.", of="count"),
        Key("frame_width", "length", "Width of the whole frame."),
        Key("frame_height", "length", "Height of the whole frame."),
        Key(
            "from_top",
            "yes or no",
            "Whether the reference end of its uprights is at the top; else at the bottom.",
        ),
        Key("lies", "yes or no", "Whether what takes the joints lies, its reference end at the left."),
        Key("number", "count", "Number of the piece in the drawing, from 1; pieces alike share theirs."),
        Key("what", "text", "Upright, rail, partition, panel, or opening that stays open."),
        Key("name", "text", "The part or panel; empty for an opening."),
        Key("left", "length", "From the left side of the frame to its left side."),
        Key("bottom", "length", "From the bottom of the frame to its lower side."),
        Key("width", "length", "Its width in the drawing."),
        Key("height", "length", "Its height in the drawing."),
        Key("grain", "text", "Up or across; empty for an opening."),
        Key("does_not_close", "text", "What of the frame does not close.", of="remarks", many=True),
    ),
)
SUPPLIES = Table(
    "supplies",
    "adhesive or finish that the job takes",
    (
        Key("name", "text", "Its kind."),
        Key("amount", "amount", "How much."),
        Key("unit", "text", "Unit of the amount."),
        Key("on_extras", "yes or no", "Whether Extras lists it, and its cost is there."),
        Key("price", "money", "Of a quart, or of a liter in a mm job; none when none is given."),
        Key("cost", "money", "What it costs; none without a price, or when Extras lists it."),
    ),
)
ESTIMATE = Table(
    "estimate",
    "the money of the job; there is one",
    (
        Key("lumber", "money", "Lumber."),
        Key("extras", "money", "Hardware and other bought things."),
        Key("glue_and_finish", "money", "Glue and finish that have a price beside them."),
        Key("labour", "money", "Labor.", of="labor"),
        Key("hours", "hours", "Hours of work."),
        Key("direct", "money", "Lumber, extras, glue and finish, and labor together."),
        Key("overhead", "money", "Overhead."),
        Key("cost", "money", "All that the job costs the shop."),
        Key("profit", "money", "Profit."),
        Key("markup", "share", "Profit as a share of the cost."),
        Key("margin", "share", "The same profit as a share of the price."),
        Key("price", "money", "Price before tax."),
        Key("delivery", "money", "Delivery."),
        Key("tax", "money", "Tax, on price and delivery."),
        Key("total", "money", "What the client pays."),
        Key("deposit", "money", "Deposit with the order."),
        Key("balance", "money", "Balance on delivery."),
        Key("unpriced", "text", "What is left out of every sum because it has no price.", many=True),
    ),
)
QUOTE = Table(
    "quote",
    "an amount of the quote, 0 where there is none",
    (
        Key("name", "text", "Price, delivery, tax, total, deposit or balance."),
        Key("amount", "money", "How much."),
        Key("share", "share", "Tax as a share of price and delivery, deposit of the total."),
    ),
)
ALTERNATIVES = Table(
    "alternatives",
    "a species that the job could be made of, its own first",
    (
        _SPECIES,
        Key("own", "yes or no", "Whether the job asks for it."),
        Key("replaces", "text", "Species in whose place it stands; none for its own."),
        Key(
            "by_boards",
            "yes or no",
            "Whether boards of it are listed and laid out; else its lumber is counted by waste.",
        ),
        Key("hardness", "hardness", "Side hardness at 12 % moisture."),
        Key("weight", "weight", "The whole piece."),
        Key(
            "bearing",
            "length",
            "Least that a panel of this species stands in its groove at the driest; none without such panels.",
        ),
        Key("buy", "volume", "Lumber to buy, or held by the boards that are cut."),
        Key("lumber", "money", "What the lumber costs; none when some has no price."),
        Key("price", "money", "Price before tax."),
        Key("tax", "money", "Tax on it and on delivery."),
        Key("total", "money", "What the client would pay, delivery included."),
        Key("unpriced", "text", "Lumber without a price.", many=True),
        Key("hindrance", "text", "Why the job cannot be made of it; empty when it can."),
    ),
)
PROBLEMS = Table(
    "problems",
    "something to put right or to know",
    (
        Key("code", "text", "Lasting name of the message, or of the refusal."),
        Key("weight", "text", "Error (nothing is calculated), warning (worth a look) or note."),
        Key("tab", "text", "Tab that is meant; empty for the file."),
        Key("cell", "text", "Cell that is meant; empty for the whole tab."),
        Key("row", "count", "Its row; 0 for the whole tab."),
        Key("column", "count", "Its column; 0 for the whole tab."),
        Key("stands", "text", "What stands there."),
        Key("says", "text", "What is amiss, or expected."),
        Key("instead", "text", "What to write instead."),
    ),
)
TABLES_OF_RUN = (
    JOB_TABLE, *OF_TABS, ROUGH_SIZES, LUMBER, PURCHASES, LAYOUTS, TO_BUY, PIECES, CUTS, LEFT_OVERS, TENON_STOCK, CAVITIES, MARKS, ELEVATIONS,
    SUPPLIES, ESTIMATE, QUOTE, ALTERNATIVES,
)  # fmt: skip
"""What a run answers, beside the problems."""

_FILE = Key("file", "text", "Where it stands, from the folder.")
TABLES_OF_REVIEW = (
    Table(
        "jobs",
        "a past job",
        (
            _FILE,
            Key("job", "text", "Name of the job."),
            Key("date", "text", "Its date; empty when Job gives none."),
            Key("currency", "text", "Sign or letters before an amount."),
            Key("complete", "yes or no", "Whether everything in it has a price."),
            Key("net", "volume", "Lumber in the blanks."),
            Key("estimated_lumber", "volume", "Lumber to buy by the waste on Prices."),
            Key("estimated_of_cut", "volume", "The same, of the stocks whose boards were all on Boards."),
            Key("cut", "volume", "Lumber that was really bought, or in the boards that were cut."),
            Key("yield", "share", "What became blanks of the boards that were cut."),
            Key("hours", "hours", "Hours estimated."),
            Key(
                "estimated_of_recorded",
                "hours",
                "Hours estimated of the operations whose hours were recorded.",
            ),
            Key("actual_hours", "hours", "Hours that these took."),
            Key("price", "own_money", "Price before tax."),
            Key("profit", "own_money", "Profit as estimated."),
            Key("actual_profit", "own_money", "Profit left."),
            Key("actual_margin", "share", "Profit left as a share of the price."),
        ),
    ),
    Table(
        "species",
        "a species",
        (
            _SPECIES,
            Key("jobs", "count", "Jobs with it of which the boards cut are known."),
            Key("net", "volume", "Lumber in their blanks."),
            Key("estimated", "volume", "Lumber to buy as estimated."),
            Key("cut", "volume", "Boards that were cut."),
            Key("least_waste", "share", "Waste of the job that wasted least."),
            Key("most_waste", "share", "Waste of the job that wasted most."),
            Key("yield", "share", "What became blanks of the boards that were cut."),
            Key("waste", "share", "Waste that the record supports."),
            Key("estimated_waste", "share", "Waste as estimated."),
        ),
    ),
    Table(
        "operations",
        "an operation whose hours were recorded",
        (
            Key("counted_by", "text", "What is counted."),
            Key("operation", "text", "Name of the operation."),
            Key("jobs", "count", "Jobs that record it."),
            Key("count", "count", "How many were counted."),
            Key("estimated_hours", "hours", "Hours estimated."),
            Key("actual_hours", "hours", "Hours that it took."),
            Key("estimated_minutes", "minutes", "Minutes for one, estimated."),
            Key("actual_minutes", "minutes", "Minutes that one took."),
            Key("least_minutes", "minutes", "Of the job in which one took least."),
            Key("most_minutes", "minutes", "Of the job in which one took most."),
        ),
    ),
    Table("skipped", "a file that was passed over", (_FILE, Key("why", "text", "Why."))),
)
"""What review answers, with the columns of its frames."""

_SOURCE, _VERIFIED = "Key of the source; sources gives it in full.", "How the figure was checked."
SPECIES = Table(
    "species",
    "a species of wood",
    (
        Key("id", "text", "Lasting name."),
        Key("name", "text", "Name."),
        Key("botanical", "text", "Botanical name."),
        Key("group", "text", "Hardwood or softwood."),
        Key("origin", "text", "Where it grows."),
        Key("shrink_radial", "percent", "Radial shrinkage from green to ovendry, of the green size."),
        Key("shrink_tangential", "percent", "Tangential shrinkage."),
        Key("shrink_volumetric", "percent", "Shrinkage of the volume."),
        Key("shrink_start", "percent", "Moisture at which shrinkage starts."),
        Key("shrink_start_verified", "text", _VERIFIED),
        Key("shrink_source", "text", _SOURCE),
        Key("shrink_verified", "text", _VERIFIED),
        Key("coef_radial", "per_percent", "Radial change of size with moisture, as printed."),
        Key("coef_tangential", "per_percent", "Tangential change."),
        Key("coef_row", "text", "Row of the source that the change was taken from."),
        Key("coef_source", "text", _SOURCE),
        Key("coef_verified", "text", _VERIFIED),
        Key("gravity_green", "gravity", "Specific gravity, ovendry weight on green volume."),
        Key("gravity_12", "gravity", "Specific gravity, ovendry weight on volume at 12 % moisture."),
        Key("gravity_12_basis", "text", "Whether the table gives it, or how it was worked out."),
        Key("rupture_psi", "strength", "Modulus of rupture at 12 % moisture."),
        Key("elasticity_mpsi", "stiffness", "Modulus of elasticity at 12 % moisture."),
        Key("hardness_lbf", "pounds", "Side hardness at 12 % moisture."),
        Key("strength_source", "text", _SOURCE),
        Key("strength_verified", "text", _VERIFIED),
        Key("elasticity_source", "text", _SOURCE),
        Key("elasticity_verified", "text", _VERIFIED),
        Key("botanical_verified", "text", _VERIFIED),
        Key("note", "text", "What else to know."),
    ),
)
"""What is published of a species, in the columns of the table."""
CLIMATE = Table(
    "climate",
    "a season",
    (
        Key("season", "text", "Driest or wettest."),
        Key("temperature", "temperature", "Of the indoor air; none when no climate was given."),
        Key("humidity", "percent", "Relative humidity of the air; none when no climate was given."),
        Key("moisture", "moisture", "Moisture that wood comes to in it."),
    ),
)
_EQUATION = (
    "Equation of the Wood Handbook, FPL-GTR-190 (2010), ch. 13, that gives it; empty when nothing is known."
)
MOVEMENT = Table(
    "movement",
    "a species and a width of panel",
    (
        _SPECIES,
        Key("width", "amount", "Width of the panel at the driest."),
        Key("unit", "text", "Unit of the sizes: in or mm."),
        Key(
            "flat",
            "amount",
            "How much wider it is at the wettest when flat-sawn, not rounded; none when not known.",
        ),
        Key("flat_equation", "text", _EQUATION),
        Key("quarter", "amount", "The same when quarter-sawn. For either cut take the larger."),
        Key("quarter_equation", "text", _EQUATION),
    ),
)
"""How panels move in a climate."""
