"""The pages of ``docs/`` that are made from the code: name of the file -> its text."""

from __future__ import annotations

from collections.abc import Callable

from . import agreement, bibliography, commands, glossary, handbook, sheets

__all__ = ["PAGES"]

PAGES: dict[str, Callable[[], str]] = {
    "handbook.md": handbook.handbook,
    "steps.md": handbook.steps,
    "quantities.md": glossary.quantities,
    "sources.md": bibliography.sources,
    "agreement.md": agreement.agreement,
    "commands.md": commands.commands,
    "sheets.md": sheets.sheets,
}
