"""Make everything for Excel anew: ``python workbook_template/make.py``.

The functions of the handbook (``engine/haymow/excel/handbook``), their VBA wrappers, the table in
``docs/excel.md``, and the four blank workbooks of this folder. Needs the dev extra. The tests fail
while something made differs from what it is made from.
"""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

HERE = Path(__file__).resolve().parent
ROOT = HERE.parent
sys.path.insert(0, str(ROOT / "tests"))


def functions() -> None:
    """The functions and the table of them, from the equations."""
    from haymow.excel.generate import modules, with_table

    folder = ROOT / "engine" / "haymow" / "excel" / "handbook"
    for old in folder.glob("*.py"):
        old.unlink()
    for name, text in modules().items():
        (folder / name).write_text(text, encoding="utf-8")
    page = ROOT / "docs" / "excel.md"
    page.write_text(with_table(page.read_text("utf-8")), encoding="utf-8")


def wrappers() -> None:
    """The VBA text of the functions, by xlwings' own generator, and of their help."""
    import excel_stubs
    from haymow.excel.generate import help_module

    with excel_stubs.excel() as udfs:
        text = excel_stubs.imported(udfs).text
    (HERE / "xlwings_udfs.bas").write_text(text, encoding="ascii")
    (HERE / "haymow_help.bas").write_text(help_module(), encoding="ascii")


def templates() -> None:
    """The four blank workbooks."""
    from haymow.workbook.template import write_templates

    for path in write_templates(HERE):
        print(path.name)


if __name__ == "__main__":
    if len(sys.argv) > 1:
        globals()[sys.argv[1]]()
    else:
        for step in ("functions", "wrappers", "templates"):  # each with the last one's files
            subprocess.run([sys.executable, __file__, step], check=True)
