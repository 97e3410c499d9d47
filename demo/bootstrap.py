"""One virtual environment with this repository installed: the first step of every command here.

Only the standard library, and up to the version check only syntax that any Python 3 can read.
"""

import hashlib
import importlib.util
import os
import re
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

ROOT = Path(__file__).resolve().parents[1]
PROJECT = ROOT / "pyproject.toml"
OLDEST = tuple(
    map(int, re.findall(r'requires-python = ">=(\d+)\.(\d+)"', PROJECT.read_text("utf-8"))[0])
)

if sys.version_info < OLDEST:
    sys.exit(
        "Haymow needs Python {}.{} or newer and this is {}.{}; install a newer one from python.org"
        " and start again with it.".format(*OLDEST, *sys.version_info[:2])
    )


class SetupError(Exception):
    """Something on this computer keeps the setup from working; the message says what to do."""


def environment() -> Path:
    """Where the virtual environment stands: ``.venv`` here, or where HAYMOW_VENV points."""
    return Path(os.environ.get("HAYMOW_VENV") or ROOT / ".venv").expanduser().absolute()


def python_of(place: Path) -> Path:
    """The Python inside a virtual environment, on any system."""
    return place / ("Scripts/python.exe" if os.name == "nt" else "bin/python")


def prepare(extra: str = "") -> Path:
    """Make the environment, install the repository with ``extra``, return the environment's Python.

    Does nothing where an earlier run did all that for the same pyproject.toml. Raises SetupError.
    """
    place = environment()
    python, stamp = python_of(place), place / "haymow-installed.txt"
    wanted = hashlib.sha256(PROJECT.read_bytes()).hexdigest() + f" {ROOT}"
    done = stamp.read_text("utf-8").splitlines() if stamp.exists() and python.exists() else []
    if done[:1] == [wanted] and extra in done[1:]:
        return python
    if not _usable(python):
        _make(place)
    stamp.unlink(missing_ok=True)
    _install(python, place, extra)
    extras = sorted({"", extra, *done[1:]} if done[:1] == [wanted] else {"", extra})
    stamp.write_text("\n".join([wanted, *extras]) + "\n", "utf-8")
    return python


def run(main: Callable[[], int]) -> None:
    """End the process with what ``main`` returns; trouble and Ctrl-C in one line."""
    try:
        sys.exit(main())
    except SetupError as error:
        sys.exit(f"error: {error}")
    except KeyboardInterrupt:
        print("\nStopped.", file=sys.stderr)
        sys.exit(130)


def _usable(python: Path) -> bool:
    """Whether an environment is complete and new enough."""
    test = f"import sys, pip; sys.exit(sys.version_info < {OLDEST})"
    try:
        return subprocess.run([str(python), "-c", test], capture_output=True).returncode == 0
    except OSError:  # none there, or one whose Python has been removed from the computer
        return False


def _make(place: Path) -> None:
    if place.exists() and any(place.iterdir()) and not (place / "pyvenv.cfg").exists():
        raise SetupError(f"{place} is no virtual environment and is left alone; move it away or"
                         " set HAYMOW_VENV to another folder, then run this again.")
    if importlib.util.find_spec("ensurepip") is None:
        raise SetupError("this Python cannot make virtual environments (ensurepip is missing);"
                         " install it, on Debian or Ubuntu with 'sudo apt install python3-venv',"
                         " then run this again.")
    with _step(f"Making the virtual environment {_short(place)}"):
        command = [sys.executable, "-m", "venv", "--clear", str(place)]
        made = subprocess.run(command, capture_output=True, text=True, errors="replace")
    if made.returncode:
        raise SetupError(f"the virtual environment {place} could not be made"
                         f" ({_last_line(made.stderr or made.stdout)}); check that the folder can"
                         " be written to, then run this again.")


def _install(python: Path, place: Path, extra: str) -> None:
    what, log = f".[{extra}]" if extra else ".", place / "install.log"
    command = [str(python), "-m", "pip", "install", "--disable-pip-version-check", "-e", what]
    step = _step("Installing Haymow and the packages it needs (the first time a minute or two)")
    with step, log.open("w", encoding="utf-8") as out:
        done = subprocess.run(command, cwd=ROOT, stdout=out, stderr=subprocess.STDOUT)
    if done.returncode:
        raise SetupError(f"the packages could not be installed ({_first_error(log)}); check"
                         f" the internet connection, then run this again; {_short(log)} tells all.")


@contextmanager
def _step(what: str) -> Iterator[None]:
    """One line on the screen for a step: what, then how long it took."""
    print(f"{what} ... ", end="", flush=True)
    start, end = time.perf_counter(), "stopped"
    try:
        yield
        end = f"{time.perf_counter() - start:.0f} s"
    finally:
        print(end, flush=True)


def _short(path: Path) -> str:
    """``path`` as seen from the repository where it lies inside."""
    return str(path.relative_to(ROOT) if path.is_relative_to(ROOT) else path)


def _first_error(log: Path) -> str:
    """Pip's first line of error, which names the cause; what follows are its consequences."""
    text = log.read_text("utf-8", errors="replace")
    return next(iter(re.findall(r"ERROR: (.+)", text)), "") or _last_line(text)


def _last_line(text: str) -> str:
    return ([line.strip() for line in text.splitlines() if line.strip()] or ["no reason given"])[-1]
