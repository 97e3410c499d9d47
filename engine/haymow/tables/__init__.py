"""Tables as pure data: columns, kinds, dimensions, and the tables of the workbook."""

from .book import STEPPED, Book, Place, Setting, Table
from .kinds import (
    Asks,
    Calc,
    Column,
    Edge,
    Entry,
    Into,
    Key,
    Last,
    Link,
    Names,
    Nearest,
    Prev,
    Pull,
    Roll,
    Running,
    Say,
    Shown,
    Tally,
    Which,
)

__all__ = [
    "STEPPED", "Asks", "Book", "Calc", "Column", "Edge", "Entry", "Into", "Key", "Last", "Link",
    "Names", "Nearest", "Place", "Prev", "Pull", "Roll", "Running", "Say", "Setting", "Shown",
    "Table",
    "Tally", "Which",
]
