"""Who else looks at a run, in words."""

from collections.abc import Iterable

from app.services.presence import Onlooker


def here_in_words(present: Iterable[Onlooker]) -> tuple[str, ...]:
    """Return a sentence for each who is there, each said once."""
    return tuple(dict.fromkeys(_sentence(one) for one in present))


def _sentence(present: Onlooker) -> str:
    if present.step:
        return f"{present.who.name} is on step {present.step}"
    return f"{present.who.name} looks at another page of this run"
