"""The command line: reads what was typed, calls one use case, and prints what came of it."""

import argparse
import gc
import importlib
import io
import os
import sys
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from app.cli.outcome import GOOD, OutcomeError
from app.settings import DATA, DEMO_SETTINGS, add_setting_arguments

LONGEST_SEARCH_S = 3600.0
INTERRUPTED = 130  # what a shell expects after Ctrl-C

Adding = Callable[[argparse.ArgumentParser], None]


@dataclass(frozen=True, slots=True)
class Command:
    """One word after `twinleg`: the module that does it in a function of that name, and its help."""

    name: str
    home: str
    summary: str
    more: str
    add_arguments: Adding


def main(arguments: Sequence[str] | None = None) -> int:
    """Do what the command line asks and return the exit code: 0 good, 1 stopped, 2 not readable."""
    _write_anything()
    # What is imported stays for good; searching it for garbage makes a start slower by a sixth.
    gc.disable()
    asked = _parser().parse_args(arguments)
    try:
        # Imported when asked for, so that a check or a look at the help is quick.
        code: int = getattr(importlib.import_module(asked.home), asked.command)(asked)
        sys.stdout.flush()
    except OutcomeError as outcome:
        print(f"twinleg: {' '.join(str(outcome).split())}", file=sys.stderr)
        return outcome.code
    except KeyboardInterrupt:
        return INTERRUPTED
    except BrokenPipeError:
        # Whoever read the output has seen enough; nothing more may be written at the end.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return GOOD
    return code


def _plan_arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("plan", metavar="PLAN", help="the run plan, a TOML file")
    parser.add_argument("--json", action="store_true", help="print JSON for another program")


def _check_arguments(parser: argparse.ArgumentParser) -> None:
    _plan_arguments(parser)
    parser.add_argument("--figures", action="store_true", help="print every figure that is worked out, too")


def _pull_arguments(parser: argparse.ArgumentParser) -> None:
    _plan_arguments(parser)
    parser.add_argument("--after", metavar="N", type=int, help="the last step done (otherwise all are)")
    parser.add_argument(
        "--to", metavar="K", type=int, help="back to before this step (otherwise out of the hole)"
    )


def _sheet_arguments(parser: argparse.ArgumentParser) -> None:
    _plan_arguments(parser)
    parser.add_argument("--trace", action="store_true", help="print what holds each leg, with loads")


def _picture_arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("plan", metavar="PLAN", help="the run plan, a TOML file")
    parser.add_argument("--step", metavar="N", type=int, required=True, help="draw it after this step")
    parser.add_argument("-o", "--out", metavar="FILE", required=True, help="SVG file to write, or - to print")


def _joints_arguments(parser: argparse.ArgumentParser) -> None:
    _plan_arguments(parser)
    parser.add_argument("--system", metavar="NAME", default="", help="one system only (otherwise each)")
    parser.add_argument(
        "--seconds", metavar="S", type=_seconds, default=5.0, help="longest search for a system (otherwise 5)"
    )


def _seconds(text: str) -> float:
    seconds = float(text)
    if not 0 < seconds <= LONGEST_SEARCH_S:
        raise argparse.ArgumentTypeError(f"must be over 0 and at most {LONGEST_SEARCH_S:.0f}")
    return seconds


def _data_argument(parser: argparse.ArgumentParser) -> None:
    parser.add_argument(
        "--data", metavar="DATA", help=f"{DATA.meaning} (or {DATA.variable}; otherwise {DATA.default})"
    )


def _readmit_arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("name", metavar="NAME", help="the supervisor, by the name that he signs in with")
    parser.add_argument("--why", metavar="REASON", required=True, help="why, for the log of the people")
    parser.add_argument("--choose-pin", action="store_true", help="let him choose a new PIN at this terminal")
    _data_argument(parser)


def _record_arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("run", metavar="RUN", help="the number of the run, as the list of runs shows it")
    _data_argument(parser)
    parser.add_argument("--out", metavar="OUT", default=".", help="folder to write to (otherwise this one)")


def _verify_arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("file", metavar="FILE", help="the PDF or JSON file of an install record")
    parser.add_argument(
        "--trusted", metavar="FINGERPRINT", help="fingerprint of the site's key, as the site gave it to you"
    )


def _demo_arguments(parser: argparse.ArgumentParser) -> None:
    add_setting_arguments(parser, DEMO_SETTINGS)


COMMANDS = (
    Command(
        "demo",
        "app.cli.server",
        "start a demonstration with an invented crew and invented wells",
        "Starts a server with an invented crew and two invented run plans, prints its address and the names "
        "and PINs to sign in by. Open the address in a browser on this machine. Stop it with Ctrl-C; the "
        "next start goes on where it stopped. Nothing in it is real.",
        _demo_arguments,
    ),
    Command(
        "serve",
        "app.cli.server",
        "start the server of your site",
        "Starts the server that keeps your runs. Open its address in a browser; the first start asks for the "
        "first supervisor. Stop it with Ctrl-C. What was recorded is on the disk.",
        add_setting_arguments,
    ),
    Command(
        "check",
        "app.cli.plans",
        "check a run plan and print every finding",
        "Reads a run plan, checks it and prints every finding with its place and how to mend it. A stop "
        "keeps the plan from being released, a caution must be accepted by name, a note only informs. With "
        "--figures it prints what the checks work out, too: each figure with its limits, margin, formula, "
        "inputs and source, those outside their limits first. Exit code: 0 no stop, 1 a finding stops the "
        "release, 2 the file cannot be read.",
        _check_arguments,
    ),
    Command(
        "sheet",
        "app.cli.plans",
        "print the running sheet of a run plan",
        "Reads a run plan and prints its running sheet: every stage with its hold point, every step with its "
        "cautions, who does it, and the readings that it asks for. With --trace it prints under each step "
        "what holds each leg, the greatest load with its margin, and any law that is broken there. Exit "
        "code: 0 printed, 1 a finding stops the release, 2 the file cannot be read.",
        _sheet_arguments,
    ),
    Command(
        "picture",
        "app.cli.pictures",
        "draw the string as it is after a step",
        "Reads a run plan and draws the string after a step of its sheet as an SVG file: both legs with "
        "their parts, clamps and cables, what holds them, the table, what hangs ready over it. Exit code: 0 "
        "drawn, 1 a finding stops the release, 2 the file cannot be read or written or has no such step.",
        _picture_arguments,
    ),
    Command(
        "pull",
        "app.cli.pulling",
        "print the sheet that takes the string out again",
        "Reads a run plan and prints the way back: the sheet that undoes its steps from one to another, or "
        "takes the whole string out of the hole, proven by the same laws as the run. Exit code: 0 printed, 1 "
        "a finding stops the plan or the way back, 2 the file cannot be read or has no such steps.",
        _pull_arguments,
    ),
    Command(
        "joints",
        "app.cli.joints",
        "say how the legs close and choose the joints that close them best",
        "Reads a run plan and says of each system how its legs close, and which joints of the rack, in which "
        "order, bring the swivel nearest to mid stroke, with the runners-up. A long search says every second "
        "how far it is. Exit code: 0 chosen, 1 no joints close the legs or the plan is not whole, 2 the file "
        "cannot be read or has no such system.",
        _joints_arguments,
    ),
    Command(
        "record",
        "app.cli.records",
        "write the install record of a closed run",
        "Writes the sealed install record of a closed run, as a PDF for people and as JSON for programs. "
        "Exit code: 0 written, 1 the run gives no record yet, 2 there is no such run or folder.",
        _record_arguments,
    ),
    Command(
        "readmit",
        "app.cli.readmission",
        "let a supervisor in again who is locked or has forgotten his PIN",
        "For a site whose only supervisor can sign in no more. It is done on the machine that keeps the data "
        "folder, while the server is stopped. Without --choose-pin it unlocks the supervisor; with it he "
        "types a new PIN twice at this terminal, where it is not shown, and the old one ends. The log of the "
        "people says that it was done at the machine. Exit code: 0 done, 1 the name, the PIN or the reason "
        "is refused, 2 the server runs, there is no such folder, or nobody can type here unseen.",
        _readmit_arguments,
    ),
    Command(
        "verify",
        "app.cli.records",
        "say whether an install record is as it was sealed",
        "Reads the PDF or JSON file of an install record and says whether anything in it was altered since "
        "the site sealed it. Exit code: 0 sound, 1 altered, 2 this is no record or it cannot be read.",
        _verify_arguments,
    ),
)


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(
        prog="twinleg",
        description="The run sheet for a dual-pump bypass string: plan it, prove it, run it, sign it.",
        epilog="More about one of them: twinleg demo --help",
    )
    words = parser.add_subparsers(dest="command", metavar="COMMAND", required=True)
    for command in COMMANDS:
        added = words.add_parser(command.name, help=command.summary, description=command.more)
        added.set_defaults(home=command.home)
        command.add_arguments(added)
    return parser


def _write_anything() -> None:
    # A terminal that knows fewer letters than a plan shows "?" for them and does not stop the command.
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors="replace")
