#include "support/environment.h"

#include <cstdlib>

namespace bellhand::test {

Variable::Variable(const char* name, const std::string& value) : name_(name) {
    if (const char* const before = std::getenv(name)) {
        before_ = before;
    }
    _putenv_s(name_, value.c_str());
}

Variable::~Variable() {
    if (before_) {
        _putenv_s(name_, before_->c_str());
    } else {
        _putenv_s(name_, "");
    }
}

} // namespace bellhand::test
