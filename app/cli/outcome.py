"""How a command ends: its exit code and, where it is not good, one line that says why."""

GOOD = 0
STOPPED = 1
UNREADABLE = 2


class OutcomeError(Exception):
    """The command ends here; the text is one line for the person who typed it."""

    code = UNREADABLE


class StoppedError(OutcomeError):
    """The input was read, and what it says is not good."""

    code = STOPPED


class UnreadableError(OutcomeError):
    """The input cannot be read, or the command cannot be done here."""
