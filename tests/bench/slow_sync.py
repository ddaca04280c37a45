"""An environment in which each sync of a file takes longer, by a shim that the C compiler makes."""

import shutil
import subprocess
from pathlib import Path

SOURCE = Path(__file__).with_name("slow_sync.c")


def slow_sync(folder: Path, milliseconds: int) -> dict[str, str] | None:
    """Return the variables that make a process sync slowly, or none where no C compiler is at hand."""
    compiler = shutil.which("cc")
    if compiler is None:
        return None
    shim = folder / "slow_sync.so"
    subprocess.run([compiler, "-O2", "-shared", "-fPIC", "-o", str(shim), str(SOURCE), "-ldl"], check=True)
    return {"LD_PRELOAD": str(shim), "SLOW_SYNC_MS": str(milliseconds)}
