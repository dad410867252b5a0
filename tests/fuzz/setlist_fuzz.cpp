// Set lists from anybody: one sentence, or a list that can be planned on a small fixed horn by every wish.
#include "instrument/planner/planner.h"

#include <cstdint>
#include <cstdio>
#include <cstdlib>
#include <string>

using namespace bellhand;
using namespace bellhand::instrument;

namespace {

void must(bool holds, const char* what) {
    if (!holds) {
        std::fprintf(stderr, "does not hold: %s\n", what);
        std::abort();
    }
}

HornLengths small_horn() {
    HornLengths horn;
    horn.body_m = 2.4;
    horn.slide = {0.04, 0.0, 2};
    horn.couplers = 3;
    horn.crooks.resize(2);
    horn.crooks[0].acoustic_m = 0.6;
    horn.crooks[1].acoustic_m = 1.2;
    for (HornPiece& crook : horn.crooks) {
        crook.kind = PieceKind::master_crook;
        crook.takes_couplers = true;
    }
    horn.between.resize(5);
    const double lengths_m[] = {0.25, 0.5, 1.1, 0.03, 0.05};
    for (std::size_t i = 0; i < 5; ++i) {
        horn.between[i].acoustic_m = lengths_m[i];
        horn.between[i].reach_m = 0.05;
    }
    return horn;
}

} // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    static const HornLengths horn = small_horn();
    const std::string text(data, data + size);
    const auto list = parse_set_list(text, "fuzz");
    if (!list) {
        const std::string& sentence = list.error().message;
        must(sentence.rfind("fuzz", 0) == 0, "the sentence names the file");
        must(sentence.back() == '.', "the sentence is finished");
        must(sentence.find('\n') == std::string::npos, "one line");
        must(sentence.find('\x1b') == std::string::npos, "no terminal codes");
        return 0;
    }
    double least_change_s = 0.0;
    int least_too_short = 0;
    for (const Choose choose : {Choose::least_change, Choose::fewest_pieces, Choose::least_reach}) {
        PlanRequest request;
        request.choose = choose;
        const auto plan = plan_set_list(horn, *list, {22.0, 0.5}, request);
        must(plan.has_value(), "a small horn can be planned with");
        must(plan->steps.size() == list->numbers.size(), "every number is answered");
        if (choose == Choose::least_change) {
            least_change_s = plan->change_s;
            least_too_short = plan->too_short;
        }
        must(plan->too_short > least_too_short ||
                 (plan->too_short == least_too_short && plan->change_s >= least_change_s - 1e-6),
             "no other plan changes less");
    }
    return 0;
}
