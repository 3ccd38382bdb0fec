"""The labeled values that are asked on Job and on Allowances, declared once like the columns."""

from __future__ import annotations

from sheetkit.form.columns import Column, Kind
from sheetkit.units import Unit


def _label(
    name: str,
    heading: str,
    kind: Kind,
    help: str,
    *,
    default: str = "",
    example: str = "",
    synonyms: tuple[str, ...] = (),
    choices: tuple[str, ...] = (),
    required: bool = False,
    least: float | None = 0.0,
    zero: bool = True,
    metric: str = "",
    help_mm: str = "",
    quantity: str = "",
    only: Unit | None = None,
) -> Column:
    return Column(name, heading, kind, help, required, default, example, synonyms, choices, least, zero,
                  metric=metric, help_mm=help_mm, quantity=quantity, only=only)  # fmt: skip


JOB_TITLE = "Job"
JOB_HELP = (
    "Write each value beside its label. Where a value is missing, the default named on the right is used.",
    "Inside width, Inside length and Support height are live: your own part sizes may use the names "
    "inside_width, inside_length and support_height in formulas.",
)
JOB = (
    _label("job", "Job", Kind.TEXT, "Name of the job.", required=True, example="Entry bench", synonyms=("Job name",)),
    _label("number", "Job number", Kind.TEXT, "The shop's own number.", example="2026-14", synonyms=("Number",)),
    _label("client", "Client", Kind.TEXT, "For whom it is made.", example="A. Client", synonyms=("Customer",)),
    _label("piece", "Piece", Kind.TEXT, "What is made, in the words of the quote.", example="Bench with drawers"),
    _label("outside_size", "Outside size", Kind.TEXT, "The whole piece as the client knows it, on the quote: width x depth x height.", example="48 x 18 x 19",
           synonyms=("Overall size",)),
    _label("prepared_by", "Prepared by", Kind.TEXT, "Name of the maker or the shop, as it stands on the quote."),
    _label("date", "Date", Kind.DATE, "Date of the job; it stands on the quote.", example="2026-11-02"),
    _label("unit", "Units", Kind.CHOICE, "Unit of every length without one of its own.", default="inch",
           choices=("inch", "mm"), synonyms=("Unit",)),
    _label("round_to", "Round to", Kind.STEP, "Step to which results are rounded: blanks up, panels down.",
           default="1/32, or 0.5 mm in a mm job", choices=("1/16", "1/32", "1/64", "0.5 mm", "1 mm"), synonyms=("Rounding",), metric='0.5 mm'),
    _label("measure", "Board measure", Kind.CHOICE, "How lumber is counted: exact board feet, the whole-foot tally of NHLA (boards of the rack), or m3.",
           default="exact, or m3 in a mm job", choices=("exact", "NHLA tally", "m3"), metric='m3'),
    _label("decimal_sign", "Decimal sign", Kind.CHOICE, "How the answers' words set off decimals; empty: as the file's language has it (.ods), else a point.", choices=("point", "comma")),
    _label("moisture_now", "Wood moisture now", Kind.NUMBER, "Reading of the meter in percent; used before the shop's climate.",
           example="7", synonyms=("Moisture now", "Meter reading"), quantity='moisture'),
    _label("shop_temperature", "Shop temperature", Kind.TEMPERATURE, "Where the wood lies now, in °F (°C in a mm job).",
           default="70 °F", example="68", least=None, help_mm='Where the wood lies now, in °C.', metric='21 °C'),
    _label("shop_humidity", "Shop humidity", Kind.NUMBER, "Relative humidity in the shop in percent.", example="45", quantity='percent'),
    _label("moisture_driest", "Driest wood moisture", Kind.NUMBER, "Driest the piece will get, percent; used before humidity.",
           default="6, common practice for heated homes", example="6", synonyms=("Driest moisture",), quantity='moisture'),
    _label("moisture_wettest", "Wettest wood moisture", Kind.NUMBER, "Wettest the piece will get, percent; used before humidity.",
           default="11, common practice without cooling", example="11", synonyms=("Wettest moisture",), quantity='moisture'),
    _label("humidity_driest", "Driest humidity", Kind.NUMBER, "Lowest relative humidity where the piece will live.", example="30", quantity='percent'),
    _label("humidity_wettest", "Wettest humidity", Kind.NUMBER, "Highest relative humidity there.", example="60", quantity='percent'),
    _label("indoor_temperature", "Indoor temperature", Kind.TEMPERATURE, "Temperature there, in °F (°C in a mm job).",
           default="70 °F", example="70", least=None, help_mm='Temperature there, in °C.', metric='21 °C'),
    _label("hourly_rate", "Hourly rate", Kind.MONEY, "Rate for an hour of work.", example="48", quantity='rate'),
    _label("overhead", "Overhead", Kind.SHARE, "Shop costs, as a share of lumber, extras, supplies and labor together.",
           default="0", example="15 %"),
    _label("profit", "Profit", Kind.SHARE, "Profit, as a share.", default="0", example="20 %"),
    _label("profit_as", "Profit as", Kind.CHOICE, "Whether that share is of the cost (markup) or of the price (margin).",
           default="markup", choices=("markup", "margin")),
    _label("tax", "Tax", Kind.SHARE, "Tax on the price, as a share.", default="0", example="7 %"),
    _label("delivery", "Delivery", Kind.MONEY, "Price of delivery, taxed like the piece; 0 when it is included, or the word collected.", example="60"),
    _label("deposit", "Deposit", Kind.SHARE, "Share of the whole price due with the order.", default="0", example="50 %"),
    _label("ready_weeks", "Ready in weeks", Kind.WHOLE, "How many weeks after the order it is ready; it stands on the quote.", example="8"),
    _label("valid_days", "Valid for days", Kind.WHOLE, "How many days the quote is good for.", default="30", example="30"),
    _label("currency", "Currency", Kind.TEXT, "Sign or letters before an amount, as € or $: none is assumed.", example="$"),
    _label("alternatives", "Alternatives", Kind.TEXT, "Other species to compare, with commas between.", example="White ash, Hard maple"),
    _label("offer_alternatives", "Offer alternatives", Kind.CHOICE, "Whether the quote offers the same piece in those other species, each with its price.", default="no",
           choices=("yes", "no")),
    _label("rack", "Rack", Kind.TEXT, "Path of the shop's workbook of boards, from this one; sheetkit rack makes it.",
           example="rack.xlsx"),
    # what it must fit
    _label("fits", "Fits", Kind.TEXT, "What it must fit: a size from the Lists tab, or own size.", default="own size",
           example="own size", synonyms=("Mattress",)),
    _label("own_width", "Own width", Kind.LENGTH, "Width of what it must fit; used before the list.", example="18"),
    _label("own_length", "Own length", Kind.LENGTH, "Length of what it must fit; used before the list.", example="46"),
    _label("own_thickness", "Own thickness", Kind.LENGTH, "Thickness of the cushion or mattress.", example="3"),
    _label("clearance_side", "Clearance each side", Kind.LENGTH, "Room to leave at each side.", example="1/4", least=None),
    _label("clearance_end", "Clearance each end", Kind.LENGTH, "Room to leave at each end.", example="1/4", least=None),
    _label("top_height", "Top height", Kind.LENGTH, "Height wanted of the top, from the floor.", example="19"),
    _label("support_thickness", "Support thickness", Kind.LENGTH, "Thickness of the slats or board that lie on the support.",
           example="3/4"),
    _label("inside_width", "Inside width", Kind.LENGTH, "Live: width plus both side clearances."),
    _label("inside_length", "Inside length", Kind.LENGTH, "Live: length plus both end clearances."),
    _label("support_height", "Support height", Kind.LENGTH, "Live: top height less own thickness and support thickness."),
)  # fmt: skip
FIT_TITLE = "What it must fit"
"""Above the labels of what a piece must fit, which most pieces do without."""
FIRST_OF_FIT = "fits"
"""The label below that line."""
COLLECTED = "collected"
"""Written in Delivery when the client fetches the piece."""
LIVE = ("inside_width", "inside_length", "support_height")
"""Labels whose value is a formula of the template, not typed."""

RACK_TITLE = "Rack"
RACK_HELP = (
    "The boards of the shop stand on the tab Boards. Each job names this workbook in Rack on its tab Job.",
    "sheetkit cut takes out the boards that a job has cut, and puts its left-overs in.",
)
RACK = tuple(each for each in JOB if each.name == "unit")
"""What the workbook of the rack asks besides its boards."""

ALLOWANCES_TITLE = "Allowances"
ALLOWANCES_HELP = (
    "What the machines take. Each size class is for parts up to its finished length, tenons included; the last row is for all beyond.",
    "All values are common practice and yours to change. An empty cell means the value of a new workbook.",
)
BEYOND = "beyond"
"""Written in place of a length, in the class for the longest parts."""
CLASS_COLUMNS = (
    Column(
        "up_to",
        "Up to length",
        Kind.LENGTH,
        "Finished length up to which the row is used; beyond for the last.",
        required=True,
    ),
    Column("thickness", "Thickness", Kind.LENGTH, "Extra thickness of the blank.", required=True),
    Column("width", "Width", Kind.LENGTH, "Extra width of the blank.", required=True),
    Column("length", "Length", Kind.LENGTH, "Extra length of the blank.", required=True),
)
CLASSES_INCH = (
    ("24", "1/8", "1/4", "1"),
    ("48", "3/16", "1/4", "1"),
    ("72", "3/16", "3/8", "1"),
    (BEYOND, "3/8", "3/8", "1"),
)
CLASSES_MM = (
    ("600", "3", "6", "25"),
    ("1200", "5", "6", "25"),
    ("1800", "5", "10", "25"),
    (BEYOND, "10", "10", "25"),
)
"""Defaults of the template, common practice; the mm ones are the shop's round figures."""

ALLOWANCES = (
    _label("measures_as", "Stock measures as", Kind.CHOICE,
           "What rough stock measures when Prices does not say: kiln-dried is 1/16 in scant up to 1-3/4 in and 1/8 from 2 in (NHLA).",
           default="kiln-dried", choices=("kiln-dried", "nominal", "surfaced"), help_mm='What rough stock measures when Prices does not say: kiln-dried is thinner by 0.25 % for each percent drier than 20 (common practice).'),
    _label("rip_kerf", "Rip kerf", Kind.LENGTH, "Width of the rip saw's cut.", default="1/8", metric="3"),
    _label("crosscut_kerf", "Crosscut kerf", Kind.LENGTH, "Width of the crosscut saw's cut.", default="1/8", metric="3"),
    _label("resaw_kerf", "Resaw kerf", Kind.LENGTH, "Width of the band saw's cut.", default="1/16", metric="1.5"),
    _label("shortest", "Shortest through machines", Kind.LENGTH, "Shorter parts are milled several in one blank, then cut.",
           default="12", metric="300", zero=False),
    _label("thinnest", "Thinnest through machines", Kind.LENGTH, "Thinner parts are planed on a carrier board.", default="1/4", metric="6"),
    _label("narrowest", "Narrowest through machines", Kind.LENGTH, "Narrower parts are milled side by side in one blank.", default="1", metric="25"),
    _label("widest_stave", "Widest stave", Kind.LENGTH, "Widest stave in a glued-up panel.", default="6", metric="150", zero=False),
    _label("narrowest_stave", "Narrowest stave", Kind.LENGTH, "Narrowest stave; anything less is a sliver.", default="2", metric="50"),
    _label("edge_joint", "Edge joint", Kind.LENGTH, "Extra width for each jointed edge of a stave.", default="1/8", metric="3"),
    _label("panel_trim", "Panel trim", Kind.LENGTH, "Extra width of a whole glued-up panel.", default="1/2", metric="12"),
    _label("panel_length", "Panel length extra", Kind.LENGTH, "Extra length of the staves of a glued-up panel.", default="2", metric="50"),
    _label("rough_step", "Rough step", Kind.LENGTH, "Step of a tape: rough widths and lengths go up to it; thickness keeps the job's step.", default="1/8", metric="2", zero=False),
    _label("ply_clean_up", "Ply clean-up", Kind.LENGTH, "Extra thickness of a face-glued part, to clean up after gluing.", default="1/8", metric="3"),
    _label("ply_width", "Ply width extra", Kind.LENGTH, "Extra width of a face-glued part, trimmed after gluing.", default="1/4", metric="6"),
    _label("resaw_clean_up", "Resaw clean-up", Kind.LENGTH, "Planed off both faces of a resawn leaf together.", default="1/8", metric="3"),
    _label("end_trim", "End trim", Kind.LENGTH, "Lost at each end of a board to checks.", default="1", metric="25"),
    _label("edge_trim", "Edge straightening", Kind.LENGTH, "Lost along one edge of a board, to make it straight.",
           default="1/4", metric="6"),
    _label("least_bearing", "Least in groove", Kind.LENGTH, "Least a panel stands in its groove at the driest, each side.", default="3/16", metric="5",
           synonyms=("Least bearing",)),
    _label("least_clearance", "Least clearance", Kind.LENGTH, "Least room at the groove bottom at the wettest, each side.", default="1/32", metric="1"),
    _label("clamp_spacing", "Clamp spacing", Kind.LENGTH, "Distance from clamp to clamp.", default="8", metric="200", zero=False),
    _label("longest_clamp", "Longest clamp", Kind.LENGTH, "Opening of the longest clamp in the shop.", default="50", metric="1250", zero=False),
    _label("clamp_jaws", "Clamp jaws", Kind.LENGTH, "Room for jaws and pads beyond the size of the work.", default="4", metric="100"),
    _label("glue_gap", "Glue gap", Kind.LENGTH, "Room for glue at the bottom of each mortise or hole: a tenon has one, a loose tenon or dowel two.", default="1/16", metric="1.5"),
    _label("cutter_radius", "Cutter radius", Kind.LENGTH, "Radius of the grooving cutter, for stopped grooves.", default="1", metric="25"),
    _label("creep_factor", "Creep factor", Kind.NUMBER, "Sag after years, as a multiple of the first sag.", default="2"),
    _label("sag_allowed", "Sag allowed", Kind.LENGTH, "Sag allowed for each foot of span, when new.", default="0.02", metric="0.5",
           help_mm="Of an older workbook, for each 305 mm of span.", only="in"),
    _label("sag_per_meter", "Sag allowed a meter", Kind.LENGTH, "Sag allowed for each meter of span, when new.", metric="1.6",
           only="mm"),
    _label("first_cut", "First cut of a board", Kind.CHOICE, "Crosscut boards into sections and rip those, or rip whole boards first.",
           default="crosscut", choices=("crosscut", "rip")),
    _label("least_offcut", "Shortest offcut kept", Kind.LENGTH, "A left-over at least this long goes back to the rack.",
           default="18", metric="450", zero=False),
    _label("longest_rip", "Longest to rip", Kind.LENGTH,
           "The longest piece that one person rips loose; where it costs no more wood, longer ones are crosscut first.",
           default="96", metric="2400", zero=False),
)  # fmt: skip

INPUT_GROUPS = {
    "What is made": ("Job", "Parts", "Panels"),
    "At the bench": ("Joints", "Spacing", "Shapes", "Loads", "Glue-ups", "Finish"),
    "Wood and money": ("Boards", "Prices", "Extras", "Labor"),
    "Of the shop": ("Allowances", "Quote words"),
}
"""The input tabs as the template has them: the order of their use, then what the shop seldom changes."""
INPUT_ORDER = tuple(title for titles in INPUT_GROUPS.values() for title in titles)
LISTS_TITLE = "Lists"
