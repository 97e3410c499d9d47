"""Lab reports: read without guessing, put on the dry matter, looked at for what cannot be right."""

from .basis import on_dm, settle
from .read import read_report
from .records import Ask, LabSample, Mapping, Report, Result
from .suspicions import repeats, suspicions
from .units import convert
from .words import Analyte, analytes

__all__ = ["Analyte", "Ask", "LabSample", "Mapping", "Report", "Result", "analytes", "convert",
           "on_dm", "read_report", "repeats", "settle", "suspicions"]
