#include "core/version.h"

#include <cstdio>

int main() {
    std::puts(bellhand::version());
}
