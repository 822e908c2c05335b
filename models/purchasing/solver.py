"""The integer programme and the kept solver that proves it. numpy and highspy are imported only when one is solved."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field
from enum import Enum
from typing import Any

from models.errors import WorkshopError

INFINITY = math.inf


class SolverMissingError(WorkshopError):
    """The solver is not installed."""

    title = "The buying planner is not installed"


class Ended(Enum):
    """How a solve ended."""

    OPTIMAL = "optimal"
    INFEASIBLE = "infeasible"
    STOPPED = "stopped"
    STOPPED_EMPTY = "stopped without a solution"


@dataclass(slots=True)
class Programme:
    """Minimise cost · x with bounds on every column and row; sparse rows."""

    cost: list[float] = field(default_factory=list)
    low: list[float] = field(default_factory=list)
    high: list[float] = field(default_factory=list)
    whole: list[bool] = field(default_factory=list)
    row_low: list[float] = field(default_factory=list)
    row_high: list[float] = field(default_factory=list)
    starts: list[int] = field(default_factory=lambda: [0])
    places: list[int] = field(default_factory=list)
    factors: list[float] = field(default_factory=list)

    def column(self, high: float, *, cost: float = 0.0, whole: bool = True) -> int:
        """Add a column from 0 to `high`; gives its place."""
        self.cost.append(cost)
        self.low.append(0.0)
        self.high.append(high)
        self.whole.append(whole)
        return len(self.cost) - 1

    def row(self, terms: Sequence[tuple[int, float]], *, low: float = -INFINITY, high: float = INFINITY) -> None:
        """Add low ≤ Σ factor · column ≤ high."""
        for place, factor in terms:
            self.places.append(place)
            self.factors.append(factor)
        self.starts.append(len(self.places))
        self.row_low.append(low)
        self.row_high.append(high)


@dataclass(frozen=True, slots=True)
class Answer:
    """The values found (one a column, empty if none), the cost and the proven lower bound of the cost.

    `dearer`: of a relaxation, what one more of each column adds to the cost (its reduced cost).
    """

    ended: Ended
    values: tuple[float, ...]
    cost: float
    bound: float
    dearer: tuple[float, ...] = ()


def solve(
    programme: Programme,
    *,
    cost: Sequence[float] | None = None,
    gap: float = 0.0,
    time_limit_s: float = INFINITY,
    most_nodes: int | None = None,
    relax: bool = False,
) -> Answer:
    """Solve to a cost within `gap` of the bound; `cost` replaces the programme's own, `relax` drops whole numbers.

    One thread and a fixed seed: the same programme gives the same answer. No known solution is handed over to start
    from: HiGHS 1.16 then called a plan of 37 optimal at 13 (tests/models/purchasing/test_plan_rules.py holds the case).
    Raises SolverMissingError when highspy or numpy is not installed.
    """
    highspy, numpy = _kept_solver()
    if not programme.cost:
        holds = all(low <= 0.0 <= high for low, high in zip(programme.row_low, programme.row_high, strict=True))
        return Answer(Ended.OPTIMAL, (), 0.0, 0.0) if holds else Answer(Ended.INFEASIBLE, (), INFINITY, INFINITY)
    model = highspy.HighsLp()
    model.num_col_ = len(programme.cost)
    model.num_row_ = len(programme.row_low)
    model.col_cost_ = numpy.array(programme.cost if cost is None else cost, dtype=numpy.double)
    model.col_lower_ = numpy.array(programme.low, dtype=numpy.double)
    model.col_upper_ = numpy.array(programme.high, dtype=numpy.double)
    model.row_lower_ = numpy.array(programme.row_low, dtype=numpy.double)
    model.row_upper_ = numpy.array(programme.row_high, dtype=numpy.double)
    model.a_matrix_.format_ = highspy.MatrixFormat.kRowwise
    model.a_matrix_.start_ = numpy.array(programme.starts, dtype=numpy.int32)
    model.a_matrix_.index_ = numpy.array(programme.places, dtype=numpy.int32)
    model.a_matrix_.value_ = numpy.array(programme.factors, dtype=numpy.double)
    is_whole = not relax and any(programme.whole)
    if is_whole:
        kinds = (highspy.HighsVarType.kContinuous, highspy.HighsVarType.kInteger)
        model.integrality_ = [kinds[whole] for whole in programme.whole]
    engine = _quiet_engine(highspy, gap, time_limit_s, most_nodes)
    engine.passModel(model)
    engine.run()
    return _answer(highspy, engine, is_whole)


def _kept_solver() -> tuple[Any, Any]:
    try:
        import highspy  # 66 ms and numpy's 75 to 120 ms: only here
        import numpy
    except ImportError as missing:
        raise SolverMissingError(
            f"The planner needs {missing.name}, which is not installed.", "Install kitwright[buying]."
        ) from missing
    return highspy, numpy


def _quiet_engine(highspy: Any, gap: float, time_limit_s: float, most_nodes: int | None) -> Any:

    class Quiet(highspy.Highs):  # type: ignore[misc]
        def enableCallbacks(self) -> None:  # noqa: N802 - the solver's name; it prints a banner unless told first
            self.setOptionValue("output_flag", False)
            super().enableCallbacks()

    engine = Quiet()
    engine.setOptionValue("threads", 1)
    engine.setOptionValue("parallel", "off")
    engine.setOptionValue("random_seed", 0)
    engine.setOptionValue("mip_rel_gap", 0.0)
    engine.setOptionValue("mip_abs_gap", gap)
    if time_limit_s < INFINITY:
        engine.setOptionValue("time_limit", float(time_limit_s))
    if most_nodes is not None:
        engine.setOptionValue("mip_max_nodes", most_nodes)
    return engine


def _answer(highspy: Any, engine: Any, is_whole: bool) -> Answer:
    status = engine.getModelStatus()
    info = engine.getInfo()
    kinds = highspy.HighsModelStatus
    if status in (kinds.kInfeasible, kinds.kUnboundedOrInfeasible):
        return Answer(Ended.INFEASIBLE, (), INFINITY, INFINITY)
    found = info.primal_solution_status == highspy.SolutionStatus.kSolutionStatusFeasible
    bound = info.mip_dual_bound if is_whole else info.objective_function_value
    if not found:
        return Answer(Ended.STOPPED_EMPTY, (), INFINITY, bound)
    solution = engine.getSolution()
    values = tuple(solution.col_value)
    ended = Ended.OPTIMAL if status == kinds.kOptimal else Ended.STOPPED
    dearer = () if is_whole else tuple(solution.col_dual)
    return Answer(ended, values, info.objective_function_value, bound, dearer)
