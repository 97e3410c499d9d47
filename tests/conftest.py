"""Checks that need LibreOffice are left out without it, in one line; in CI it must be there."""

from __future__ import annotations

import os

import pytest

import referee

collect_ignore = ["run.py"]  # the command, not a test
LEFT_OUT = pytest.StashKey[int]()


@pytest.hookimpl(trylast=True)  # after -k and -m have chosen
def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    marked = [item for item in items if item.get_closest_marker("referee")]
    if not marked or referee.available():
        return
    if os.environ.get("CI") == "true":
        pytest.exit(f"LibreOffice not found: CI needs it for {_checks(len(marked))}", returncode=1)
    config.stash[LEFT_OUT] = len(marked)
    for item in marked:
        item.add_marker(pytest.mark.skip(reason="LibreOffice not found"))


def pytest_terminal_summary(
    terminalreporter: pytest.TerminalReporter, config: pytest.Config
) -> None:
    count = config.stash.get(LEFT_OUT, 0)
    if count:
        terminalreporter.write_line(f"LibreOffice not found: {_checks(count)} left out")


def _checks(count: int) -> str:
    return f"{count} check{'' if count == 1 else 's'}"
