"""A draft of the message that goes with a quote, to be opened in a mail program; nothing is sent."""

from __future__ import annotations

import re
from email.message import EmailMessage
from email.policy import SMTP
from hashlib import sha256
from typing import NamedTuple

from sheetkit.book.workbook import Refused
from sheetkit.records.job import JobSheet
from sheetkit.tabs.quote import Words

_KINDS = {
    ".pdf": ("application", "pdf"),
    ".xlsx": ("application", "vnd.openxmlformats-officedocument.spreadsheetml.sheet"),
    ".ods": ("application", "vnd.oasis.opendocument.spreadsheet"),
}
_ADDRESS = re.compile(r"[^\s<>@,;:\"()\[\]\\]+@[^\s<>@,;:\"()\[\]\\]+\.[^\s<>@,;:\"()\[\]\\.]+")


class Attached(NamedTuple):
    """A file that goes with a message."""

    name: str
    suffix: str
    data: bytes


def draft(sheet: JobSheet, address: str, attached: Attached) -> bytes:
    """Return a message as RFC 5322 has it, but for sender and date, which a mail program adds on sending.

    Parameters
    ----------
    sheet
        The job: its client and piece, and the words of its quote.
    address
        To whom it goes; empty when that is filled in later.
    attached
        The client's copy.

    Raises
    ------
    Refused
        ``no address`` when what was given is none.

    Notes
    -----
    ``X-Unsent: 1`` has mail programs that know it open the file for writing. No header can be slipped in by
    a name: line ends in one are spaces.
    """
    if address and not _ADDRESS.fullmatch(address):
        raise Refused("no address", address)
    words = Words(sheet.words)
    piece, client = (" ".join(text.split()) for text in (sheet.piece or sheet.job, sheet.client))
    message = EmailMessage(policy=SMTP)
    if address:
        message["To"] = address
    message["Subject"] = " ".join(words.say("subject", piece=piece).split())
    message["X-Unsent"] = "1"
    greeting = words.say("greeting", client=client) if client else words.say("greeting_unnamed")
    lines = [greeting, "", words.say("message", piece=piece), "", words.say("closing"), sheet.prepared_by]
    message.set_content("\n".join(lines).rstrip() + "\n")
    kind, more = _KINDS[attached.suffix]
    message.add_attachment(attached.data, maintype=kind, subtype=more, filename=attached.name)
    message.set_boundary(f"quote-{sha256(attached.data).hexdigest()[:32]}")  # the same each time
    return bytes(message)
