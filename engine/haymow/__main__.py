"""``python -m haymow`` is the command ``haymow``."""

import sys

from .cli import main

if __name__ == "__main__":
    sys.exit(main())
