"""The command line ``haymow``."""

from . import report_command, sample_commands
from .commands import app, main

__all__ = ["app", "main", "report_command", "sample_commands"]
