"""Draw the README's pictures anew: ``python tests/draw_pictures.py``.

Needs LibreOffice: prints the demo workbook and cuts the sheets out of the pages.
"""

from __future__ import annotations

import sys
import tempfile
from pathlib import Path

import pdfplumber
import referee
from haymow.cli import main as haymow
from PIL import Image, ImageChops

PICTURES = Path(__file__).resolve().parents[1] / "docs" / "pictures"
SHEETS = {"Start": 0.72, "Plan": 1.0}  # how much of the first page, from the top
LARGEST = 150_000  # bytes
WIDE = 1500  # pixels
MARGIN = 12


def main() -> int:
    """Draw every picture; name it with its size."""
    with tempfile.TemporaryDirectory() as folder:
        if haymow(["demo", "--out", folder]):
            return 1
        workbook = next(Path(folder).glob("*.xlsx"))
        printed, = referee.to_pdf([workbook], Path(folder) / "pdf")
        PICTURES.mkdir(exist_ok=True)
        with pdfplumber.open(printed) as pages:
            for sheet, share in SHEETS.items():
                file = PICTURES / f"{sheet.lower()}.png"
                _save(_cut(_page(pages, sheet), share), file)
                print(f"docs/pictures/{file.name}: {file.stat().st_size // 1000} KB")
    return 0


def _page(pages: pdfplumber.PDF, sheet: str) -> Image.Image:
    """The first page of a sheet: its footer names the sheet, its first line too."""
    for page in pages.pages:
        if (page.extract_text() or "").startswith(sheet):
            return page.to_image(resolution=200).original.convert("RGB")
    raise SystemExit(f"error: no page of {sheet} was printed.")


def _cut(page: Image.Image, share: float) -> Image.Image:
    """Without the footer and the white around; the upper part only."""
    body = page.crop((0, 0, page.width, int(page.height * 0.93)))
    left, top, right, bottom = ImageChops.difference(
        body, Image.new("RGB", body.size, "white")).getbbox() or (0, 0, *body.size)
    bottom = top + int((bottom - top) * share)
    return body.crop((left - MARGIN, top - MARGIN, right + MARGIN, bottom + MARGIN))


def _save(picture: Image.Image, file: Path) -> None:
    """As a picture of few colors, narrower until it is small enough."""
    for wide in range(min(WIDE, picture.width), 500, -100):
        small = picture.resize((wide, round(picture.height * wide / picture.width)),
                               Image.Resampling.LANCZOS)
        small.quantize(48).save(file, optimize=True)
        if file.stat().st_size <= LARGEST:
            return


if __name__ == "__main__":
    sys.exit(main())
