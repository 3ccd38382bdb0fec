"""Answers as plain data: what --json writes, and the same tables as data frames."""

from __future__ import annotations

import inspect
import json
import math
import re
import shutil
import subprocess
import sys
from dataclasses import fields, is_dataclass, replace
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner

import sheetkit
from sheetkit.calc.layout import model as layout_model
from sheetkit.data import keys
from sheetkit.data.plain import as_json, run_data, species_data
from sheetkit.form import labels as settings
from sheetkit.form.columns import TABLES, Kind
from sheetkit.jobs.run import Outcome
from sheetkit.jobs.species import species_named
from sheetkit.records import answers as results
from sheetkit.records import buying, wood
from sheetkit.records import costs as money
from sheetkit.records import elevations as frames
from sheetkit.records import job as model
from sheetkit.records import joinery as bench
from sheetkit.records.job import ROWS
from sheetkit.records.messages import REFUSALS
from sheetkit.records.problems import Problem
from sheetkit.tabs.live_money import SUM_COLUMN, SUMS, sum_row
from sheetkit.terminal.cli import main
from tests.jobs import NOW, column, read, write
from tests.make_readme import README
from tests.schema import fitting
from tests.test_run import PANELS, PARTS

TOP = README.parent
EXAMPLES = ("entry-bench.xlsx", "entry-bench-mm.ods")
PLAIN = {"Parts": "Part | Species | Thickness | Width | Length\nLeg | White oak | 1 | 2 | 30"}

Row = dict[str, Any]


def strictly(text: str) -> Row:
    """Read JSON as a strict reader does: no NaN, no key twice, one object and nothing beside it; it fits the schema."""

    def refuse(word: str) -> None:
        raise ValueError(word)

    def once(pairs: list[tuple[str, Any]]) -> Row:
        found = dict(pairs)
        assert len(found) == len(pairs), "a key stands twice"
        return found

    data = json.loads(text, parse_constant=refuse, object_pairs_hook=once)
    assert isinstance(data, dict)
    return fitting(data)


def said(*words: object, code: int = 0) -> Row:
    """Give what a command writes to standard output, which must be one object and nothing else."""
    done = CliRunner().invoke(main, [*map(str, words), "--json"])
    assert done.exit_code == code, done.output
    assert done.stderr == ""
    return strictly(done.stdout)


@pytest.fixture(scope="module", params=EXAMPLES)
def example(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Outcome]:
    """The example job, inch and mm, worked out in both formats."""
    path = tmp_path_factory.mktemp("json") / request.param
    shutil.copy(TOP / "examples" / request.param, path)
    return path, sheetkit.run(path, effort=0.1, now=NOW)


def test_a_run_writes_one_strict_object_and_a_second_run_the_same(tmp_path: Path) -> None:
    path = tmp_path / EXAMPLES[0]
    shutil.copy(TOP / "examples" / path.name, path)
    first = said("run", path, "--effort", "0.2")
    assert (first["form"], first["sheetkit"], first["command"]) == (keys.FORM, sheetkit.__version__, "run")
    assert first["done"] is True
    assert first["file"] == str(path)
    second, third = (said("run", path, "--effort", "0.2") for _ in range(2))
    assert second == third
    assert (second["written"], second["backup"]) == (False, None)
    assert list(second["tables"]) == [table.name for table in keys.TABLES_OF_RUN]
    assert second["tables"] == first["tables"]


def test_a_check_says_the_same_and_writes_nothing(tmp_path: Path) -> None:
    path = write(tmp_path / "job.xlsx", {"Parts": PARTS, "Panels": PANELS})
    before = path.read_bytes()
    checked = said("run", path, "--check")
    assert path.read_bytes() == before
    assert [each.name for each in tmp_path.iterdir()] == [path.name]
    done = said("run", path)
    assert (checked["written"], done["written"]) == (False, True)
    assert done["backup"] == str(path.with_suffix(".before.xlsx"))
    different = {"written", "backup"}
    assert {key: checked[key] for key in checked if key not in different} == {
        key: done[key] for key in done if key not in different
    }


def test_the_sizes_are_those_worked_by_hand(tmp_path: Path) -> None:
    """The worked answers of test_run: common practice for blanks, Wood Handbook Table 13-5 for the panel."""
    path = write(tmp_path / "job.ods", {"Parts": PARTS, "Panels": PANELS})
    tables = said("run", path)["tables"]
    blanks = [
        [row[key] for key in ("blank_thickness", "blank_width", "blank_length")] for row in tables["parts"]
    ]
    assert blanks == [
        [1.875, 3.5, 35], [1.875, 6.375, 81], [0.875, 2.25, 15], [0.875, 2.25, 19.125], [0.9375, 4.25, 32],
    ]  # fmt: skip
    assert [row["width"] for row in tables["panels"]] == [14.96875, 22.34375, 22.4375, 22.34375]
    assert [row["measured"] for row in tables["panels"]] == [True, True, True, False]
    assert tables["panels"][0]["gap"] == 9 / 64


def test_every_answer_beside_the_rows_is_the_number_in_its_cell(example: tuple[Path, Outcome]) -> None:
    path, outcome = example
    workbook, data = read(path), outcome.plain()
    volume = "Volume m3" if data["units"]["volume"] == "m3" else "Board feet"
    for tab in TABLES:
        for answered in tab.answered:
            rows = data["tables"][tab.lasting or tab.title.casefold().replace("-", "_")]
            heading = volume if answered.kind is Kind.VOLUME else answered.heading
            stands = column(workbook, tab.title, heading)[: len(rows)]
            for value, row in zip(stands, rows, strict=True):
                told = row[answered.name]
                if isinstance(value, int | float):
                    assert float(told) == pytest.approx(value, abs=1e-8), (tab.title, answered.name)
                else:
                    assert (told or None) == (value or None), (tab.title, answered.name)


def test_lumber_rough_sizes_marks_and_sums_are_those_on_their_tabs(example: tuple[Path, Outcome]) -> None:
    path, outcome = example
    workbook, data = read(path), outcome.plain()
    tables, (unit, volume) = data["tables"], (data["units"]["length"], data["units"]["volume"])
    word = "board feet" if volume == "bf" else volume
    count = len(tables["lumber"])
    for key, heading in (("blanks", "Blanks"), ("net", f"In the blanks ({word})"), ("waste", "Waste"),
                         ("buy", f"Buy ({word})"), ("least_length", f"Least length ({unit})")):  # fmt: skip
        stands = column(workbook, "Lumber", heading)[:count]
        assert [row[key] for row in tables["lumber"]] == pytest.approx(stands, abs=1e-8), key
    costs = column(workbook, "Lumber", f"Cost ({data['units']['money']})")
    assert [float(row["cost"]) for row in tables["lumber"]] == costs[:count]
    stands = column(workbook, "Rough sizes", f"Length ({unit})")[: len(tables["rough_sizes"])]
    lengths = [length for length in stands if isinstance(length, int | float)]
    assert sorted(row["length"] for row in tables["rough_sizes"]) == pytest.approx(sorted(lengths))
    marks = workbook.page("Marks")
    assert marks is not None
    places = [
        (cell.value, marks.cells[row, 6].value)
        for (row, number), cell in sorted(marks.cells.items())
        if number == 2 and isinstance(cell.value, float)
    ]
    assert [row["what"] for row in tables["marks"]] == [what for _, what in places]
    assert [row["at"] for row in tables["marks"]] == pytest.approx([at for at, _ in places])
    sums = workbook.page("Estimate")
    assert sums is not None
    for name in SUMS[:5]:
        told = tables["estimate"][0][name]
        assert float(told) == sums.cells[sum_row(name), SUM_COLUMN].value
        assert told == next(row["amount"] for row in tables["quote"] if row["name"] == name)


def test_every_piece_lies_on_its_board_and_every_blank_has_its_pieces(example: tuple[Path, Outcome]) -> None:
    tables = example[1].plain()["tables"]
    boards = {row["board"]: row for row in tables["boards"]}
    for piece in tables["pieces"]:
        board = boards[piece["board"]]
        assert piece["x"] + piece["length"] <= board["length"] + 1e-6
        assert piece["y"] + piece["width"] <= board["width"] + 1e-6
    cut = {row["board"] for row in tables["boards"] if row["used"] == "cut"}
    assert cut == {row["board"] for row in tables["pieces"]} == {row["board"] for row in tables["cuts"]}
    assert all(row["complete"] for row in tables["layouts"])
    assert all(row["least_cost"] <= row["cost"] for row in tables["layouts"])


def test_the_mm_example_tells_the_lengths_weights_and_areas_of_the_records_in_its_units(
    example: tuple[Path, Outcome],
) -> None:
    outcome = example[1]
    data, found = outcome.plain(), outcome.answers
    assert found is not None
    metric = data["units"]["length"] == "mm"
    inch, pound, in2 = (25.4, 0.45359237, 6.4516) if metric else (1, 1, 1)
    tables = data["tables"]
    assert data["units"]["weight"] == ("kg" if metric else "lb")
    assert tables["job"][0]["weight"] == pytest.approx((found.weight or 0) * pound)
    assert tables["job"][0]["step"] == pytest.approx(found.job.sheet.step * inch)
    gaps = [run.end_gap * inch for run in found.runs]
    assert [row["end_gap"] for row in tables["spacing"]] == pytest.approx(gaps)
    areas = [each.area and each.area * in2 for each in found.glue_ups]
    assert [row["glued_area"] for row in tables["glue_ups"]] == pytest.approx(areas)
    loads = [each.pounds * pound for each in found.loads]
    assert [row["load"] for row in tables["loads"]] == pytest.approx(loads)
    offsets = [[each.offset * inch for each in shape.stations] for shape in found.shapes]
    for row, offset in zip(tables["shapes"], offsets, strict=True):
        assert [each["offset"] for each in row["offsets"]] == pytest.approx(offset, abs=1e-6)


def fits(value: Any, key: Row) -> bool:
    """Whether a value is what its column says."""
    if key["list"]:
        inner = {**key, "list": False}
        return isinstance(value, list) and all(fits(each, inner) for each in value)
    if value is None:
        return True
    if isinstance(value, list | dict):  # pairs of sizes, or sizes by name
        return all(
            isinstance(each, bool) or fits(each, key)
            for each in (value.values() if isinstance(value, dict) else value)
        )
    match key["holds"]:
        case "text":
            return isinstance(value, str)
        case "date":
            return re.fullmatch(r"\d{4}-\d\d-\d\d", value) is not None
        case "yes or no":
            return isinstance(value, bool)
        case "money" | "price" | "rate" | "own_money":
            return re.fullmatch(r"-?\d+\.\d\d+", value) is not None
    return isinstance(value, int | float) and not isinstance(value, bool) and math.isfinite(value)


def check_columns(data: Row) -> None:
    """Check that every table's rows are what its columns say, and that every number has a unit."""
    for name, rows in {**data["tables"], "problems": data["problems"]}.items():
        if name == "problems" and name not in data["columns"]:
            assert rows == []
            continue
        told = data["columns"][name]
        for key, column_ in told.items():
            assert column_["meaning"].endswith("."), (name, key)
            assert (column_["unit"] is None) == (column_["holds"] in keys.BARE), (name, key)
        for row in rows:
            assert list(row) == list(told), name
            for key, value in row.items():
                assert fits(value, told[key]), (name, key, value)


def test_every_column_says_what_it_holds_and_every_number_has_a_unit(example: tuple[Path, Outcome]) -> None:
    data = strictly(as_json(example[1].plain()))
    check_columns(data)
    for name in ("length", "volume", "money", "weight", "glue_area", "surface", "hours", "minutes"):
        assert data["units"][name]
    full = {name for name, rows in data["tables"].items() if rows}
    assert set(data["tables"]) - full <= {"to_buy", "tenon_stock", "purchases"}


def test_every_column_of_numbers_has_a_named_quantity() -> None:
    for tab in TABLES:
        for each in (*tab.asked, *tab.answered):
            assert each.kind is not Kind.NUMBER or each.quantity, (
                f"{tab.title}.{each.name}: name what the number is"
            )
    for label in (*settings.JOB, *settings.ALLOWANCES):
        assert label.kind is not Kind.NUMBER or label.quantity or label.name == "creep_factor"
    for table in (
        *keys.TABLES_OF_RUN,
        keys.PROBLEMS,
        *keys.TABLES_OF_REVIEW,
        keys.SPECIES,
        keys.CLIMATE,
        keys.MOVEMENT,
    ):
        names = [key.name for key in table.keys]
        assert len(names) == len(set(names)), table.name
        for key in table.keys:
            assert key.holds in {*keys.BARE, *keys.UNITS, *keys.BY_JOB, *keys.FIXED}, (table.name, key)


def test_frames_hold_the_same_as_json(example: tuple[Path, Outcome]) -> None:
    import pandas as pd

    outcome = example[1]
    data, frames = strictly(as_json(outcome.plain())), outcome.frames()
    assert list(frames) == [*data["tables"], "problems"]
    for name, frame in frames.items():
        rows = data["problems"] if name == "problems" else data["tables"][name]
        told = data["columns"][name]
        assert list(frame.columns) == list(told)
        assert frame.attrs["units"] == {key: each["unit"] for key, each in told.items()}
        assert len(frame) == len(rows)
        for row, stands in zip(rows, frame.to_dict("records"), strict=True):
            for key, value in stands.items():
                if told[key]["holds"] in ("money", "price", "rate") and row[key] is not None:
                    assert isinstance(value, Decimal)
                    assert value == Decimal(row[key])
                elif row[key] is None:
                    assert value is None or pd.isna(value)
                else:
                    assert value == row[key]
    assert sum(frames["lumber"]["cost"]) == frames["estimate"]["lumber"][0]


def test_a_bad_cell_is_a_problem_with_its_place_and_exit_code_1(tmp_path: Path) -> None:
    path = write(tmp_path / "job.xlsx", {"Parts": PLAIN["Parts"].replace("| 1 |", "| three |")})
    data = said("run", path, code=1)
    assert (data["done"], data["tables"]) == (False, {})
    wrong = next(row for row in data["problems"] if row["code"] == "not-a-length")
    assert (wrong["weight"], wrong["tab"], wrong["cell"], wrong["row"], wrong["column"]) == (
        "error", "Parts", "C2", 2, 3,
    )  # fmt: skip
    assert wrong["stands"] == "three"
    assert wrong["instead"].startswith("Write it as 3 1/4")
    check_columns(data)
    frames = sheetkit.run(path, check=True).frames()
    assert list(frames) == ["problems"]
    assert frames["problems"]["code"].tolist() == [row["code"] for row in data["problems"]]


def test_a_refusal_is_an_object_too_with_exit_code_2(tmp_path: Path) -> None:
    junk = tmp_path / "junk.xlsx"
    junk.write_bytes(b"no workbook")
    for words, reason in (
        (("run", tmp_path / "none.xlsx"), "no such file"),
        (("run", junk), "not a workbook"),
        (("review", tmp_path / "none"), "no such file"),
    ):
        data = said(*words, code=2)
        assert list(data) == ["form", "sheetkit", "command", "done", "problems"]
        assert (data["command"], data["done"]) == (words[0], False)
        assert [(row["code"], row["says"]) for row in data["problems"]] == [(reason, REFUSALS[reason])]


def test_json_and_watch_do_not_go_together(tmp_path: Path) -> None:
    done = CliRunner().invoke(main, ["run", str(tmp_path / "job.xlsx"), "--watch", "--json"])
    assert done.exit_code == 2
    assert done.stdout == ""
    assert "--watch" in done.stderr


def test_what_is_infinite_or_unknown_is_null(tmp_path: Path) -> None:
    loads = {
        "Loads": "Member | Species | Thickness | Width | Span | Load\nShelf | White oak | 3/4 | 11 | 36 | 60"
    }
    outcome = sheetkit.run(write(tmp_path / "job.xlsx", {**PLAIN, **loads}), check=True)
    found = outcome.answers
    assert found is not None
    odd = replace(found.loads[0], longest_span=math.inf, sag_later=math.nan)
    about = {"file": "job.xlsx", "written": False, "backup": None}
    data = run_data(replace(found, loads=(odd,)), (), **about)
    row = strictly(as_json(data))["tables"]["loads"][0]
    assert (row["longest_span"], row["sag_later"]) == (None, None)
    assert row["least_thickness"] > 0


def test_a_row_that_cannot_be_answered_stands_with_its_remark(tmp_path: Path) -> None:
    loads = {
        "Loads": "Member | Species | Thickness | Width | Span | Load\nCrib slat | White oak | 3/4 | 2 | 36 | 60"
    }
    outcome = sheetkit.run(write(tmp_path / "job.xlsx", {**PLAIN, **loads}), check=True)
    (row,) = outcome.plain()["tables"]["loads"]
    assert (row["member"], row["sag"], row["passes"]) == ("Crib slat", None, None)
    assert "regulated" in row["remarks"]


def test_money_keeps_its_cents_and_volume_its_unit(tmp_path: Path) -> None:
    tables = {
        "Job": "Job | Bench\nUnits | mm\nBoard measure | exact\nHourly rate | 40\nCurrency | EUR ",
        "Prices": "Species | Stock | Price | Waste\nWhite oak | 27 mm | 10 | 20 %",
        "Parts": "Part | Species | Thickness | Width | Length\nLeg | White oak | 20 | 50 | 700",
        "Extras": "Item | Qty | Unit price\nScrew | 3 | 0.035",
    }
    data = said("run", write(tmp_path / "job.ods", tables))
    assert [data["units"][name] for name in ("length", "volume", "price", "rate")] == [
        "mm",
        "bf",
        "EUR/bf",
        "EUR/h",
    ]
    assert data["tables"]["extras"][0] | {"row": 0, "note": ""} == {
        "row": 0, "item": "Screw", "qty": 3.0, "unit_price": "0.035", "fit_to": "", "when": "", "used": None, "note": "", "cost": "0.11",
    }  # fmt: skip
    (blank,) = data["tables"]["rough_sizes"]
    feet = (27 / 25.4) * (blank["width"] / 25.4) * (blank["length"] / 25.4) / 144
    assert blank["volume"] == pytest.approx(feet, abs=1e-8)
    assert data["tables"]["lumber"][0]["price"] == "10.00"


def test_a_review_tells_the_same_as_its_frames(tmp_path: Path) -> None:
    from sheetkit.jobs.review import review

    folder = TOP / "examples" / "past-jobs"
    data, frames = said("review", folder), review(folder).frames()
    check_columns(data)
    for name, frame in frames.items():
        assert [table["file"] for table in data["tables"]["jobs"]] == frames["jobs"]["file"].tolist()
        assert set(frame.columns) == {
            key.name for table in keys.TABLES_OF_REVIEW if table.name == name for key in table.keys
        }
    hours = [row["actual_hours"] for row in data["tables"]["jobs"]]
    assert hours == pytest.approx(frames["jobs"]["actual_hours"].tolist())
    assert [Decimal(row["price"]) for row in data["tables"]["jobs"]] == [
        round(Decimal(price), 2) for price in frames["jobs"]["price"]
    ]
    empty = said("review", tmp_path)
    assert all(rows == [] for rows in empty["tables"].values())


def test_species_tell_every_figure_and_its_source() -> None:
    data = said("species", "white", "oak")
    check_columns(data)
    (oak,) = data["tables"]["species"]
    assert (oak["name"], oak["coef_tangential"], oak["hardness_lbf"]) == ("White oak", 0.00365, 1360.0)
    assert oak["coef_source"] in data["sources"]
    assert "Wood Handbook" in data["sources"][oak["coef_source"]]
    every = said("species")
    check_columns(every)
    assert every == strictly(as_json(species_data(species_named(""))))
    assert len(every["tables"]["species"]) > 100
    oaks = said("species", "oak")["tables"]["species"]
    assert {row["name"] for row in oaks} > {"White oak", "Northern red oak"}
    unknown = said("species", "plastic", code=2)
    assert unknown["done"] is False
    assert unknown["problems"][0]["code"] == "no species"


def test_a_climate_tells_the_moisture_of_wood_and_how_panels_move() -> None:
    """Wood Handbook Table 4-2 at 70 F: 6.2 % at 30 % humidity, 12.0 % at 65 %; Table 13-5 for white oak: 0.00365, 0.00180."""
    data = said("species", "white", "oak", "--climate", "70", "30", "65", "--width", "14", "1/4")
    check_columns(data)
    dry, wet = data["tables"]["climate"]
    assert (dry["season"], dry["temperature"], dry["humidity"]) == ("driest", 70, 30)
    assert dry["moisture"] == pytest.approx(6.2, abs=0.1)
    assert wet["moisture"] == pytest.approx(12.0, abs=0.1)
    (oak,) = data["tables"]["movement"]
    change = wet["moisture"] - dry["moisture"]
    assert (oak["species"], oak["width"], oak["unit"]) == ("White oak", 14.25, "in")
    assert oak["flat"] == pytest.approx(14.25 * 0.00365 * change, abs=1e-8)
    assert oak["quarter"] == pytest.approx(14.25 * 0.00180 * change, abs=1e-8)
    assert oak["flat_equation"] == oak["quarter_equation"] == "13-2"


def test_a_climate_beyond_the_coefficients_names_the_other_equation_and_mm_are_mm() -> None:
    wide = ("--metric", "--climate", "21", "10", "80")
    data = said("species", "black", "cherry", *wide)
    check_columns(data)
    assert data["tables"]["climate"][0]["temperature"] == 21
    assert data["columns"]["climate"]["temperature"]["unit"] == "deg C"
    mm, inches = data["tables"]["movement"]
    assert (mm["width"], mm["unit"], inches["width"], inches["unit"]) == (300, "mm", 12, "in")
    assert mm["flat_equation"] == inches["flat_equation"] == "13-3"
    assert mm["flat"] / 300 == pytest.approx(inches["flat"] / 12)
    every = said("species", *wide)
    check_columns(every)
    assert len(every["tables"]["movement"]) == 2 * len(species_named(""))


def test_a_usual_climate_has_no_air_and_a_bad_one_is_refused() -> None:
    dry, wet = said("species", "--climate")["tables"]["climate"]
    assert (dry["moisture"], wet["moisture"]) == (6, 11)
    assert dry["temperature"] is dry["humidity"] is wet["humidity"] is None
    for words, code in ((("--climate", "70", "25"), "not a climate"), (("--width", "0"), "not a width")):
        refused = said("species", *words, code=2)
        assert refused["problems"][0]["code"] == code


def loaded(code: str, *names: str) -> set[str]:
    """Give those of some modules that are loaded after code ran."""
    asked = f"{code}\nimport sys; print(*(name for name in {names!r} if name in sys.modules))"
    done = subprocess.run([sys.executable, "-c", asked], capture_output=True, text=True, check=True, cwd=TOP)
    return set(done.stdout.splitlines()[-1].split())


def test_only_who_asks_for_plain_data_or_frames_loads_them(tmp_path: Path) -> None:
    path = write(tmp_path / "job.xlsx", PLAIN)
    ran = f"import sheetkit; outcome = sheetkit.run({str(path)!r}); assert outcome.ok"
    apart = ("sheetkit.data.plain", "sheetkit.data.keys", "pandas")
    assert loaded(ran, *apart) == set()
    assert loaded(f"{ran}; outcome.plain()", *apart) == {"sheetkit.data.plain", "sheetkit.data.keys"}
    assert loaded(f"{ran}; outcome.frames()", *apart) == set(apart)


def test_the_notebook_lines_of_the_readme_run(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    section = README.read_text("utf-8").split("## For programs")[1]
    lines = re.findall(r"^    (.*)$", section, re.MULTILINE)
    write(tmp_path / "bench.xlsx", PLAIN)
    monkeypatch.chdir(tmp_path)
    names: dict[str, Any] = {}
    exec("\n".join(lines), names)
    assert set(names["frames"]) == {*(table.name for table in keys.TABLES_OF_RUN), "problems"}
    unit, says = re.split(r"\s+# ", lines[-1])
    assert repr(eval(unit, names)) == says


TABLE_OF: dict[type, str] = {
    wood.PartAnswer: "parts", wood.PanelAnswer: "panels", bench.JointAnswer: "joints",
    bench.RunAnswer: "spacing", bench.ShapeAnswer: "shapes", bench.LoadAnswer: "loads",
    bench.GlueUpAnswer: "glue_ups", bench.FinishAnswer: "finish", money.ExtraAnswer: "extras",
    money.OperationAnswer: "labour", wood.Blank: "rough_sizes", wood.BoardAnswer: "boards", wood.LumberLine: "lumber", wood.BoardsWanted: "to_buy",
    wood.StockLayout: "layouts", buying.Purchase: "purchases", buying.BoardToBuy: "to_buy", layout_model.Layout: "layouts", layout_model.ToBuy: "to_buy",
    layout_model.Placed: "pieces", layout_model.Cut: "cuts", layout_model.LeftOver: "left_overs",
    bench.TenonMilling: "tenon_stock", bench.Cavity: "cavities", bench.Stick: "marks", bench.Mark: "marks", frames.Elevation: "elevations", frames.Piece: "elevations", money.Supply: "supplies",
    money.Estimate: "estimate", money.Alternative: "alternatives", Problem: "problems", model.JobSheet: "job",
    results.Answers: "job", results.Unanswered: "", money.Costs: "",
}  # fmt: skip
"""Which table tells a record."""
INSIDE = {bench.Groove, bench.TenonSource, bench.Station, bench.Member, money.MoneyLine, wood.NearStock}
"""Records told whole within a row (a member by centers and sides); lines of money stand in lumber, extras, labor and estimate."""
ROW = "what the row is of"
TOLD_AS = {
    "LumberLine.look_for": "to_buy", "JobSheet.words": "the tab Quote words", "Answers.purchases": "purchases", "Purchase.boards": "to_buy",
    "BoardToBuy.board": "bought of layouts", "BoardToBuy.price": "price of boards", "BoardToBuy.about": "purchases",
    "BoardToBuy.half": "the tab To buy",
    "PartAnswer.part": ROW, "PanelAnswer.panel": ROW, "JointAnswer.joint": ROW, "RunAnswer.run": ROW,
    "ShapeAnswer.shape": ROW, "LoadAnswer.load": ROW, "GlueUpAnswer.glue_up": ROW, "FinishAnswer.step": ROW,
    "ExtraAnswer.extra": ROW, "OperationAnswer.operation": ROW,
    "PartAnswer.near": "remarks", "PanelAnswer.near": "remarks",
    "PartAnswer.blanks": "rough_sizes", "PanelAnswer.blanks": "rough_sizes",
    "JointAnswer.cavities": "cavities", "JointAnswer.far": "cavities", "ShapeAnswer.part": "the name as asked",
    "Stick.section": "the picture", "Stick.across": "the picture", "Stick.cutouts": "cavities", "JointAnswer.into": "the name as asked", "JointAnswer.from_part": "the name as asked",
    "RunAnswer.members": "members_used", "RunAnswer.part": "the name as asked", "LoadAnswer.stress_share": "stress", "LoadAnswer.pounds": "load as asked",
    "GlueUpAnswer.glues": "the Shop sheet", "Answers.work": "the Shop sheet", "GlueUpAnswer.minutes": "minutes_needed", "GlueUpAnswer.fluid_ounces": "adhesive_needed",
    "FinishAnswer.gallons": "needed",
    "StockLayout.layout": "layouts, pieces, cuts", "StockLayout.to_buy": "to_buy", "StockLayout.blanks": "rough_sizes",
    "Blank.laid": "pieces",
    "Supply.rows": "the tab of each", "StockLayout.in_money": "cost, or none", "StockLayout.worth": "cost of lumber", "StockLayout.staves": "pieces",
    "Layout.missing": "to_buy", "Layout.staves": "pieces", "Layout.bound": "least_cost and least_volume",
    "Layout.work": "how hard the search worked, for its own tests",
    "ToBuy.pieces": "of", "Placed.piece": "of", "Cut.pieces": "of", "Stick.marks": "marks",
    "Estimate.lumber_lines": "lumber", "Estimate.extras_answers": "extras", "Estimate.supplies": "supplies",
    "Estimate.operations": "labour", "Alternative.lumber_lines": "buy, lumber and unpriced",
    "Answers.job": "the columns of each tab", "Answers.parts": "parts", "Answers.panels": "panels",
    "Answers.lumber": "lumber", "Answers.layouts": "layouts", "Answers.boards": "boards", "PartAnswer.boards": "from_stock",
    "PanelAnswer.boards": "from_stock",
    "BoardAnswer.board": ROW, "BoardAnswer.board_feet": "volume", "BoardAnswer.left_overs": "left_over",
    "Answers.problems": "problems", "Answers.notices": "problems", "Answers.joints": "joints", "Answers.runs": "spacing", "Answers.shapes": "shapes",
    "Answers.loads": "loads", "Answers.glue_ups": "glue_ups", "Answers.finish": "finish",
    "Answers.tenon_stock": "tenon_stock", "Answers.sticks": "marks", "Answers.unanswered": "remarks of the row", "Answers.costs": "estimate, quote and alternatives",
    "Elevation.name": "frame_name", "Elevation.width": "frame_width", "Elevation.height": "frame_height", "Elevation.pieces": "elevations",
    "Answers.elevations": "elevations", "Unanswered.tab": "the table", "Unanswered.row": ROW, "Unanswered.remarks": "remarks",
    "Costs.estimate": "estimate", "Costs.alternatives": "alternatives",
}  # fmt: skip
"""Fields of an answer that no key of the same name tells, and what tells them, or why nothing does."""


def field_names(record: type) -> set[str]:
    return (
        {each.name for each in fields(record)}
        if is_dataclass(record)
        else set(getattr(record, "_fields", ()))
    )


def test_every_field_of_an_answer_is_told_or_named_among_those_told_otherwise() -> None:
    tables = {table.name: table for table in (*keys.TABLES_OF_RUN, keys.PROBLEMS)}
    for record, name in TABLE_OF.items():
        table = tables.get(name)
        told = {key.field for key in table.keys if key.name not in table.asked} if table else set()
        for field in field_names(record) - told:
            assert f"{record.__name__}.{field}" in TOLD_AS, (
                f"add a Key to {name} in keys.py, or a line to TOLD_AS"
            )
    there = {f"{record.__name__}.{field}" for record in TABLE_OF for field in field_names(record)}
    assert set(TOLD_AS) <= there


def test_every_record_of_answers_has_its_table() -> None:
    for module in (results, wood, bench, frames, money):
        for _, record in inspect.getmembers(module, inspect.isclass):
            if record.__module__ == module.__name__ and field_names(record):
                assert record in TABLE_OF or record in INSIDE, record.__name__


def test_every_field_of_a_row_as_asked_is_told() -> None:
    for table in keys.OF_TABS:
        record = ROWS[table.tab][1]
        told_elsewhere = {"bad", "listed", "at_run", "of_part", "told_by"}
        assert field_names(record) - table.asked - {"row"} <= told_elsewhere, table.name
        assert table.asked - field_names(record) <= {"bad_from", "bad_to"}, table.name
