"""The resource folders are found in a checkout and in an installed package, and nowhere else."""

from pathlib import Path

import pytest

from app.bundled import MissingResourceError, ResourceName, resource_folder

ROOT = Path(__file__).parent.parent


@pytest.mark.parametrize("name", ["templates", "static", "migrations"])
def test_in_a_checkout_the_folder_lies_at_the_top(name: ResourceName) -> None:
    found = resource_folder(name)

    assert found == ROOT / name


def test_in_an_installed_package_the_folder_lies_inside_it(tmp_path: Path) -> None:
    package = tmp_path / "site-packages" / "app"
    (package / "_bundled" / "static").mkdir(parents=True)

    found = resource_folder("static", package=package)

    assert found == package / "_bundled" / "static"


def test_a_folder_of_the_same_name_beside_an_installed_package_is_not_taken(tmp_path: Path) -> None:
    (tmp_path / "templates").mkdir()

    with pytest.raises(MissingResourceError):
        resource_folder("templates", package=tmp_path / "app")


def test_a_missing_folder_is_told_with_both_places_and_what_to_do(tmp_path: Path) -> None:
    package = tmp_path / "app"

    with pytest.raises(MissingResourceError) as refusal:
        resource_folder("migrations", package=package)

    assert str(package / "_bundled" / "migrations") in str(refusal.value)
    assert str(tmp_path / "migrations") in str(refusal.value)
    assert "Install the program again" in str(refusal.value)
