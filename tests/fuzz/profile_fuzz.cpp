// Profile files from anybody: whatever the bytes, the reader ends with one sentence or with a profile that can be
// written, read again as the same, and planned with.
#include "instrument/profile.h"

#include "instrument/planner/ways.h"

#include <cmath>
#include <cstdint>
#include <cstdio>
#include <cstdlib>
#include <string>
#include <string_view>

using namespace bellhand;
using namespace bellhand::instrument;

namespace {

void must(bool holds, const char* what) {
    if (!holds) {
        std::fprintf(stderr, "does not hold: %s\n", what);
        std::abort();
    }
}

} // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    const std::string text(data, data + size);
    const auto profile = parse_profile(text, "fuzz");
    if (!profile) {
        const std::string& sentence = profile.error().message;
        must(sentence.rfind("fuzz", 0) == 0, "the sentence names the file");
        must(sentence.back() == '.', "the sentence is finished");
        must(sentence.find('\n') == std::string::npos, "one line");
        must(sentence.find('\x1b') == std::string::npos, "no terminal codes");
        return 0;
    }
    const std::string written = profile_text(*profile);
    const auto again = parse_profile(written, "fuzz");
    must(again.has_value(), "what was written can be read");
    must(profile_text(*again) == written, "and is the same");
    const auto horn = settle_lengths(*profile);
    if (!horn) {
        return 0;
    }
    BuildRequest request;
    request.target = {horn::all_crooks()[7], profile->made_for_a4_hz, profile->air};
    request.most_between = 2;
    request.most_ways = 3;
    for (const Way& way : ways_to_build(*horn, request).ways) {
        must(fits(*horn, way.stack), "a way can be mounted");
        must(std::isfinite(way.slide.left_cents), "and has a pitch");
        const Assembly assembly =
            assemble(*horn, way.stack, way.slide.pull_m, profile->made_for_a4_hz, profile->air);
        must(std::isfinite(assembly.f1_hz) && assembly.f1_hz > 0.0, "f1 is a frequency");
    }
    return 0;
}
