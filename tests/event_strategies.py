"""Hypothesis strategies: any event, whatever it says, in any place of a log."""

from datetime import timedelta, timezone
from enum import StrEnum
from types import NoneType, UnionType
from typing import Any, get_args, get_origin, get_type_hints

from hypothesis import strategies as st

from app.domain.events.event import Event, Happened
from app.domain.events.who import Who
from app.records.plain import LARGEST_WHOLE_NUMBER

# What a text column and canonical JSON can keep: every letter, but no half of one.
TEXTS = st.text(st.characters(exclude_categories=["Cs"]), max_size=12)
NUMBERS = st.integers(0, 250) | st.integers(-LARGEST_WHOLE_NUMBER, LARGEST_WHOLE_NUMBER)
ZONES = st.integers(-14 * 60, 14 * 60).map(lambda minutes: timezone(timedelta(minutes=minutes)))
TIMES = st.datetimes(timezones=ZONES)
LEAVES: dict[Any, st.SearchStrategy[Any]] = {str: TEXTS, int: NUMBERS, bool: st.booleans()}


def people() -> st.SearchStrategy[Who]:
    """Draw anybody."""
    return _of(Who)


def events() -> st.SearchStrategy[Event]:
    """Draw an event of any kind."""
    return st.one_of([_of(kind) for kind in get_args(Event)])


def logs() -> st.SearchStrategy[list[Happened]]:
    """Draw a log in which anything may follow anything."""
    happened = st.lists(st.tuples(TIMES, people(), events()), max_size=8)
    return happened.map(lambda rows: [Happened(number, *row) for number, row in enumerate(rows, start=1)])


def _of(hint: Any) -> st.SearchStrategy[Any]:
    if hint in LEAVES:
        return LEAVES[hint]
    if isinstance(hint, UnionType):
        return st.one_of([st.none() if kind is NoneType else _of(kind) for kind in get_args(hint)])
    if get_origin(hint) is tuple:
        return st.lists(_of(get_args(hint)[0]), max_size=3).map(tuple)
    if isinstance(hint, UnionType):
        return st.none() | _of(next(option for option in get_args(hint) if option is not NoneType))
    if issubclass(hint, StrEnum):
        return st.sampled_from(hint)
    return st.builds(hint, **{name: _of(member) for name, member in get_type_hints(hint).items()})
