#pragma once

#include <cstddef>
#include <initializer_list>
#include <vector>

namespace bellhand::instrument {

/// One unknown in a statement, times a factor.
struct Term {
    std::size_t unknown = 0;
    double factor = 1.0;
};

/// One linear statement: the weighted sum of these unknowns is `value`, give or take `sd` (same unit, positive).
struct Statement {
    std::vector<Term> of;
    double value = 0.0;
    double sd = 1.0;
};

/// "The sum of these unknowns is `value`, give or take `sd`."
[[nodiscard]] Statement
sum_is(std::initializer_list<std::size_t> unknowns, double value, double sd);

/// What all statements together say.
struct Settled {
    std::vector<double> value;
    std::vector<double> covariance; ///< row by row
    /// Natural logarithm of the probability density of the statements' values, but for a constant that depends on their
    /// number only: two readings of the same statements with other `sd` are compared by it.
    double log_evidence = 0.0;

    /// The statement's sum as settled.
    [[nodiscard]] double sum(const Statement& statement) const noexcept;
    /// Variance of that sum.
    [[nodiscard]] double variance(const Statement& statement) const noexcept;
};

/// Weighted least squares (Gauss, 1809) by normal equations. Together the statements must fix every unknown. For a few
/// hundred unknowns.
[[nodiscard]] Settled solve(std::size_t unknowns, const std::vector<Statement>& statements);

} // namespace bellhand::instrument
