"""Who is signed in by which token, as far as somebody has asked."""

import threading
from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime

from app.domain.events.who import Who


@dataclass(frozen=True, slots=True)
class Admitted:
    """Somebody who is signed in until a time, the end of the longest shift."""

    who: Who
    until: datetime


class Admissions:
    """Guards what was looked up of sign-ins: nothing that has ended meanwhile is remembered as good."""

    def __init__(self) -> None:
        self._known: dict[str, Admitted] = {}
        self._endings = 0
        self._gate = threading.Lock()

    def of(self, token_hash: str, find: Callable[[], Admitted | None]) -> Admitted | None:
        """Return who is signed in by a token; `find` looks it up where nobody has asked before."""
        known = self._known.get(token_hash)
        if known is not None:
            return known
        endings = self._endings
        found = find()
        with self._gate:
            # What was found may have been read just before it ended: then it is looked up again.
            if found is not None and endings == self._endings:
                self._known[token_hash] = found
        return found

    def end_token(self, token_hash: str) -> None:
        """Forget one sign-in."""
        with self._gate:
            self._endings += 1
            self._known.pop(token_hash, None)

    def end_person(self, person_id: str) -> None:
        """Forget every sign-in of a person, so that his rights are looked up anew."""
        with self._gate:
            self._endings += 1
            self._known = {
                token_hash: admitted
                for token_hash, admitted in self._known.items()
                if admitted.who.person_id != person_id
            }
