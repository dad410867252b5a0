#pragma once

#include <optional>
#include <string>

namespace bellhand::test {

/// A variable of the environment that has another value for as long as this lives.
class Variable {
public:
    Variable(const char* name, const std::string& value);
    ~Variable();
    Variable(const Variable&) = delete;
    Variable& operator=(const Variable&) = delete;

private:
    const char* name_;
    std::optional<std::string> before_;
};

} // namespace bellhand::test
