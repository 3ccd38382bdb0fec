"""Every message that a person can see about a workbook, with its code; the wording stands here and nowhere else."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Literal

from sheetkit.page import cell_name
from sheetkit.records.problems_bench import BENCH_MESSAGES

Weight = Literal["error", "warning", "note"]
"""An error stops the calculation; a warning is worth a look before cutting; a note explains."""


KINDS: dict[Weight, str] = {"error": "to put right", "warning": "worth a look", "note": "to know"}
"""What each weight is called, the gravest first."""
PROBLEM_HEADINGS = ("Kind", "Where", "What stands there", "What it says", "What to do")
"""Above a table of messages, on the tab and on the terminal."""
LONGEST_STANDS, LONGEST_MESSAGE = 300, 3_000
"""Characters of a cell, and of a message with names in it, that are repeated."""


@dataclass(frozen=True, slots=True)
class Message:
    """The wording of one kind of problem. Braces are filled in where it arises."""

    weight: Weight
    says: str
    instead: str


@dataclass(frozen=True, slots=True)
class Problem:
    """One thing to put right or to know: where it stands, what stands there, what to write instead."""

    code: str
    tab: str
    row: int = 0
    column: int = 0
    stands: str = ""
    says: str = ""
    instead: str = ""
    weight: Weight = "error"

    @property
    def cell(self) -> str:
        """The cell's name, empty when the whole tab is meant."""
        return cell_name(self.row, self.column) if self.row and self.column else ""

    @property
    def place(self) -> str:
        """Tab and cell, as a person writes them."""
        return f"{self.tab}!{self.cell}" if self.cell else self.tab


MESSAGES: dict[str, Message] = {
    # the workbook
    "tab-missing": Message("error", "There is no tab {tab}.", "Add it with: sheetkit adopt, or rename the tab that is meant."),
    "heading-missing": Message("error", "The tab has no heading {heading}, so no row can be read.",
                               "Write {heading} above the column that is meant."),
    "column-missing": Message("error", "The required column {heading} is missing.", "Add a column headed {heading}."),
    "heading-double": Message("error", "Two columns are headed {heading}.", "Rename one of them."),
    "label-double": Message("error", "The label {heading} stands twice.", "Remove one of the two lines."),
    "too-many-rows": Message("error", "The tab has more than {limit} rows filled in.", "Delete what is no row of this job, or divide the job between two workbooks."),
    "nothing-to-do": Message("error", "The tab Parts has no row with a part.", "Fill in at least one part."),
    # a cell
    "empty": Message("error", "{heading} is not filled in.", "Write {expected}."),
    "not-a-length": Message("error", "This cannot be read as a length.", "Write it as 3 1/4, 3-1/4\", 6' 8\", 82.5 mm or 3.25."),
    "date-in-length": Message("error", "The office program turned this entry into a date ({reading}).",
                              "Set the cell's format to a fraction or to text and write the size again, or write it as 0 3/4."),
    "date-number": Message("error", "{stands} is far too large here: the office program probably turned a fraction into a date ({reading}).",
                           "Set the cell's format to a fraction or to text and write it again."),
    "date-in-number": Message("error", "The office program turned this entry into a date ({reading}).", "Write {expected} again."),
    "time-in-number": Message("error", "The office program turned this entry into a time of day ({reading}).",
                              "Set the cell's format to a number and write it as one: for {reading} hours, {hours}."),
    "date-in-text": Message("error", "The office program turned this entry into {made} ({reading}).", "Set the cell's format to text, then write it again."),
    "date-in-name": Message("warning", "{heading} is {stands}: the office program may have turned an entry into a date ({reading}).",
                            "If so, set the cell's format to text and write it again."),
    "date-in-money": Message("warning", "{heading} is {stands}: the office program may have turned an entry into a date ({reading}).",
                             "If so, write the amount again, with the decimal sign of your office program."),
    "share-tiny": Message("warning", "{heading} is {share} %: the office program may have put a percent sign to a share.",
                          "If {meant} % is meant, write {meant}."),
    "share-large": Message("error", "{stands} in a percent cell is {share} %.", "Write {meant} %, or {share} % in a cell set to text."),
    "step-large": Message("error", "Rounding to {stands} is coarser than {limit}.", "Write the step itself, such as {other}."),
    "unit-slip": Message("error", "Units is {unit}, but sizes on {on} look like {other}: {such} in row {first} ({count} such rows).",
                         "Write {other} in Units. If they are right as they are, write the unit in their cells, as {one}."),
    "size-in-words": Message("error", "Formulas use this cell, and to a formula {stands} is words, not a number.", "Write the number alone, as {number}."),
    "fraction-in-mm": Message("error", "A fraction without a unit stands in a job in mm.", "Write the size in mm, or the unit: 3/4 in."),
    "not-a-number": Message("error", "This cannot be read as {expected}.", "Write {expected}."),
    "thousands": Message("error", "{stands} may be {thousands}, or {decimals}: no other amount tells whether its sign sets off thousands or decimals.",
                         "Write {thousands} or {decimals}, whichever is meant."),
    "not-whole": Message("error", "A whole number is wanted here.", "Write a whole number such as {example}."),
    "too-small": Message("error", "{heading} must be {limit}.", "Write a value that is {limit}."),
    "too-large": Message("error", "{heading} is {stands}: more than {limit}.", "Look at the unit: write a value up to {limit}."),
    "not-in-list": Message("error", "This is not one of the words known here.", "Write one of: {choices}."),
    "species-unknown": Message("error", "No species of this name is in the table.", "Write one of: {choices}; or any name from the Lists tab."),
    "stock-unknown": Message("error", "This is not a stock that the tab Prices lists for {species}.", "Write one of: {choices}; or add it on Prices."),
    "stock-text": Message("error", "This cannot be read as a stock.", "Write quarters such as 4/4 or 8/4, or a thickness such as 27 mm or 1 1/2."),
    "cell-error": Message("error", "The cell shows the error {stands}.", "Mend the formula, or type the value."),
    "no-stored-result": Message("error", "The formula here has no stored result.",
                                "Open the workbook once in your spreadsheet program and save it, or run with --recalc."),
    "merged": Message("error", "Merged cells cover this row's {heading}.", "Split the merged cells: each row needs a cell of its own."),
    "bad-moisture": Message("error", "Wood moisture must lie between {low} and {high} per cent.", "Write the reading of the meter, such as 7."),
    "bad-humidity": Message("error", "Relative humidity must lie between 5 and 95 per cent.", "Write it as 45."),
    "bad-temperature": Message("error", "The temperature must lie between 30 and 200 °F (-1 and 93 °C).", "Write it as 70 or 21 C."),
    "drier-than-wettest": Message("error", "The driest moisture ({driest} %) is not below the wettest ({wettest} %).", "Exchange the two, or correct one."),
    "fits-unknown": Message("error", "No size of this name is on the Lists tab.", "Write one of: {choices}; or own size, with Own width and Own length."),
    "bad-tenons": Message("error", "This cannot be read as tenon lengths.", "Write the length of each tenon, as 1; or 1 + 0 for one end; or 2 x 1."),
    "span-backwards": Message("error", "The bad length ends before it begins.", "Write Bad from nearer to the end that you measure from."),
    "span-beyond": Message("error", "The bad length begins beyond the end of the board.", "Measure Bad from and Bad to from the end that is trimmed first."),
    "board-double": Message("error", "Another board of this species and stock has the same name.", "Give each board a name of its own. To mark a second bad length, write the same board again, with the same sizes, and the other Bad from and Bad to."),
    "profit-impossible": Message("error", "A margin of 100 % or more of the price cannot be reached.", "Write a margin below 100 %, or set Profit as to markup."),
    "waste-impossible": Message("error", "Waste is a share of what is bought and must be below 100 %.", "Write it as 20 %."),
    # the plan
    "no-opening": Message("error", "The panel has neither a measured nor a planned {which}.", "Fill in Opening {which}, or Measured {which}."),
    "no-moisture": Message("error", "Panels are listed but today's wood moisture is not known.",
                           "Fill in Wood moisture now, or Shop humidity, on Job."),
    "no-shrinkage": Message("error", "No movement figures are known for {species}.", "Choose a species that has them: see sheetkit species."),
    "no-panel": Message("error", "No panel of this size can stay in its frame: {across} the grain it would be {size} in an opening of {opening}.", "Make that groove deeper, or look at Least clearance on Allowances."),
    "none-thick-enough": Message("error", "No {species} stock listed measures {need} or more.",
                                 "Add a thicker stock on Prices, or write face-glued in Made as, with {plies} plies."),
    "no-leaf": Message("error", "No {species} stock listed yields two leaves of {leaf}.", "Add a thicker stock on Prices, or make the panel edge-glued."),
    "stock-too-thin": Message("warning", "{stock} measures {measures}, less than the {need} that the blank wants.",
                              "Leave Stock empty to have one chosen, or mill with care: {short} is missing."),
    "staves-too-wide": Message("warning", "With {count} staves each is {width} wide, more than the widest allowed ({limit}).", "Use at least {least} staves."),
    "staves-too-narrow": Message("warning", "With {count} staves each is {width} wide, a sliver below {limit}.", "Use {most} staves or fewer."),
    "provisional": Message("warning", "Provisional: do not cut. The opening has not been measured.",
                           "Assemble the frame dry, measure it, and fill in Measured width and height."),
    "bearing-short": Message("warning", "At the driest the panel stands only {bearing} in its groove ({wanted} wanted).", "{ways}"),
    "measured-far-off": Message("warning", "The measured {which} differs from the planned one by {difference}.", "Measure again; if it is right, leave it."),
    "outside-range": Message("note", "Moisture leaves 6 to 14 %: movement is taken from the green shrinkage of {species}.", "Nothing to do."),
    "boards-short": Message("warning", "The rack is short of {species} {stock}: {count} of its blanks found no board.", "Buy, or add on Boards: {wanted}."),
    "layout-too-large": Message("warning", "{count} blanks of {species} {stock} on {boards} boards are too many to lay out: the lumber is estimated by waste.",
                                "Divide the job between workbooks, or list fewer boards."),
    "unpriced": Message("warning", "No price is listed for {species} {stock}.", "Add the price on Prices; until then the cost leaves it out."),
    "stave-limits": Message("error", "Staves cannot be {narrowest} wide at least, {widest} at most, and lose {joint} at each jointed edge.",
                            "Write a Widest stave that is not below Narrowest stave, and a Narrowest stave wider than both joints."),
    "assumed-stock": Message("note", "Prices lists no {species}: the usual thicknesses are assumed.", "List what your yard has on Prices."),
    "wetter-than-use": Message("warning", "The wood is wetter now ({now} %) than it will ever be in use ({limit} %): {now} % counts as the wettest, and it will shrink from there.",
                               "Let the wood come to rest where the piece will live, measure again, then cut."),
    "drier-than-use": Message("warning", "The wood is drier now ({now} %) than it will ever be in use ({limit} %): {now} % counts as the driest, and it will swell from there.",
                              "Let the wood come to rest where the piece will live, measure again, then cut."),
    "assumed-climate": Message("note", "No indoor climate is given: {driest} to {wettest} % wood moisture is assumed, common practice.",
                               "Fill in Driest and Wettest humidity on Job."),
    "ganged": Message("note", "{count} pieces are milled in one blank, then cut: {why} is not safe through machines.", "Nothing to do."),
    "rift-as-flat": Message("note", "Rift-sawn lies between flat and quarter: it is taken as flat-sawn, the safe way.", "Nothing to do; write quarter if the rings stand upright."),
    "wide-solid": Message("note", "{width} is wider than the widest stave ({limit}): a board this wide is rare and cups.", "Write edge-glued in Made as, or keep it."),
    "regulated": Message("warning", "{name} sounds like a regulated piece: {rule}.",
                         "The rule must be met and checked by someone qualified; sheetkit does not check it."),
    # what the maker did to our tabs and columns
    "kept-copy": Message("note", "You had changed the tab {tab}; your version is kept as {kept}.", "Nothing to do: sheetkit makes {tab} anew."),
    "column-elsewhere": Message("note", "Your own entries stand under {heading}; the results stand in a new column.", "Nothing to do."),
    "depends": Message("note", "Formulas of yours use cells that sheetkit fills in; their shown results may be old.",
                       "Recalculate in your spreadsheet program."),
}  # fmt: skip
MESSAGES.update((code, Message(*words)) for code, words in BENCH_MESSAGES.items())

REFUSALS: dict[str, str] = {
    "encrypted": "The workbook is locked with a password. Remove the password, then run again.",
    "signed": "The workbook bears a digital signature, which any change would break. Save an unsigned copy.",
    "shared workbook": "The workbook is shared with a change history. Stop sharing it, then run again.",
    "damaged": "The file is damaged. Open it in your spreadsheet program, save it under a new name, and run on that.",
    "not a workbook": "This is not an .xlsx or .ods workbook. Save it as one of them.",
    "old format": "This is an old .xls file. Save it as .xlsx or .ods.",
    "binary format": "This is a binary .xlsb file. Save it as .xlsx.",
    "flat file": "This is a flat .fods file. Save it as .ods.",
    "too large": "The workbook claims more than sheetkit will read. Delete empty rows, or save a copy with the job alone.",
    "duplicate entries": "The file holds two entries of the same name, so programs disagree on what it says. Save it anew from your spreadsheet program.",
    "declares entities": "The file declares XML entities, which no office program writes. Save it anew from your spreadsheet program.",
    "styles with alternatives": "The styles of this workbook come in several versions. Save it anew from your spreadsheet program.",
    "no sheets": "The workbook has no sheet. Add one, or begin with sheetkit new.",
    "formula block": "A result column meets a formula that fills a whole block of cells. Move that formula.",
    "merged cells": "A result column meets merged cells. Split the merged cells.",
    "no room": "The last column of this tab is in use, so no column is left for the results. Clear it, or move what stands there.",
    "table heading": "A result column meets the heading of a table. Widen the table, or move it.",
    "open elsewhere": "The workbook is open elsewhere. Close it there, then run again; --force if that is no longer so.",
    "no part list": "No table with a heading Part (or Name) stands in this list. Give its first row headings.",
    "no quote": "The workbook has no Quote tab yet. Run sheetkit run on it first.",
    "no such file": "There is no such file or folder. Look at its name and where it is, then write both as they stand there.",
    "cannot write": "The file or its folder cannot be read or written. Look at its permissions, at the room on the disk, and whether another program holds it.",
    "wrong ending": "The new file must have the ending of the format that the workbook is in. Give --out that ending.",
    "exists": "The file exists already. Choose another name.",
    "not a file": "This is a folder or a device, not a file. Give the name of a file in a folder.",
    "hard link": "The file has several names (hard links), and a save would part them. Copy it under a new name, and run on the copy.",
    "read-only": "The file is set read-only. Allow writing to it, or give another file with --out.",
    "quote is old": "The quote is older than what stands in the workbook now. Run again with sheetkit run, then make the copy.",
    "verification": "The result did not read back as it was written; the file was left as it was. Run again; if it happens again, save the workbook under a new name and run on that.",
    "changed meanwhile": "The file changed while sheetkit was at work; it was left as it is now. Run again.",
    "no office program": "LibreOffice was not found. Install it, or do its part by hand: open the file in your spreadsheet program and save it, for --pdf as PDF.",
    "office program failed": "LibreOffice could not work on this file. Close LibreOffice and run again, or open the file in it and save it by hand, for --pdf as PDF.",
    "no species": "No species of this name is in the table. Write a name that is, or see all of them: sheetkit species.",
    "not explained": "Nothing of this name is known. Write a tab, a column, a code or a key, or see all of them: sheetkit explain.",
    "not a climate": "This cannot be read as a climate. Write temperature, driest and wettest humidity: --climate 70 25 65.",
    "climate outside": "The temperature must lie between 30 and 200 °F (-1 and 93 °C), the humidity between 5 and 95 %. Write it as --climate 70 25 65, or --climate 21C 25 65.",
    "climate backwards": "The driest humidity is not below the wettest. Write the driest first: --climate 70 25 65.",
    "not a width": "This cannot be read as the width of a panel. Write it as --width 14 1/4, or --width 360 mm.",
}


def problem(
    code: str, tab: str, row: int = 0, column: int = 0, stands: object = "", **words: object
) -> Problem:
    """Give a problem with its wording filled in.

    Raises
    ------
    KeyError
        When the code, or a word that its message needs, is not there.
    """
    message = MESSAGES[code]
    text = "" if stands is None else _shortened(str(stands))
    words = {"stands": text, "tab": tab, **words}
    return Problem(
        code,
        tab,
        row,
        column,
        text,
        _shortened(message.says.format_map(words), LONGEST_MESSAGE),
        _shortened(message.instead.format_map(words), LONGEST_MESSAGE),
        message.weight,
    )


CONSEQUENCES = "{says} And {count} that follow{s} from it: {where}."
"""A cause, with the cells that are wrong because of it alone."""
MOST_NAMED = 5


def with_consequences(cause: Problem, consequences: Sequence[Problem]) -> Problem:
    """Give a problem that says how many cells are wrong because of it, and names the first of them."""
    places = list(dict.fromkeys(found.place for found in consequences))
    if not places:
        return cause
    count, s = ("1 cell", "s") if len(places) == 1 else (f"{len(places):,} cells", "")
    where = ", ".join(places[:MOST_NAMED]) + (" ..." if len(places) > MOST_NAMED else "")
    return replace(cause, says=CONSEQUENCES.format(says=cause.says, count=count, s=s, where=where))


def _shortened(text: str, most: int = LONGEST_STANDS) -> str:
    """Give the beginning of a text that nobody would read to its end."""
    return text if len(text) <= most else f"{text[:most]} ..."
