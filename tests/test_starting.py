"""What a server's start leaves for later: whoever waits for it waits for nothing that is not needed yet."""

import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).parents[1]
SERVER = "import app.cli.opened, app.web.application, app.web.server"
NEEDED_LATER = ("alembic", "highspy", "numpy", "pint", "pyhanko", "scipy", "typst")


def test_a_server_starts_without_what_only_some_pages_need() -> None:
    program = f"{SERVER}, sys\nprint(*sorted(set({NEEDED_LATER}) & set(sys.modules)))"

    done = subprocess.run(
        [sys.executable, "-c", program], cwd=ROOT, capture_output=True, text=True, check=True
    )

    assert done.stdout.split() == []
