#include "instrument/least_squares.h"

#include <cmath>

namespace bellhand::instrument {

namespace {

/// The normal matrix and its Cholesky factor, lower triangle, row by row.
class NormalEquations {
public:
    NormalEquations(std::size_t unknowns, const std::vector<Statement>& statements)
        : n_(unknowns), factor_(unknowns * unknowns, 0.0), right_(unknowns, 0.0) {
        for (const Statement& statement : statements) {
            add(statement);
        }
        decompose();
    }

    [[nodiscard]] double log_determinant() const {
        double sum = 0.0;
        for (std::size_t i = 0; i < n_; ++i) {
            sum += 2.0 * std::log(factor_[i * n_ + i]);
        }
        return sum;
    }

    [[nodiscard]] const std::vector<double>& right() const { return right_; }

    [[nodiscard]] std::vector<double> solved(std::vector<double> x) const {
        for (std::size_t i = 0; i < n_; ++i) {
            for (std::size_t k = 0; k < i; ++k) {
                x[i] -= factor_[i * n_ + k] * x[k];
            }
            x[i] /= factor_[i * n_ + i];
        }
        for (std::size_t i = n_; i-- > 0;) {
            for (std::size_t k = i + 1; k < n_; ++k) {
                x[i] -= factor_[k * n_ + i] * x[k];
            }
            x[i] /= factor_[i * n_ + i];
        }
        return x;
    }

private:
    void add(const Statement& statement) {
        const double weight = 1.0 / (statement.sd * statement.sd);
        for (const Term& row : statement.of) {
            for (const Term& column : statement.of) {
                factor_[row.unknown * n_ + column.unknown] += weight * row.factor * column.factor;
            }
            right_[row.unknown] += weight * row.factor * statement.value;
        }
    }

    void decompose() {
        for (std::size_t i = 0; i < n_; ++i) {
            for (std::size_t j = 0; j <= i; ++j) {
                double sum = factor_[i * n_ + j];
                for (std::size_t k = 0; k < j; ++k) {
                    sum -= factor_[i * n_ + k] * factor_[j * n_ + k];
                }
                factor_[i * n_ + j] = i == j ? std::sqrt(sum) : sum / factor_[j * n_ + j];
            }
        }
    }

    std::size_t n_;
    std::vector<double> factor_;
    std::vector<double> right_;
};

} // namespace

Statement sum_is(std::initializer_list<std::size_t> unknowns, double value, double sd) {
    Statement statement{{}, value, sd};
    for (const std::size_t unknown : unknowns) {
        statement.of.push_back({unknown, 1.0});
    }
    return statement;
}

double Settled::sum(const Statement& statement) const noexcept {
    double sum = 0.0;
    for (const Term& term : statement.of) {
        sum += term.factor * value[term.unknown];
    }
    return sum;
}

double Settled::variance(const Statement& statement) const noexcept {
    double sum = 0.0;
    for (const Term& row : statement.of) {
        for (const Term& column : statement.of) {
            sum += row.factor * column.factor *
                   covariance[row.unknown * value.size() + column.unknown];
        }
    }
    return sum;
}

Settled solve(std::size_t unknowns, const std::vector<Statement>& statements) {
    const NormalEquations normal(unknowns, statements);
    Settled settled;
    settled.value = normal.solved(normal.right());
    settled.covariance.assign(unknowns * unknowns, 0.0);
    for (std::size_t column = 0; column < unknowns; ++column) {
        std::vector<double> unit(unknowns, 0.0);
        unit[column] = 1.0;
        const std::vector<double> inverse = normal.solved(std::move(unit));
        for (std::size_t row = 0; row < unknowns; ++row) {
            settled.covariance[row * unknowns + column] = inverse[row];
        }
    }
    settled.log_evidence = -0.5 * normal.log_determinant();
    for (const Statement& statement : statements) {
        const double off = (statement.value - settled.sum(statement)) / statement.sd;
        settled.log_evidence -= 0.5 * off * off + std::log(statement.sd);
    }
    return settled;
}

} // namespace bellhand::instrument
