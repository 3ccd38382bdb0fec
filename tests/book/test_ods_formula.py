"""Formulas of .ods files, translated both ways."""

from __future__ import annotations

import pytest

from sheetkit.book.ods.formula import (
    block_address,
    block_of,
    from_open,
    literal,
    literal_text,
    readdressed,
    retitled,
    to_open,
)
from sheetkit.page import Range

BOTH_WAYS = [
    ("C4*Parts!$B$2", "of:=[.C4]*[$Parts.$B$2]"),
    ("SUM(C4:C9)", "of:=SUM([.C4:.C9])"),
    ("SUM('Shop sheet'!A1:B2,3)", "of:=SUM([$'Shop sheet'.A1:.B2];3)"),
    ("'Ann''s'!A1", "of:=[$'Ann''s'.A1]"),
    ("'A1'!B2", "of:=[$'A1'.B2]"),
    ("'x!y, (z)'!B2", "of:=[$'x!y, (z)'.B2]"),
    ('IF(A1="a,b;""c""",1,0)', 'of:=IF([.A1]="a,b;""c""";1;0)'),
    ('"Parts!A1"&B2', 'of:="Parts!A1"&[.B2]'),
    ("inside_width+A1", "of:=inside_width+[.A1]"),
    ("ROUND(inside_width*(1+waste),2)", "of:=ROUND(inside_width*(1+waste);2)"),
    ("VLOOKUP(A1,Lists!$A:$C,2,FALSE)", "of:=VLOOKUP([.A1];[$Lists.$A:.$C];2;FALSE())"),
    ("SUM(2:3)", "of:=SUM([.2:.3])"),
    ("SUM(First:Last!A1)", "of:=SUM([$First.A1:$Last.A1])"),
    ("LOG10(A1)+A10", "of:=LOG10([.A1])+[.A10]"),
    ("ATAN2(A1,B1)", "of:=ATAN2([.A1];[.B1])"),
    ("A1^2*-3.5e-2%", "of:=[.A1]^2*-3.5e-2%"),
    ("A1<>B1", "of:=[.A1]<>[.B1]"),
    ("SUM({1,2;3,4})", "of:=SUM({1;2|3;4})"),
    ('TEXTJOIN(", ",TRUE,A1:A3)', 'of:=COM.MICROSOFT.TEXTJOIN(", ";TRUE();[.A1:.A3])'),
    ("#REF!+1", "of:=#REF!+1"),
    ("IFERROR(1/0,#N/A)", "of:=IFERROR(1/0;#N/A)"),
    ("SUM(A1:B9 B2:C3)", "of:=SUM([.A1:.B9]![.B2:.C3])"),
    ("'Größe'!A1", "of:=[$'Größe'.A1]"),
    ("PMT(B1/12,B2,-B3)", "of:=PMT([.B1]/12;[.B2];-[.B3])"),
    ("ZZZ1+1", "of:=ZZZ1+1"),
]


@pytest.mark.parametrize(("neutral", "stored"), BOTH_WAYS)
def test_a_formula_translates_both_ways(neutral: str, stored: str) -> None:
    assert to_open(neutral) == stored
    assert from_open(stored) == neutral


@pytest.mark.parametrize(
    ("stored", "neutral"),
    [
        ("of:=[Parts.A1]", "Parts!A1"),
        ("of:=[$Parts.A1:$Parts.B2]", "Parts!A1:B2"),
        ("of:=[.#REF!]+[$Old.#REF!1]", "#REF!+#REF!"),
        ("oooc:=SUM([.A1];2)", "SUM(A1,2)"),
        ("=1+1", "1+1"),
        ("of:=SUM([.A1]~[.B1])", "SUM(A1,B1)"),
        ("of:=['file:///home/me/prices.ods'#$Sheet1.A1]", "'[file:///home/me/prices.ods]Sheet1'!A1"),
        ("of:=true()", "TRUE"),
    ],
)
def test_what_office_programs_write_is_read(stored: str, neutral: str) -> None:
    assert from_open(stored) == neutral


def test_a_letter_beyond_ascii_in_a_bare_title_is_understood() -> None:
    assert to_open("Größe!A1") == "of:=[$'Größe'.A1]"


def test_a_union_is_told_from_arguments() -> None:
    assert to_open("SUM((A1,B1),2)") == "of:=SUM(([.A1]~[.B1]);2)"


def test_a_formula_that_makes_no_sense_stays_and_is_not_lost() -> None:
    assert from_open("of:=???") == "???"
    assert to_open("(((") == "of:=((("


def test_a_reference_follows_the_title_that_a_tab_bears_in_the_file() -> None:
    assert to_open("Quote!A1+Parts!A1", {"quote": "Quote (2)"}) == "of:=[$'Quote (2)'.A1]+[$Parts.A1]"


def test_only_references_to_the_tab_itself_are_retitled() -> None:
    stored = 'of:=[.A1]+[$Quote.B2]+[Quote.B2:.B9]+[$Quotes.C1]&"Quote.B2"'
    assert retitled(stored, "Quote", "Old one") == (
        "of:=[.A1]+[$'Old one'.B2]+['Old one'.B2:.B9]+[$Quotes.C1]&\"Quote.B2\""
    )
    assert readdressed("$'My tab'.$A$1:.$B$2 'My tab'.A1:'My tab'.B2", "My tab", "B") == (
        "$B.$A$1:.$B$2 B.A1:B.B2"
    )


@pytest.mark.parametrize("text", ["", "plain", 'with "quotes"', "two\nlines", "=A1", 'x";"y'])
def test_a_note_is_read_as_it_was_written(text: str) -> None:
    assert literal_text("of:=" + literal(text)) == text
    assert literal_text(literal(text)) == text


def test_an_expression_that_is_no_constant_is_no_note() -> None:
    assert literal_text('of:="a"&"b"') is None
    assert literal_text("of:=[.A1]") is None


@pytest.mark.parametrize("title", ["Parts", "Shop sheet", "Ann's", "A1", "x.y"])
def test_an_address_names_its_tab_and_block(title: str) -> None:
    block = Range(2, 1, 9, 28)
    assert block_of(block_address(title, block)) == (title, block)
    assert block_of(f"{block_address(title, Range(3, 2, 3, 2))}") == (title, Range(3, 2, 3, 2))


def test_an_address_of_a_tab_that_is_gone_names_nothing() -> None:
    assert block_of("$#REF!.$A$1") is None
    assert block_of("'file:///x.ods'#$A.A1") is None
    assert block_of("") is None
