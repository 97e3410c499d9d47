"""The workbook: formula text, building, sealing, reading back, rebuilding."""
