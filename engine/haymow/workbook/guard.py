"""Before openpyxl sees a file: whether it is a workbook at all, and a harmless one."""

from __future__ import annotations

import zipfile
from pathlib import Path

from ..problems import InputError

__all__ = ["check"]

# A workbook of ours with 60 groups over 24 months has about 13 MB, 130 MB unpacked.
MOST_BYTES, MOST_PARTS = 60_000_000, 2_000
MOST_PART_BYTES, MOST_TOTAL_BYTES = 250_000_000, 500_000_000
OLD_FILE = b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1"  # the container of .xls, and of locked .xlsx files
LOCKED = "EncryptedPackage".encode("utf-16-le")
DOCTYPES = tuple("<!DOCTYPE".encode(code) for code in ("utf-8", "utf-16-le", "utf-16-be"))
XML = (".xml", ".rels", ".vml")
CHUNK = 1 << 20


def check(path: Path) -> None:
    """Raise InputError unless ``path`` is an .xlsx (or .xlsm) file that is safe to open."""
    _is_there(path)
    try:
        with path.open("rb") as file:
            start = file.read(8)
    except PermissionError as error:
        raise InputError(f"{path.name} cannot be opened; close it in other programs and try"
                         " again.") from error
    if start == OLD_FILE:
        raise InputError(_old_or_locked(path))
    if not start.startswith(b"PK"):
        raise InputError(f"{path.name} is not a workbook; expected an .xlsx file made by Haymow.")
    try:
        with zipfile.ZipFile(path) as archive:
            _is_workbook(path, archive.namelist())
            _is_ordinary(path, archive)
    except (zipfile.BadZipFile, NotImplementedError, EOFError, OSError, RuntimeError) as error:
        raise InputError(f"{path.name} is damaged and cannot be opened; take your last backup"
                         " (its name holds .bak-).") from error


def _is_there(path: Path) -> None:
    if path.name.startswith("~$"):
        raise InputError(f"{path.name} only marks a workbook that is open; give the workbook"
                         f" {path.name[2:]}.")
    if path.is_dir():
        raise InputError(f"{path.name or path} is a folder; give the workbook in it.")
    if not path.exists():
        raise InputError(f"There is no file {path}; check its name and folder.")
    size = path.stat().st_size
    if size == 0:
        raise InputError(f"{path.name} is empty (0 bytes); take your last backup (its name holds"
                         " .bak-).")
    if size > MOST_BYTES:
        raise InputError(f"{path.name} has {size / 1e6:.0f} MB; a workbook of up to"
                         f" {MOST_BYTES / 1e6:.0f} MB was expected.")


def _old_or_locked(path: Path) -> str:
    if LOCKED in path.read_bytes():
        return (f"{path.name} has a password; open it, save it without the password, and try"
                " again.")
    return f"{path.name} is an old .xls workbook; save it as .xlsx and try again."


def _is_workbook(path: Path, names: list[str]) -> None:
    if "xl/workbook.bin" in names:
        raise InputError(f"{path.name} is a binary workbook (.xlsb); save it as .xlsx and try"
                         " again.")
    if "xl/workbook.xml" not in names:
        kind = "an OpenDocument file" if "content.xml" in names else "a zip file"
        raise InputError(f"{path.name} is {kind}, not an .xlsx workbook; save it as .xlsx and try"
                         " again.")


def _is_ordinary(path: Path, archive: zipfile.ZipFile) -> None:
    """Refuse bombs, entities and strange parts. What parts declare is not believed but counted."""
    parts = archive.infolist()
    names = [part.filename for part in parts]
    strange = (len(parts) > MOST_PARTS or len(set(names)) < len(names)
               or sum(part.file_size for part in parts) > MOST_TOTAL_BYTES
               or any(part.flag_bits & 1 for part in parts)
               or any(name.startswith(("/", "\\")) or ".." in name.split("/") for name in names))
    total = 0
    for part in [] if strange else parts:
        size = _size_inside(archive, part)
        total += size or 0
        if size is None or total > MOST_TOTAL_BYTES:
            strange = True
            break
    if strange:
        raise InputError(f"{path.name} is no ordinary workbook (too large inside, or with parts"
                         " that a workbook never has) and was not opened.")


def _size_inside(archive: zipfile.ZipFile, part: zipfile.ZipInfo) -> int | None:
    """Unpacked bytes; None if there are too many, or if its XML declares a document type."""
    size, tail = 0, b""
    xml = part.filename.lower().endswith(XML)
    with archive.open(part) as file:
        while chunk := file.read(CHUNK):
            size += len(chunk)
            text = tail + chunk
            if size > MOST_PART_BYTES or (xml and any(mark in text for mark in DOCTYPES)):
                return None
            tail = chunk[-20:]
    return size
