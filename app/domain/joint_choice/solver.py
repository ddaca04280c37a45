"""The only door to the solver, HiGHS: a programme goes in, the best values found come out.

It takes a fifth of a second to import, so that those who call it import it when they need it.
"""

from dataclasses import dataclass
from itertools import accumulate

from highspy import HighsLp, HighsModelStatus, HighsVarType, MatrixFormat, SolutionStatus, cb
from highspy._core import _Highs  # the class over it prints a banner before it can be told not to

from app.domain.joint_choice.programme import OnReached, Programme, Reached

REPORT_EVERY_S = 1.0
# One thread and one seed: the same rack gets the same answer on the same machine.
SETTINGS = {"output_flag": False, "threads": 1, "random_seed": 0, "mip_rel_gap": 0.0}


@dataclass(frozen=True, slots=True)
class Solution:
    """The values of all columns, empty where none were found; `proven` says that the search is finished."""

    values: tuple[float, ...]
    cost: float
    bound: float
    proven: bool
    seconds: float


def minimise(
    programme: Programme, *, seconds: float, gap: float, on_reached: OnReached | None = None
) -> Solution:
    """Return the best values found within a time; a cost within `gap` of the least there can be is best."""
    solver = _Highs()
    for name, value in SETTINGS.items():
        solver.setOptionValue(name, value)
    solver.setOptionValue("time_limit", max(seconds, 0.0))
    solver.setOptionValue("mip_abs_gap", gap)
    solver.setOptionValue("mip_min_logging_interval", REPORT_EVERY_S)
    solver.passModel(_model(programme))
    if on_reached is not None:
        _listen(solver, on_reached)
    solver.run()
    info = solver.getInfo()
    is_found = info.primal_solution_status == SolutionStatus.kSolutionStatusFeasible
    return Solution(
        values=tuple(solver.getSolution().col_value) if is_found else (),
        cost=info.objective_function_value,
        bound=info.mip_dual_bound,
        proven=solver.getModelStatus() != HighsModelStatus.kTimeLimit,
        seconds=solver.getRunTime(),
    )


def _model(programme: Programme) -> HighsLp:
    columns, rows = programme.columns, programme.rows
    model = HighsLp()
    model.num_col_, model.num_row_ = len(columns), len(rows)
    model.col_cost_ = [column.cost for column in columns]
    model.col_lower_ = [column.low for column in columns]
    model.col_upper_ = [column.high for column in columns]
    kinds = (HighsVarType.kContinuous, HighsVarType.kInteger)
    model.integrality_ = [kinds[column.whole] for column in columns]
    model.row_lower_ = [row.low for row in rows]
    model.row_upper_ = [row.high for row in rows]
    matrix = model.a_matrix_
    matrix.format_ = MatrixFormat.kRowwise
    matrix.start_ = [0, *accumulate(len(row.terms) for row in rows)]
    matrix.index_ = [number for row in rows for number in row.terms]
    matrix.value_ = [figure for row in rows for figure in row.terms.values()]
    return model


def _listen(solver: _Highs, on_reached: OnReached) -> None:
    improved = cb.HighsCallbackType.kCallbackMipImprovingSolution

    def report(kind: object, _message: str, out: cb.HighsCallbackOutput, *_rest: object) -> None:
        values = tuple(out.mip_solution) if kind == improved else ()
        on_reached(Reached(out.running_time, values, out.mip_dual_bound))

    solver.setCallback(report, None)
    for news in (cb.HighsCallbackType.kCallbackMipLogging, improved):
        solver.startCallback(news)
