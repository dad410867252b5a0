// Compressed scores from anybody: one sentence, or parts that can be planned, written and read again.
#include "fuzz/score_input.h"

#include <cstdint>

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    bellhand::fuzz::read_anything(std::string(data, data + size));
    return 0;
}
