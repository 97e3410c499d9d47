"""Make the generated pages of ``docs/`` anew: ``python tests/generate_docs.py``.

Run it after a change to a quantity, an equation, a table, a source, a published value or a command;
``tests/test_docs.py`` fails while a page is not what it is made from.
"""

from __future__ import annotations

import sys
from pathlib import Path

from pages import PAGES

DOCS = Path(__file__).resolve().parents[1] / "docs"


def main() -> int:
    """Write every page that changed; name it."""
    for name, text in PAGES.items():
        file, new = DOCS / name, text()
        changed = not file.exists() or file.read_text("utf-8") != new
        if changed:
            file.write_text(new, "utf-8", newline="\n")
        print(f"docs/{name}: {'written' if changed else 'as it was'}")
    return 0


if __name__ == "__main__":
    sys.exit(main())
