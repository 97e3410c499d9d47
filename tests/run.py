"""Run every check of the repository: ``python3 tests/run.py [words for pytest]``.

Makes ``.venv`` with the development tools, then runs ruff, mypy and pytest, all of them even when
one fails.
"""

import subprocess
import sys
import time
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "demo"))

import bootstrap


def main() -> int:
    """Return the first exit code that is not 0, after all checks have run."""
    python = bootstrap.prepare("dev")
    failed: dict[str, int] = {}
    for tool, *words in (["ruff", "check", "."], ["mypy"], ["pytest", "-n", "2", *sys.argv[1:]]):
        print(f"\n== {' '.join([tool, *words])}", flush=True)
        start = time.perf_counter()
        code = subprocess.run([str(python), "-m", tool, *words], cwd=bootstrap.ROOT).returncode
        print(f"== {tool}: {'FAILED' if code else 'ok'}, {time.perf_counter() - start:.0f} s",
              flush=True)
        if code:
            failed[tool] = code
    print(f"\nFAILED: {', '.join(failed)}" if failed else "\nAll checks passed.")
    return next(iter(failed.values()), 0)


if __name__ == "__main__":
    bootstrap.run(main)
