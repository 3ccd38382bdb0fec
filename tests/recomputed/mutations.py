"""python -m tests.recomputed.mutations [WORD ...]: single changes to a copy of sheetkit, each run against the recomputation.

A change that no test finds survives, and is named. WORDs choose the changes whose name holds one of them.
"""

from __future__ import annotations

import shutil
import subprocess
import sys
import tempfile
from collections.abc import Sequence
from pathlib import Path
from typing import NamedTuple

ROOT = Path(__file__).parents[2]
TESTS = ("tests/recomputed/test_recomputed.py",)


class Change(NamedTuple):
    name: str
    file: str
    old: str
    new: str


PARTS, PANELS, LUMBER, SHOP = "plan/parts.py", "plan/panels.py", "plan/lumber.py", "plan/shop.py"
SIZES = "intake/joint_sizes.py"
GLUING, FINISHING = "plan/gluing.py", "plan/finishing.py"
LOADS, MONEY, JOINTS, ROUGH = "plan/loads.py", "plan/money.py", "plan/joinery.py", "calc/rough.py"
CHANGES = (
    Change("panel along the grain rounded up", PANELS, "along = shop.down(", "along = shop.up("),
    Change("blank thickness rounded down", PARTS, "need = shop.up(part.thickness + shop.flattening(offer, size))",
           "need = shop.down(part.thickness + shop.flattening(offer, size))"),
    Change("one of two openings counts as measured", PANELS, "panel.measured_width is not None and panel.measured_height is not None",
           "panel.measured_width is not None or panel.measured_height is not None"),
    Change("groove sides and ends swapped across the grain", PANELS, 'sizes["width"], panel.groove_ends, panel.groove_sides,',
           'sizes["width"], panel.groove_sides, panel.groove_ends,'),
    Change("1 in minimum dropped", "calc/lumber.py", "return max(nominal, 1.0) * width * length / 144", "return nominal * width * length / 144"),
    Change("rise dropped from a face-glued blank", PARTS, "_finished_length(part), part.width + part.rise\n    width, length", "_finished_length(part), part.width\n    width, length"),
    Change("tenons left out of an edge-glued blank", PARTS, "finished, glued = _finished_length(part), whole", "finished, glued = part.length, whole"),
    Change("tenons left out of the weight", PARTS, "part.width * _finished_length(part) * part.qty", "part.width * part.length * part.qty"),
    Change("bookmatched leaves not from one blank", PANELS, "counts = [row.blanks * each if own else", "counts = [row.blanks * each if False else"),
    Change("advised groove without its half step", PANELS, "wanted + step / 2", "wanted"),
    Change("size class < for <=", SHOP, "finished_length <= size.up_to + 1e-9", "finished_length < size.up_to - 1e-9"),
    Change("larger coefficient for imports off", SHOP, 'derived is not None and species.origin == "import"', "False"),
    Change("weight's moisture fixed", SHOP, "density_lb_ft3(specific_gravity(basic, self.moisture), self.moisture)",
           "density_lb_ft3(specific_gravity(basic, 8.0), 8.0)"),
    Change("least length with one end trim", LUMBER, "length + 2 * shop.allowances.end_trim", "length + shop.allowances.end_trim"),
    Change("boards still to buy left out of Buy", LUMBER, "taken = laid.layout.board_feet + missing", "taken = laid.layout.board_feet"),
    Change("a modulus of rupture a fifth higher", "tables/species.csv", ",9800,1.38,590", ",11760,1.38,590"),
    Change("boards at the yard left out of To buy", "plan/purchases.py", "        volume += feet[board.spot]\n", ""),
    Change("what has no board yet left out of the cost To buy", "plan/purchases.py", "costs.append(None if line.price is None else cost_of(missing, line.price, shop.units))", "pass"),
    Change("the rack's own boards not counted in the cost", "plan/layout.py", "return sum(worth[board.spot].money or 0.0 for board in boards if board.board in used)", "return 0.0"),
    Change("price of missing a thinner stock without its waste", "plan/near_stock.py", "volume = to_buy(net, waste) if waste < 1 else net", "volume = net"),
    Change("a stock far off told as just missed", "plan/near_stock.py", "JUST = 3 / 16", "JUST = 3 / 8"),
    Change("stock of two yards mixed", "plan/shop.py", "yards()[self.yard]", "yards()['preferred']"),
    Change("straightening forgotten", "calc/metric_stock.py", "STRAIGHTENED_OFF = 2.5 / 25.4", "STRAIGHTENED_OFF = 1.5 / 25.4"),
    Change("the tape's step for the job's", SHOP, "self.up(rounded_up(size, self.allowances.rough_step))", "self.up(size)"),
    Change("a mortise's edge for the rail's", "plan/entries.py", "near, near + size, joint.row", "one[0].along[0], one[-1].along[1], joint.row"),
    Change("unlike gaps from the far end", "plan/openings.py", "gaps = [gap for gap in run.gaps if gap > SLACK]", "gaps = [gap for gap in run.gaps[::-1] if gap > SLACK]"),
    Change("a run's members wide as thick", "plan/spacing.py", "return _Members(part, part.width)", "return _Members(part, part.thickness)"),
    Change("a run of one gap less", "calc/spacing.py", "gap = (whole - members * width) / (members + 1)", "gap = (whole - members * width) / members"),
    Change("what is left given to one gap", "calc/spacing.py", "rest = left / open_ones", "rest = left"),
    Change("the tape's step for the job's", SHOP, "self.up(rounded_up(size, self.allowances.rough_step))", "self.up(size)"),
    Change("staves cut to the job's step", PARTS, "trim, wide = allowances.panel_length, shop.taped(", "trim, wide = allowances.panel_length, shop.up("),
    Change("panels' staves cut to the job's step", PANELS, "shop.taped(row.size)", "shop.up(row.size)"),
    Change("short plies not glued up long", PARTS, "part.qty, size.length, allowances.crosscut_kerf, allowances.shortest):\n        for rip in gangs(whole", "part.qty, size.length, allowances.crosscut_kerf, 0.0):\n        for rip in gangs(whole"),
    Change("narrow plies not glued up wide", PARTS, "allowances.ply_width, allowances.rip_kerf, allowances.narrowest", "allowances.ply_width, allowances.rip_kerf, 0.0"),
    Change("short staves not glued up long", PARTS, "part.qty, trim, allowances.crosscut_kerf, allowances.shortest", "part.qty, trim, allowances.crosscut_kerf, 0.0"),
    Change("short panels not glued up long", PANELS, "allowances.panel_length, allowances.crosscut_kerf, allowances.shortest", "allowances.panel_length, allowances.crosscut_kerf, 0.0"),
    Change("narrow staves as narrow as asked", PARTS, "max(width, allowances.narrowest)", "width"),
    # others
    Change("edge-glued thickness rounded down", PARTS, "need = shop.up(part.thickness + shop.flattening(offer, size, glued=True))",
           "need = shop.down(part.thickness + shop.flattening(offer, size, glued=True))"),
    Change("ply thickness rounded down", PARTS, "need = shop.up(ply(offer))", "need = shop.down(ply(offer))"),
    Change("tenons left out of a face-glued blank", PARTS, "finished, whole = _finished_length(part), part.width", "finished, whole = part.length, part.width"),
    Change("rise dropped from an edge-glued blank", PARTS, "whole = part.width + part.rise", "whole = part.width"),
    Change("rise dropped from a solid blank", PARTS, "finished, width = _finished_length(part), part.width + part.rise",
           "finished, width = _finished_length(part), part.width"),
    Change("kerfs of gangs swapped", PARTS, "size.length, allowances.crosscut_kerf, allowances.shortest", "size.length, allowances.rip_kerf, allowances.shortest"),
    Change("rip kerf of gangs forgotten", PARTS, "size.width, allowances.rip_kerf, allowances.narrowest", "size.width, 0.0, allowances.narrowest"),
    Change("blanks of narrow gangs counted by pieces", PARTS, "gangs(width, row.blanks,", "gangs(width, part.qty,"),
    Change("plies not counted by pieces", PARTS, "rip.blanks * plies", "plies"),
    Change("one of two tenons forgotten", PARTS, "part.length + sum(part.tenons)", "part.length + max(part.tenons, default=0.0)"),
    Change("class by length between shoulders", PARTS, "size = shop.size_class(_finished_length(part))\n    made", "size = shop.size_class(part.length)\n    made"),
    Change("one jointed edge too few", ROUGH, "jointed = min(staves - 1, 2)", "jointed = min(staves - 1, 1)"),
    Change("stave no wider than < widest", ROUGH, "> widest + _DUST", ">= widest - _DUST"),
    Change("plies floor for ceil", ROUGH, "math.ceil((final + clean_up) / room - _DUST)", "math.floor((final + clean_up) / room - _DUST)"),
    Change("leaf kerf forgotten", ROUGH, "math.floor((flattened + kerf + clean_up)", "math.floor((flattened + clean_up)"),
    Change("leaves ceil for floor", ROUGH, "max(0, math.floor((flattened", "max(0, math.ceil((flattened"),
    Change("clearance counted once", PANELS, "2 * frame.groove_across, 2 * clear, movement, now, wettest", "2 * frame.groove_across, clear, movement, now, wettest"),
    Change("clearance along added", PANELS, "2 * frame.groove_along - 2 * clear", "2 * frame.groove_along + 2 * clear"),
    Change("bearing at the wettest", PANELS, "bearing_each_side(across, frame.across, movement, now, driest)", "bearing_each_side(across, frame.across, movement, now, wettest)"),
    Change("gap not halved", PANELS, "grooves, across) / 2\n", "grooves, across)\n"),
    Change("clearance not halved", PANELS, "gap, bearing, clearance / 2)", "gap, bearing, clearance)"),
    Change("clearance as of today", PANELS, "grooves, across * size_ratio(movement, now, wettest))", "grooves, across)"),
    Change("planned is used before measured", PANELS, "size = planned if measured is None else measured", "size = measured if planned is None else planned"),
    Change("width and height swapped across the grain", PANELS, '(along, across) if panel.grain == "across"', '(across, along) if panel.grain == "across"'),
    Change("panel class by its width", PANELS, "size = shop.size_class(along)\n    offer", "size = shop.size_class(across)\n    offer"),
    Change("today's moisture not among the wettest", SHOP, "max((sheet.moisture_wettest, *now))", "sheet.moisture_wettest"),
    Change("today's moisture not among the driest", SHOP, "min((sheet.moisture_driest, *now))", "sheet.moisture_driest"),
    Change("radial and tangential swapped", SHOP, 'if cut == "quarter":\n        printed', 'if cut != "quarter":\n        printed'),
    Change("stock just thick enough refused", SHOP, "offer.measures >= shop.up(needs(offer)) - 1e-9", "offer.measures > shop.up(needs(offer)) + 1e-9"),
    Change("Measures on Prices passed over", SHOP, "self.measures(price.stock) if price.measures is None else price.measures", "self.measures(price.stock)"),
    Change("surfaced stock flattened", SHOP, "return min(FLUSH, size.thickness) if glued else 0.0", "return size.thickness"),
    Change("flush planing max for min", SHOP, "min(FLUSH, size.thickness)", "max(FLUSH, size.thickness)"),
    Change("green gravity for dry", SHOP, "if species.gravity_12 is not None:", "if species.gravity_green is None:"),
    Change("waste added to the net", "calc/lumber.py", "return net / (1 - waste)", "return net * (1 + waste)"),
    Change("waste of the grade passed over", "plan/buying.py", "grade_waste().get(price.grade.casefold(), USUAL_WASTE) if price.waste is None", "USUAL_WASTE if price.waste is None"),
    Change("kerfs of least width forgotten", LUMBER, "for blank in each], kerfs[0]))", "for blank in each], 0.0))"),
    Change("least width from the longest", LUMBER, "width = max(stave if", "width = min(stave if"),
    Change("the edge left out of a board's least width", LUMBER, "return width + shop.allowances.edge_trim,", "return width,"),
    Change("staves as wide as they are cut in a board's least width", LUMBER, "max(stave if blank.role == \"stave\" else blank.width for", "max(blank.width for"),
    Change("boards to buy not in the cost", LUMBER, "+ cost_of(missing, price or Decimal(0), shop.units)", "+ cost_of(0.0, price or Decimal(0), shop.units)"),
    Change("m3 counts thin stock as 1 in", "plan/volume.py", "if units.in_m3:", "if units.in_m3 and stock.nominal >= 1:"),
    Change("load not shared", LOADS, "*allowed, load.shared_by)", "*allowed, 1)"),
    Change("kilograms multiplied", LOADS, 'shop.units.inside(load.load, "weight")', 'shop.units.shown(load.load, "weight")'),
    Change("width and thickness of a beam swapped", LOADS, "elasticity, load.width, load.thickness\n", "elasticity, load.thickness, load.width\n"),
    Change("sag with creep as when new", LOADS, "new, years = checked(1.0), checked(creep)", "new, years = checked(creep), checked(creep)"),
    Change("creep below one for at least one", LOADS, "max(shop.allowances.creep_factor, 1.0)\n\n", "min(shop.allowances.creep_factor, 1.0)\n\n"),
    Change("width of a part for the thickness of a member", "intake/members.py", '"thickness": "thickness"', '"thickness": "width"'),
    Change("width of a part for the span of a member", "intake/members.py", '"span": "length"', '"span": "width"'),
    Change("size of a part before the member's own", "intake/members.py", "if name in row:", "if name in row and not named:"),
    Change("a member named in other letters is no part", "intake/lacking.py", "text.casefold().split()", "text.split()"),
    Change("longest span from the stress alone", "calc/spans.py", "by_sag <= by_stress", "by_sag > by_stress"),
    Change("overhead left out of the profit", MONEY, "cost = direct + over", "cost = direct"),
    Change("tax on the cost", MONEY, "money.tax(price + brought,", "money.tax(cost + brought,"),
    Change("deposit without tax", MONEY, "money.deposit(price + brought + due,", "money.deposit(price + brought,"),
    Change("margin as markup", MONEY, 'if sheet.profit_as == "margin":\n        price', 'if sheet.profit_as == "none":\n        price'),
    Change("operation's own rate passed over", MONEY, "sheet.hourly_rate if operation.rate is None else operation.rate", "sheet.hourly_rate"),
    Change("blanks of panels not counted", MONEY, "blanks += [blank for panel in panels for blank in panel.blanks]", "pass"),
    Change("blanks counted by rows", MONEY, '"blank": sum(blank.count for blank in blanks)', '"blank": len(blanks)'),
    Change("panel surface left out", MONEY, "panel_surface(found.width, found.height, found.panel.qty) for found in panels", "panel_surface(found.width, found.height, found.panel.qty) for found in panels[:0]"),
    Change("glue and finish left out of the cost", MONEY, "+ summed(found.cost for found in supplies)", "+ 0"),
    Change("tax without delivery", MONEY, "money.tax(price + brought,", "money.tax(price,"),
    Change("deposit without delivery", MONEY, "money.deposit(price + brought + due,", "money.deposit(price + due,"),
    Change("a price in the first row alone", MONEY, "next((row.price for row, _ in uses if row.price is not None), None)", "uses[0][0].price"),
    Change("a name within a line of Extras for a priced kind", MONEY, "wanted in items if price is not None else any(wanted in item for item in items)", "any(wanted in item for item in items)"),
    Change("a priced kind that Extras lists paid twice", MONEY, "if price is not None and not listed:", "if price is not None:"),
    Change("quarts for ounces in the price of glue", "records/costs.py", '{"fl oz": 32, "ml": 1000,', '{"fl oz": 16, "ml": 100,'),
    Change("the thin end of the spread", GLUING, "adhesive_weight(area, spread[1], WASTE)", "adhesive_weight(area, spread[0], WASTE)"),
    Change("nothing squeezed out", GLUING, "adhesive_weight(area, spread[1], WASTE)", "adhesive_weight(area, spread[1], 0.0)"),
    Change("first coat as thin as the later ones", FINISHING, "((bare, first), (again, None))", "((bare, None), (again, None))"),
    Change("every step's first coat on bare wood", FINISHING, "((bare, first), (again, None))", "((bare, first), (again, first))"),
    Change("bare wood once for all parts", FINISHING, "if name not in had)", "if not had)"),
    Change("the label's coverage passed over", FINISHING, "if step.coverage:\n", "if False:\n"),
    Change("a step's parts for all", FINISHING, "if keys is None or", "if True or"),
    Change("half a cent down", "units.py", "rounding=ROUND_HALF_UP)", 'rounding="ROUND_HALF_DOWN")'),
    Change("glue gap of a tenon forgotten", JOINTS, "joint.depth_into + proud - (0.0 if through else gap)", "joint.depth_into + proud"),
    Change("glue gap of a loose tenon once", "calc/joints.py", "depth_into + depth_from - 2 * glue_gap", "depth_into + depth_from - glue_gap"),
    Change("dowels counted by joints", JOINTS, "pieces = size.a_joint * seated.qty", "pieces = seated.qty"),
    Change("a kerf of tenon stock too few", "calc/joints.py", "length + (count + 1) * kerf", "length + count * kerf"),
    Change("depth from as depth into", JOINTS, "glue_gap, joint.depth_from\n", "glue_gap, joint.depth_into\n"),
    Change("glue gap left out of the depth for a tenon", SIZES, "+ known.glue_gap", "+ 0.0"),
    Change("rails grooved as the stiles", SIZES, "panel.groove_ends if name in rails else", "panel.groove_sides if name in rails else"),
    Change("a groove as wide as its panel, thinned or not", SIZES, "panel.groove_width or panel.thickness", "panel.thickness"),
    Change("a dado as wide as the part, not as the run", SIZES, '"Spacing", run.member_width', '"Spacing", 2 * run.member_width'),
    Change("a shelf let in by its width", SIZES, "part.thickness if clear", "part.width if clear"),
    Change("end gap counted among the gaps of a flush run", "calc/spacing.py", "(whole - 2 * first - members * width)", "(whole - first - members * width)"),
    Change("largest gap floor for ceil", "calc/spacing.py", "return max(1, math.ceil((whole - most)", "return max(1, math.floor((whole - most)"),
)  # fmt: skip


def survives(change: Change, folder: Path) -> bool:
    """Whether the tests pass over a change made to the copy, which is as it was afterward."""
    path = folder / "sheetkit" / change.file
    text = path.read_text(encoding="utf-8")
    if text.count(change.old) < 1:
        raise LookupError(f"{change.name}: {change.file} no longer holds {change.old!r}")
    path.write_text(text.replace(change.old, change.new, 1), encoding="utf-8")
    run = [sys.executable, "-B", "-m", "pytest", "-q", "-x", "-n", "0", "-p", "no:cacheprovider", *TESTS]
    try:
        return subprocess.run(run, cwd=folder, capture_output=True, check=False).returncode == 0
    finally:
        path.write_text(text, encoding="utf-8")


def main(words: Sequence[str]) -> int:
    survivors, ignored = [], shutil.ignore_patterns("__pycache__", ".*")
    with tempfile.TemporaryDirectory() as place:
        folder = Path(place)
        for name in ("sheetkit", "tests"):
            shutil.copytree(ROOT / name, folder / name, ignore=ignored)
        shutil.copy(ROOT / "pyproject.toml", folder)
        chosen = [change for change in CHANGES if not words or any(word in change.name for word in words)]
        for change in (Change("nothing changed", "__init__.py", "run", "run"), *chosen):
            alive = survives(change, folder)
            print(f"{'survived' if alive else 'killed  '}  {change.name}", flush=True)
            if alive:
                survivors.append(change.name)
    print(f"{len(chosen)} changes, {len(survivors) - 1} survived")
    return 0 if survivors == ["nothing changed"] else 1


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
