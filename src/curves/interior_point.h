#pragma once

// Within the room: convex quadratic problems whose matrices are banded.

#include <cmath>
#include <optional>
#include <vector>

#include "banded.h"

namespace seamwright::curves {

/// low <= row · x <= high. Either side may be infinite; low < high.
struct Limit {
    BandRow row;
    double low = -HUGE_VAL;
    double high = HUGE_VAL;
    bool may_give = false;  ///< counts when the smallest common widening is looked for
};

/// min ½ xᵀHx + gᵀx within the limits. H positive definite, lengths scaled so that neighbouring entries of x stand one
/// unit apart.
struct BandProblem {
    BandMatrix H;
    std::vector<double> g;
    std::vector<Limit> limits;
};

struct BandAnswer {
    std::vector<double> x;
    double give = 0.0;  ///< by how much all limits that may give had to be widened
    /// How hard each limit pushes (its multiplier, >= 0), upwards from `low` and downwards from `high`.
    std::vector<double> push_low, push_high;
    int steps = 0;
    bool settled = false;  ///< false: no answer within the limits was found
};

/// Mehrotra's predictor-corrector method (S. Mehrotra, SIAM J. Optim. 2 (1992) 575; J. Nocedal, S. Wright, Numerical
/// Optimization, 16.6). Each step is one banded factorisation.
/// `rough` stops at a millionth of the limits: enough where the problem is stated anew from the answer.
BandAnswer solve(const BandProblem& problem, bool rough = false);

/// The same when the limits contradict each other: the limits that may give are widened by one common amount, the
/// smallest that works. The pushes then tell which limits force it; those of the limits that may give sum to 1.
BandAnswer solve_giving(const BandProblem& problem);

}  // namespace seamwright::curves
