"""The command line ``haymow``."""

from . import lab_commands, sample_commands
from .commands import app, main

__all__ = ["app", "lab_commands", "main", "sample_commands"]
