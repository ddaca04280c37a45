"""The real program as a process of its own, run to its end."""

import os
import subprocess
import sys
from dataclasses import dataclass
from pathlib import Path

ROOT = Path(__file__).parents[2]
SECONDS = 60.0


@dataclass(frozen=True, slots=True)
class Ended:
    """How a process ended: its exit code and what it printed."""

    code: int
    out: str
    err: str


def twinleg(*arguments: str | Path, **environment: str) -> Ended:
    """Return how `twinleg` ended with these arguments and, above the present ones, these variables."""
    done = subprocess.run(
        [sys.executable, "-m", "app", *map(str, arguments)],
        cwd=ROOT,
        env=without_settings() | environment,
        capture_output=True,
        text=True,
        timeout=SECONDS,
        check=False,
    )
    return Ended(done.returncode, done.stdout, done.stderr)


def without_settings() -> dict[str, str]:
    """Return the environment without settings of the program that the machine may have."""
    return {name: value for name, value in os.environ.items() if not name.startswith("TWINLEG_")}


def is_one_line(text: str) -> bool:
    """Return whether a text is one line that speaks for itself, and no traceback."""
    return text.count("\n") == 1 and text.startswith("twinleg: ") and len(text) > 40
