"""How much work a long record is: sealed and printed in a fresh process, where nothing is remembered."""

import subprocess
import sys
from pathlib import Path

from tests.bench.measures import Measure

ROOT = Path(__file__).parents[2]
STEPS = 2500
MOST_S = 5.0
TRIES = 3


def record_of_a_long_run() -> Measure:
    """Return the seconds of work that a record of 2,500 steps takes, the best of three."""
    spent_s = min(_work_s() for _ in range(TRIES))
    return Measure("record of 2,500 steps, sealed and printed, work", spent_s, "s", MOST_S)


def _work_s() -> float:
    command = [sys.executable, "-m", "tests.bench.record_work", str(STEPS)]
    done = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, check=True)
    return float(done.stdout)
