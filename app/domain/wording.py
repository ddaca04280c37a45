"""How each operation is worded, who does it and what it warns of, as a table."""

from dataclasses import dataclass

from app.domain.cautions import Caution
from app.domain.crew import DRILLER, FLOOR_CREW, PUMP_TECHNICIAN, SUPERVISOR
from app.domain.operations import Operation


@dataclass(frozen=True, slots=True)
class OperationRule:
    """The words, the role and the cautions of one operation; names stand in braces."""

    operation: Operation
    role: str
    text: str
    cautions: tuple[Caution, ...] = ()


O = Operation  # noqa: E741 - the table below reads as a table
C = Caution

RULES: tuple[OperationRule, ...] = (
    OperationRule(O.OWN_STEP, SUPERVISOR, "{text}"),
    OperationRule(
        O.CHECK_GEAR, SUPERVISOR, "Check {gear_name}: tag, WLL {wll}, certificate in date, no damage."
    ),
    OperationRule(O.CHECK_TOOL, SUPERVISOR, "Check {tool}: serial {serial}, range, calibration in date."),
    OperationRule(
        O.CHECK_CLAMPS,
        SUPERVISOR,
        "Count the clamps against the load-out list: {count} of {kind} needed here.",
    ),
    OperationRule(O.MEASURE, FLOOR_CREW, "Drift {joint} and measure it face to face.", (C.MANUAL,)),
    OperationRule(
        O.MEASURE_ROW, FLOOR_CREW, "Drift, number and measure {first} to {last} on the rack.", (C.MANUAL,)
    ),
    OperationRule(
        O.INSPECT_PART,
        PUMP_TECHNICIAN,
        "Inspect {part} ({description}) for damage; read its serial; measure it.",
    ),
    OperationRule(
        O.SERVICE_OIL,
        PUMP_TECHNICIAN,
        "Service {part} with oil until no bubbles come; plugs and O-rings new and tight.",
        (C.OIL,),
    ),
    OperationRule(
        O.CHECK_SHAFT,
        PUMP_TECHNICIAN,
        "Turn the shaft of {part} by hand; check end play, stick-up and coupling fit.",
        (C.SHAFT,),
    ),
    OperationRule(
        O.MAKE_UP_ON_DECK, FLOOR_CREW, "On deck: dope and make up {upper} to {lower}; torque.", (C.WRENCH,)
    ),
    OperationRule(
        O.BOLT_ON_DECK,
        PUMP_TECHNICIAN,
        "On deck: new O-ring, bolt {upper} to {lower}, crosswise.",
        (C.SHAFT,),
    ),
    OperationRule(
        O.TEST_ON_DECK,
        PUMP_TECHNICIAN,
        "Test {cable} on deck, phase to phase and to ground.",
        (C.ELECTRICAL,),
    ),
    OperationRule(
        O.TEST_MOTOR, PUMP_TECHNICIAN, "Test {part} on deck, phase to phase and to ground.", (C.ELECTRICAL,)
    ),
    OperationRule(
        O.RIG_FOR_SIZE,
        DRILLER,
        "Change to {gear_name} for {size}; inserts of that size, latch and locks seen by two people.",
        (C.DROPPED,),
    ),
    OperationRule(
        O.FIT_NUBBIN, FLOOR_CREW, "Make up lift nubbin {gear_name} in the box of {joint}, wrench tight."
    ),
    OperationRule(
        O.REMOVE_NUBBIN,
        FLOOR_CREW,
        "With {joint} held below, unlatch the elevators and take the nubbin out of its box.",
        (C.LOAD_TRANSFER,),
    ),
    OperationRule(
        O.UNLATCH, FLOOR_CREW, "With {joint} held below, unlatch the elevators.", (C.LOAD_TRANSFER,)
    ),
    OperationRule(O.PICK_UP_JOINT, DRILLER, "Pick {joint} up in the elevators.", (C.SUSPENDED,)),
    OperationRule(
        O.DOPE_BOX, FLOOR_CREW, "Clean, inspect and dope the box of {joint} with {dope}.", (C.DROPPED,)
    ),
    OperationRule(
        O.DOPE_PIN,
        FLOOR_CREW,
        "Take the protector off the pin of {joint}; clean, inspect and dope it with {dope}.",
        (C.DROPPED,),
    ),
    OperationRule(
        O.STAB, FLOOR_CREW, "Stab {joint} into {below}; make up by hand, no cross thread.", (C.PINCH,)
    ),
    OperationRule(
        O.TORQUE, FLOOR_CREW, "Torque {joint} to {below} with the {tool}; target {target}.", (C.WRENCH,)
    ),
    OperationRule(
        O.REMOVE_COLLAR,
        FLOOR_CREW,
        "With the elevators holding, take the dog collar off {joint}.",
        (C.LOAD_TRANSFER,),
    ),
    OperationRule(
        O.PULL_SLIPS,
        FLOOR_CREW,
        "Take the weight on the elevators, then pull the slips.",
        (C.LOAD_TRANSFER, C.PINCH),
    ),
    OperationRule(O.LOWER_LEG, DRILLER, "Lower {joint} until its top is at working height.", (C.PINCH,)),
    OperationRule(
        O.LOWER_STRING,
        DRILLER,
        "Lower {joint} until its top is at working height; watch the weight.",
        (C.FINAL,),
    ),
    OperationRule(
        O.SET_SLIPS,
        FLOOR_CREW,
        "Set the slips on {joint}; slack off slowly until they hold.",
        (C.LOAD_TRANSFER, C.PINCH),
    ),
    OperationRule(
        O.FIT_COLLAR, FLOOR_CREW, "Fit the dog collar on {joint}, tight above the slips.", (C.PINCH,)
    ),
    OperationRule(
        O.RAISE_TO_MARK,
        DRILLER,
        "{move} until the mark, {mark}, is at working height; measure how far down it was set.",
        (C.SUSPENDED, C.PINCH),
    ),
    OperationRule(
        O.FIT_TABLE,
        FLOOR_CREW,
        "With the elevators holding, fit the work table round the leg.",
        (C.PINCH, C.MANUAL),
    ),
    OperationRule(
        O.REMOVE_TABLE, FLOOR_CREW, "Elevators hold everything: take the work table off.", (C.PINCH,)
    ),
    OperationRule(O.FIT_COVER, FLOOR_CREW, "Fit the hole cover.", (C.DROPPED,)),
    OperationRule(
        O.REMOVE_COVER, FLOOR_CREW, "Clear loose tools off; take the hole cover away.", (C.DROPPED,)
    ),
    OperationRule(
        O.FIT_LIFTING_CLAMP,
        PUMP_TECHNICIAN,
        "Fit lifting clamp {gear_name} on {part}; bolts tight, slings on.",
        (C.SHAFT,),
    ),
    OperationRule(
        O.REMOVE_LIFTING_CLAMP,
        PUMP_TECHNICIAN,
        "Slacken clamp {gear_name} on {below}, raise the leg a little, take the clamp off.",
        (C.LOAD_TRANSFER, C.PINCH),
    ),
    OperationRule(
        O.PICK_UP_PART,
        DRILLER,
        "Pick {part} up on its slings; guide it, caps off at the last.",
        (C.SUSPENDED,),
    ),
    OperationRule(
        O.LINE_UP, PUMP_TECHNICIAN, "Turn {part} until its orientation mark is in line.", (C.PINCH,)
    ),
    OperationRule(
        O.LOWER_TO_GAUGE,
        DRILLER,
        "Lower both legs until the gauge can be reached by hand.",
        (C.SUSPENDED, C.PINCH),
    ),
    OperationRule(
        O.CONNECT_LINE, PUMP_TECHNICIAN, "Connect {line} to {part}; new seals, fitting tight.", (C.PRESSURE,)
    ),
    OperationRule(
        O.LAND_ON_SUPPORT,
        PUMP_TECHNICIAN,
        "Lower {part} until its base pin enters the support clamp and its nut lands.",
        (C.SUSPENDED, C.PINCH),
    ),
    OperationRule(
        O.BOLT,
        PUMP_TECHNICIAN,
        "New O-ring, coupling seen; lower {part} on {below}, bolt crosswise.",
        (C.PINCH, C.SHAFT),
    ),
    OperationRule(
        O.CONNECT_POTHEAD,
        PUMP_TECHNICIAN,
        "Clean and dry: connect the pothead of {cable} to {part}, bolts even.",
        (C.ELECTRICAL,),
    ),
    OperationRule(
        O.DRESS_STATION,
        PUMP_TECHNICIAN,
        "Fit {kind} {station}: {dress}; torque the bolts.",
        (C.PINCH, C.CABLE),
    ),
    OperationRule(
        O.LAND_ON_TABLE,
        DRILLER,
        "Lower, both legs together, until clamp {gear_name} on {part} lands on the table.",
        (C.LOAD_TRANSFER, C.PINCH),
    ),
    OperationRule(
        O.SLINGS_OFF, FLOOR_CREW, "Clamp {gear_name} carries the leg: take the slings off.", (C.SUSPENDED,)
    ),
    OperationRule(
        O.FIT_SAFETY_CLAMP,
        FLOOR_CREW,
        "Fit safety clamp {gear_name} on the bypass leg at the table; torque; let it take the weight.",
        (C.LOAD_TRANSFER, C.PINCH),
    ),
    OperationRule(
        O.REMOVE_SAFETY_CLAMP,
        FLOOR_CREW,
        "Elevators hold: take safety clamp {gear_name} off.",
        (C.LOAD_TRANSFER,),
    ),
    OperationRule(
        O.LOWER_TO_CLOSE, DRILLER, "Lower the bypass leg until {joint} is at working height.", (C.PINCH,)
    ),
    OperationRule(
        O.PICK_UP_Y,
        DRILLER,
        "Pick {part} up by its handling sub; swivel held closed by support ring and grub screws.",
        (C.SUSPENDED,),
    ),
    OperationRule(
        O.TURN_Y, PUMP_TECHNICIAN, "Turn the pump side of {part} over the pump leg.", (C.SUSPENDED, C.PINCH)
    ),
    OperationRule(
        O.MATE_HEAD, PUMP_TECHNICIAN, "New O-ring; lower {part} and mate it on {below}.", (C.PINCH,)
    ),
    OperationRule(O.BOLT_HEAD, PUMP_TECHNICIAN, "Bolt {part} to {below}, crosswise, in passes.", (C.PINCH,)),
    OperationRule(
        O.FREE_PUMP_CLAMP,
        PUMP_TECHNICIAN,
        "Y-block carries the pump leg: raise a little, take lifting clamp {gear_name} off {below}.",
        (C.LOAD_TRANSFER, C.PINCH),
    ),
    OperationRule(O.LOWER_Y, DRILLER, "Lower until the swivel of {part} reaches {below}.", (C.PINCH,)),
    OperationRule(
        O.FREE_SWIVEL,
        PUMP_TECHNICIAN,
        "Grub screws out and counted; support ring back; swivel free.",
        (C.DROPPED, C.PINCH),
    ),
    OperationRule(
        O.MEET_SWIVEL,
        PUMP_TECHNICIAN,
        "Dope; draw the swivel down to {below}; measure its extension.",
        (C.PINCH,),
    ),
    OperationRule(O.RUN_LOCK_RING, PUMP_TECHNICIAN, "Run the lock ring up until it butts."),
    OperationRule(
        O.LOCK_SWIVEL, PUMP_TECHNICIAN, "Refit support ring and grub screws; count them.", (C.DROPPED,)
    ),
    OperationRule(
        O.TERMINATE_LINE,
        PUMP_TECHNICIAN,
        "Raise until {part} can be reached; terminate {line} at it.",
        (C.PRESSURE, C.PINCH),
    ),
    OperationRule(
        O.TEST_LINE,
        PUMP_TECHNICIAN,
        "Pressure-test {line}: {pressure}, hold {hold}; bleed to zero after.",
        (C.PRESSURE,),
    ),
    OperationRule(
        O.SEAT_CABLES, PUMP_TECHNICIAN, "Lower and seat {cables} in the slots of {part}.", (C.CABLE, C.PINCH)
    ),
    OperationRule(O.PAINT_LINE, PUMP_TECHNICIAN, "Paint the orientation line from the pump side up {part}."),
    OperationRule(O.CARRY_LINE, PUMP_TECHNICIAN, "Carry the orientation line up {joint}, straight."),
    OperationRule(
        O.FIT_SUPPORT_CLAMP,
        PUMP_TECHNICIAN,
        "Set {kind} on the mark, pump side turned to the line{dress}; torque the bolts.",
        (C.PINCH, C.CABLE),
    ),
    OperationRule(
        O.FIT_PROTECTOR,
        FLOOR_CREW,
        "Fit {kind} over the {over} of {joint}: {cables} in it.",
        (C.PINCH, C.CABLE),
    ),
    OperationRule(
        O.FIT_MID_JOINT_CLAMP,
        FLOOR_CREW,
        "Lower until the middle of {joint} is at working height; fit {kind} there: {cables} in it.",
        (C.PINCH, C.CABLE),
    ),
    OperationRule(
        O.TEST_CABLES,
        PUMP_TECHNICIAN,
        "Test {cable} {moment}, phase to phase and to ground.",
        (C.ELECTRICAL,),
    ),
    OperationRule(
        O.SPLICE,
        PUMP_TECHNICIAN,
        "Splice {cable} to {main}, phases identified, under shelter.",
        (C.ELECTRICAL, C.CABLE),
    ),
    OperationRule(
        O.FIT_PENETRATOR,
        PUMP_TECHNICIAN,
        "Cut {cable} to length, phases marked; connect it through {penetrator}.",
        (C.ELECTRICAL,),
    ),
    OperationRule(
        O.PICK_UP_HANGER,
        DRILLER,
        "Pick {part} up on its landing joint; seals clean and greased.",
        (C.SUSPENDED,),
    ),
    OperationRule(
        O.LAND_HANGER,
        DRILLER,
        "Lower slowly and land {part}; hold-down in; weight off seen.",
        (C.FINAL, C.LOAD_TRANSFER),
    ),
    OperationRule(
        O.RELEASE_LANDING_JOINT, DRILLER, "Back the landing joint out of {part}; lay it down.", (C.SUSPENDED,)
    ),
    OperationRule(
        O.COUNT_GEAR, SUPERVISOR, "Count the temporary gear: all that went on has come off.", (C.DROPPED,)
    ),
)
