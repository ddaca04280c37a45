"""The joints chosen for the legs of a system, of a plan or of a run, and a search for them that goes on."""

from dataclasses import dataclass
from typing import ClassVar

from app.domain.run import Run
from app.records.joints_text import NO_RUNNERS_UP, runner_up_line
from app.records.leg_toml import leg_lines, plan_with_leg
from app.services.closing_legs import Chosen, Underway
from app.store.plans import KeptPlan
from app.web.contexts.frame import Frame
from app.web.contexts.runs import RunBar, run_bar


@dataclass(frozen=True, slots=True)
class ChosenJoint:
    """A joint of the chosen leg: its length as measured, and where it comes from."""

    tag: str
    length: str
    origin: str


@dataclass(frozen=True, slots=True)
class ChosenLeg:
    """The joints that close the legs of one system best, why, and the runners-up; or what is short.

    `runners_up` are sentences; where there are none, one says why. `lines` are those of the plan that
    change when the joints are taken into it, and nothing where they stand there already.
    """

    system: str
    found: bool
    joints: tuple[ChosenJoint, ...]
    sentences: tuple[str, ...]
    runners_up: tuple[str, ...]
    lines: str


@dataclass(frozen=True, slots=True)
class JointsPage:
    """What came of the search for the joints of one system of a plan; `text` is the plan with them in it."""

    PAGE: ClassVar[str] = "legs/joints.html"
    PART: ClassVar[str] = "legs/_joints.html"

    frame: Frame
    plan: KeptPlan
    title: str
    leg: ChosenLeg
    text: str


@dataclass(frozen=True, slots=True)
class RunJointsPage:
    """What came of the search for the joints that one system of a run has still to run."""

    PAGE: ClassVar[str] = "legs/run_joints.html"
    PART: ClassVar[str] = "legs/_run_joints.html"

    frame: Frame
    bar: RunBar
    leg: ChosenLeg


@dataclass(frozen=True, slots=True)
class SearchingPage:
    """A search that goes on: for which system and how far it is; `again` is the address that it ends at."""

    PAGE: ClassVar[str] = "legs/searching.html"
    PART: ClassVar[str] = "legs/_searching.html"

    frame: Frame
    system: str
    told: str
    again: str
    back: str


def joints_page(frame: Frame, kept: KeptPlan, chosen: Chosen) -> JointsPage:
    """Return what came of the search for the joints of a system of a plan."""
    leg = chosen.choice.leg
    text = plan_with_leg(chosen.plan, _position(chosen), leg) if leg is not None else ""
    return JointsPage(frame, kept, chosen.plan.job.title, _leg(frame, chosen), text)


def run_joints_page(frame: Frame, run: Run, chosen: Chosen) -> RunJointsPage:
    """Return what came of the search for the joints that a system of a run has still to run."""
    return RunJointsPage(frame, run_bar(run), _leg(frame, chosen))


def searching_page(frame: Frame, underway: Underway, again: str, back: str) -> SearchingPage:
    """Return how far a search is."""
    return SearchingPage(frame, underway.system, underway.told, again, back)


def _leg(frame: Frame, chosen: Chosen) -> ChosenLeg:
    choice, system = chosen.choice, chosen.system
    leg = choice.leg
    runners_up = tuple(runner_up_line(system, other) for other in choice.runners_up)
    if leg is not None and not runners_up:
        runners_up = (NO_RUNNERS_UP[choice.all_shown],)
    return ChosenLeg(
        system=system.name,
        found=leg is not None,
        joints=_joints(frame, chosen),
        sentences=chosen.sentences,
        runners_up=runners_up,
        lines=leg_lines(chosen.plan, _position(chosen), leg) if leg is not None else "",
    )


def _position(chosen: Chosen) -> int:
    return chosen.plan.systems.index(chosen.system)


def _joints(frame: Frame, chosen: Chosen) -> tuple[ChosenJoint, ...]:
    leg, staying = chosen.choice.leg, chosen.choice.wanted.staying
    if leg is None:
        return ()
    origins = {joint.tag: "stays where it is" for joint in leg.joints[:staying]}
    origins |= dict.fromkeys(leg.racked, "from the rack")
    return tuple(
        ChosenJoint(joint.tag, frame.units.given(joint.length), origins.get(joint.tag, "in the plan"))
        for joint in leg.joints
    )
