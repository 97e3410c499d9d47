"""Make the workbooks and the PDF of this folder again; run it from anywhere."""

import datetime as dt
from pathlib import Path

import openpyxl
from openpyxl.utils.datetime import CALENDAR_MAC_1904

HERE = Path(__file__).parent


def merged():
    book = openpyxl.Workbook()
    sheet = book.active
    sheet.title = "Results"
    sheet.append(["Quillfeather Test Bench"])
    sheet.append([])
    sheet.append(["Sample", "Dry matter %", "Crude protein %", None, "ADF %", None])
    sheet.append([None, None, "As fed", "Dry basis", "As fed", "Dry basis"])
    sheet.append(["QF-400", 90.0, 8.1, 9.0, 36.0, 40.0])
    sheet.append(["QF-401", 85.0, 10.2, 12.0, 28.9, 34.0])
    for area in ("A1:F1", "A3:A4", "B3:B4", "C3:D3", "E3:F3"):
        sheet.merge_cells(area)
    book.save(HERE / "merged.xlsx")


def percent_cells():
    book = openpyxl.Workbook()
    sheet = book.active
    sheet.append(["Sample ID", "DM", "CP, DM basis", "ADF % DM", "Zn ppm DM"])
    sheet.append(["QF-405", 0.884, 0.0941, 0.382, 22])
    sheet.append(["QF-406", 0.879, 0.005, 0.401, 25])
    for row in (2, 3):
        for column in (2, 3, 4):
            sheet.cell(row, column).number_format = "0.00%"
    book.save(HERE / "percent_cells.xlsx")


def formulas():
    book = openpyxl.Workbook()
    sheet = book.active
    sheet.append(["Sample ID", "DM %", "N % DM", "CP % DM"])
    sheet.append(["QF-410", 88.0, 1.5, "=C2*6.25"])
    sheet.append(["QF-411", 87.0, 1.6, "#N/A"])
    sheet["D3"].data_type = "e"
    book.save(HERE / "formulas.xlsx")


def dates_1904():
    book = openpyxl.Workbook()
    book.epoch = CALENDAR_MAC_1904
    sheet = book.active
    sheet.append(["Sample ID", "Sampled", "DM %", "CP % DM"])
    sheet.append(["QF-415", dt.date(2026, 7, 2), 31.0, 12.4])
    book.save(HERE / "dates_1904.xlsx")


def sheets():
    book = openpyxl.Workbook()
    for number, (sample, crude) in enumerate((("QF-420", 9.0), ("QF-421", 12.0))):
        sheet = book.active if number == 0 else book.create_sheet()
        sheet.title = sample
        sheet.append(["Sample ID:", sample])
        sheet.append(["Component", "Result", "Unit", "Basis"])
        sheet.append(["Dry matter", 88.0, "%", "as received"])
        sheet.append(["Crude protein", crude, "%", "DM"])
    hidden = book.create_sheet("Old")
    hidden.append(["Sample ID", "CP % DM"])
    hidden.append(["QF-422", 7.7])
    hidden.sheet_state = "hidden"
    book.save(HERE / "sheets.xlsx")


def ids():
    book = openpyxl.Workbook()
    sheet = book.active
    sheet.append(["Sample ID", "DM %", "CP % DM"])
    sheet.append([dt.date(2026, 8, 27), 88.0, 9.0])
    sheet.append([4567, 87.0, 10.0])
    sheet.append([1234567890123450, 87.5, 11.0])
    book.save(HERE / "changed_ids.xlsx")


def text_numbers():
    book = openpyxl.Workbook()
    sheet = book.active
    sheet.append(["Sample ID", "DM %", "CP % DM", "ADF % DM"])
    sheet.append(["QF-425", "88.0", "9.6 ", dt.date(2026, 10, 8)])
    book.save(HERE / "text_numbers.xlsx")


def pdf():
    import matplotlib
    from matplotlib.figure import Figure

    matplotlib.rcParams["pdf.fonttype"] = 42
    lines = [("QUILLFEATHER TEST BENCH", "", "", ""), ("Sample ID: QF-430", "", "", ""),
             ("Description: hill hay", "", "", ""), ("", "", "", ""),
             ("Component", "As Received", "Dry Matter", "Unit"), ("Moisture", "10.0", "", "%"),
             ("Crude Protein", "9.0", "10.0", "%"), ("Acid Detergent Fiber", "36.0", "40.0", "%"),
             ("Calcium", "0.36", "0.40", "%"), ("Zinc", "18", "20", "ppm")]
    figure = Figure(figsize=(8, 5))
    for number, line in enumerate(lines):
        for x, text in zip((0.05, 0.42, 0.6, 0.8), line, strict=True):
            figure.text(x, 0.92 - 0.07 * number, text, fontsize=11)
    figure.savefig(HERE / "report.pdf", metadata={"CreationDate": None, "Creator": None,
                                                  "Producer": None})


if __name__ == "__main__":
    for make in (merged, percent_cells, formulas, dates_1904, sheets, ids, text_numbers, pdf):
        make()
