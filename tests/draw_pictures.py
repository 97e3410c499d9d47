"""Draw the README's pictures anew: ``python tests/draw_pictures.py``.

Needs LibreOffice: prints the demo workbook and cuts the sheets out of the pages.
"""

from __future__ import annotations

import sys
import tempfile
from pathlib import Path

import pdfplumber
from PIL import Image, ImageChops

import referee
from haymow.cli import main as haymow

PICTURES = Path(__file__).resolve().parents[1] / "docs" / "pictures"
SHEETS = {"Start": (0.55, 1500), "Plan": (0.65, 2000)}  # part of the page, pixels of width
LARGEST = 150_000  # bytes
MARGIN = 12
INK = 110  # gray of text and darker, of 255


def main() -> int:
    """Draw every picture; name it with its size."""
    with tempfile.TemporaryDirectory() as folder:
        if haymow(["demo", "--out", folder]):
            return 1
        workbook = next(Path(folder).glob("*.xlsx"))
        printed, = referee.to_pdf([workbook], Path(folder) / "pdf")
        PICTURES.mkdir(exist_ok=True)
        with pdfplumber.open(printed) as pages:
            for sheet, (share, wide) in SHEETS.items():
                file = PICTURES / f"{sheet.lower()}.png"
                _save(_cut(_page(pages, sheet), share), wide, file)
                print(f"docs/pictures/{file.name}: {file.stat().st_size // 1000} KB")
    return 0


def _page(pages: pdfplumber.PDF, sheet: str) -> Image.Image:
    """The first page of a sheet: its footer names the sheet, its first line too."""
    for page in pages.pages:
        if (page.extract_text() or "").startswith(sheet):
            picture: Image.Image = page.to_image(resolution=200).original.convert("RGB")
            return picture
    raise SystemExit(f"error: no page of {sheet} was printed.")


def _cut(page: Image.Image, share: float) -> Image.Image:
    """Without the footer and the white around; the upper part only."""
    body = page.crop((0, 0, page.width, int(page.height * 0.93)))
    left, top, right, bottom = ImageChops.difference(
        body, Image.new("RGB", body.size, "white")).getbbox() or (0, 0, *body.size)
    bottom = _between_lines(body, top + int((bottom - top) * share))
    return body.crop((left - MARGIN, top - MARGIN, right + MARGIN, bottom + MARGIN))


def _between_lines(page: Image.Image, y: int) -> int:
    """The nearest row of pixels above without ink, so that no line of text is cut."""
    gray = page.convert("L")
    while y > 0 and min(gray.crop((0, y, page.width, y + 1)).tobytes()) < INK:
        y -= 1
    return y


def _save(picture: Image.Image, most: int, file: Path) -> None:
    """As a picture of few colors, narrower until it is small enough."""
    for wide in range(min(most, picture.width), 500, -100):
        small = picture.resize((wide, round(picture.height * wide / picture.width)),
                               Image.Resampling.LANCZOS)
        small.quantize(48).save(file, optimize=True)
        if file.stat().st_size <= LARGEST:
            return


if __name__ == "__main__":
    sys.exit(main())
