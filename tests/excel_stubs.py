"""Stand-ins for the COM layer (pywin32), so that xlwings' own code runs here as on Windows.

What is real: xlwings' decorators, argument and result conversion, dispatch and VBA generator.
What stands in: Excel and pywin32. Cells come as Excel hands them over: numbers as float, an
error as its whole number, a currency as Decimal, a date with a time zone.
"""

from __future__ import annotations

import ctypes
import datetime as dt
import importlib
import sys
import types
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any
from unittest.mock import MagicMock

import pytest

__all__ = ["MISSING", "NA", "SPILL", "Cells", "FakeWorkbook", "called", "excel", "imported"]

MISSING = -2147352572  # what Excel hands over for an argument that was left out
NA, DIV0, SPILL = -2146826246, -2146826281, -2146826245
RANGE_IID = "{00020846-0000-0000-C000-000000000046}"
MODULES = ("haymow.excel.handbook", "haymow.excel.answers")


class ComError(Exception):
    """What pywin32 raises."""


class _Type:
    iid = RANGE_IID

    def GetTypeInfo(self) -> _Type:  # noqa: N802  pywin32's names
        return self

    def GetTypeAttr(self) -> _Type:  # noqa: N802
        return self


class Cells:
    """A range of cells in a call from a worksheet: what COM's Range object shows of it."""

    def __init__(self, *rows: tuple[Any, ...], address: str = "$A$1") -> None:
        self.rows, self._oleobj_, self.Address = rows, _Type(), address
        self.Worksheet, self.Row, self.Column = MagicMock(), 1, 1

    @property
    def Value(self) -> Any:  # noqa: N802
        """One cell alone as a value, others as rows, as COM does."""
        one = len(self.rows) == 1 and len(self.rows[0]) == 1
        return self.rows[0][0] if one else self.rows

    @property
    def Rows(self) -> Any:  # noqa: N802
        return types.SimpleNamespace(Count=len(self.rows))

    @property
    def Columns(self) -> Any:  # noqa: N802
        return types.SimpleNamespace(Count=len(self.rows[0]))

    def GetAddress(self, *_: Any) -> str:  # noqa: N802
        return self.Address


def _stand_ins() -> dict[str, types.ModuleType]:
    made: dict[str, types.ModuleType] = {}

    def module(name: str, **content: Any) -> None:
        made[name] = types.ModuleType(name)
        made[name].__dict__.update(content)
        package, _, last = name.rpartition(".")
        if package:
            setattr(made[package], last, made[name])

    def same(value: Any = None, *_: Any, **__: Any) -> Any:
        return value

    zone = types.SimpleNamespace(utc=lambda: dt.UTC)
    module("pywintypes", com_error=ComError, IID=str, TimeType=dt.datetime)
    module("pythoncom", __file__="", CoInitialize=same, IID_IDispatch=0, IID_IEnumVARIANT=1,
           TypeIIDs={0: _Type}, MakeIID=str)
    module("win32process", GetWindowThreadProcessId=lambda window: (0, window))
    for name in ("win32api", "win32con", "win32event", "win32gui", "win32com", "win32com.server",
                 "win32com.server.dispatcher", "win32com.server.policy"):
        module(name)
    module("win32timezone", TimeZoneInfo=zone)
    module("win32com.client", Dispatch=same, DispatchEx=same, CDispatch=_Type,
           CoClassBaseClass=object, DispatchBaseClass=object)
    module("win32com.server.util", wrap=same, unwrap=same)
    return made


@contextmanager
def excel() -> Iterator[types.ModuleType]:
    """xlwings as on Windows, with our functions imported through it; yields ``xlwings.udfs``."""
    import xlwings

    with pytest.MonkeyPatch.context() as patch:
        for name, module in _stand_ins().items():
            patch.setitem(sys.modules, name, module)
        for name in [n for n in sys.modules if n.startswith(MODULES)]:
            patch.delitem(sys.modules, name)
        for name in ("xlwings._xlwindows", "xlwings._win32patch", "xlwings.udfs"):
            patch.delitem(sys.modules, name, raising=False)
        patch.setattr("atexit.register", lambda function: function)
        with pytest.MonkeyPatch.context() as loading:
            for name in ("oledll", "windll", "PyDLL"):
                loading.setattr(ctypes, name, MagicMock(), raising=False)
            windows = importlib.import_module("xlwings._xlwindows")
        patch.setattr(xlwings, "_xlwindows", windows, raising=False)
        xlwings.engines.add(xlwings.Engine(impl=windows.engine))
        udfs = importlib.import_module("xlwings.udfs")
        for name, real in (("func", udfs.xlfunc), ("arg", udfs.xlarg), ("ret", udfs.xlret)):
            patch.setattr(xlwings, name, real)
        yield udfs


class FakeWorkbook:
    """A workbook as ``import_udfs`` needs it: takes the module, and the help of each function."""

    def __init__(self, name: str) -> None:
        self.Name, self.text = name, ""
        self.help: dict[str, dict[str, Any]] = {}
        self.Application = types.SimpleNamespace(Version="16.0", MacroOptions=self._options)
        self.VBProject = types.SimpleNamespace(VBComponents=self)

    def __call__(self, component: str) -> None:
        raise ComError(f"there is no {component} yet")

    def Remove(self, component: str) -> None:  # noqa: N802
        """Never reached: there is nothing to remove."""

    def Import(self, path: str) -> None:  # noqa: N802
        with open(path, encoding="utf-8") as file:
            self.text = file.read()

    def _options(self, macro: str, **told: Any) -> None:
        self.help[macro.rpartition("!")[2]] = told


def imported(udfs: types.ModuleType) -> FakeWorkbook:
    """What "Import Functions" makes of our functions: the VBA module, and Excel's help."""
    for name in MODULES:
        udfs.get_udf_module(name, None)
    workbook = FakeWorkbook("haymow.xlsm")
    udfs.import_udfs(";".join(MODULES), workbook)
    return workbook


def called(udfs: types.ModuleType, function: str, *arguments: Any) -> list[list[Any]]:
    """What a call from a worksheet gives: rows of cells, "" for a blank."""
    answers = importlib.import_module(MODULES[1])
    module = MODULES[1] if hasattr(answers, function) else MODULES[0]
    rows: list[list[Any]] = udfs.call_udf(module, function, arguments)
    return rows
