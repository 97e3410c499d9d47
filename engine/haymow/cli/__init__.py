"""The command line ``haymow``."""

from . import lab_commands, report_command, sample_commands
from .commands import app, main

__all__ = ["app", "lab_commands", "main", "report_command", "sample_commands"]
