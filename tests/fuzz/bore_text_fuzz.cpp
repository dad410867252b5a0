// A bore table from anywhere: any bytes end in a bore that has resonances or none, or in one sentence.
#include "horn/acoustics/bore_text.h"

#include "horn/acoustics/resonance.h"

#include <cmath>
#include <cstddef>
#include <cstdint>
#include <cstdlib>
#include <string_view>

using namespace bellhand::horn::acoustics;

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    const std::string_view text(reinterpret_cast<const char*>(data), size);
    const auto bore = parse_bore(text, "table");
    if (!bore) {
        const std::string& message = bore.error().message;
        if (bore.error().kind != bellhand::ErrorKind::usage || message.rfind("table", 0) != 0 ||
            message.find('\n') != std::string::npos) {
            std::abort();
        }
        return 0;
    }
    const Line line(with_hand(*bore, {0.010, 0.10, 0.08}), keefe_air(20));
    if (!std::isfinite(line.impedance_magnitude(100.0)) && line.length_m() < 5.0) {
        std::abort();
    }
    // Written with six digits it is again a bore, unless it sat on a limit.
    const auto again = parse_bore(bore_text(*bore), "again");
    if (again && again->segments.size() != bore->segments.size()) {
        std::abort();
    }
    return 0;
}
