#pragma once

#include <string>
#include <utility>

#include <tl/expected.hpp>

namespace bellhand {

/// Why something could not be done. `usage` is the caller's mistake (command line: exit code 2), `failure` the world's
/// (exit code 1).
enum class ErrorKind { usage, failure };

/// One clear sentence for the person in front of the program: what, where, and what to do about it.
struct Error {
    std::string message;
    ErrorKind kind = ErrorKind::failure;
};

template <typename T>
using Result = tl::expected<T, Error>;

[[nodiscard]] inline tl::unexpected<Error> failure(std::string message) {
    return tl::unexpected<Error>(Error{std::move(message), ErrorKind::failure});
}

[[nodiscard]] inline tl::unexpected<Error> usage_error(std::string message) {
    return tl::unexpected<Error>(Error{std::move(message), ErrorKind::usage});
}

} // namespace bellhand
