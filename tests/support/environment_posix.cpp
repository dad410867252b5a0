#include "support/environment.h"

#include <cstdlib>

namespace bellhand::test {

Variable::Variable(const char* name, const std::string& value) : name_(name) {
    if (const char* const before = std::getenv(name)) {
        before_ = before;
    }
    setenv(name_, value.c_str(), 1);
}

Variable::~Variable() {
    if (before_) {
        setenv(name_, before_->c_str(), 1);
    } else {
        unsetenv(name_);
    }
}

} // namespace bellhand::test
