"""What the printed record shows, as plain data: the record, its summary, its fingerprints."""

import re
from collections import Counter
from collections.abc import Callable, Iterable
from dataclasses import fields, replace
from itertools import groupby

from app.domain.install_record import InstallRecord, PlanText, ReadingVerdict, Verdict
from app.domain.record_steps import StepRun, StepTiming
from app.domain.record_values import Amount
from app.exports.printable import Coverage, printable_tree
from app.exports.record_json import Seal
from app.records.plain import to_plain
from app.records.short_code import short_code

AMOUNT_MEMBERS = {field.name for field in fields(Amount)}
NO_BREAK = "\u00a0"
RUNNING_HEAD = 90
OFFSET = re.compile(r"([+-]\d\d:\d\d)$")
OUT_OF_WINDOW = (ReadingVerdict.BELOW_WINDOW, ReadingVerdict.ABOVE_WINDOW)
NOT_CLEAN = (Verdict.FAILED, Verdict.OPEN)


def page_data(record: InstallRecord, seal: Seal, fonts: Coverage) -> object:
    """Return everything that the pages show, each text fit for print."""
    shown = replace(record, log=(), steps=(), times=(), plan=PlanText(record.plan.fingerprint, ""))
    return printable_tree(
        {
            "record": as_read(to_plain(shown)),
            "running": _running_head(record),
            "stages": _stages(record),
            "corrected": _corrected(record),
            "marked_times": as_read(to_plain(tuple(time for time in record.times if time.mark))),
            "summary": [summarise(record) for summarise in SUMMARY],
            "plan_lines": record.plan.text.splitlines(),
            "log": {"events": str(len(record.log)), "short_code": short_code(record.head)},
            "seal": as_read(to_plain(seal)),
        },
        fonts,
    )


def as_read(value: object) -> object:
    """Return a plain value with each amount as one text, and each time with spaces that do not break."""
    if isinstance(value, list):
        return [as_read(item) for item in value]
    if not isinstance(value, dict):
        return value
    if value.keys() == AMOUNT_MEMBERS:
        return f"{value['value']} {value['unit']}".strip()
    return {name: _moment(item) if _is_time(name, item) else as_read(item) for name, item in value.items()}


def _running_head(record: InstallRecord) -> str:
    # It stands over every page in one line, however long a title somebody gave.
    words = " ".join(f"Install record · {record.job.title} · {record.well.name}".split())
    return words if len(words) <= RUNNING_HEAD else words[: RUNNING_HEAD - 1] + "…"


def _corrected(record: InstallRecord) -> dict[str, list[str]]:
    """Return by step what was put right at it, by whom and when, with the number of the correction."""
    told: dict[str, list[str]] = {}
    for number, it in enumerate(record.corrections, start=1):
        values = f"{it.old.value} {it.old.unit}".strip(), f"{it.new.value} {it.new.unit}".strip()
        told.setdefault(str(it.step), []).append(
            f"{it.reading} corrected from {values[0]} to {values[1]} by {it.by}, {_moment(it.at)}: "
            f"correction {number}"
        )
    return told


def _stages(record: InstallRecord) -> list[dict[str, object]]:
    # The longest table by far: its cells are made here, where a cell costs a hundredth of what the
    # layout would pay for it.
    times, corrected = {time.step: time for time in record.times}, _corrected(record)
    return [
        {
            "stage": stage,
            "steps": [
                _step_row(step, times.get(step.number), corrected.get(str(step.number), [])) for step in steps
            ],
        }
        for stage, steps in groupby(record.steps, key=lambda step: step.stage)
    ]


def _step_row(step: StepRun, time: StepTiming | None, corrected: list[str]) -> list[str]:
    readings = "\n".join((*(f"{it.name}: {it.value} {it.unit}".strip() for it in step.readings), *corrected))
    return [
        str(step.number),
        step.text,
        step.outcome,
        readings,
        f"{step.by} · {_moment(step.at)}",
        _duration(time) if time is not None else "",
    ]


def _duration(time: StepTiming) -> str:
    began = f"from {_moment(time.began_at[11:19])}\n" if time.began_at else ""
    worked = f"{time.worked_minutes} of {time.planned_minutes} min" if time.worked_minutes else "not known"
    held = f", {time.on_hold_minutes} min on hold" if time.on_hold_minutes else ""
    return began + worked + held


def _is_time(name: str, value: object) -> bool:
    # A step that was looked at is a number.
    return isinstance(value, str) and (name == "at" or name.endswith("_at"))


def _moment(at: object) -> str:
    return OFFSET.sub(rf"{NO_BREAK}\1", str(at)).replace("T", NO_BREAK)


def _row(subject: str, count: int, verdicts: str = "", attention: str = "") -> dict[str, str]:
    return {"subject": subject, "count": str(count), "verdicts": verdicts, "attention": attention}


def _steps(record: InstallRecord) -> dict[str, str]:
    return _row("Steps", len(record.steps), _tallied(step.outcome for step in record.steps))


def _connections(record: InstallRecord) -> dict[str, str]:
    attempts = [attempt for made in record.connections for attempt in made.attempts]
    return _row(
        "Connections",
        len(record.connections),
        _tallied(made.verdict for made in record.connections),
        _listed(
            _many(sum(attempt.verdict in OUT_OF_WINDOW for attempt in attempts), "attempt", "out of window"),
            _many(sum(made.verdict in NOT_CLEAN for made in record.connections), "connection", "not proven"),
        ),
    )


def _tests(record: InstallRecord) -> dict[str, str]:
    readings = [reading for test in record.tests for reading in test.readings]
    return _row(
        "Tests",
        len(record.tests),
        _tallied(test.verdict for test in record.tests),
        _listed(
            _many(sum(reading.verdict in OUT_OF_WINDOW for reading in readings), "reading", "out of limits"),
            _many(sum(test.verdict in NOT_CLEAN for test in record.tests), "test", "not passed"),
        ),
    )


def _weights(record: InstallRecord) -> dict[str, str]:
    off = _many(sum(it.verdict in OUT_OF_WINDOW for it in record.weights), "reading", "off what should hang")
    return _row("Readings of the weight indicator", len(record.weights), "", off)


def _hold_points(record: InstallRecord) -> dict[str, str]:
    released = sum(bool(held.released_at) for held in record.hold_points)
    unsigned = sum(not held.signatures for held in record.hold_points)
    return _row(
        "Hold points",
        len(record.hold_points),
        f"{released} released",
        _listed(
            _many(len(record.hold_points) - released, "hold point", "not released"),
            _many(unsigned, "hold point", "without a signature"),
        ),
    )


def _deviations(record: InstallRecord) -> dict[str, str]:
    accepted = sum(bool(deviation.accepted_by) for deviation in record.deviations)
    return _row(
        "Deviations",
        len(record.deviations),
        f"{accepted} accepted",
        _many(len(record.deviations) - accepted, "deviation", "still open"),
    )


def _taken_twice(record: InstallRecord) -> dict[str, str]:
    differing = sum(not item.agreed for item in record.taken_twice)
    told = _many(differing, "time", "the two did not agree")
    return _row("Readings of two people", len(record.taken_twice), "", told)


def _standstills(record: InstallRecord) -> dict[str, str]:
    lost = _listed(*(f"{lost.cause} {lost.time.value} {lost.time.unit}" for lost in record.lost_time))
    return _row("Times on hold", len(record.standstills), lost)


def _handovers(record: InstallRecord) -> dict[str, str]:
    back = sum(bool(item.taken_back) for item in record.handovers)
    differing = sum(not read.agrees for item in record.handovers for read in item.read_again)
    return _row(
        "Handovers",
        len(record.handovers),
        f"{back} taken back" if back else "",
        _many(differing, "value", "read again and not the same"),
    )


def _charges(record: InstallRecord) -> dict[str, str]:
    taken = _many(len(record.charges), "time", "the supervisor before did not hand over")
    return _row("Charge taken without a handover", len(record.charges), "", taken)


def _times(record: InstallRecord) -> dict[str, str]:
    moved = _many(len(record.clock_moves), "time", "the clock was moved")
    marks = _tallied(time.mark for time in record.times if time.mark)
    return _row("Times of steps", len(record.times), marks, moved)


def _counts(record: InstallRecord) -> dict[str, str]:
    return _row(
        "Temporary gear, items",
        len(record.counts),
        _tallied(count.verdict for count in record.counts),
        _many(sum(count.on != count.off for count in record.counts), "item", "on and off differ"),
    )


SUMMARY: tuple[Callable[[InstallRecord], dict[str, str]], ...] = (
    _steps,
    lambda record: _row("Parts", len(record.parts)),
    _connections,
    lambda record: _row("Clamps", len(record.clamps)),
    lambda record: _row("Joints in the tally", len(record.tally)),
    _tests,
    _weights,
    _hold_points,
    lambda record: _row("Changes to the sheet before release", len(record.sheet_changes)),
    lambda record: _row("Ways back, changed plans, deferred steps", len(record.rewritings)),
    _deviations,
    lambda record: _row("Parts and clamps swapped", len(record.swaps)),
    _taken_twice,
    lambda record: _row("Corrections", len(record.corrections)),
    lambda record: _row("Ticks taken back", len(record.undone_ticks)),
    lambda record: _row(
        "Steps set aside", len(record.set_aside), _tallied(it.what for it in record.set_aside)
    ),
    _standstills,
    _handovers,
    _charges,
    _times,
    _counts,
    lambda record: _row("Notes", len(record.notes)),
    lambda record: _row("Photos", len(record.photos)),
    lambda record: _row("Events in the log", len(record.log)),
)


def _tallied(words: Iterable[str]) -> str:
    return _listed(*(f"{count} {word}" for word, count in Counter(map(str, words)).items()))


def _many(count: int, noun: str, what: str) -> str:
    if not count:
        return ""
    return f"{count} {noun}{'' if count == 1 else 's'}: {what}"


def _listed(*texts: str) -> str:
    return ", ".join(text for text in texts if text)
