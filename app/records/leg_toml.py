"""The lines of a run plan that change when a choice of joints is taken into it."""

from collections.abc import Iterator

from app.domain.closing_legs import Rack
from app.domain.joint_choice.leg import Leg
from app.domain.joint_choice.taken import with_leg
from app.domain.plan import Plan
from app.records.dataclass_writer import write_record
from app.records.plan_toml import write_plan_toml
from app.records.toml_text import toml_text


def leg_lines(plan: Plan, position: int, leg: Leg) -> str:
    """Return the lines to write into a plan so that a leg is in it; nothing where it is there already."""
    return "\n".join(_parts(plan, position, leg))


def plan_with_leg(plan: Plan, position: int, leg: Leg) -> str:
    """Return the whole plan as TOML with a leg in it: values as typed, the remarks of its text left out."""
    return write_plan_toml(with_leg(plan, position, leg))


def _parts(plan: Plan, position: int, leg: Leg) -> Iterator[str]:
    taken = with_leg(plan, position, leg)
    old, new = plan.systems[position], taken.systems[position]
    if new.datum != old.datum:
        yield f'# in the [[systems]] of "{new.name}":\n{toml_text({"datum": write_record(new.datum)})}'
    if new.bypass.joints != old.bypass.joints:
        joints = [write_record(joint) for joint in new.bypass.joints]
        yield f"# in its [systems.bypass]:\n{toml_text({'joints': joints})}"
    for before, after in zip(plan.rack, taken.rack, strict=False):
        if after != before:
            yield f'# in place of the [[rack]] of "{before.tubing}":\n{_rack(after)}'
    for added in taken.rack[len(plan.rack) :]:
        yield f"# at the end:\n{_rack(added)}"


def _rack(rack: Rack) -> str:
    return f"[[rack]]\n{toml_text(write_record(rack))}"
