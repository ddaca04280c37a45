"""Steps from the topmost system to the landed hanger."""

from app.domain.compiler import asked, tubing
from app.domain.compiler.cables import splices, test_along, test_cables
from app.domain.compiler.tubing import Hung, Lifted
from app.domain.compiler.writer import SheetWriter
from app.domain.crew import StageKind, TestMoment
from app.domain.gear import PIN_PROTECTOR
from app.domain.operations import Operation
from app.domain.plan import PRODUCTION
from app.domain.sheet import GearMove, Joined

LANDING_JOINT = "landing joint"


def run_to_depth(writer: SheetWriter, hung: Hung) -> Hung:
    """Write the production tubing, joint by joint, and return what hangs afterwards."""
    production = writer.plan.production
    writer.stage(StageKind.RUNNING, "Running to depth")
    for position, joint in enumerate(production.tubing.joints):
        tags: tuple[str, ...] = (joint.tag,)
        connection = production.tubing.connection
        if position == 0 and production.crossover is not None:
            tags, connection = (production.crossover.tag, joint.tag), production.crossover.connection
        lifted = Lifted(
            tags, production.tubing, connection, f"production.tubing.joints[{position}]", joint.tag
        )
        tubing.run_joint(writer, hung, lifted, joints_in=position + 1, carry_line=False)
        hung = lifted.hung
        splices(writer, PRODUCTION, position + 1)
        test_along(writer, TestMoment.ALONG_PRODUCTION, position + 1)
    return hung


def land(writer: SheetWriter, hung: Hung) -> None:
    """Write hanger, penetrators, landing, the last tests and the count."""
    production = writer.plan.production
    hanger, place = production.hanger, "production.hanger"
    writer.stage(StageKind.LANDING, "Landing")
    _make_up_hanger(writer, hung)
    for cable in tuple(writer.cables):
        writer.write(
            Operation.FIT_PENETRATOR,
            cable,
            hanger.tag,
            readings=asked.serial(production.penetrator),
            source="production.penetrator",
            cable=cable,
            penetrator=production.penetrator,
        )
    test_cables(writer, TestMoment.AFTER_PENETRATOR, tuple(writer.cables))
    tubing.unhang(writer, hung)
    tubing.protect(writer, hung, hanger.tag, production.tubing.protector, "production.tubing")
    writer.write(Operation.LAND_HANGER, hanger.tag, source=place, part=hanger.tag)
    test_cables(writer, TestMoment.LANDED, tuple(writer.cables))
    writer.write(
        Operation.RELEASE_LANDING_JOINT,
        hanger.tag,
        gear=(GearMove(LANDING_JOINT, -1),),
        source=place,
        part=hanger.tag,
    )
    writer.write(Operation.COUNT_GEAR, source="lifting_gear")


def _make_up_hanger(writer: SheetWriter, hung: Hung) -> None:
    hanger, place = writer.plan.production.hanger, "production.hanger"
    tubing.release_elevators(writer, hung)
    dope = asked.dope(writer.plan, hanger.connection)
    writer.write(Operation.DOPE_BOX, hung.tag, source=place, joint=hung.tag, dope=dope)
    writer.write(
        Operation.PICK_UP_HANGER,
        hanger.tag,
        gear=(GearMove(LANDING_JOINT, 1), GearMove(PIN_PROTECTOR, 1)),
        source=place,
        part=hanger.tag,
    )
    writer.write(
        Operation.DOPE_PIN,
        hanger.tag,
        gear=(GearMove(PIN_PROTECTOR, -1),),
        source=place,
        joint=hanger.tag,
        dope=dope,
    )
    writer.write(Operation.STAB, hanger.tag, hung.tag, source=place, joint=hanger.tag, below=hung.tag)
    tubing.torque(writer, Joined(hung.tag, hanger.tag, hanger.connection), place)
