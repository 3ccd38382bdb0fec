"""A draft of the message with the quote: what a mail program reads in it, and that nothing else is touched."""

from __future__ import annotations

import email
from email import policy
from email.message import EmailMessage
from pathlib import Path

import pytest

from sheetkit import run
from sheetkit.book.formats import by_ending
from sheetkit.book.workbook import Change, Refused
from sheetkit.jobs.mail import Attached, draft
from sheetkit.jobs.new import client_file
from sheetkit.page import Cell
from sheetkit.records.job import JobSheet
from tests.jobs import NOW
from tests.money.test_quote import asked

FORMATS = pytest.mark.parametrize("ending", [".xlsx", ".ods"])


def job(folder: Path, ending: str, words: str = "") -> Path:
    path = folder / f"bench{ending}"
    path.write_bytes(by_ending(ending).render(asked(words)))
    assert run(path, now=NOW).ok
    return path


def read_back(data: bytes) -> EmailMessage:
    return email.message_from_bytes(data, policy=policy.default)


@FORMATS
def test_the_draft_holds_the_clients_copy_and_the_words_of_the_quote(tmp_path: Path, ending: str) -> None:
    path = job(tmp_path, ending)
    before = path.read_bytes()
    said = client_file(path, mail="a.client@example.com")
    assert "nothing was sent" in said[-1]
    raw = (tmp_path / "bench.client.eml").read_bytes()
    message = read_back(raw)
    assert (message["To"], message["Subject"], message["X-Unsent"]) == (
        "a.client@example.com",
        "Quote: Bench",
        "1",
    )
    body = message.get_body(("plain",))
    assert body is not None
    text = body.get_content().replace("\r\n", "\n")
    assert text.startswith("Dear A. Client,\n\nHere is the quote for Bench.")
    assert text.rstrip().endswith("With kind regards\nShop by the Creek")
    (attached,) = message.iter_attachments()
    assert attached.get_filename() == f"bench.client{ending}"
    assert attached.get_content() == (tmp_path / f"bench.client{ending}").read_bytes()
    assert path.read_bytes() == before
    # RFC 5322, 2.1.1 and 2.3: lines of at most 998 characters that end in CR and LF
    assert all(len(line) <= 998 for line in raw.split(b"\r\n"))
    assert b"\n" not in raw.replace(b"\r\n", b"")


def test_the_pdf_goes_along_where_there_is_one(tmp_path: Path, office: object) -> None:
    path = job(tmp_path, ".xlsx")
    client_file(path, pdf=True, mail="")
    message = read_back((tmp_path / "bench.client.eml").read_bytes())
    assert message["To"] is None
    (attached,) = message.iter_attachments()
    assert (attached.get_filename(), attached.get_content_type()) == ("bench.client.pdf", "application/pdf")
    assert attached.get_content() == (tmp_path / "bench.client.pdf").read_bytes()


def test_the_words_are_the_makers_own(tmp_path: Path) -> None:
    words = "Words of the quote | Yours\nQuote: {piece} | Angebot für {piece}\nDear {client}, | Guten Tag {client}!"
    client_file(job(tmp_path, ".ods", words), mail="")
    message = read_back((tmp_path / "bench.client.eml").read_bytes())
    assert message["Subject"] == "Angebot für Bench"
    body = message.get_body(("plain",))
    assert body is not None
    assert body.get_content().startswith("Guten Tag A. Client!")


def test_the_same_draft_is_left_and_one_of_the_makers_is_kept(tmp_path: Path) -> None:
    path = job(tmp_path, ".xlsx")
    letter = tmp_path / "bench.client.eml"
    letter.write_bytes(b"my own words")
    said = client_file(path, mail="")
    assert "The earlier one: bench.client.before.eml" in said[-1]
    assert (tmp_path / "bench.client.before.eml").read_bytes() == b"my own words"
    once = letter.read_bytes()
    client_file(path, mail="")
    assert letter.read_bytes() == once
    assert len(list(tmp_path.glob("*.eml"))) == 2


@pytest.mark.parametrize(
    "address", ["client", "a@b", "a@b.c\nBcc: x@y.z", "a b@example.com", "x@y.z, v@w.x", "<a@b.cd>"]
)
def test_what_is_no_address_is_refused_and_nothing_is_written(tmp_path: Path, address: str) -> None:
    path = job(tmp_path, ".xlsx")
    with pytest.raises(Refused, match="no address"):
        client_file(path, mail=address)
    assert not list(tmp_path.glob("bench.client*"))


def test_a_name_slips_no_header_in() -> None:
    sheet = JobSheet("Bench\r\nBcc: x@y.z", "in", 1 / 32, "exact", client="A\nB", piece="")
    message = read_back(draft(sheet, "", Attached("q.pdf", ".pdf", b"%PDF")))
    assert message["Bcc"] is None
    assert message["Subject"] == "Quote: Bench Bcc: x@y.z"


def test_a_quote_with_a_comma_is_not_taken_for_old_when_a_note_changed(tmp_path: Path) -> None:
    from tests.jobs import read

    path = tmp_path / "bench.xlsx"
    path.write_bytes(
        by_ending(".xlsx").render(asked(Decimal_sign="comma", Inside_width=17.25, Inside_length=46.5))
    )
    assert run(path, now=NOW).ok
    before = read(path)
    change = Change(patches={"Parts": {(2, 1): Cell("Foot")}}, columns=before.columns, notes=before.notes)
    path.write_bytes(by_ending(".xlsx").graft(path.read_bytes(), change))
    client_file(path)
    shown = [cell.value for cell in read(tmp_path / "bench.client.xlsx").pages[0].cells.values()]
    assert any(isinstance(value, str) and value.startswith("room inside") for value in shown)
