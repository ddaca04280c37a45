"""How each operation of pulling is worded, who does it and what it warns of, as a table."""

from app.domain.cautions import Caution as C  # noqa: N817 - the table reads as a table
from app.domain.crew import DRILLER, FLOOR_CREW, PUMP_TECHNICIAN, SUPERVISOR
from app.domain.operations import Operation as O  # noqa: N817
from app.domain.wording import OperationRule

PULLING_RULES: tuple[OperationRule, ...] = (
    OperationRule(
        O.MAKE_UP_LANDING_JOINT,
        DRILLER,
        "Make the landing joint up into {it}, hold-down out; latch the elevators on it.",
        (C.SUSPENDED, C.PRESSURE),
    ),
    OperationRule(
        O.LIFT_HANGER,
        DRILLER,
        "Take the weight and lift {it} until the top of {below} is at working height; watch the weight.",
        (C.LOAD_TRANSFER, C.PRESSURE, C.CABLE),
    ),
    OperationRule(O.LAY_DOWN_HANGER, DRILLER, "Lay {it} down with its landing joint.", (C.SUSPENDED,)),
    OperationRule(
        O.OPEN_PENETRATOR,
        PUMP_TECHNICIAN,
        "Discharge and ground {it}; open its penetrator at {below}; mark its phases.",
        (C.ELECTRICAL,),
    ),
    OperationRule(
        O.CUT_CABLE,
        PUMP_TECHNICIAN,
        "Discharge and ground {below}; cut it above the splice to {it}; mark phases, seal both ends.",
        (C.ELECTRICAL, C.CABLE),
    ),
    OperationRule(
        O.LATCH, FLOOR_CREW, "Latch the elevators on {it}; latch and lock seen by two people.", (C.PINCH,)
    ),
    OperationRule(
        O.LATCH_NUBBIN,
        FLOOR_CREW,
        "Make up lift nubbin {gear_name} in the box of {it}, wrench tight; latch the elevators on it.",
        (C.PINCH,),
    ),
    OperationRule(
        O.RAISE_LEG, DRILLER, "Raise until the top of {below} is at working height.", (C.SUSPENDED, C.PINCH)
    ),
    OperationRule(
        O.RAISE_STRING,
        DRILLER,
        "Raise until the top of {below} is at working height; watch the weight, spool the cable in.",
        (C.SUSPENDED, C.CABLE),
    ),
    OperationRule(O.RAISE_OUT, DRILLER, "Raise {lift} clear of the hole.", (C.SUSPENDED, C.PINCH)),
    OperationRule(
        O.RAISE_TO_BASE,
        DRILLER,
        "Raise both legs, slings tight, until the base of {it} is at working height.",
        (C.SUSPENDED, C.PINCH),
    ),
    OperationRule(
        O.SET_OTHER_SLIPS,
        FLOOR_CREW,
        "Elevators hold: change to slips {below} and set them on {it}; slack off slowly until they hold.",
        (C.LOAD_TRANSFER, C.PINCH),
    ),
    OperationRule(
        O.REMOVE_PROTECTOR,
        FLOOR_CREW,
        "Take the cable protector off the coupling under {it}; free the cables, count the pieces.",
        (C.PINCH, C.CABLE, C.DROPPED),
    ),
    OperationRule(
        O.REMOVE_MIDDLE_CLAMP,
        FLOOR_CREW,
        "Take the mid-joint clamp off {it} as it comes to working height; free the cables.",
        (C.PINCH, C.CABLE, C.DROPPED),
    ),
    OperationRule(
        O.BREAK_OUT, FLOOR_CREW, "Break {it} out of {below}; back-up below the connection.", (C.WRENCH,)
    ),
    OperationRule(
        O.LIFT_OUT, FLOOR_CREW, "Turn {it} out of {below} by hand and lift it clear.", (C.PINCH, C.PRESSURE)
    ),
    OperationRule(O.PROTECT_PIN, FLOOR_CREW, "Clean the pin of {it}; fit its protector.", (C.DROPPED,)),
    OperationRule(O.LAY_DOWN_JOINT, DRILLER, "Lay {lift} down out of the elevators.", (C.SUSPENDED,)),
    OperationRule(O.TAKE_NUBBIN_OUT, FLOOR_CREW, "On deck: take lift nubbin {gear_name} out of {it}."),
    OperationRule(
        O.UNSEAT_CABLES,
        PUMP_TECHNICIAN,
        "Raise; take the cables out of the slots of {it}.",
        (C.CABLE, C.PINCH),
    ),
    OperationRule(
        O.RELEASE_LINE,
        PUMP_TECHNICIAN,
        "Bleed {it} to zero, prove it; disconnect it at {below} and cap both ends.",
        (C.PRESSURE,),
    ),
    OperationRule(
        O.DISCONNECT_LINE,
        PUMP_TECHNICIAN,
        "Bleed {it} to zero, prove it; disconnect it from {below} and cap both ends.",
        (C.PRESSURE,),
    ),
    OperationRule(
        O.REFIT_TABLE,
        FLOOR_CREW,
        "With the elevators holding everything, fit the work table round both legs.",
        (C.PINCH, C.MANUAL),
    ),
    OperationRule(
        O.UNLOCK_SWIVEL,
        PUMP_TECHNICIAN,
        "Safety clamp on: grub screws of {it} out and counted; support ring back; swivel free.",
        (C.DROPPED, C.PINCH),
    ),
    OperationRule(O.BACK_LOCK_RING, PUMP_TECHNICIAN, "Run the lock ring of {it} back down."),
    OperationRule(
        O.LET_SWIVEL_GO,
        PUMP_TECHNICIAN,
        "Lift the swivel of {it} off {below}; measure how far it was out.",
        (C.PINCH, C.PRESSURE),
    ),
    OperationRule(
        O.HOLD_SWIVEL,
        PUMP_TECHNICIAN,
        "Push the swivel of {it} back; refit support ring and grub screws; count them.",
        (C.DROPPED, C.PINCH),
    ),
    OperationRule(
        O.RAISE_Y, DRILLER, "Raise {it} with the pump leg until its clamp can be fitted.", (C.PINCH,)
    ),
    OperationRule(
        O.FIT_CLAMP_BELOW,
        PUMP_TECHNICIAN,
        "Fit lifting clamp {gear_name} on {it}; lower a little until it carries the leg on the table.",
        (C.LOAD_TRANSFER, C.PINCH),
    ),
    OperationRule(
        O.UNBOLT_HEAD, PUMP_TECHNICIAN, "Clamp carries the pump leg: unbolt {it} from {below}.", (C.PINCH,)
    ),
    OperationRule(
        O.LIFT_HEAD_OFF,
        PUMP_TECHNICIAN,
        "Lift {it} off {below}; cap both.",
        (C.SUSPENDED, C.PINCH, C.PRESSURE),
    ),
    OperationRule(O.LAY_DOWN_Y, DRILLER, "Lay {it} down with {below}.", (C.SUSPENDED,)),
    OperationRule(
        O.RAISE_TO_CLAMP, DRILLER, "Raise the bypass leg, {it}, clear of the table again.", (C.PINCH,)
    ),
    OperationRule(
        O.SLINGS_ON, FLOOR_CREW, "Put slings {gear_name} on the clamp of {it}; no weight yet.", (C.SUSPENDED,)
    ),
    OperationRule(
        O.LIFT_OFF_TABLE,
        DRILLER,
        "Raise, both legs together, off the table until the base of {it} stands over it.",
        (C.LOAD_TRANSFER, C.PINCH),
    ),
    OperationRule(
        O.STRIP_STATION,
        PUMP_TECHNICIAN,
        "Take {kind} off at {station}, line and cables free; read its serial, keep its bolts.",
        (C.PINCH, C.CABLE, C.DROPPED),
    ),
    OperationRule(
        O.DISCONNECT_POTHEAD,
        PUMP_TECHNICIAN,
        "Discharge and ground {it}; take its pothead off {below}; cap both at once.",
        (C.ELECTRICAL, C.OIL),
    ),
    OperationRule(
        O.UNBOLT,
        PUMP_TECHNICIAN,
        "Slings hold {lift}, the clamp below carries the leg: unbolt from {below}, lift clear, cap both.",
        (C.PINCH, C.SHAFT, C.OIL),
    ),
    OperationRule(
        O.TAKE_OFF,
        PUMP_TECHNICIAN,
        "The clamp below carries the leg: unbolt {lift} from {below}, lift it off by hand, cap both.",
        (C.MANUAL, C.PINCH, C.OIL),
    ),
    OperationRule(
        O.RAISE_TO_GAUGE,
        DRILLER,
        "Raise both legs, slings tight, until the gauge can be reached by hand.",
        (C.SUSPENDED, C.PINCH),
    ),
    OperationRule(
        O.LIFT_OFF_SUPPORT,
        DRILLER,
        "Take the nut off; lift {lift} on its slings clear of the support clamp.",
        (C.SUSPENDED, C.LOAD_TRANSFER, C.PINCH),
    ),
    OperationRule(O.LAY_DOWN_PART, DRILLER, "Lay {lift} down on its slings; guide it.", (C.SUSPENDED,)),
    OperationRule(O.STRIP_PART, PUMP_TECHNICIAN, "On deck: take {gear_name} off {lift}.", (C.SHAFT,)),
    OperationRule(
        O.REMOVE_SUPPORT_CLAMP,
        PUMP_TECHNICIAN,
        "Nothing stands on it: take {kind} off {it}; read its serial.",
        (C.PINCH, C.CABLE, C.DROPPED),
    ),
    OperationRule(
        O.BREAK_OUT_ON_DECK,
        FLOOR_CREW,
        "On deck: the plan has changed; break {it} out of {below} again.",
        (C.WRENCH,),
    ),
    OperationRule(
        O.COUNT_BACK,
        SUPERVISOR,
        "Count: all temporary gear is off, and every part, clamp and cable that went in has come out.",
        (C.DROPPED,),
    ),
)
