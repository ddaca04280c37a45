"""Who may do what on a site outside its runs: one row an act. What has no row nobody may do."""

from dataclasses import dataclass
from enum import StrEnum

from app.domain.crew import SUPERVISOR
from app.domain.events.who import Who
from app.domain.refusals import NobodyError, RightsError


class SiteAct(StrEnum):
    """What is done on a site, in words that follow "may not"."""

    RELEASE = "release a plan"
    CHANGE_SHEET = "change a sheet before its release"
    ADD_PERSON = "add people"
    CHANGE_ROLE = "change somebody's role"
    LET_LEAVE = "take somebody off the site"
    LET_BACK = "take somebody back on the site"
    UNLOCK = "unlock people"
    OPEN_PIN_CHOICE = "let somebody choose a new PIN"
    CHANGE_OWN_PIN = "change one's own PIN"


@dataclass(frozen=True, slots=True)
class SiteRight:
    """The roles that may do an act, none named where everybody may; what is asked of them besides."""

    roles: tuple[str, ...]
    further: str = ""


EVERYBODY = ()
WITH_PIN = "types his own PIN with it"
WITH_REASON = "types his own PIN with it and says why"

SITE_RIGHTS: dict[SiteAct, SiteRight] = {
    SiteAct.RELEASE: SiteRight((SUPERVISOR,), WITH_PIN),
    SiteAct.CHANGE_SHEET: SiteRight((SUPERVISOR,), "says why"),
    SiteAct.ADD_PERSON: SiteRight((SUPERVISOR,), WITH_PIN),
    SiteAct.CHANGE_ROLE: SiteRight((SUPERVISOR,), WITH_REASON),
    SiteAct.LET_LEAVE: SiteRight((SUPERVISOR,), WITH_REASON),
    SiteAct.LET_BACK: SiteRight((SUPERVISOR,), WITH_REASON),
    SiteAct.UNLOCK: SiteRight((SUPERVISOR,), WITH_REASON),
    SiteAct.OPEN_PIN_CHOICE: SiteRight((SUPERVISOR,), f"{WITH_REASON}; never for himself"),
    SiteAct.CHANGE_OWN_PIN: SiteRight(EVERYBODY, WITH_PIN),
}


def may_on_site(act: SiteAct, who: Who | None) -> bool:
    """Return whether somebody's role may do an act on the site."""
    right = SITE_RIGHTS.get(act)
    return who is not None and right is not None and (right.roles == EVERYBODY or who.role in right.roles)


def check_site_right(act: SiteAct, who: Who | None) -> Who:
    """Return who it is, where he may do the act.

    Raises: NobodyError; RightsError.
    """
    if who is None:
        raise NobodyError
    if not may_on_site(act, who):
        right = SITE_RIGHTS.get(act)
        raise RightsError(who.name, who.role, str(act), right.roles if right else ())
    return who
