"""A workbook such as a maker might keep, with much in it that is none of our business; for the tests."""

from __future__ import annotations

import io
import struct
import zlib

import xlsxwriter


def png(width: int = 4, height: int = 3, red: int = 200) -> bytes:
    """Give a small plain picture."""

    def chunk(kind: bytes, body: bytes) -> bytes:
        return struct.pack(">I", len(body)) + kind + body + struct.pack(">I", zlib.crc32(kind + body))

    rows = b"".join(b"\0" + bytes([red, 90, 40]) * width for _ in range(height))
    head = struct.pack(">IIBBBBB", width, height, 8, 2, 0, 0, 0)
    return (
        b"\x89PNG\r\n\x1a\n"
        + chunk(b"IHDR", head)
        + chunk(b"IDAT", zlib.compress(rows))
        + chunk(b"IEND", b"")
    )


def makers_workbook(*, macros: bool = True, date1904: bool = False) -> bytes:
    """Give a workbook with parts, formulas, a chart, a table, a comment and more on several tabs."""
    out = io.BytesIO()
    book = xlsxwriter.Workbook(out, {"in_memory": True, "date_1904": date1904})
    heading = book.add_format({"bold": True, "bg_color": "#DDEEDD", "border": 1})
    fraction = book.add_format({"num_format": "# ??/??", "bg_color": "#FFF7E0"})
    percent = book.add_format({"num_format": "0%"})
    day = book.add_format({"num_format": "d mmm yyyy"})
    parts = book.add_worksheet("Parts")
    parts.set_column(0, 0, 22)
    parts.set_column(2, 3, 11, fraction)
    parts.set_column(8, 8, 14, fraction)
    parts.set_row(6, None, heading)
    parts.write_row(0, 0, ["Part", "Qty", "Width", "Length", "My note", "Cost"], heading)
    rows = [("Leg", 4, 2.5, 29), ("Long rail", 2, 3.25, 62.5), ("Slat", 9, 1.75, 31)]
    for number, (name, count, width, length) in enumerate(rows, start=1):
        parts.write_row(number, 0, [name, count])
        parts.write_row(number, 2, [width, length], fraction)
        parts.write_formula(number, 5, f"=B{number + 1}*D{number + 1}/12", None, count * length / 12)
    parts.write_string(1, 4, "from the tall board")
    parts.write_rich_string(2, 4, "mind the ", heading, "knot")
    parts.write_comment("A2", "Ask about this one.")
    parts.conditional_format("B2:B9", {"type": "cell", "criteria": ">", "value": 5, "format": heading})
    parts.data_validation("E5:E9", {"validate": "list", "source": "=Lists!$A$1:$A$3"})
    parts.merge_range("A12:C12", "all lengths shoulder to shoulder", heading)
    parts.write_url("A14", "https://example.invalid/", string="a place outside")
    parts.write_url("A15", "internal:Lists!A1", string="to the lists")
    lists = book.add_worksheet("Lists")
    lists.write_column(0, 0, ["oak", "ash", "cherry"])
    lists.write_column(0, 2, [0.2, 0.35], percent)
    lists.write_number(0, 3, 46_085 - (1462 if date1904 else 0), day)
    lists.insert_image("F2", "own.png", {"image_data": io.BytesIO(png()), "description": "a leg"})
    money = book.add_worksheet("Money")
    money.add_table(
        "B2:D5",
        {
            "columns": [{"header": "Item"}, {"header": "Price"}, {"header": "Of it"}],
            "data": [["glue", 9.5, 1], ["oil", 22, 2], ["screws", 4, 3]],
        },
    )
    money.write_formula("F2", "=SUM(C3:C5)", None, 35.5)
    money.write_array_formula("G2:G4", "{=C3:C5*2}", None, 19)
    chart = book.add_chart({"type": "column"})
    chart.add_series({"values": "=Money!$C$3:$C$5", "categories": "=Money!$B$3:$B$5"})
    money.insert_chart("H8", chart)
    book.add_chartsheet("Picture of money").set_chart(_pie(book))
    book.define_name("oak_price", "=Lists!$C$1")
    book.define_name("Money!here", "=Money!$F$2")
    money.print_area("A1:G12")
    if macros:
        book.add_vba_project(io.BytesIO(b"not really a program, but carried as one"), is_stream=True)
    book.close()
    return out.getvalue()


def _pie(book: xlsxwriter.Workbook) -> object:
    pie = book.add_chart({"type": "pie"})
    pie.add_series({"values": "=Money!$C$3:$C$5"})
    return pie
