"""What functions and macros need on this computer: what is there, and what to do."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from importlib.metadata import version
from pathlib import Path

from ..problems import InputError, Problem
from ..workbook.opened import Opened
from ..workbook.template import MADE_FOR

__all__ = ["Machine", "check_report", "install", "this_machine"]

WINDOWS, MACOS = "win32", "darwin"
SECURITY = r"Software\Microsoft\Office\16.0\Excel\Security"
MACROS_OFF = 4  # of the registry's VBAWarnings: off, and nobody is asked
OLDEST_PYTHON = (3, 11)
INSTALL = "Run 'haymow excel install'."


@dataclass(frozen=True)
class Machine:
    """A computer as far as it matters here; ``registry`` gives a number or None (not set)."""

    system: str
    python: Path
    python_version: tuple[int, ...]
    xlwings: str
    home: Path
    app_data: Path
    registry: Callable[[str, str], int | None] = lambda key, name: None


def this_machine() -> Machine:
    """The computer this runs on."""
    home = Path.home()
    return Machine(sys.platform, Path(sys.executable), sys.version_info[:3], version("xlwings"),
                   home, Path(os.environ.get("APPDATA", home)), _registry)


def check_report(workbook: Path | None = None, machine: Machine | None = None) -> list[Problem]:
    """What functions and macros find on this computer: ``note`` is well, ``look`` and ``stop`` not.

    Raises InputError for a ``workbook`` that cannot be read.
    """
    machine = machine or this_machine()
    found = list(_python(machine))
    if machine.system not in (WINDOWS, MACOS):
        return [*found, *_workbook(workbook, machine), Problem(
            "Excel", "It does not run on this system: no functions and macros here.", "note",
            "The workbook needs neither: every answer in it is a formula.")]
    windows = machine.system == WINDOWS
    found += [*_workbook(workbook, machine), *_addin(machine), *_settings(machine)]
    found += [*_library(machine), *_trust(machine)] if windows else _script(machine)
    if not windows:
        found.append(Problem("Functions", "They need Excel for Windows; macros work here.", "note"))
    return found


def install(workbook: Path | None = None, machine: Machine | None = None,
            start: Callable[[list[str]], str] | None = None) -> list[str]:
    """Install the xlwings add-in and its settings; say what was done, line by line.

    With a ``workbook`` also a Python file beside it, which "Run main" of the add-in looks for.
    Raises InputError where Excel does not run, or the add-in could not be installed.
    """
    machine, start = machine or this_machine(), start or _start
    if machine.system not in (WINDOWS, MACOS):
        raise InputError("Excel does not run on this system; there is nothing to install.")
    main_file = _main_file(workbook) if workbook else None
    done = [start([str(machine.python), "-c", "from xlwings.cli import main; main()",
                   "addin", "install"])]  # on macOS it installs the script too
    if main_file:
        main_file.write_text("from haymow.excel.macros import main  # for 'Run main' in Excel\n",
                             encoding="utf-8")
        done.append(f"Wrote {main_file.name}: 'Run main' on the xlwings ribbon checks the plan.")
    return [*done, "Start Excel again."]


def _python(machine: Machine) -> Iterator[Problem]:
    told = ".".join(map(str, machine.python_version))
    if "WindowsApps" in machine.python.parts:
        yield Problem("Python", f"{machine.python} is the store's package; Excel cannot start it.",
                      "stop", "Install Python with the installer of its makers.")
    elif machine.python_version < OLDEST_PYTHON:
        yield Problem("Python", f"It is {told}; 3.11 or newer is needed.", "stop",
                      "Install a newer one.")
    else:
        yield Problem("Python", f"{told}, {machine.python}", "note")
    yield Problem("xlwings", machine.xlwings, "note")


def _workbook(workbook: Path | None, machine: Machine) -> Iterator[Problem]:
    """Whether the workbook's macros come from the installed version of xlwings."""
    if workbook is None:
        return
    raw, _ = Opened(workbook).cell(MADE_FOR)
    if raw.blank:
        yield Problem(workbook.name, "It has no macros; the xlwings ribbon starts its check.",
                      "note")
    elif str(raw.value) != machine.xlwings:
        yield Problem(workbook.name, f"Its macros are of xlwings {raw.value}, and {machine.xlwings}"
                      " is installed: functions will not start.", "stop",
                      f"Run 'haymow rebuild {workbook.name} --macros' with a blank .xlsm of this"
                      " version.")
    else:
        yield Problem(workbook.name, f"Its macros are of xlwings {raw.value}, as installed.",
                      "note")


def _addin(machine: Machine) -> Iterator[Problem]:
    """The ribbon; a workbook with macros does without it."""
    folder = machine.app_data / "Microsoft" / "Excel" / "XLSTART" if machine.system == WINDOWS \
        else (machine.home / "Library" / "Group Containers" / "UBF8T346G9.Office"
              / "User Content.localized" / "Startup.localized" / "Excel")
    if (folder / "xlwings.xlam").exists():
        yield Problem("Add-in", f"It is in {folder}.", "note")
    else:
        yield Problem("Add-in", "The xlwings add-in is not installed: no ribbon. A workbook with"
                      " macros works without it.", "look", INSTALL)


def _settings(machine: Machine) -> Iterator[Problem]:
    """Which Python Excel starts: xlwings' own file of settings says it."""
    if machine.system == WINDOWS:
        file, key = machine.home / ".xlwings" / "xlwings.conf", "INTERPRETER_WIN"
    else:
        file = (machine.home / "Library" / "Containers" / "com.microsoft.Excel" / "Data"
                / "xlwings.conf")
        key = "INTERPRETER_MAC"
    lines = file.read_text("utf-8", "replace").splitlines() if file.exists() else []
    pairs = dict(line.replace('"', "").split(",", 1) for line in lines if "," in line)
    set_to = pairs.get(key, "")
    if not set_to:
        yield Problem("Settings", f"{file} does not say which Python Excel is to start; it takes"
                      " the first on the PATH.", "look", INSTALL)
    elif Path(set_to).parent != machine.python.parent:
        yield Problem("Settings", f"Excel starts {set_to}, and Haymow is installed in"
                      f" {machine.python.parent}.", "stop",
                      f"Write {machine.python} behind {key} in {file}.")
    else:
        yield Problem("Settings", f"Excel starts {set_to}.", "note")


def _library(machine: Machine) -> Iterator[Problem]:
    """The library through which cells reach Python: beside its program, or one folder up."""
    names = [f"xlwings{bits}-{machine.xlwings}.dll" for bits in (64, 32)]
    folders = [machine.python.parent, machine.python.parent.parent]
    if any((folder / name).exists() for folder in folders for name in names):
        yield Problem("Library", f"{names[0]} is in its place.", "note")
    else:
        yield Problem("Library", f"{names[0]} is neither in {folders[0]} nor in {folders[1]}:"
                      " functions will not start.", "stop",
                      "Run 'pip install --force-reinstall xlwings'.")


def _trust(machine: Machine) -> Iterator[Problem]:
    """Excel's settings for macros, from the registry."""
    if machine.registry(SECURITY, "VBAWarnings") == MACROS_OFF:
        yield Problem("Trust", "Excel has macros switched off without asking.", "stop",
                      "File > Options > Trust Center > Settings > Macro Settings: let it ask.")
    else:
        yield Problem("Trust", "Excel asks before it runs macros, or runs them.", "note",
                      "A file from the web: right-click it, Properties, Unblock.")
    if machine.registry(SECURITY, "AccessVBOM") == 1:
        yield Problem("Trust", "Functions may be imported anew (access to the VBA project).",
                      "note")
    else:
        yield Problem("Trust", "'Import Functions' is not allowed; only developers need it.",
                      "note", "The workbook with macros brings its functions along.")


def _script(machine: Machine) -> Iterator[Problem]:
    """What starts Python from Excel for macOS."""
    name = f"xlwings-{machine.xlwings}.applescript"
    folder = machine.home / "Library" / "Application Scripts" / "com.microsoft.Excel"
    if (folder / name).exists():
        yield Problem("Script", f"{name} is in its place.", "note")
    else:
        yield Problem("Script", f"{name} is not in {folder}: macros will not start.", "stop",
                      INSTALL)


def _registry(key: str, name: str) -> int | None:
    if sys.platform != "win32":  # spelled out for the type checker
        return None
    import winreg

    try:
        with winreg.OpenKey(winreg.HKEY_CURRENT_USER, key) as opened:
            return int(winreg.QueryValueEx(opened, name)[0])
    except OSError:
        return None


def _main_file(workbook: Path) -> Path:
    """The Python file beside a workbook that "Run main" looks for."""
    file = workbook.with_suffix(".py")
    if not workbook.exists():
        raise InputError(f"There is no file {workbook}; check its name and folder.")
    if not workbook.stem.isidentifier():
        raise InputError(f"'Run main' needs a workbook name of letters, digits and _ only, and"
                         f" '{workbook.stem}' has others; rename it.")
    if file.exists():
        raise InputError(f"{file} exists and was left as it is; rename it, or the workbook.")
    return file


def _start(words: list[str]) -> str:
    """Run xlwings' own installer; return what it said last."""
    done = subprocess.run(words, capture_output=True, text=True)
    said = (done.stdout + done.stderr).strip().splitlines() or ["nothing"]
    if done.returncode:
        raise InputError(f"'xlwings {' '.join(words[3:])}' did not work; it said: {said[-1]}. Close"
                         " Excel and try again.")
    return said[-1]
