"""Every word of the quote and of the message with it, to be overwritten on the tab Quote words in any language."""

from __future__ import annotations

from sheetkit.form.columns import Column, Kind

QUOTE_WORDS_TITLE = "Quote words"
QUOTE_WORDS_HELP = (
    "Every word of the quote, and of the message that goes with it. Write yours on the right, in any language; what stays empty is said as on the left.",
    "Add a row for a wood or a product of the finish to call it as the client does: Sugar maple | Hard maple.",
    "Words in braces, as {weeks}, are filled in; leave them as they are, wherever they come in your sentence.",
)
COLUMNS = (
    Column("said", "Words of the quote", Kind.TEXT, "What the quote says.", example="Deposit with the order"),
    Column("yours", "Yours", Kind.TEXT, "What it says in place of that.", example="Anzahlung bei Auftrag"),
)
HEADINGS = tuple(column.heading for column in COLUMNS)
WORDS = {
    "title": "Quote",
    "not_ready": "Not ready to send: something in it has no price yet.",
    "for": "For",
    "number": "Number",
    "date": "Date",
    "valid_until": "Valid until",
    "valid_for": "Valid for",
    "valid_days": "{days} days from the day it is signed by the maker",
    "made": "What is made",
    "outside": "Outside size",
    "size": "Size",
    "fits": "to fit: {size}",
    "inside": "room inside {size}",
    "wood": "Wood",
    "mostly": "{wood}, with {others}",
    "finish": "Finish",
    "coat": "{product}, 1 coat",
    "coats": "{product}, {count} coats",
    "included": "Included",
    "work": "Wood, joinery, glue-up and sanding",
    "hardware": "Hardware and fittings",
    "delivery": "Delivery",
    "delivered": "Delivery is included in the price",
    "collected": "Collected from the workshop",
    "ready": "Ready",
    "week": "about 1 week after the order",
    "weeks": "about {weeks} weeks after the order",
    "prices": "Price ({currency})",
    "price": "Price",
    "tax": "Tax",
    "total": "Total",
    "deposit": "Deposit with the order",
    "balance": "Balance on delivery",
    "balance_collected": "Balance when it is collected",
    "options": "The same piece in another wood ({currency})",
    "options_delivered": "Each total includes delivery as above.",
    "agreed": "Agreed as written above:",
    "maker": "The maker",
    "client": "The client",
    "signature": "Signature",
    "signed_on": "Date",
    "subject": "Quote: {piece}",
    "greeting": "Dear {client},",
    "greeting_unnamed": "Hello,",
    "message": "Here is the quote for {piece}. If you agree, please sign it and send it back.",
    "closing": "With kind regards",
}
"""Name of each of the quote's words -> how it is said unless the maker says it otherwise."""
