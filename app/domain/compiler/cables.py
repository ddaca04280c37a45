"""Steps about cables: tests at their moments, splices, and what a clamp or protector carries."""

from app.domain.compiler import asked
from app.domain.compiler.writer import SheetWriter
from app.domain.crew import TestMoment
from app.domain.gear import ClampType
from app.domain.operations import Operation
from app.domain.plan import MotorLead, System
from app.domain.problems import stop

WORDS: dict[TestMoment, str] = {
    TestMoment.AFTER_POTHEAD: "with its pothead connected",
    TestMoment.SYSTEM_COMPLETE: "with its system complete",
    TestMoment.ALONG_INTERMEDIATE: "on the way down",
    TestMoment.ALONG_PRODUCTION: "on the way down",
    TestMoment.AFTER_SPLICE: "after its splice",
    TestMoment.AFTER_PENETRATOR: "after its penetrator",
    TestMoment.LANDED: "with the string landed",
}


def test_cables(writer: SheetWriter, moment: TestMoment, cables: tuple[str, ...]) -> None:
    """Write one test step for each cable, where the plan demands a test at this moment."""
    test = asked.test_at(writer.plan, moment)
    if test is None:
        return
    for cable in cables:
        writer.write(
            Operation.TEST_CABLES,
            cable,
            readings=asked.electrical(test, cable),
            source="electrical_tests",
            cable=cable,
            moment=WORDS[moment],
        )


def test_along(writer: SheetWriter, moment: TestMoment, joints_in: int) -> None:
    """Write the tests that fall due after so many joints of a run."""
    test = asked.test_at(writer.plan, moment)
    if test is not None and test.every > 0 and joints_in % test.every == 0:
        test_cables(writer, moment, tuple(writer.cables))


def splices(writer: SheetWriter, run_name: str, joints_in: int) -> None:
    """Write the splices that stand after so many joints of a run, each with its test."""
    for system in writer.plan.systems:
        lead, main = system.motor_lead, system.motor_lead.main_cable
        if lead.tag in writer.cables and (main.splice_in, main.splice_after) == (run_name, joints_in):
            _splice(writer, lead)


def carried(writer: SheetWriter, system: System, *, with_line: bool = True) -> str:
    """Return in words what a clamp carries now: the line in its recess, each cable in its grip."""
    words = []
    if with_line and system.line is not None:
        words.append(f"{system.line.tag} in its recess")
    words += [f"{cable} in its grip" for cable in writer.cables]
    return ", ".join(words) or "tight round both legs"


def check_room(writer: SheetWriter, kind: ClampType, source: str, *, line: bool) -> None:
    """Note a problem where a clamp has no place for what it must carry now."""
    cables = len(writer.cables)
    if kind.grips < cables:
        text = (
            f"The {kind.name} has {kind.grips} grips, but {cables} cables pass here, {named(writer.cables)}; "
            "take a type with a grip for each."
        )
        writer.problems.append(stop("clamp-too-few-grips", source, text))
    if line and not kind.recess:
        text = f"The {kind.name} has no recess, but a discharge line passes here; take a type with one."
        writer.problems.append(stop("clamp-without-recess", source, text))


def named(cables: list[str]) -> str:
    """Return cable tags as a phrase."""
    *first, last = cables or ["no cable yet"]
    return f"{', '.join(first)} and {last}" if first else last


def _splice(writer: SheetWriter, lead: MotorLead) -> None:
    main = lead.main_cable
    writer.write(Operation.SPLICE, lead.tag, main.tag, source="motor_lead", cable=lead.tag, main=main.tag)
    # From here up the string carries the main cable in the lead's place.
    writer.cables[writer.cables.index(lead.tag)] = main.tag
    test_cables(writer, TestMoment.AFTER_SPLICE, (main.tag,))
