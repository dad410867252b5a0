// Computes what the hand does on every crook and pitch and prints src/horn/modelled_falls.cpp; to be run anew whenever
// the model changes.
#include "horn/modelled_falls.h"
#include "support/model_hand.h"

#include <cmath>
#include <cstdio>

namespace {

using namespace bellhand;

template <typename Figure>
void print_row(const char* open, Figure figure, const char* close) {
    std::printf("%s{", open);
    for (std::size_t n = 0; n < horn::kPartials; ++n) {
        std::printf("%s%ld", n == 0 ? "" : ", ", std::lround(10.0 * figure(n)));
    }
    std::printf("}%s\n", close);
}

} // namespace

int main() {
    std::printf("// Made by tests/bench/make_hand_table.cpp; do not edit by hand. Tenths of a "
                "cent, partials 1 to 24: "
                "falls at a quarter, half, three-quarters and\n"
                "// full stop, the rise with the hand out, then one standard deviation of each "
                "fall. Computed from an "
                "invented bore, not measured.\n"
                "#include \"horn/modelled_falls.h\"\n\n"
                "namespace bellhand::horn {\n\n"
                "// clang-format off\n"
                "const std::array<ModelledFalls, kModelledNodes> kModelledFalls{{\n");
    for (int node = 0; node < horn::kModelledNodes; ++node) {
        const double f1_hz = horn::modelled_f1_hz(node);
        const auto model = test::model_family(f1_hz);
        if (!model) {
            std::fprintf(stderr, "%.3f Hz: %s\n", f1_hz, model.error().message.c_str());
            return 1;
        }
        for (std::size_t degree = 1; degree < horn::kHandDegrees; ++degree) {
            print_row(
                degree == 1 ? "{{{" : "  ",
                [&](std::size_t n) { return model->fall_cents[n][degree]; },
                degree + 1 == horn::kHandDegrees ? "}}," : ",");
        }
        print_row(
            " ", [&](std::size_t n) { return model->hand_out_cents[n]; }, ",");
        for (std::size_t degree = 1; degree < horn::kHandDegrees; ++degree) {
            print_row(
                degree == 1 ? " {{" : "  ",
                [&](std::size_t n) { return model->doubt_cents[n][degree]; },
                degree + 1 == horn::kHandDegrees ? "}}}," : ",");
        }
    }
    std::printf("}};\n// clang-format on\n\n} // namespace bellhand::horn\n");
    return 0;
}
