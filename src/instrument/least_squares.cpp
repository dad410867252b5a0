#include "instrument/least_squares.h"

#include <cmath>

namespace bellhand::instrument {

LeastSquares::LeastSquares(std::size_t unknowns)
    : n_(unknowns), normal_(unknowns * unknowns, 0.0), right_(unknowns, 0.0) {}

void LeastSquares::add(const Statement& statement) {
    const double weight = 1.0 / (statement.sd_m * statement.sd_m);
    for (const std::size_t row : statement.of) {
        for (const std::size_t column : statement.of) {
            normal_[row * n_ + column] += weight;
        }
        right_[row] += weight * statement.value_m;
    }
}

std::vector<double> LeastSquares::cholesky() const {
    std::vector<double> factor(n_ * n_, 0.0);
    for (std::size_t i = 0; i < n_; ++i) {
        for (std::size_t j = 0; j <= i; ++j) {
            double sum = normal_[i * n_ + j];
            for (std::size_t k = 0; k < j; ++k) {
                sum -= factor[i * n_ + k] * factor[j * n_ + k];
            }
            factor[i * n_ + j] = i == j ? std::sqrt(sum) : sum / factor[j * n_ + j];
        }
    }
    return factor;
}

std::vector<double> LeastSquares::inverse_column(const std::vector<double>& factor,
                                                 std::size_t column) const {
    std::vector<double> x(n_, 0.0);
    for (std::size_t i = 0; i < n_; ++i) {
        double sum = i == column ? 1.0 : 0.0;
        for (std::size_t k = 0; k < i; ++k) {
            sum -= factor[i * n_ + k] * x[k];
        }
        x[i] = sum / factor[i * n_ + i];
    }
    for (std::size_t i = n_; i-- > 0;) {
        for (std::size_t k = i + 1; k < n_; ++k) {
            x[i] -= factor[k * n_ + i] * x[k];
        }
        x[i] /= factor[i * n_ + i];
    }
    return x;
}

Settled LeastSquares::solve() const {
    const std::vector<double> factor = cholesky();
    Settled settled;
    settled.value_m.assign(n_, 0.0);
    settled.covariance_m2.assign(n_ * n_, 0.0);
    for (std::size_t column = 0; column < n_; ++column) {
        const std::vector<double> inverse = inverse_column(factor, column);
        for (std::size_t row = 0; row < n_; ++row) {
            settled.covariance_m2[row * n_ + column] = inverse[row];
            settled.value_m[row] += inverse[row] * right_[column];
        }
    }
    return settled;
}

} // namespace bellhand::instrument
