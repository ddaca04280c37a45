"""The settings of one server: read once, from arguments and environment, and handed on as a value."""

import argparse
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path


@dataclass(frozen=True, slots=True)
class Settings:
    """Where the server keeps its data, where it listens, and whether all its runs are practice."""

    data: Path
    host: str
    port: int
    practice: bool

    @property
    def address(self) -> str:
        """Return the address that a browser on this machine opens."""
        host = f"[{self.host}]" if ":" in self.host else self.host
        return f"http://{host}:{self.port}"


@dataclass(frozen=True, slots=True)
class Setting:
    """One setting as people meet it: its argument, its variable, its default as typed, and what it may be."""

    name: str
    variable: str
    default: str
    meaning: str
    wanted: str
    switch: bool = False

    @property
    def argument(self) -> str:
        """Return the word that sets it on the command line."""
        return f"--{self.name}"


DATA = Setting(
    name="data",
    variable="TWINLEG_DATA",
    default="~/.local/share/twinleg",
    meaning="folder that keeps the runs",
    wanted="a folder",
)
DEMO_DATA = Setting(
    name="data",
    variable="TWINLEG_DEMO_DATA",  # a name of its own: the demonstration never lands among real runs
    default="~/.local/share/twinleg-demo",
    meaning="folder that keeps the demonstration",
    wanted="a folder",
)
HOST = Setting(
    name="host",
    variable="TWINLEG_HOST",
    default="127.0.0.1",  # this machine only, unless somebody asks for more
    meaning="name or number of the address to listen on",
    wanted="a bare name or number such as 127.0.0.1",
)
PORT = Setting(
    name="port",
    variable="TWINLEG_PORT",
    default="8000",
    meaning="port to listen on",
    wanted="a whole number from 1 to 65535",
)
PRACTICE = Setting(
    name="practice",
    variable="TWINLEG_PRACTICE",
    default="no",
    meaning="make every run a practice run",
    wanted="yes or no",
    switch=True,
)
SETTINGS = (DATA, HOST, PORT, PRACTICE)
DEMO_SETTINGS = (DEMO_DATA, HOST, PORT, PRACTICE)


class SettingError(ValueError):
    """A setting has a value that cannot be used."""

    def __init__(self, source: str, text: str, wanted: str) -> None:
        super().__init__(f"{source} is '{text}', but it must be {wanted}. Correct it and start again.")


@dataclass(frozen=True, slots=True)
class _Typed:
    """What somebody typed for a setting, and where."""

    setting: Setting
    source: str
    text: str

    def refusal(self) -> SettingError:
        return SettingError(self.source, self.text, self.setting.wanted)


def add_setting_arguments(parser: argparse.ArgumentParser, settings: tuple[Setting, ...] = SETTINGS) -> None:
    """Give the parser one argument for each setting."""
    for setting in settings:
        meaning = f"{setting.meaning} (or {setting.variable}; otherwise {setting.default})"
        if setting.switch:
            parser.add_argument(setting.argument, action="store_const", const="yes", help=meaning)
        else:
            parser.add_argument(setting.argument, metavar=setting.name.upper(), help=meaning)


def settings_from(
    arguments: argparse.Namespace, environment: Mapping[str, str], *, data: Setting = DATA
) -> Settings:
    """Return the settings: an argument goes before the environment, and that before the default.

    Raises: SettingError where a value cannot be used; it names the argument or variable.
    """

    def typed(setting: Setting) -> _Typed:
        return _what_was_typed(setting, arguments, environment)

    return Settings(
        data=_folder(typed(data)),
        host=_host(typed(HOST)),
        port=_port(typed(PORT)),
        practice=_yes_or_no(typed(PRACTICE)),
    )


def _what_was_typed(
    setting: Setting, arguments: argparse.Namespace, environment: Mapping[str, str]
) -> _Typed:
    argument = getattr(arguments, setting.name, None)
    if argument is not None:
        return _Typed(setting, setting.argument, str(argument))
    return _Typed(setting, setting.variable, environment.get(setting.variable, setting.default))


def _folder(typed: _Typed) -> Path:
    folder = Path(typed.text).expanduser().absolute()
    if not typed.text.strip() or (folder.exists() and not folder.is_dir()):
        raise typed.refusal()
    return folder


def _host(typed: _Typed) -> str:
    if not typed.text or any(character.isspace() or character == "/" for character in typed.text):
        raise typed.refusal()
    return typed.text


def _port(typed: _Typed) -> int:
    if not (typed.text.isascii() and typed.text.isdecimal() and 1 <= int(typed.text) <= 65535):
        raise typed.refusal()
    return int(typed.text)


def _yes_or_no(typed: _Typed) -> bool:
    if typed.text not in ("yes", "no"):
        raise typed.refusal()
    return typed.text == "yes"
