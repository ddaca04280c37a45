"""Settings come from arguments, environment and defaults, in that order; a wrong one is refused by name."""

import argparse
from collections.abc import Mapping
from pathlib import Path

import pytest

from app.settings import SETTINGS, SettingError, Settings, add_setting_arguments, settings_from


def test_without_arguments_the_server_listens_on_this_machine_only() -> None:
    settings = _read([], {"HOME": "/home/crew"})

    assert (settings.host, settings.port, settings.practice) == ("127.0.0.1", 8000, False)
    assert settings.address == "http://127.0.0.1:8000"


def test_the_environment_goes_before_the_default(tmp_path: Path) -> None:
    environment = {
        "TWINLEG_DATA": str(tmp_path),
        "TWINLEG_HOST": "::1",
        "TWINLEG_PORT": "9001",
        "TWINLEG_PRACTICE": "yes",
    }

    settings = _read([], environment)

    assert settings == Settings(data=tmp_path, host="::1", port=9001, practice=True)
    assert settings.address == "http://[::1]:9001"


def test_an_argument_goes_before_the_environment(tmp_path: Path) -> None:
    environment = {
        "TWINLEG_DATA": "/elsewhere",
        "TWINLEG_HOST": "::1",
        "TWINLEG_PORT": "9001",
        "TWINLEG_PRACTICE": "no",
    }

    settings = _read(
        ["--data", str(tmp_path), "--host", "127.0.0.2", "--port", "9002", "--practice"], environment
    )

    assert settings == Settings(data=tmp_path, host="127.0.0.2", port=9002, practice=True)


def test_a_data_folder_is_absolute_so_that_a_later_change_of_folder_does_not_move_it(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)

    settings = _read(["--data", "runs"], {})

    assert settings.data == tmp_path / "runs"


@pytest.mark.parametrize("port", ["0", "65536", "-1", "80.0", "eighty", "", "８０"])
def test_a_port_that_is_none_is_refused_with_the_argument_and_what_to_type(port: str) -> None:
    with pytest.raises(SettingError) as refusal:
        _read([f"--port={port}"], {})

    assert str(refusal.value) == (
        f"--port is '{port}', but it must be a whole number from 1 to 65535. Correct it and start again."
    )


@pytest.mark.parametrize("host", ["", " ", "http://127.0.0.1", "127.0.0.1 "])
def test_a_host_that_is_no_bare_name_is_refused(host: str) -> None:
    with pytest.raises(SettingError, match=r"^TWINLEG_HOST is "):
        _read([], {"TWINLEG_HOST": host})


def test_a_data_folder_that_is_a_file_is_refused(tmp_path: Path) -> None:
    file = tmp_path / "runs"
    file.write_text("")

    with pytest.raises(SettingError, match="must be a folder"):
        _read(["--data", str(file)], {})


def test_practice_is_yes_or_no_and_nothing_else() -> None:
    with pytest.raises(SettingError, match=r"^TWINLEG_PRACTICE is 'true', but it must be yes or no"):
        _read([], {"TWINLEG_PRACTICE": "true"})


def test_the_help_names_every_argument_variable_and_default(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("COLUMNS", "200")

    with pytest.raises(SystemExit):
        _read(["--help"], {})

    text = " ".join(capsys.readouterr().out.split())
    for setting in SETTINGS:
        assert f"(or {setting.variable}; otherwise {setting.default})" in text
        assert setting.argument in text


def _read(arguments: list[str], environment: Mapping[str, str]) -> Settings:
    parser = argparse.ArgumentParser()
    add_setting_arguments(parser)
    return settings_from(parser.parse_args(arguments), environment)
