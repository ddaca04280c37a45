"""Operations that read a run: the list, where it stands, its sheet, its steps, its log."""

from app.domain.refusals import UnknownStepError
from app.domain.swaps import swappables
from app.services import runs
from app.services.live import who_is_at
from app.web.api.answers import RunLine
from app.web.api.calls import Calling, operations
from app.web.api.run_answers import LogEntry, OnlookerAnswer, RunState, StepState, SwapLine
from app.web.api.sheet_answers import SheetAnswer

routes = operations("runs")


@routes.get("/runs")
def list_runs(call: Calling) -> list[RunLine]:
    """Return a line for each run."""
    return [RunLine.model_validate(summary) for summary in runs.all_runs(call.site)]


@routes.get("/runs/{run_id}")
def show_run(call: Calling, run_id: str) -> RunState:
    """Return where a run stands: current step, stage, hold point, open deviations."""
    return RunState.of(runs.run_of(call.site, run_id))


@routes.get("/runs/{run_id}/presence")
def show_presence(call: Calling, run_id: str) -> list[OnlookerAnswer]:
    """Return who looks at a run now, and at which step."""
    return [OnlookerAnswer.model_validate(present) for present in who_is_at(call.site, run_id)]


@routes.get("/runs/{run_id}/sheet")
def show_sheet(call: Calling, run_id: str) -> SheetAnswer:
    """Return the whole sheet that a run is worked from, as it was signed for."""
    return SheetAnswer.of(runs.run_of(call.site, run_id).sheet)


@routes.get("/runs/{run_id}/steps/{number}")
def show_step(call: Calling, run_id: str, number: int) -> StepState:
    """Return a step, what was entered at it, and what stands before it."""
    run = runs.run_of(call.site, run_id)
    step = run.sheet.step(number)
    if step is None:
        raise UnknownStepError(number, len(run.sheet.steps))
    return StepState.of(run, step)


@routes.get("/runs/{run_id}/log")
def show_log(call: Calling, run_id: str, after: int = 0) -> list[LogEntry]:
    """Return the events of a run after a sequence, each chained to the one before by its hash."""
    entries = runs.log_of(call.site, run_id, after)
    run = runs.run_of(call.site, run_id)
    return [LogEntry.of(run, entry) for entry in entries]


@routes.get("/runs/{run_id}/swaps")
def show_swappable(call: Calling, run_id: str) -> list[SwapLine]:
    """Return everything that has a place of its own in the string, and whether it can be swapped."""
    return [SwapLine.model_validate(item) for item in swappables(runs.run_of(call.site, run_id))]
