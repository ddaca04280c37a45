"""Invented scenarios, as somebody would type them, and the invented crew that signs in for them."""

from dataclasses import dataclass
from importlib.resources import files

DEMO_NAMES = ("dual", "single")


@dataclass(frozen=True, slots=True)
class DemoPerson:
    """Somebody who does not exist, with the role and the PIN to sign in by."""

    name: str
    role: str
    pin: str


# Public and therefore good for a demonstration only.
DEMO_CREW: tuple[DemoPerson, ...] = (
    DemoPerson("Sam Sample", "supervisor", "480215"),
    DemoPerson("Ida Invented", "supervisor", "917364"),
    DemoPerson("Toni Testcase", "pump technician", "260853"),
    DemoPerson("Max Madeup", "pump technician", "735192"),
    DemoPerson("Dora Dummy", "driller", "594027"),
    DemoPerson("Flo Fictive", "floor crew", "148636"),
    DemoPerson("Pat Pretend", "floor crew", "802571"),
    DemoPerson("Ned Nonesuch", "cable splicer", "369408"),
    DemoPerson("Carla Contrived", "company representative", "651793"),
)


def demo_plan_text(name: str) -> str:
    """Return the TOML text of a demonstration plan.

    Raises: KeyError where there is none of that name; `DEMO_NAMES` lists them.
    """
    if name not in DEMO_NAMES:
        raise KeyError(name)
    return files(__name__).joinpath(f"{name}.toml").read_text(encoding="utf-8")
