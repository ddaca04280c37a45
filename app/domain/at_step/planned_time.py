"""How long each step is planned to take: by the plan's rates, else by common practice."""

from collections import Counter

from app.domain.crew import StageKind
from app.domain.plan import Plan
from app.domain.quantities import Duration
from app.domain.rates import COMMON_TALK, JOINT_WORK, Rates, common_time
from app.domain.sheet import Sheet, Stage, Step

OF_JOINTS = frozenset({StageKind.INTERMEDIATE, StageKind.RUNNING})


def planned_times(plan: Plan, sheet: Sheet) -> dict[int, Duration]:
    """Return by its number how long each step is planned to take [s]."""
    rates = plan.rates or Rates()
    times: dict[int, Duration] = {}
    for stage in sheet.stages:
        steps = sheet.steps_of(stage.id)
        ratio = _joint_ratio(rates, stage, steps)
        for step in steps:
            named = rates.of(step.operation)
            share_ratio = ratio if named is None and step.operation in JOINT_WORK else 1.0
            times[step.number] = (named or common_time(step.operation)) * share_ratio
    return times


def talk_time(plan: Plan, stage: Stage) -> Duration:
    """Return how long the talk before a stage is planned to take, nothing where there is none [s]."""
    if stage.hold_point is None:
        return Duration(0.0)
    planned = plan.rates.talk if plan.rates is not None else None
    return planned or COMMON_TALK


def _joint_ratio(rates: Rates, stage: Stage, steps: tuple[Step, ...]) -> float:
    """Return by what the common times are multiplied so that each joint takes the plan's own time [1]."""
    if rates.joint is None or stage.kind not in OF_JOINTS:
        return 1.0
    done = Counter(step.operation for step in steps if step.operation in JOINT_WORK)
    named_s = sum(time.si * done[op] for op in done if (time := rates.of(op)) is not None)
    common_s = sum(common_time(op).si * done[op] for op in done if rates.of(op) is None)
    joints = max(done.values(), default=0)
    wanted_s = rates.joint.si * joints - named_s
    return max(wanted_s / common_s, 0.0) if common_s > 0.0 else 1.0
