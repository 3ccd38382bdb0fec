"""What each input tab asks: the one declaration of every column, and of every labeled setting.

From it come the template's headings, drop-downs, cell formats and help, the reader's heading
match, the wording of messages, and the column tables in the README.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, replace
from enum import StrEnum

from sheetkit.tables import other_names
from sheetkit.units import Unit, either


class Kind(StrEnum):
    """What a cell of a column holds."""

    TEXT = "text"
    WHOLE = "whole number"
    NUMBER = "number"
    LENGTH = "length"
    SHARE = "percent"
    MONEY = "money"
    CHOICE = "one of a list"
    SPECIES = "species"
    STOCK = "stock"
    TEMPERATURE = "temperature"
    DATE = "date"
    STEP = "rounding step"
    TENONS = "tenon lengths"
    NAMES = "names"
    NUMBERS = "numbers of pieces"
    SURFACES = "surfaces"
    PLACES = "places"
    GAPS = "list of gaps"
    VOLUME = "volume of wood"


HOLDS = {
    Kind.WHOLE: "count", Kind.LENGTH: "length", Kind.STEP: "length", Kind.TENONS: "length", Kind.PLACES: "length",
    Kind.GAPS: "length", Kind.NUMBERS: "count", Kind.SHARE: "share",
    Kind.MONEY: "money", Kind.VOLUME: "volume", Kind.DATE: "date", Kind.TEMPERATURE: "temperature",
}  # fmt: skip
"""What a column of each kind holds; text where none is named, and in a column of numbers what the column says."""


@dataclass(frozen=True, slots=True)
class Column:
    """One column of a table, or one labeled value."""

    name: str
    """Field of the record in model.py."""
    heading: str
    kind: Kind
    help: str
    required: bool = False
    default: str = ""
    """As a person would write it; what an empty cell means."""
    example: str = ""
    synonyms: tuple[str, ...] = ()
    choices: tuple[str, ...] = ()
    least: float | None = 0.0
    """Smallest value allowed, None for any."""
    zero: bool = True
    """Whether the smallest value itself is allowed."""
    wide: float = 11.0
    """Width on the page in characters."""
    metric: str = ""
    """The default in a mm job, where it is another."""
    help_mm: str = ""
    """The help in a mm job, where it is another."""
    quantity: str = ""
    """What a number is, where its kind does not tell."""
    unlisted: tuple[str, ...] = ()
    """Choices that are understood when typed, but not offered."""
    only: Unit | None = None
    """The unit of the jobs whose template asks it; all when none."""
    names: str = ""
    """Title of the tab whose names a drop-down offers; another text may be typed, where several are named too."""
    seldom: bool = False
    """Whether the template folds it away until something stands in it."""

    @property
    def holds(self) -> str:
        """Text, count, date, or the quantity of its numbers."""
        return self.quantity or HOLDS.get(self.kind, "text")

    @property
    def choices_listed(self) -> str:
        """The choices one after another; with ; between where a comma belongs to one."""
        return ("; " if any("," in choice for choice in self.choices) else ", ").join(self.choices)

    def help_in(self, unit: Unit) -> str:
        """Return the help in the words of a unit."""
        return either(unit, self.help, self.help_mm or self.help)

    def default_in(self, unit: Unit) -> str:
        """Return what an empty cell means in a job of this unit."""
        return either(unit, self.default, self.metric or self.default)


@dataclass(frozen=True, slots=True)
class Tab:
    """One input tab: what the maker types, then what is filled in beside it."""

    title: str
    row_is: str
    help: tuple[str, ...]
    asked: tuple[Column, ...]
    answered: tuple[Column, ...] = ()
    help_mm: tuple[str, ...] = ()
    """The help in a mm job, where it is another."""
    lasting: str = ""
    """What the marks in a workbook and the JSON call it, where its title has changed."""

    def help_in(self, unit: Unit) -> tuple[str, ...]:
        """Return the help in the words of a unit."""
        return either(unit, self.help, self.help_mm or self.help)

    @property
    def key_column(self) -> Column:
        """The first required column: where its heading stands is the heading row."""
        return next(column for column in self.asked if column.required)


def heading_key(text: str) -> str:
    """Return a heading as it is compared: case, spaces, hyphens and closing marks do not count.

    >>> heading_key("Board  feet "), heading_key("Keep-together:")
    ('boardfeet', 'keeptogether')
    """
    return re.sub(r"[\s\-_.:*?()]+", "", text.casefold())


def headings_of(column: Column) -> Iterator[str]:
    """Yield all headings by which a column is known, as compared."""
    yield heading_key(column.heading)
    for synonym in (*column.synonyms, *other_names("heading").get(column.heading, ())):
        yield heading_key(synonym)


def title_keys(title: str) -> tuple[str, ...]:
    """Return all titles by which a tab is known, its own first, as compared."""
    return tuple(each.casefold() for each in (title, *other_names("tab").get(title, ())))


NAME = 27.0
"""Width of a column of names: one of 30 letters stands in it on one line."""


def _length(
    name: str,
    heading: str,
    help: str,
    *,
    required: bool = False,
    default: str = "",
    example: str = "",
    synonyms: tuple[str, ...] = (),
    least: float | None = 0.0,
    zero: bool = False,
    wide: float = 10.0,
    help_mm: str = "",
    seldom: bool = False,
) -> Column:
    return Column(name, heading, Kind.LENGTH, help, required, default, example, synonyms, (), least, zero, wide,
                  help_mm=help_mm, seldom=seldom)  # fmt: skip


def _text(name: str, heading: str, help: str, *, required: bool = False, example: str = "",
          synonyms: tuple[str, ...] = (), wide: float = NAME, names: str = "", default: str = "",
          seldom: bool = False) -> Column:  # fmt: skip
    return Column(name, heading, Kind.TEXT, help, required, default, example, synonyms, wide=wide, names=names,
                  seldom=seldom)  # fmt: skip


def _choice(name: str, heading: str, help: str, choices: tuple[str, ...], *, default: str = "",
            required: bool = False, synonyms: tuple[str, ...] = (), wide: float = 12.0,
            unlisted: tuple[str, ...] = (), seldom: bool = False) -> Column:  # fmt: skip
    return Column(name, heading, Kind.CHOICE, help, required, default, choices[0], synonyms, choices, wide=wide,
                  unlisted=unlisted, seldom=seldom)  # fmt: skip


def _qty(help: str = "How many are wanted.", *, required: bool = False) -> Column:
    return Column("qty", "Qty", Kind.WHOLE, help, required, "1", "4",
                  ("Quantity", "Pcs", "Pieces", "No.", "Number", "Count", "How many"), zero=False, wide=5)  # fmt: skip


def _species(required: bool = True, default: str = "") -> Column:
    return Column("species", "Species", Kind.SPECIES, "The wood, by a name on the Lists tab.", required, default,
                  "White oak", ("Wood", "Timber", "Lumber", "Material"), wide=16)  # fmt: skip


def _stock(
    help: str = "Stock to use, such as 8/4; empty: the thinnest that will do.",
    help_mm: str = "Stock to use, such as 41 mm; empty: the thinnest that will do.",
    required: bool = False,
    seldom: bool = False,
) -> Column:
    return Column(
        "stock", "Stock", Kind.STOCK, help, required, "", "8/4", wide=9, help_mm=help_mm, seldom=seldom
    )


def _matching(what: str, of_one: str) -> tuple[Column, Column]:
    return (
        _text(
            "together",
            "Keep together",
            f"A label shared by the {what} that must match in grain and color; each piece: the {of_one} of every "
            "single piece beside one another.",
            example="front",
            synonyms=("Match", "Group"),
            wide=10,
            seldom=True,
        ),
        _choice(
            "how",
            "How",
            f"How the {what} with that label lie in the wood.",
            ("same board", "side by side", "end to end"),
            default="same board",
            wide=13,
            seldom=True,
        ),
    )


def _used(what: str) -> Column:
    """Ask for the glue or finish that was really used."""
    return Column("used", "Really used", Kind.NUMBER, f"Quarts of {what} really used in this step, for looking back.", quantity="finish", wide=9,
                  seldom=True, help_mm=f"Liters of {what} really used in this step, for looking back.")  # fmt: skip


def _price(what: str) -> Column:
    """Ask for the price of glue or finish."""
    return Column("price", "Price", Kind.MONEY, f"Price of a quart of {what}; in one row of each kind will do.", example="24", wide=8,
                  help_mm=f"Price of a liter of {what}; in one row of each kind will do.")  # fmt: skip


_NOTE = _text(
    "note",
    "Note",
    "The shop's own words; never on the client's copy.",
    synonyms=("Notes", "Comment"),
    wide=20,
)
_SELDOM_NOTE = replace(_NOTE, seldom=True)
_REMARKS = _text("remarks", "Remarks", "What to know or watch for.", wide=80)
_CUT = _choice("cut", "Cut", "How the board is sawn: flat, quarter, or either (then the larger movement counts).",
               ("either", "flat", "quarter"), default="either", synonyms=("Sawn", "Grain cut"), wide=9, unlisted=("rift",))  # fmt: skip
METRIC_VOLUME = "Volume m3"
"""Heading of the wood's volume in the mm template; what stands below it is in cubic meters."""
_BOARD_FEET = Column("volume", "Board feet", Kind.VOLUME, "Wood in the blanks, before waste.", wide=10,
                     synonyms=(METRIC_VOLUME, "Bd ft", "Bf"))  # fmt: skip
_FROM_STOCK = _text("from_stock", "From stock", "The stock that the blanks come from.", wide=16)

FITTED_WHEN = ("before assembly", "after assembly", "after finish", "at delivery")

PARTS = Tab(
    "Parts",
    "a part",
    (
        "One row for each different part. Thickness, width and length are the finished sizes; length goes from shoulder to shoulder.",
        "Write sizes as you say them: 3 1/4, 3-1/4\", 6' 8\", 82.5 mm or 3.25. The gray columns are filled in by sheetkit.",
    ),
    (
        _text("part", "Part", "Name of the part, as it is called at the bench.", required=True, example="Leg",
              synonyms=("Name", "Component", "Piece", "Part name", "Description")),
        _qty(),
        _species(),
        _length("thickness", "Thickness", "Finished thickness.", required=True, example="3/4", synonyms=("Thk", "T", "Thick")),
        _length("width", "Width", "Finished width, across the grain.", required=True, example="2 1/4", wide=8, synonyms=("W", "Wd")),
        _length("length", "Length", "Finished length along the grain, from shoulder to shoulder.", required=True, example="29",
                wide=9, synonyms=("L", "Len", "Long")),
        Column("tenons", "Tenons", Kind.TENONS,
               "Length of the tenon at each end: 1 adds twice 1. For one end only write 1 + 0; for unlike ends 1 + 1/2.",
               default="none", example="1", synonyms=("Tenon", "Tenon length"), wide=9, help_mm='Length of the tenon at each end: 25 adds twice 25. For one end only write 25 + 0; for unlike ends 25 + 12.'),
        _choice("made_as", "Made as", "One piece, plies glued face to face, or staves glued edge to edge.",
                ("solid", "face-glued", "edge-glued"), default="solid", synonyms=("Make", "Construction", "Made")),
        _CUT,
        Column("plies", "Plies", Kind.WHOLE, "How many plies (face-glued) or staves (edge-glued); empty: as few as will do.",
               example="2", synonyms=("Staves", "Layers"), zero=False, wide=7, seldom=True),
        *_matching("parts", "plies or staves"),
        _stock(seldom=True),
        _length("rise", "Rise", "Rise of a curve cut into an edge; the blank is that much wider.", example="1/2", zero=True,
                synonyms=("Curve", "Bow"), wide=8, seldom=True),
        _length("round_over", "Round-over", "Radius at the edges; for the shop sheet.", example="1/8", zero=True,
                synonyms=("Radius", "Roundover", "Edge radius"), wide=12, seldom=True),
        _choice("when", "When", "When it is put in, as a peg after the assembly; empty: by its joints, else after the finish.",
                FITTED_WHEN, wide=17, seldom=True),
        _SELDOM_NOTE,
    ),
    (
        _length("blank_thickness", "Blank thickness", "Least thickness of the rough stock for one blank."),
        _length("blank_width", "Blank width", "Width to rip the blank to.", wide=9),
        _length("blank_length", "Blank length", "Length to crosscut the blank to.", wide=9),
        Column("blanks", "Blanks", Kind.WHOLE, "How many blanks to cut.", wide=7),
        _FROM_STOCK,
        _BOARD_FEET,
        _text("worked_out", "Worked out", "How the blank's sizes came about.", wide=60),
        _REMARKS,
    ), help_mm=('One row for each different part. Thickness, width and length are the finished sizes; length goes from shoulder to shoulder.', 'Write sizes in mm, as 82.5, 82,5 or 1250; in another unit with its name, as 8 cm or 3 1/4 in. The gray columns are filled in by sheetkit.'),
)  # fmt: skip

PANELS = Tab(
    "Panels",
    "a frame opening",
    (
        "One row for each frame opening. Fill Measured width and height from the dry-assembled frame: until then the panel is provisional.",
        "Opening sizes are between the inside edges of the frame, without the grooves.",
    ),
    (
        _text("panel", "Panel", "Name of the panel.", required=True, example="Door panel", synonyms=("Name", "Panel name")),
        _qty(),
        _species(),
        _length("opening_width", "Opening width", "Planned width between the stiles; empty: by Run or Rails.", example="14 1/4", wide=9),
        _length("opening_height", "Opening height", "Planned height between the rails; empty: by Rails.", example="20", wide=9),
        _length("measured_width", "Measured width", "Width measured in the dry assembly.", example="14 1/4"),
        _length("measured_height", "Measured height", "Height measured in the dry assembly.", example="20"),
        _length("groove_sides", "Groove depth sides", "Depth of the groove in the stiles.", required=True, example="1/2",
                wide=8, synonyms=("Groove depth", "Groove sides")),
        _length("thickness", "Thickness", "Finished thickness of the panel.", required=True, example="1/4",
                synonyms=("Thk", "T", "Thick")),
        _choice("grain", "Grain", "Direction of the grain: up (along the height) or across.", ("up", "across"), default="up", wide=9),
        _CUT,
        _choice("made_as", "Made as", "Glued from staves, from resawn leaves, or from leaves opened like a book.",
                ("edge-glued", "resawn", "bookmatched"), default="edge-glued", synonyms=("Make", "Construction"), wide=14, seldom=True),
        _text("run", "Run", "The run on Spacing in whose gap it stands: gives Opening width.", example="Muntins", wide=14, names="Spacing", seldom=True),
        _text("rails", "Rails", "The two rails above and below it, with ; between: where they enter the same leg or stile on Joints gives Opening height, "
              "and without a Run their length gives Opening width.", example="Top rail; Low rail", wide=18, names="Parts", seldom=True),
        _length("groove_ends", "Groove depth ends", "Depth of the groove in the rails.", default="as the sides", example="1/2",
                synonyms=("Groove ends",), wide=8, seldom=True),
        _length("groove_width", "Groove width", "Width of the groove.", example="1/4", wide=8, seldom=True),
        Column("leaves", "Leaves", Kind.WHOLE, "How many leaves or staves in one panel; empty: as few as will do.", example="2",
               synonyms=("Staves",), zero=False, wide=8, seldom=True),
        *_matching("parts and panels", "staves or leaves"),
        _stock(seldom=True),
        _SELDOM_NOTE,
    ),
    (
        _length("width", "Panel width", "Width to cut today, at today's moisture.", wide=9),
        _length("height", "Panel height", "Height to cut today.", wide=9),
        _length("gap", "Gap each side", "Room to leave between panel edge and groove bottom today.", wide=8),
        _length("bearing", "In groove at driest", "How far the panel still stands in the groove at the driest.",
                synonyms=("Bearing at driest",)),
        _length("clearance", "Clearance at wettest", "Room left at the groove bottom at the wettest."),
        _length("leaf_width", "Leaf width", "Width to rip each stave or leaf to.", wide=9),
        _length("leaf_length", "Leaf length", "Length to crosscut each stave or leaf to.", wide=9),
        _FROM_STOCK,
        _BOARD_FEET,
        _REMARKS,
    ),
)  # fmt: skip

JOINT_KINDS = ("tenon", "loose tenon", "dowel", "groove", "stopped groove", "hardware")

SURFACES = ("face", "back", "edge", "far edge", "end", "far end")
"""The six sides of a part: all is marked from its face and its edge, and along it from its (reference) end."""

JOINTS = Tab(
    "Joints",
    "a kind of joint",
    (
        "One row for each kind of joint. Into is the part that is mortised, bored or grooved; From is the part that enters it. Several things in one cell: with ; between them.",
        "Thickness and width are those of the tenon, the dowel's diameter (as thickness), or the groove's width (as thickness).",
    ),
    (
        _text("joint", "Joint", "Name of the joint.", required=True, example="Rail to leg", synonyms=("Name", "Joint name")),
        Column("qty", "Qty", Kind.WHOLE, "How many such joints in the whole piece; may stay empty where On, Pieces and At tell.", example="4",
               synonyms=("Quantity", "Pcs", "No.", "Number", "Count", "How many"), zero=False, wide=5),
        _choice("kind", "Kind", "What kind of joint it is.", JOINT_KINDS, required=True),
        Column("into", "Into", Kind.NAMES, "Part that takes the mortise or groove; several with ;.", example="Leg", wide=14, names="Parts"),
        Column("on", "On", Kind.SURFACES, "Side of that part: face, back (opposite), edge, far edge, end or far end (end grain); several with ;.",
               example="face; edge", choices=SURFACES, synonyms=("Surface", "Side"), wide=9),
        Column("pieces", "Pieces", Kind.NUMBERS, "Which of its pieces have it, as 1-2 or 3; 4. Empty: all, or as many as Qty tells.", example="1-2",
               synonyms=("Which pieces",), wide=9, seldom=True),
        _text("from_part", "From", "Part that enters it.", example="Rail", wide=14, names="Parts"),
        _length("thickness", "Thickness", "Thickness of the tenon, diameter of the dowel, width of the groove.", default="of a groove as Panels tells, of a dado as Spacing or Parts",
                example="3/8", synonyms=("Thk", "T", "Diameter")),
        _length("width", "Width", "Width of the tenon; length of a hardware mortise (a round hole: its diameter again) or a groove that stops. Empty: of dowels as on Parts, of a recess for members of a run as on Spacing.", example="2", synonyms=("W",), wide=9),
        _length("depth_into", "Depth into", "Depth of the mortise or groove.", default="for a panel as on Panels, for a tenon as on Parts and room for glue", example="1 1/4", wide=7),
        _length("depth_from", "Depth from", "Depth in the other part (loose tenon, dowel).", example="1 1/4", wide=7),
        Column("at", "At", Kind.PLACES, "Where it begins, from the reference end of the part that takes it (from the shoulder when it has tenons; "
               "on an end: from the edge); several with ;, or the name of a run on Spacing: centered on each of its members.", example="3/4",
               synonyms=("Distance", "From end"), wide=10, names="Spacing"),
        _length("across", "Across", "Where it begins from the edge (on an edge or end: from the face). Empty: in the middle.", example="1/2", zero=True, wide=8, seldom=True),
        _choice("lies", "Lies", "Along the part, or across it (a dado, the dowels of a partition).", ("along", "across"), default="along", wide=9, seldom=True),
        _SELDOM_NOTE,
    ),
    (
        _length("tenon_length", "Tenon length", "Length of one tenon or dowel.", wide=7),
        _length("stock_length", "Stock length", "Length of tenon stock to mill for all of them, kerfs included.", wide=9),
        _length("wall", "Wall left", "Least wood left beside or behind the mortise.", wide=8),
        _REMARKS,
    ),
)  # fmt: skip

SPACING = Tab(
    "Spacing",
    "a run of equal members",
    (
        "One row for each run of members. Name their part in Member: its width and Qty are taken from Parts. Or give Member width, and Members or the Largest gap.",
        "Gaps are equal unless Gaps lists them. A panel that names the run on Panels takes its opening from the gap; a joint that names it in At stands on every member.",
    ),
    (
        _text("run", "Run", "Name of the run.", required=True, example="Seat slats", synonyms=("Name",)),
        _length("between", "Between", "Clear distance that the run fills.", required=True, example="36"),
        Column("members", "Members", Kind.WHOLE, "How many members; empty: by Largest gap, by Gaps, else Qty of the part in Member.", example="5", zero=False,
               wide=9),
        _length("largest_gap", "Largest gap", "Largest gap allowed, when the number is free.", example="3", zero=False),
        _length("member_width", "Member width", "Width of one member; empty: that of the part in Member. For members that stand on edge write their thickness.",
                example="3/4"),
        _text("member", "Member", "The part that the members are.", example="Slat", wide=22, names="Parts"),
        _length("first_at", "First at", "Where the near side of the first member stands; empty: one gap from the end; 0: flush with the end.",
                example="0", zero=True),
        Column("gaps", "Gaps", Kind.GAPS,
               "For unlike gaps: each one in order from the end, with ; between; rest shares what is left: 6; rest; 8.", example="6; rest; 8",
               wide=16, help_mm="For unlike gaps: each one in order from the end, with ; between; rest shares what is left: 150; rest; 200."),
        _SELDOM_NOTE,
    ),
    (
        Column("members_used", "Members used", Kind.WHOLE, "How many members stand in the run.", wide=9),
        _length("gap", "Gap", "Clear gap between neighbors."),
        _REMARKS,
    ),
)  # fmt: skip

SHAPES = Tab(
    "Shapes",
    "a curve or taper",
    ("One row for each curve or taper. For an arc give its chord as Length and its Rise; for a taper the length tapered, and the small end.",),
    (
        _text("shape", "Shape", "Name of the shape.", required=True, example="Apron curve", synonyms=("Name",)),
        _choice("kind", "Kind", "An arc, the curve of a bent strip, or a taper on one or two faces.",
                ("arc", "bent strip", "taper", "taper two faces"), required=True, wide=16),
        _length("length", "Length", "Chord of the curve, or the whole length of the tapered member.", required=True, example="40",
                synonyms=("Chord", "L")),
        _length("rise", "Rise", "Rise of the curve; for a taper the size at the large end.", example="1"),
        _length("small_end", "Small end", "Size at the small end of the taper.", example="1", zero=True),
        _length("start", "Start", "Where the taper starts, from the large end.", example="6", zero=True),
        Column("stations", "Stations", Kind.WHOLE, "Number of equal steps along the length at which offsets are wanted.", example="8",
               default="8", zero=False, wide=9),
        _text("part", "Part", "Part that is shaped; then its joints are looked at too.", example="Leg", wide=22, names="Parts"),
        _SELDOM_NOTE,
    ),
    (
        _length("radius", "Radius", "Radius of the arc."),
        Column("angle", "Angle", Kind.NUMBER, "Angle of the taper in degrees, for a wedge or a sled.", wide=9, quantity='angle'),
        _REMARKS,
    ),
)  # fmt: skip

OF_PART = "as on Parts"

LOADS = Tab(
    "Loads",
    "a member that carries",
    (
        "One row for each member whose sag is to be looked at. This is advice from beam theory, no certificate.",
        "Load is the whole load in pounds (kilograms in a mm job) on all the members that share it.",
    ),
    (
        _text("member", "Member", "Name of the member, or of the part.", required=True, example="Shelf", synonyms=("Name",), names="Parts"),
        _species(False, OF_PART),
        _length("thickness", "Thickness", "Size in the direction of the load.", default=OF_PART, example="3/4", synonyms=("Thk", "T")),
        _length("width", "Width", "Size across the load.", default=OF_PART, wide=8, example="11 1/4", synonyms=("W",)),
        _length("span", "Span", "Clear distance between supports.", default="the length on Parts", example="36", wide=9),
        Column("load", "Load", Kind.NUMBER, "Whole load in lb (kg in a mm job).", True, "", "60", zero=False, help_mm='Whole load in kg.', quantity='weight'),
        _choice("bears_as", "Held as", "How it is held and how the load lies.",
                ("resting, spread", "resting, center", "fixed, spread", "fixed, center", "cantilever, spread", "cantilever, end"),
                default="resting, spread", synonyms=("Bears as",), wide=18),
        Column("shared_by", "Shared by", Kind.WHOLE, "How many members share the load.", default="1", example="1", zero=False, wide=9),
        _SELDOM_NOTE,
    ),
    (
        _length("sag", "Sag", "Sag when new, to hold beside Sag allowed; Remarks tell the sag after some years, creep included."),
        _length("sag_allowed", "Sag allowed", "Sag when new that the shop allows for this span."),
        Column("stress", "Stress", Kind.NUMBER, "Bending stress as a share of the wood's strength (MOR).", wide=9, quantity='share'),
        _REMARKS,
    ), help_mm=('One row for each member whose sag is to be looked at. This is advice from beam theory, no certificate.', 'Load is the whole load in kilograms on all the members that share it.'),
)  # fmt: skip

ADHESIVES = ("PVA", "hot hide glue", "liquid hide glue", "slow epoxy", "urea-formaldehyde")

GLUED = ("blanks", "panels", "assembly")

GLUE_UPS = Tab(
    "Glue-ups",
    "a gluing session",
    ("One row for each kind of glue-up; Goes says how often glue is spread and clamps go on. Give the joints, or the area glued.",),
    (
        _text("step", "Step", "Name of the step.", required=True, example="End frames", synonyms=("Name", "Glue-up")),
        _choice("glues", "Glues", "What is glued. Empty: the assembly when Joints is given, else what Step names.", GLUED, wide=11),
        _text("joints", "Joints", "How many joints are glued in this step; or which, by their names on Joints with ; between.", example="8", wide=18, names="Joints"),
        Column("goes", "Goes", Kind.WHOLE, "In how many goes: times that glue is spread and clamps go on. Empty: one, or as many as the adhesive's time asks for.",
               example="2", synonyms=("Sessions",), zero=False, wide=6),
        Column("adhesive", "Adhesive", Kind.CHOICE, "Kind of adhesive.", False, "PVA", "PVA", choices=ADHESIVES, wide=18),
        _price("the adhesive"),
        Column("minutes", "Minutes a joint", Kind.NUMBER, "Minutes to spread and close one joint.", default="1", example="1", zero=False, quantity='minutes', wide=9),
        _length("across", "Across clamps", "Size of the assembly in the direction of the clamps.", example="18", wide=9,
                synonyms=("Size across the clamps",)),
        _length("along", "Along", "Length along which the clamps stand.", example="36", wide=9),
        Column("area", "Glue area", Kind.NUMBER, "Area glued in square inches (cm2 in a mm job), when known.", example="48", help_mm='Area glued in cm2, when known.', quantity='glue_area', wide=9, seldom=True),
        _used("glue"),
        _SELDOM_NOTE,
    ),
    (
        Column("minutes_needed", "Minutes needed", Kind.NUMBER, "Joints times Minutes a joint in one go: from the first glue to the last clamp.", quantity='minutes', wide=9),
        Column("open_time", "Open time", Kind.NUMBER, "Minutes that the adhesive allows.", quantity='minutes', wide=8),
        Column("clamps", "Clamps", Kind.WHOLE, "How many clamps for one go.", wide=8),
        _length("clamp_length", "Clamp length", "Least opening of the clamps.", wide=9),
        Column("adhesive_needed", "Adhesive needed", Kind.NUMBER, "Amount in fluid ounces (ml in a mm job), waste included.", help_mm='Amount in ml, waste included.', quantity='adhesive'),
        _REMARKS,
    ),
)  # fmt: skip

PRODUCTS = (
    "shellac",
    "brushing varnish",
    "wiping varnish",
    "penetrating oil",
    "hardwax oil",
    "water-borne clear",
)

FINISH = Tab(
    "Finish",
    "a coat or step",
    ("One row for each product or step, in order. Parts names what it goes on: part or panel names with commas between, or all.",),
    (
        _text("step", "Step", "Name of the step.", required=True, example="Oil, two coats", synonyms=("Name",)),
        _choice("when", "When", "Before or after the assembly; empty: panels before, all else after.",
                ("before assembly", "after assembly"), wide=16),
        Column("product", "Product", Kind.CHOICE, "Kind of product; empty for a step that uses none, such as sanding.", False, "", "hardwax oil",
               choices=PRODUCTS, wide=18),
        Column("coats", "Coats", Kind.WHOLE, "How many coats.", default="1", example="2", zero=False, wide=7),
        _price("the product"),
        Column("hours", "Hours to next", Kind.NUMBER, "Hours before the next coat or step.", example="12", quantity='hours', wide=9),
        _text("grit", "Grit", "Grit to sand with before this step.", example="180", wide=8),
        _text("parts", "Parts", "On which parts or panels; all when empty.", example="all", wide=22, names="Parts"),
        Column("coverage", "Coverage", Kind.NUMBER, "Square feet a gallon (m2 a liter in a mm job) from the label.", example="400", zero=False, help_mm='Square meters a liter from the label.', quantity='coverage', seldom=True),
        _used("the product"),
        _SELDOM_NOTE,
    ),
    (
        Column("surface", "Surface", Kind.NUMBER, "Surface in square feet (m2 in a mm job).", help_mm='Surface in m2.', quantity='surface'),
        Column("needed", "Needed", Kind.NUMBER, "Amount to have, in quarts (liters in a mm job), waste included.", help_mm='Amount to have, in liters, waste included.', quantity='finish'),
        _REMARKS,
    ),
)  # fmt: skip

BOARDS = Tab(
    "Boards",
    "a board in the rack or at the yard",
    ("One row for each board in the rack, or seen at the yard. Leave the tab empty for an estimate by waste.",
     "Bad from and Bad to mark a length that cannot be used, from the end that is trimmed first. For a second one write the board again."),
    (
        _text("board", "Board", "Mark or number on the board.", required=True, example="A1", synonyms=("Name", "Mark"), wide=10),
        _species(),
        _stock(help="Stock of the board, such as 8/4.", required=True, help_mm='Stock of the board, such as 41 mm.'),
        _length("width", "Width", "Width of usable wood.", required=True, example="7 1/2", synonyms=("W",), wide=9),
        _length("length", "Length", "Length of the board.", required=True, example="98", synonyms=("L", "Len"), wide=9),
        _length("bad_from", "Bad from", "Where a bad length begins; its whole width counts as bad.", zero=True, wide=9),
        _length("bad_to", "Bad to", "Where it ends.", wide=9),
        _choice("where", "Where", "rack: yours. yard: seen there; the cheapest that serve are bought. cut: by this job.", ("rack", "yard", "cut"), default="rack", wide=9),
        Column("price", "Price", Kind.MONEY, "Price of the whole board, when it has one of its own.", wide=10),
        _SELDOM_NOTE,
    ),
    (
        Column("volume", "Board feet", Kind.VOLUME, "Wood in the board.", wide=10, synonyms=(METRIC_VOLUME, "Bd ft", "Bf")),
        _text("used", "Used", "Whether the layout cuts this board, or what to do with one at the yard.", wide=13),
        _text("left_over", "Left over", "What remains of it, as width x length.", wide=22),
    ),
)  # fmt: skip

PRICES = Tab(
    "Prices",
    "a species in one stock",
    (
        "One row for each species and stock that can be had. Price is for a board foot; for a cubic meter when Board measure on Job is m3.",
        "Measures is what the rough board really measures; when empty it goes by Stock measures as on Allowances. Waste is a share of what is bought.",
    ),
    (
        _species(),
        _stock(help="Stock, such as 4/4 or 8/4, or a thickness such as 27 mm.", required=True, help_mm='Stock, such as 27 mm or 41 mm.'),
        _length("measures", "Measures", "Thickness that the stock really measures.", example="15/16", synonyms=("Actual thickness",)),
        Column("price", "Price", Kind.MONEY, "Price of a board foot, or of a cubic meter.", example="9.50", synonyms=("Cost", "Price per bf"), help_mm='Price of a cubic meter.'),
        Column("waste", "Waste", Kind.SHARE, "Share of what is bought that is lost, as 20 or 20 %.", default="by grade, else 20 %",
               example="20 %", wide=8),
        _text("grade", "Grade", "Grade bought, by the rules of the trade: NHLA, or EN 975-1 and EN 1611-1.", example="FAS", wide=14),
        Column("bought", "Really bought", Kind.NUMBER, "Board feet of it that were really bought for this job, for looking back (m3 when Board measure says so).",
               example="42", quantity="volume", help_mm="m3 of it that were really bought for this job, for looking back."),
        _NOTE,
    ), help_mm=('One row for each species and stock that can be had. Price is for a cubic meter; for a board foot when Board measure on Job says so.', 'Measures is what the rough board really measures; when empty it goes by Stock measures as on Allowances. Waste is a share of what is bought.'),
)  # fmt: skip

EXTRAS = Tab(
    "Extras",
    "something bought besides lumber",
    ("One row for each thing that is bought for the job besides lumber.",),
    (
        _text("item", "Item", "What is bought.", required=True, example="Hinges", synonyms=("Name", "Hardware"), wide=26),
        Column("qty", "Qty", Kind.NUMBER, "How many.", False, "1", "2", ("Quantity", "Pcs", "No.", "Number"), wide=7, quantity='count'),
        Column("unit_price", "Unit price", Kind.MONEY, "Price of one.", example="4.80", synonyms=("Price", "Each")),
        _text("fit_to", "Fit to", "What it is fitted to: parts as named on Parts with commas between, or your own words.", example="Seat", synonyms=("For",), wide=22, names="Parts"),
        _choice("when", "When", "When it is fitted, or at delivery for what goes along loose. Empty: after the finish.", FITTED_WHEN, wide=17),
        Column("used", "Really used", Kind.NUMBER, "How many were really used, for looking back.", quantity="count"),
        _NOTE,
    ),
    (Column("cost", "Cost", Kind.MONEY, "Quantity times price."),),
)  # fmt: skip

COUNTED = ("job", "part", "blank", "joint", "groove", "recess", "panel", "surface")

LABOR = Tab(
    "Labor",
    "an operation",
    ("One row for each operation. Counted by says what the minutes are multiplied with; sheetkit counts it from the job itself.",),
    (
        _text("operation", "Operation", "Name of the operation.", required=True, example="Mill blanks", synonyms=("Name", "Task"), wide=26),
        _choice("counted_by", "Counted by", "What is counted. A joint is one of tenons, loose tenons or dowels; a groove is counted with those of its kind, a recess is one for hardware.", COUNTED, default="job"),
        Column("minutes", "Minutes each", Kind.NUMBER, "Minutes for one (for surface: for each square foot, or m2 in a mm job).", True, "", "6", help_mm='Minutes for one (for surface: for each m2).', quantity='minutes'),
        Column("rate", "Rate", Kind.MONEY, "Rate an hour; empty: the hourly rate on Job.", default="hourly rate on Job", quantity='rate'),
        Column("actual_hours", "Actual hours", Kind.NUMBER, "Hours that it really took, for looking back.", synonyms=("Hours taken",), quantity='hours'),
        _NOTE,
    ),
    (
        Column("count", "Count", Kind.NUMBER, "How many were counted.", wide=8, quantity='count'),
        Column("hours", "Hours", Kind.NUMBER, "Hours that result.", wide=8, quantity='hours'),
        Column("cost", "Cost", Kind.MONEY, "Hours times rate."),
    ),
    lasting="labour",
)  # fmt: skip

BOUGHT = Tab(
    "To buy",
    "a board that was bought",
    ("One row for each board that was bought; the next run reads it as a board of the rack.",),
    (
        _text("board", "Mark", "Mark on the board; empty: sheetkit gives one.", example="B1", synonyms=("Board",), wide=10),
        _species(),
        _stock(help="Stock of the board, such as 8/4.", required=True, help_mm='Stock of the board, such as 41 mm.'),
        _length("width", "Width", "Width of usable wood.", required=True, example="7 1/2", synonyms=("W",)),
        _length("length", "Length", "Length of the board.", required=True, example="98", synonyms=("L", "Len")),
        Column("price", "Price", Kind.MONEY, "What was paid for the whole board."),
        _NOTE,
        _choice("where", "Where", "cut once this job has cut it; empty: rack.", ("rack", "cut"), default="rack", wide=9),
    ),
)  # fmt: skip
"""The table on the result tab To buy that the maker fills in."""

TABLES = (PARTS, PANELS, JOINTS, SPACING, SHAPES, LOADS, GLUE_UPS, FINISH, BOARDS, PRICES, EXTRAS, LABOR)
"""The input tabs that are tables, in the order in which the work needs them."""
