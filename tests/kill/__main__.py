"""`python -m tests.kill [--times 200] [--seed N]`: the long kill test."""

from __future__ import annotations

import argparse
import sys
import tempfile
from pathlib import Path

from tests.kill.killer import Killer


def main() -> int:
    parser = argparse.ArgumentParser(prog="python -m tests.kill", description=__doc__)
    parser.add_argument("--times", type=int, default=200)
    parser.add_argument("--seed", type=int, default=1)
    arguments = parser.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        report = Killer(Path(folder), arguments.seed).kill(arguments.times)
    sys.stdout.write(f"{report}\n")
    return 1 if report.faults else 0


if __name__ == "__main__":
    sys.exit(main())
