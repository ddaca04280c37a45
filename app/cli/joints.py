"""The command that says how the legs of a plan close, and which joints of the rack close them best."""

import argparse
import sys
from collections.abc import Iterable

from app.cli.outcome import GOOD, StoppedError, UnreadableError
from app.cli.plans import UNREADABLE_RULE, print_json, read_file, today
from app.domain.joint_choice.choice import Progress
from app.domain.joint_choice.leg import Leg
from app.domain.plan import Plan
from app.domain.refusals import NoLegsError, UnknownSystemError
from app.records.joints_json import joints_to_json, system_to_json
from app.records.joints_text import joints_to_text, progress_line
from app.services.closing_legs import (
    Chosen,
    chosen_joints,
    plan_with_legs,
)


def joints(asked: argparse.Namespace) -> int:
    """Print how each system closes and the joints chosen for it, each as soon as it is found.

    Raises: StoppedError where no leg was found or the plan's shape is not whole; UnreadableError where the
    file cannot be read or has no such system.
    """
    try:
        plan = plan_with_legs(read_file(asked.plan), today())
        found = chosen_joints(plan, asked.system, seconds=asked.seconds, on_progress=Told(plan))
        chosen = list(found) if asked.json else list(_printed(found))
    except NoLegsError as error:
        kind = UnreadableError if error.found == UNREADABLE_RULE else StoppedError
        raise kind(f"{asked.plan}: {error}") from None
    except UnknownSystemError as error:
        raise UnreadableError(f"{asked.plan}: {error}") from None
    if asked.json:
        print_json(joints_to_json(plan, map(_as_json, chosen)))
    without = [one.choice.system for one in chosen if one.choice.leg is None]
    if without:
        raise StoppedError(f"{asked.plan}: no joints close the legs of {', '.join(without)}; see above.")
    return GOOD


class Told:
    """Guards what was told last: a line for each better leg, and one a second, beside what is printed."""

    def __init__(self, plan: Plan) -> None:
        self._systems = {system.name: system for system in plan.systems}
        self._next_s = dict.fromkeys(self._systems, 1.0)
        self._leg: Leg | None = None

    def __call__(self, system: str, progress: Progress) -> None:
        """Print how far the search for a system is, where that is news."""
        if progress.leg != self._leg or progress.seconds >= self._next_s[system]:
            self._leg = progress.leg
            self._next_s[system] = progress.seconds + 1.0
            print(progress_line(self._systems[system], progress), file=sys.stderr, flush=True)


def _printed(found: Iterable[Chosen]) -> Iterable[Chosen]:
    for one in found:
        print(joints_to_text(one.plan, one.system, one.closure, one.choice, one.sentences), flush=True)
        yield one


def _as_json(one: Chosen) -> dict[str, object]:
    return system_to_json(one.system, one.closure, one.choice, one.sentences)
