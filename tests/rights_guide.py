"""Writes the guide's part about rights from the tables themselves: `python -m tests.rights_guide`."""

from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

from app.domain.crew import DRILLER, ROLES
from app.domain.rights import EVERYBODY, RIGHTS, Right
from app.domain.run import Run, RunState
from app.domain.site_rights import SITE_RIGHTS, SiteRight
from tests.domain import job

GUIDE = Path(__file__).resolve().parent.parent / "DEVELOPERS.md"
BEGIN = "<!-- rights, written by: python -m tests.rights_guide -->"
END = "<!-- end of the rights -->"
ANOTHER = "another role"  # one of a plan's own, which no right names
COLUMNS = (*ROLES, ANOTHER)
NOBODY = "—"
AS_PLANNED = " (as planned)"


def main() -> None:
    """Write the part anew."""
    GUIDE.write_text(with_rights(GUIDE.read_text(encoding="utf-8")), encoding="utf-8")


def with_rights(guide: str) -> str:
    """Return a guide with the part between the marks as the tables say it."""
    before, _, rest = guide.partition(BEGIN)
    _, _, after = rest.partition(END)
    return f"{before}{BEGIN}\n\n{rights_part()}\n\n{END}{after}"


def rights_part() -> str:
    """Return the part: what each role may do to a run and in which states of it, and on the site."""
    return "\n".join((*_of_runs(), "", *_of_site()))


def _of_runs() -> Iterator[str]:
    yield f"| command | may not … unless | {' | '.join(COLUMNS)} | besides |"
    yield "|---" * (len(COLUMNS) + 3) + "|"
    for command, right in RIGHTS.items():
        asked = AS_PLANNED if _asks_the_plan(right) else ""
        cells = [_states(right) if _may(right, role) else NOBODY for role in COLUMNS]
        yield f"| `{command.__name__}` | {right.to}{asked} | {' | '.join(cells)} | {right.further} |"


def _of_site() -> Iterator[str]:
    yield f"| on the site, may not … unless | {' | '.join(COLUMNS)} | besides |"
    yield "|---" * (len(COLUMNS) + 2) + "|"
    for act, right in SITE_RIGHTS.items():
        cells = ["yes" if _may_on_site(right, role) else NOBODY for role in COLUMNS]
        yield f"| {act.value} | {' | '.join(cells)} | {right.further} |"


def _states(right: Right) -> str:
    return ", ".join(state.value for state in RunState if state in right.states)


def _may(right: Right, role: str) -> bool:
    return right.roles is EVERYBODY or role in right.roles(job.begun())


def _may_on_site(right: SiteRight, role: str) -> bool:
    return not right.roles or role in right.roles


def _asks_the_plan(right: Right) -> bool:
    """Return whether the plan can name other roles than the demonstration's does."""
    return right.roles is not EVERYBODY and right.roles(job.begun()) != right.roles(_otherwise_planned())


def _otherwise_planned() -> Run:
    run = job.begun()
    limits = replace(run.plan.limits, deviations_accepted_by=(DRILLER,))
    return replace(run, plan=replace(run.plan, limits=limits, crew=()))


if __name__ == "__main__":
    main()
