"""Set Haymow up and plan the demo ranch's season: ``python3 demo/run.py``.

Makes ``.venv``, installs the package, then writes the demo ranch's workbook to ``demo/out/``.
Further words are passed on to ``haymow demo``.
"""

import subprocess
import sys
from pathlib import Path

import bootstrap


def main() -> int:
    """Run the main job on the demo ranch; return its exit code."""
    python = bootstrap.prepare()
    out = Path(__file__).resolve().parent / "out"
    command = [str(python), "-m", "haymow", "demo", "--out", str(out), *sys.argv[1:]]
    return subprocess.run(command).returncode


if __name__ == "__main__":
    bootstrap.run(main)
