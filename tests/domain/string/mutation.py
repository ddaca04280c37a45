"""Tries every mutant of many sheets on both checkers and prints how they judge, by kind and law.

    python -m tests.domain.string.mutation [--plans 30] [--workers 2] [--sample 100]

Returns 1 where they judge any mutant apart or a harmless deletion is not explained.
"""

import sys
from argparse import ArgumentParser
from collections.abc import Iterator
from functools import partial
from multiprocessing import Pool
from random import Random

from app.demo import DEMO_NAMES
from tests.domain.compiler.test_practice import plan_named
from tests.domain.string.comparison import Judged, Tally, compared
from tests.domain.string.mutants import Wrong, mutants_of
from tests.domain.string.oracle import LAWS_PROVED
from tests.domain.string.varied_plans import varied_plan

SEED = 20261125
COLUMNS = "{:<12} {:>5} {:>8} {:>15} {:>17} {:>13}"


def main(arguments: list[str]) -> int:
    """Try, print, and return 0 where both agree on every mutant."""
    parser = ArgumentParser(prog="python -m tests.domain.string.mutation")
    parser.add_argument("--plans", type=int, default=30, help="how many plans besides the demonstrations")
    parser.add_argument("--workers", type=int, default=2, help="how many processes share the work")
    parser.add_argument("--sample", type=int, default=0, help="try only so many mutants of each sheet")
    asked = parser.parse_args(arguments)
    whole = Tally()
    # The demonstrations are the longest: they begin first, so that no worker is left with one alone.
    plans = [*DEMO_NAMES, *range(asked.plans)]
    with Pool(asked.workers) as pool:
        for name, tally in pool.imap_unordered(partial(tried, sample=asked.sample), plans):
            whole.add(tally)
            for line in (f"{name}: {tally.tried.total()} mutants", *tally.disagreements, *tally.unexplained):
                say(line)
    for line in table(whole):
        say(line)
    return 0 if whole.is_clean else 1


def tried(which: str | int, *, sample: int = 0) -> tuple[str, Tally]:
    """Return the name of a demonstration or a varied plan, and how its mutants, or some, are judged."""
    name, plan = (which, plan_named(which)) if isinstance(which, str) else varied_plan(which)
    both = compared(name, plan)
    mutants = list(mutants_of(both.oracle.steps))
    return name, both.judge(Random(SEED).sample(mutants, min(sample, len(mutants))) if sample else mutants)


def table(tally: Tally) -> Iterator[str]:
    """Yield the lines of the report."""
    yield COLUMNS.format("", "law", "tried", *Judged)
    for kind in Wrong:
        for law in LAWS_PROVED:
            judged = [tally.counts[kind, law, how] for how in Judged]
            yield COLUMNS.format(kind, law, tally.tried[kind], *judged)
        yield COLUMNS.format(kind, "all", tally.tried[kind], *_by_all_laws(tally, kind), "")
    yield (
        f"{tally.tried.total()} mutants: {len(tally.disagreements)} judged apart, "
        f"{tally.other_step} caught at another step, "
        f"{len(tally.unexplained)} harmless deletions without a reason that holds."
    )


def say(line: str) -> None:
    """Print a line at once."""
    sys.stdout.write(f"{line}\n")
    sys.stdout.flush()


def _by_all_laws(tally: Tally, kind: Wrong) -> tuple[int, int]:
    return tally.tried[kind] - tally.harmless[kind], tally.harmless[kind]


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
