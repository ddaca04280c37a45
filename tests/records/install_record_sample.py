"""An invented install record of any length, built the way a real run would fill it."""

from dataclasses import replace

from app.domain.install_record import (
    FORMAT,
    Attempt,
    Attendee,
    Casing,
    ClampFitted,
    ConnectionMade,
    GearCount,
    HandedOver,
    HoldPointHeld,
    InstalledPart,
    InstallRecord,
    ItemCounted,
    Job,
    LoggedEvent,
    Note,
    Photo,
    PlanText,
    ProofTest,
    ReadAgain,
    ReadingVerdict,
    Rewriting,
    RunFacts,
    Signature,
    TallyLine,
    TestReading,
    Verdict,
    Well,
)
from app.domain.record_changes import (
    ChargeTaken,
    Correction,
    Deviation,
    EarlierReading,
    LostTime,
    NewValue,
    OtherNumber,
    Proposal,
    SetAside,
    SheetChange,
    Standstill,
    Swap,
    TakenTwice,
    UndoneTick,
)
from app.domain.record_steps import ClockMoved, StepReading, StepRun, StepTiming, WeightRead
from app.domain.record_values import Amount
from app.records.canonical import canonical_bytes
from app.records.chain import GENESIS, link
from app.records.install_record_json import logged_events

RUN = "run-2031-017"
SHOWN = "5b" * 32
PERSON = "Invented Tong Hand"
STAGES = ("Deck work", "Lower bypass leg", "Lower pump leg", "Lower Y-block", "Run to depth")


def sample_record(*, steps: int = 6, joints: int = 3) -> InstallRecord:
    """Return an invented record with that many steps and joints, its log whole."""
    log = sample_log(RUN, steps)
    return InstallRecord(
        format=FORMAT,
        job=Job(
            "Dual-pump bypass string", "J-0417", "Invented Rig 9", "Invented demo data: no real well", True
        ),
        well=_well(),
        run=RunFacts(RUN, "2031-03-04T05:50:00+03:00", "2031-03-07T17:25:00+03:00"),
        plan=PlanText("c4" * 32, '[job]\ntitle = "Dual-pump bypass string"\n\n[well]\n  fluid = "brine"\n'),
        sheet_fingerprint="d7" * 32,
        parts=tuple(_part(index) for index in range(1, 9)),
        connections=tuple(_connection(index, steps) for index in range(1, max(3, steps // 5))),
        clamps=tuple(_clamp(index) for index in range(1, 6)),
        tally=tuple(_joint(index) for index in range(1, joints + 1)),
        tests=_tests(),
        hold_points=_hold_points(),
        sheet_changes=(
            SheetChange(
                2,
                3,
                "reworded",
                "'Set slips.' now reads 'Set the small slips.'",
                "two sizes on deck",
                "Invented Supervisor (supervisor)",
                _time(2, "15"),
            ),
            SheetChange(
                3,
                0,
                "left out",
                "Left out: 'Service the motor with oil.'",
                "serviced at the shop",
                "Invented Supervisor (supervisor)",
                _time(2, "16"),
            ),
        ),
        rewritings=(
            Rewriting(
                1,
                "way back: a test failed",
                3,
                5,
                (3, 4, 5),
                (6, 7),
                "the lead reads 0.2 megohm",
                PlanText("", ""),
                "e8" * 32,
                _signature("Invented Supervisor", "supervisor", "I have read the way back"),
                "",
                0,
            ),
            Rewriting(
                2,
                "changed plan: With a pup joint",
                0,
                9,
                (),
                (),
                "a pup joint more",
                PlanText("f9" * 32, '[job]\ntitle = "Dual-pump bypass string, a pup joint more"\n'),
                "fa" * 32,
                _signature("Invented Supervisor", "supervisor", "I have read what changes"),
                "",
                0,
            ),
        ),
        deviations=_deviations(),
        swaps=(_swap(),),
        weights=(
            WeightRead(
                5,
                "Lower P-010",
                Amount("410.25", "ft"),
                Amount("41800", "lb"),
                Amount("42310", "lb"),
                Amount("38079", "lb"),
                Amount("46541", "lb"),
                "in window",
                PERSON,
                _time(5, "40"),
            ),
        ),
        taken_twice=(
            TakenTwice(
                4,
                "swivel extension",
                Amount("6.00", "in"),
                PERSON,
                _time(4, "20"),
                Amount("6.05", "in"),
                "Invented Supervisor",
                _time(4, "24"),
            ),
        ),
        earlier_readings=(
            EarlierReading(
                4,
                "Torque the swivel",
                "torque",
                Amount("1980", "lbf ft"),
                "tong 2, TG-0088",
                "below the window",
                PERSON,
                _time(4, "22"),
            ),
        ),
        corrections=(
            Correction(
                3,
                "make-up torque",
                Amount("25600", "lbf ft"),
                Amount("2560", "lbf ft"),
                "one nought too many: read from the gauge photo",
                "Invented Supervisor",
                _time(3, "31"),
            ),
        ),
        undone_ticks=(UndoneTick(2, "Set slips", "ticked one step early", PERSON, _time(2, "07")),),
        set_aside=(
            SetAside(3, "Fit the camera", "not applicable", 0, "no camera came", PERSON, _time(2, "08")),
            SetAside(4, "Test MC-1", "deferred", 6, "the tester is on its way", PERSON, _time(2, "09")),
        ),
        standstills=(
            Standstill(
                "weather or sea",
                "gusts over 40 knots",
                PERSON,
                _time(2, "08"),
                "confirmed",
                2,
                "collar looked at",
                "Invented Supervisor (supervisor)",
                _time(3, "09"),
            ),
        ),
        lost_time=(LostTime("weather or sea", Amount("1501", "min"), 1),),
        handovers=(
            HandedOver(
                "Invented Supervisor (supervisor)",
                _time(3, "10"),
                "Slips of the second size sit deep.",
                ("Deviation 1 at step 4 is not settled",),
                _time(3, "11"),
                (
                    ReadAgain(4, "torque", "500 ft*lbf", "505 ft*lbf", False, "Invented Relief (supervisor)"),
                    ReadAgain(0, "step to be done now", "5", "5", True, "Invented Relief (supervisor)"),
                ),
                "Invented Relief (supervisor)",
                "read on the other gauge",
                "I take over.",
                SHOWN,
                "",
                _time(3, "12"),
            ),
            HandedOver(
                "Invented Relief (supervisor)",
                _time(3, "13"),
                "Slips still sit deep.",
                (),
                "",
                (),
                "",
                "",
                "",
                "",
                "",
                _time(3, "14"),
                "Invented Supervisor (supervisor)",
            ),
        ),
        charges=(
            ChargeTaken(
                "Invented Supervisor (supervisor)",
                _time(3, "14"),
                "Invented Relief (supervisor)",
                "flown out, ill",
                True,
                "I take charge.",
                SHOWN,
            ),
        ),
        notes=(Note(0, "Wind gusting, work stopped for 20 min", "Invented Supervisor", _time(4, "11")),),
        photos=(Photo("ab" * 32, "pothead-1-seated.jpg", 4, PERSON, _time(4, "12")),),
        counts=(
            GearCount("lifting clamp", 4, 4, Verdict.PASSED),
            GearCount("thread protector", 31, 30, Verdict.BY_DEVIATION),
        ),
        items=(
            ItemCounted("cross-coupling protector", "40", 37, 2, 1, Verdict.PASSED),
            ItemCounted("mid-joint clamp", "", 3, 0, 0, Verdict.OPEN),
        ),
        steps=tuple(_step(number, steps) for number in range(1, steps + 1)),
        times=_times(),
        clock_moves=(ClockMoved(5, -3600, "2031-03-04T07:10:00+03:00", "2031-03-04T06:10:00+03:00"),),
        signatures=(
            _signature("Invented Supervisor", "supervisor", "the string is landed as recorded here"),
        ),
        log=log,
        other_numbers=(OtherNumber(5, 4, 6), OtherNumber(6, 7, 0)),
        head=log[-1].hash if log else GENESIS,
    )


def _times() -> tuple[StepTiming, ...]:
    began, ended = _time(2, "05"), _time(2, "08")
    return (
        StepTiming(1, "", began, "5.0", "", "", "", PERSON, began),
        StepTiming(2, began, ended, "4.0", "2.5", "0.5", "", PERSON, ended),
        StepTiming(3, ended, _time(2, "30"), "9.0", "22.0", "", "entered from paper", PERSON, _time(4, "01")),
    )


def record_with_text(text: str) -> InstallRecord:
    """Return the sample record with that text wherever a person may type."""
    record = sample_record()
    return replace(
        record,
        job=replace(record.job, title=text),
        notes=(Note(1, text, text, _time(4, "11")),),
        parts=(replace(record.parts[0], description=text, serial=text),),
        steps=(replace(record.steps[0], text=text, readings=(StepReading(text, text, text),)),),
    )


def sample_log(run_id: str, events: int) -> tuple[LoggedEvent, ...]:
    """Return the log of a run with that many events."""
    entries, previous = [], GENESIS
    for sequence in range(1, events + 1):
        body = canonical_bytes({"readings": [], "step": sequence}).decode()
        entry = link(
            previous,
            run_id=run_id,
            sequence=sequence,
            kind="step-done",
            version=1,
            at=_time(3, f"{sequence % 60:02d}"),
            by="person-7",
            body=body,
        )
        entries.append(entry)
        previous = entry.hash
    return logged_events(entries)


def _well() -> Well:
    return Well(
        name="Invented Well A-1",
        datum="rotary table, 9.4 m above ground",
        setting_depth=Amount("1850", "m"),
        fluid="brine",
        fluid_density=Amount("1.08", "g/cm3"),
        casing=(
            Casing(
                "production casing",
                Amount("9 5/8", "in"),
                Amount("47", "lb/ft"),
                Amount("8.525", "in"),
                Amount("0", "m"),
                Amount("2400", "m"),
            ),
        ),
    )


def _part(index: int) -> InstalledPart:
    kinds = (
        "downhole gauge",
        "motor",
        "seal section",
        "intake",
        "pump section",
        "discharge sub",
        "discharge head",
        "Y-block",
    )
    kind = kinds[index - 1]
    return InstalledPart(
        system="lower",
        leg="pump leg" if index < 8 else "both legs",
        tag=f"L-P{index}",
        kind=kind,
        description=f"invented {kind}, series 400",
        serial=f"SN-0{index}O0{index}7",
        length=Amount(f"{index}.25", "m"),
        max_od=Amount("4.00", "in"),
        weight=Amount(f"{index}40", "kg"),
        top=Amount(f"{1850 - index * 4}.5", "m"),
        base=Amount(f"{1854 - index * 4}.5", "m"),
    )


def _connection(index: int, steps: int) -> ConnectionMade:
    low_first = index % 7 == 2
    first = Attempt(
        Amount("1980" if low_first else "2560", "lbf ft"),
        "tong 2, TG-0088",
        PERSON,
        _time(3, "20"),
        ReadingVerdict.BELOW_WINDOW if low_first else ReadingVerdict.IN_WINDOW,
    )
    again = Attempt(
        Amount("2575", "lbf ft"), "tong 2, TG-0088", PERSON, _time(3, "26"), ReadingVerdict.IN_WINDOW
    )
    return ConnectionMade(
        step=min(index * 4, steps),
        stage="Lower bypass leg",
        system="lower",
        joins=f"BJ-{index} pin into BJ-{index + 1} box",
        connection_type="3 1/2 in bypass thread",
        dope="invented compound C",
        target=Amount("2560", "lbf ft"),
        low=Amount("2300", "lbf ft"),
        high=Amount("2820", "lbf ft"),
        attempts=(first, again) if low_first else (first,),
        verdict=Verdict.PASSED,
        deviations=("D-1",) if low_first else (),
    )


def _clamp(index: int) -> ClampFitted:
    return ClampFitted(
        serial=f"CL-10{index}",
        clamp_type="bypass clamp type 2",
        station=f"seal base {index}",
        system="lower",
        depth=Amount(f"{1850 - index * 5}.10", "m"),
        bolt_torque=Amount("55", "lbf ft"),
        by=PERSON,
        at=_time(4, f"{index:02d}"),
    )


def _joint(index: int) -> TallyLine:
    return TallyLine(
        number=index,
        tag=f"T-{index}",
        string="production tubing",
        serial=f"J{index:04d}",
        length=Amount("9.52", "m"),
        cumulative=Amount(f"{952 * index // 100}.{952 * index % 100:02d}", "m"),
        base=Amount(f"{1800 - index * 9}.48", "m"),
    )


def _tests() -> tuple[ProofTest, ...]:
    phases = ("A-B", "B-C", "C-A")
    electrical = ProofTest(
        "electrical",
        4,
        "after pothead make-up",
        "MLE 1 and lower motor",
        (
            *(
                TestReading(
                    f"resistance {pair}",
                    "2.41",
                    "ohm",
                    "2.30 ohm",
                    "2.52 ohm",
                    "meter EM-3",
                    ReadingVerdict.IN_WINDOW,
                )
                for pair in phases
            ),
            TestReading("insulation", "2100", "Mohm", "500 Mohm", "", "meter EM-3", ReadingVerdict.IN_WINDOW),
        ),
        "Invented Electrician",
        _time(4, "40"),
        Verdict.PASSED,
    )
    pressure = ProofTest(
        "pressure",
        5,
        "after termination",
        "lower discharge pressure line",
        (
            TestReading(
                "fall in 15 min", "310", "psi", "", "250 psi", "gauge PG-5", ReadingVerdict.ABOVE_WINDOW
            ),
        ),
        PERSON,
        _time(5, "02"),
        Verdict.BY_DEVIATION,
    )
    return electrical, pressure


def _hold_points() -> tuple[HoldPointHeld, ...]:
    return (
        HoldPointHeld(
            "Before first lift",
            ("work ahead", "suspended load: nobody under it", "hole cover on"),
            (Attendee("Invented Supervisor", "supervisor"), Attendee(PERSON, "tong operator")),
            (
                _signature("Invented Supervisor", "supervisor", "the talk was held and the floor is ready"),
                _signature(PERSON, "tong operator", "I know my part"),
            ),
            "2031-03-04T06:20:00+03:00",
        ),
    )


def _deviations() -> tuple[Deviation, ...]:
    return (
        Deviation(
            "D-1",
            5,
            "The line lost 310 psi in 15 min; the limit is 250 psi",
            "fitting warmed in the sun",
            "use as is",
            PERSON,
            _time(5, "10"),
            "Invented Supervisor",
            _time(5, "25"),
            "repeated in the shade: 120 psi",
            "",
            (
                Proposal("rework", "fitting warmed in the sun", PERSON, _time(5, "10")),
                Proposal("use as is", "it holds in the shade", PERSON, _time(5, "22")),
            ),
        ),
        Deviation(
            "D-2",
            6,
            "One thread protector not found",
            "counted twice",
            "",
            PERSON,
            _time(6, "01"),
            "",
            "",
            "",
        ),
    )


def _swap() -> Swap:
    return Swap(
        place="L-P5",
        item="L-P5",
        old_serial="SN-05O057",
        new_serial="SN-77",
        values=(NewValue("length", Amount("5.40", "m")),),
        reopened=(2, 3),
        reason="shaft is stiff",
        deviation="D-1",
        by="Invented Supervisor",
        at=_time(3, "40"),
    )


def _step(number: int, steps: int) -> StepRun:
    outcome = "not applicable" if number % 50 == 7 else "done"
    return StepRun(
        number=number,
        stage=STAGES[(number - 1) * len(STAGES) // steps],
        operation="make up",
        text=f"Stab joint {number}, make up by hand, then torque to 2560 lbf ft",
        by=PERSON,
        at=_time(3, f"{number % 60:02d}"),
        outcome=outcome,
        readings=(StepReading("make-up torque", "2560", "lbf ft"),) if number % 3 == 0 else (),
    )


def _signature(name: str, role: str, meaning: str) -> Signature:
    return Signature(name, role, meaning, _time(6, "18"), SHOWN)


def _time(day: int, minute: str) -> str:
    return f"2031-03-0{day}T14:{minute}:00+03:00"
