"""Board layout: which board yields which piece, how to cut it, what is least possible, and what to buy.

Pure: numbers in, numbers out. numpy and highspy load only when a layout is worked out.

The task. ``task.py`` turns the job into whole ticks (1/64 in or 0.1 mm, ``ticks.py``: pieces up, boards down,
so that what fits in ticks fits in wood). Equal blanks become one kind; blanks side by side or end to end
become one composite; a board becomes a bin of clear lengths between its trims and bad spots. Pieces and clear
lengths both grow by one kerf, and then "the sum of sizes is within the space" says exactly "one kerf between
neighbors".

Columns. A column is one way to cut one board in three steps: crosscut into sections, rip a section into
strips, crosscut a strip into blanks (whole boards ripped first are the case of one section). With a price on
every kind of blank, the best column of a board is found by three nested knapsacks (``knapsacks.py``, after
Gilmore and Gomory 1965): F the best strip of each width and length, G the best section from strips, H the
best board from sections. One set of tables serves all boards, since a board is one entry of H. Free staves
are priced by the net width that they add.

The bound. Prices give a true statement whatever they are: board b can yield at most its value v_b, so the v_b
of the boards touched add up to what all that is wanted is worth. ``bound.py`` gathers such statements by
column generation (a linear program asks for better prices, the knapsacks for better columns), then takes the
cheapest set of whole boards that keeps them all, a small 0/1 program: whole boards, because a bound that buys
a quarter of a board says little on a small job. If that set turns out not to hold the job, the proof of it is
a new statement, and so on (``refute``). The knapsacks of the bound run on a grid where pieces are rounded
down and boards up, and what is hard to price (groups from one board, limits of a single glue-up, wood beside
a bad spot) is let go: each can only lower the bound. So the gap that is shown is never too small: "within x %
of the least" holds for every layout by sections, strips and pieces.

The search. ``fill.py`` and ``prospect.py`` cut one board greedily by the tables at given prices;
``rebuild.py`` takes boards until nothing is wanted, choosing them by what each is worth for its cost.
``search.py`` begins with a few layouts from nothing, then frees three to six boards, the emptiest for
preference, and lays out again what they held, keeping the result when it is not worse, or hardly worse, than
the best since the last start; after 200 rounds in vain it starts elsewhere. The prices lie between area and
the bound's own, and vary. From effort 3 on, ``assembly.py`` also puts columns found so far together anew by a
0/1 program. Few boards that are cheaper and might hold all are looked at by themselves (``targets.py``):
``tight.py`` takes prices from a linear program over sections that lose little (``strip_list.py``,
``section_list.py``), and fills the boards by a program in whole numbers over those near these prices, or
proves that they do not hold all. Ties go to nothing too long to rip loose, to fewer rip settings, then to
longer left-overs; boards are crosscut first where that costs nothing (``handling.py``). ``realize.py`` turns
columns into places and cuts in inches; ``shortage.py`` and ``buy.py`` decide what to give up and what to buy.

Chance and time. What varies (prices, which boards are freed, when to start again) is drawn from one
``random.Random`` of seed 1 that the search owns; the solver runs on one thread with a fixed seed. Effort is
counted as work in the tables and programs, never by the clock, so the same job gives the same layout on every
machine. The clock stops a search only when it takes sixty times as long as planned, and the layout then says
so.
"""

from .buy import USUAL_LENGTHS, USUAL_WIDTHS, missing_pieces, to_buy
from .laying import lay_out
from .model import (
    END_TO_END,
    SAME_BOARD,
    SIDE_BY_SIDE,
    BadSpot,
    Board,
    BoardLaid,
    Cut,
    GlueUp,
    Layout,
    LeftOver,
    Missing,
    Piece,
    Placed,
    Saw,
    Section,
    Staves,
    Strip,
    ToBuy,
)

__all__ = [
    "END_TO_END",
    "SAME_BOARD",
    "SIDE_BY_SIDE",
    "USUAL_LENGTHS",
    "USUAL_WIDTHS",
    "BadSpot",
    "Board",
    "BoardLaid",
    "Cut",
    "GlueUp",
    "Layout",
    "LeftOver",
    "Missing",
    "Piece",
    "Placed",
    "Saw",
    "Section",
    "Staves",
    "Strip",
    "ToBuy",
    "lay_out",
    "missing_pieces",
    "to_buy",
]
