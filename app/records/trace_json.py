"""A walked sheet for other programs, with stable keys."""

from app.domain.problems import Problem
from app.domain.quantities import in_unit
from app.domain.string.account import Account, Peak, StepAccount
from app.domain.string.loads import Load
from app.records.findings_json import finding_to_json

TONNES_DIGITS, PERCENT_DIGITS = 3, 1


def trace_to_json(account: Account) -> dict[str, object]:
    """Return the account: steps with their loads and breaches, and the peaks of the whole sheet."""
    return {
        "format": "twinleg-trace-1",
        "steps": [_step_to_json(item) for item in account.steps],
        "greatest": _peak_to_json(account.greatest),
        "nearest_to_wll": _peak_to_json(account.tightest),
        "breaches": _problems(account.elsewhere),
    }


def _step_to_json(item: StepAccount) -> dict[str, object]:
    return {
        "number": item.step.number,
        "key": item.step.key,
        "text": item.step.text,
        "loads": [_load_to_json(load) for load in item.loads],
        "greatest": _load_to_json(item.greatest) if item.greatest is not None else None,
        "breaches": _problems(item.breaches),
    }


def _load_to_json(load: Load) -> dict[str, object]:
    weakest, margin, share = load.weakest, load.margin, load.margin_share
    return {
        "leg": load.leg,
        "part": load.tag,
        "support": load.support.kind.value,
        "on": load.support.on,
        "rests_on": load.rests_on,
        "gear": list(load.support.gear),
        "primary": load.support.is_primary,
        "change": load.change.value,
        "load_t": round(in_unit(load.weight, "t"), TONNES_DIGITS),
        "rated_gear": weakest.gear if weakest is not None else "",
        "wll_t": round(in_unit(weakest.wll, "t"), TONNES_DIGITS) if weakest is not None else None,
        "margin_t": round(in_unit(margin, "t"), TONNES_DIGITS) if margin is not None else None,
        "margin_percent": round(in_unit(share, "%"), PERCENT_DIGITS) if share is not None else None,
    }


def _peak_to_json(peak: Peak | None) -> dict[str, object] | None:
    return {"step": peak.step.number, **_load_to_json(peak.load)} if peak is not None else None


def _problems(problems: tuple[Problem, ...]) -> list[dict[str, object]]:
    return [finding_to_json(problem) for problem in problems]
