"""Models in whole numbers, solved by HiGHS to the proved optimum.

No gap is left open, and an answer counts only if every row still holds once
its whole numbers are held at exactly whole values.
"""

import math
import time

import highspy
import numpy as np

INFINITE = highspy.kHighsInf


class Sum(dict):
    """A sum of numbers of a model, each with its factor."""

    def add(self, number, factor=1):
        self[number] = self.get(number, 0) + factor
        return self

    def plus(self, other, factor=1):
        for number, part in other.items():
            self.add(number, part * factor)
        return self


class Outcome:
    """What solving came to: "optimal", "infeasible" or "limit"; of the last the bound says how far it got."""

    def __init__(self, status, value, bound, values):
        self.status, self.value, self.bound, self.values = status, value, bound, values


class Model:
    """Numbers and rows."""

    def __init__(self):
        self.low, self.high, self.whole, self.rows = [], [], [], []

    def number(self, most=1, least=0, whole=True):
        """A new number of the model."""
        self.low.append(least)
        self.high.append(most)
        self.whole.append(whole)
        return len(self.low) - 1

    def keep(self, terms, most=INFINITE, least=-INFINITE):
        """A sum that has to stay within limits."""
        self.rows.append((dict(terms), least, most))

    def _lp(self, objective, low, high, whole):
        lp = highspy.HighsLp()
        count = len(self.low)
        lp.num_col_, lp.num_row_ = count, len(self.rows)
        lp.col_lower_, lp.col_upper_ = np.array(low, dtype=float), np.array(high, dtype=float)
        cost = np.zeros(count)
        for number, factor in objective.items():
            cost[number] = factor
        lp.col_cost_ = cost
        lp.row_lower_ = np.array([least for _, least, _ in self.rows], dtype=float)
        lp.row_upper_ = np.array([most for *_, most in self.rows], dtype=float)
        starts, index, value = [0], [], []
        for terms, *_ in self.rows:
            kept = [(number, factor) for number, factor in terms.items() if factor != 0]
            index.extend(number for number, _ in kept)
            value.extend(factor for _, factor in kept)
            starts.append(len(index))
        lp.a_matrix_.format_ = highspy.MatrixFormat.kRowwise
        lp.a_matrix_.start_ = np.array(starts, dtype=np.int32)
        lp.a_matrix_.index_ = np.array(index, dtype=np.int32)
        lp.a_matrix_.value_ = np.array(value, dtype=float)
        if whole:
            kinds = (highspy.HighsVarType.kContinuous, highspy.HighsVarType.kInteger)
            lp.integrality_ = [kinds[one] for one in self.whole]
        return lp

    @staticmethod
    def _solver(seconds):
        solver = highspy.Highs()
        for option, value in {
            "output_flag": False,
            "time_limit": max(seconds, 0.01),
            "threads": 1,
            # Presolve of 1.14 to 1.16 was seen to break a row.
            "presolve": "off",
            "mip_rel_gap": 0.0,
            "mip_abs_gap": 0.0,
        }.items():
            solver.setOptionValue(option, value)
        return solver

    def least(self, objective, seconds):
        """The least that a sum can be."""
        if not self.low:
            holds = all(least <= 0 <= most for _, least, most in self.rows)
            return Outcome("optimal", 0, 0, []) if holds else Outcome("infeasible", None, None, None)
        solver = self._solver(seconds)
        solver.passModel(self._lp(objective, self.low, self.high, True))
        solver.run()
        status, info = solver.getModelStatus(), solver.getInfo()
        if status in (highspy.HighsModelStatus.kInfeasible, highspy.HighsModelStatus.kUnboundedOrInfeasible):
            return Outcome("infeasible", None, None, None)
        if status == highspy.HighsModelStatus.kTimeLimit:
            bound = info.mip_dual_bound
            return Outcome("limit", None, bound if math.isfinite(bound) else None, None)
        if status != highspy.HighsModelStatus.kOptimal:
            raise RuntimeError(f"HiGHS says {status}")
        values = self._held(list(solver.getSolution().col_value))
        value = sum(factor * values[number] for number, factor in objective.items())
        return Outcome("optimal", value, value, values)

    def _held(self, values):
        """The same answer with its whole numbers whole, the others reckoned anew."""
        low, high = list(self.low), list(self.high)
        for at, whole in enumerate(self.whole):
            if whole:
                low[at] = high[at] = round(values[at])
        solver = self._solver(60)
        solver.passModel(self._lp({}, low, high, False))
        solver.run()
        if solver.getModelStatus() != highspy.HighsModelStatus.kOptimal:
            raise RuntimeError("the answer doesn't hold in whole numbers")
        found = solver.getSolution().col_value
        return [low[at] if whole else found[at] for at, whole in enumerate(self.whole)]


def stages(model, objectives, seconds):
    """The least of the first sum, of those the least of the second, and so on.

    Answers the values, and the bound where time ran out."""
    end = time.perf_counter() + seconds
    found = []
    for objective in objectives:
        outcome = model.least(objective, end - time.perf_counter())
        if outcome.status != "optimal":
            return {"status": outcome.status, "values": found, "bound": outcome.bound}
        found.append(round(outcome.value))
        model.keep(objective, most=found[-1])
    return {"status": "optimal", "values": found, "bound": None}
