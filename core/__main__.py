"""`python -m core`: the commands that need no screen."""

from __future__ import annotations

import sys

from core.cli import main

if __name__ == "__main__":
    sys.exit(main())
