"""The demo ranch without its lab reports, with rows of Samples and of the sampling plan."""

from __future__ import annotations

from dataclasses import replace

from haymow import demo
from haymow.ranch import Ranch


def ranch(samples: dict | None = None, sampling: dict | None = None, **more: dict) -> Ranch:
    """The demo ranch without reports; rows of Samples and, by forage, of the sampling plan."""
    blank = demo.ranch()
    names = {cells["forage"]: n for n, cells in blank.entries["Forages"].items()}
    entries = {**blank.entries, "Samples": samples or {},
               "Sampling": {names[name]: row for name, row in (sampling or {}).items()}, **more}
    return replace(blank, entries=entries)
