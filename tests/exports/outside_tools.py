"""Programs from outside this project, run as they are; a missing one fails the test with its package."""

import shutil
import subprocess
from pathlib import Path

PACKAGES = {
    "pdfsig": "poppler-utils",
    "pdfdetach": "poppler-utils",
    "pdfinfo": "poppler-utils",
    "pdftotext": "poppler-utils",
    "qpdf": "qpdf",
    "openssl": "openssl",
}


def run_tool(name: str, *arguments: str | Path) -> subprocess.CompletedProcess[str]:
    """Return what the program said."""
    found = shutil.which(name)
    assert found is not None, f"{name} is missing: apt-get install {PACKAGES[name]}"
    return subprocess.run([found, *map(str, arguments)], capture_output=True, text=True, check=False)
