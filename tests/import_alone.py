"""A program: import each module of a package on its own.

    python -P tests/import_alone.py ROOT LIBRARY... -- MODULE...

The libraries are loaded once. Each module is then imported in a fork of this process, where nothing of the
package has been imported yet: as good as a fresh interpreter each, and many times as fast.
"""

import contextlib
import importlib
import os
import sys


def main(arguments: list[str]) -> int:
    """Return 0 when every module can be imported alone; the others leave a traceback on standard error."""
    root, *rest = arguments
    libraries, modules = rest[: rest.index("--")], rest[rest.index("--") + 1 :]
    sys.path.insert(0, root)
    for library in libraries:
        with contextlib.suppress(ImportError):  # the module that wants it will say so
            importlib.import_module(library)
    return int(_count_refused(modules) > 0)


def _count_refused(modules: list[str]) -> int:
    at_once = os.cpu_count() or 1
    refused = 0
    for number, module in enumerate(modules):
        if number >= at_once:
            refused += _wait_for_one()
        _start(module)
    return refused + sum(_wait_for_one() for _ in modules[:at_once])


def _start(module: str) -> None:
    if os.fork() == 0:
        importlib.import_module(module)  # an error ends the child with its traceback
        os._exit(0)


def _wait_for_one() -> bool:
    _, status = os.wait()
    return status != 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
