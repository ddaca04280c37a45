"""The resource folders: at the top of a checkout for people, inside the package once installed."""

from pathlib import Path
from typing import Literal

ResourceName = Literal["templates", "static", "migrations"]

PACKAGE = Path(__file__).resolve().parent
CHECKOUT_MARK = "pyproject.toml"  # site-packages may hold someone else's "templates"; it never holds this


class MissingResourceError(RuntimeError):
    """A resource folder is neither in the installed package nor in a checkout."""

    def __init__(self, name: str, *, installed: Path, checkout: Path) -> None:
        super().__init__(
            f"The folder '{name}' of Twinleg is missing: it is neither at {installed} (an installed program) "
            f"nor at {checkout} (a checkout). Install the program again, or restore the folder from the "
            "repository."
        )


def resource_folder(name: ResourceName, *, package: Path = PACKAGE) -> Path:
    """Return the folder of that name that belongs to this program.

    Raises: MissingResourceError where neither the package nor a checkout around it has the folder.
    """
    installed = package / "_bundled" / name
    checkout = package.parent / name
    if installed.is_dir():
        return installed
    if checkout.is_dir() and (package.parent / CHECKOUT_MARK).is_file():
        return checkout
    raise MissingResourceError(name, installed=installed, checkout=checkout)
