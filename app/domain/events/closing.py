"""The end of a run: its final signatures and its close."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class RunSigned:
    """One person signed the finished run."""

    meaning: str
    shown: str


@dataclass(frozen=True, slots=True)
class RunClosed:
    """The run was closed; nothing is added after this."""

    note: str
