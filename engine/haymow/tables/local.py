"""Defaults of one's own area, carried into a new workbook: what, how much, from where, of when."""

from __future__ import annotations

from .book import Table
from .kinds import Entry, Link, Say
from .shorthand import keys

__all__ = ["LOCAL_KINDS", "LOCAL_ROWS", "LONGEST", "MEMBERS", "local"]

LOCAL_KINDS = ("setting", "price", "curve", "contact", "caution")
LOCAL_ROWS = 40  # defaults of an area that a workbook has room for
LONGEST = 240  # characters of a caution or a contact
MEMBERS = {"local": tuple(range(1, LOCAL_ROWS + 1))}
MARK = "local: {local_source}"
PRICE = "{local_item}: {local_value:2} {local_unit}, " + MARK


def local() -> Table:
    """One row a default; contacts and cautions may be added by hand."""
    return Table("Local", ("local",), (
        *keys("local"),
        Entry(name="local_kind", what="choice", choices="LocalKinds.local_kind", label="What it is",
              front=True, hint="A contact or a caution of your own may be added here."),
        Entry(name="local_item", what="text", label="Of what", front=True,
              hint="The setting, feed or curve; of a contact: laboratory, veterinarian."),
        Entry(name="local_value", label="Value", front=True,
              hint="As it was in the file of defaults. The value in use stands on its own sheet."),
        Entry(name="local_unit", what="text", label="Unit of the value", front=True,
              hint="Such as $/ton."),
        Entry(name="local_words", what="text", label="In words", front=True, longest=LONGEST,
              hint="Whom to call, or what to beware of. It shows on Start."),
        Entry(name="local_source", what="text", label="Where it comes from", front=True,
              longest=LONGEST, hint="Who says so; shown beside the word local."),
        Entry(name="local_on", what="date", label="As of", front=True, hint="Day of a price."),
        Say(name="local_told", by="local_kind_no", label="As it is shown", front=True,
            used="local_kind", unknown="", sentences=(
                "", MARK, PRICE, "{local_item}, " + MARK,
                "{local_item}: {local_words} (local)", "{local_words} (" + MARK + ")")),
        Link(name="local_kind_no", to="LocalKinds", by_name="local_kind", key="local_kind",
             label="Kind no."),
    ), sheet="Local defaults", purpose="What 'haymow new --defaults FILE' carried in for your area:"
                                       " settings, prices, curves, contacts, cautions.")
