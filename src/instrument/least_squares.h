#pragma once

#include <cstddef>
#include <vector>

namespace bellhand::instrument {

/// One linear statement about lengths: the sum of these unknowns is `value_m`, give or take `sd_m`.
struct Statement {
    std::vector<std::size_t> of;
    double value_m = 0.0;
    double sd_m = 1.0;
};

/// What all statements together say.
struct Settled {
    std::vector<double> value_m;
    std::vector<double> covariance_m2; ///< row by row
};

/// Weighted least squares (Gauss, 1809) by normal equations; every unknown must be in some statement of its own, so that
/// they are positive definite. For a few dozen unknowns.
class LeastSquares {
public:
    explicit LeastSquares(std::size_t unknowns);

    void add(const Statement& statement);
    [[nodiscard]] Settled solve() const;

private:
    [[nodiscard]] std::vector<double> cholesky() const;
    /// One column of the inverse, from the Cholesky factor.
    [[nodiscard]] std::vector<double> inverse_column(const std::vector<double>& factor,
                                                     std::size_t column) const;

    std::size_t n_;
    std::vector<double> normal_;
    std::vector<double> right_;
};

} // namespace bellhand::instrument
