"""The wheel works where no checkout is: it carries its folders."""

import os
import subprocess
import sys
import sysconfig
import venv
from collections.abc import Sequence
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent
FOLDERS = ("templates", "static", "migrations")


@pytest.fixture(scope="module")
def installed(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return the root of a new environment with the wheel installed; libraries come from the running one."""
    wheel = _build_wheel(tmp_path_factory.mktemp("wheel"))
    environment = tmp_path_factory.mktemp("environment")
    venv.create(environment, with_pip=False)
    python = environment / "bin" / "python"
    pip = (sys.executable, "-m", "pip", "--python", python, "--disable-pip-version-check")
    _run([*pip, "install", "--quiet", "--no-index", "--no-deps", wheel], cwd=environment)
    _borrow_libraries(environment)
    return environment


@pytest.fixture
def nowhere(tmp_path: Path) -> Path:
    """Return an empty folder to start programs from."""
    return tmp_path


def test_the_folders_are_found_inside_the_installed_package(installed: Path, nowhere: Path) -> None:
    code = "import sys, app.bundled\nfor name in sys.argv[1:]: print(app.bundled.resource_folder(name))"

    found = _run([installed / "bin" / "python", "-c", code, *FOLDERS], cwd=nowhere).splitlines()

    bundled = _site_packages(installed) / "app" / "_bundled"
    assert found == [str(bundled / name) for name in FOLDERS]


@pytest.mark.parametrize("folder", FOLDERS)
def test_the_wheel_carries_every_file_of_the_folder(installed: Path, folder: str) -> None:
    bundled = _site_packages(installed) / "app" / "_bundled"

    carried = _files_in(bundled / folder)

    assert carried
    assert carried == _files_in(ROOT / folder)


def test_the_wheel_carries_no_tests(installed: Path) -> None:
    files = sorted(path.name for path in _site_packages(installed).iterdir())

    assert [name for name in files if name.startswith("tests")] == []
    assert "app" in files


def test_the_installed_package_does_not_need_the_checkout(installed: Path, nowhere: Path) -> None:
    where = _run([installed / "bin" / "python", "-c", "import app; print(app.__file__)"], cwd=nowhere)

    assert where.strip() == str(_site_packages(installed) / "app" / "__init__.py")


def _build_wheel(folder: Path) -> Path:
    _run([sys.executable, "-m", "hatchling", "build", "-t", "wheel", "-d", str(folder)], cwd=ROOT)
    (wheel,) = folder.glob("*.whl")
    return wheel


def _borrow_libraries(environment: Path) -> None:
    # A folder named in a .pth file comes after the environment's own packages, and the .pth files inside it
    # are not read: the checkout that the running environment points to stays out of sight.
    running = {sysconfig.get_path("purelib"), sysconfig.get_path("platlib")}
    (_site_packages(environment) / "libraries.pth").write_text("\n".join(sorted(running)), encoding="utf-8")


def _files_in(folder: Path) -> set[Path]:
    files = (path for path in folder.rglob("*") if path.is_file() and path.suffix != ".pyc")
    return {path.relative_to(folder) for path in files}


def _site_packages(environment: Path) -> Path:
    (folder,) = environment.glob("lib/python*/site-packages")
    return folder


def _run(command: Sequence[str | Path], *, cwd: Path) -> str:
    environment = {name: value for name, value in os.environ.items() if name != "PYTHONPATH"}
    done = subprocess.run(command, cwd=cwd, env=environment, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stdout + done.stderr
    return done.stdout
