#include "cli/horn_options.h"

#include "core/platform.h"

#include <cmath>
#include <cstdio>

#include <fmt/format.h>

namespace bellhand::cli {

void add_horn_options(const OptionSet& parser, HornOptions& options, bool profile_needed) {
    const Option profile =
        parser.add_option("--profile", options.profile, "The horn: a profile file")
            .type_name("FILE");
    if (profile_needed) {
        profile.required();
    }
    parser.add_option("--a4", options.a4_hz, "Pitch of A4 in Hz, 380 to 470").type_name("HZ");
    parser
        .add_option("--temperature",
                    options.temperature_c,
                    "Of the air in the horn, degrees Celsius; a horn being played is 20 to 30")
        .type_name("DEGREES");
}

Question question_of(const LoadedHorn& horn, const HornOptions& options) {
    Question question;
    question.a4_hz = horn.a4_hz;
    question.temperature_c = horn.air.temperature_c;
    question.profile = options.profile;
    return question;
}

std::string cents_cell(double cents, int decimals, TableFormat format) {
    const double scale = std::pow(10.0, decimals);
    const double rounded = std::round(cents * scale) / scale + 0.0; // + 0.0 turns -0 into 0
    return format == TableFormat::table && rounded != 0.0
               ? fmt::format("{:+.{}f}", rounded, decimals)
               : fmt::format("{:.{}f}", rounded, decimals);
}

std::string joined(const std::vector<std::string>& names) {
    std::string text;
    for (const std::string& name : names) {
        text += (text.empty() ? "" : ", ") + name;
    }
    return text;
}

Result<double> checked_temperature(double temperature_c) {
    if (!(temperature_c >= -10.0 && temperature_c <= 45.0)) {
        return usage_error("The temperature must lie between -10 and 45 degrees Celsius.");
    }
    return temperature_c;
}

Result<LoadedHorn> load_horn(const HornOptions& options) {
    auto profile = instrument::load_profile(platform::path_of(*options.profile));
    if (!profile) {
        return tl::unexpected(profile.error());
    }
    auto lengths = instrument::settle_lengths(*profile);
    if (!lengths) {
        return tl::unexpected(lengths.error());
    }
    LoadedHorn horn;
    horn.a4_hz = profile->made_for_a4_hz;
    horn.air = profile->air;
    if (options.a4_hz) {
        const auto a4_hz = horn::checked_a4(*options.a4_hz);
        if (!a4_hz) {
            return tl::unexpected(a4_hz.error());
        }
        horn.a4_hz = *a4_hz;
    }
    if (options.temperature_c) {
        const auto temperature_c = checked_temperature(*options.temperature_c);
        if (!temperature_c) {
            return tl::unexpected(temperature_c.error());
        }
        horn.air.temperature_c = *temperature_c;
    }
    for (const std::string& warning : lengths->warnings) {
        std::fprintf(stderr, "%s: %s\n", options.profile->c_str(), warning.c_str());
    }
    horn.profile = std::move(*profile);
    horn.lengths = std::move(*lengths);
    return horn;
}

std::vector<std::string> split_names(const std::string& text) {
    std::vector<std::string> names;
    std::string name;
    const auto finish = [&] {
        const std::size_t first = name.find_first_not_of(' ');
        if (first != std::string::npos) {
            names.push_back(name.substr(first, name.find_last_not_of(' ') - first + 1));
        }
        name.clear();
    };
    for (const char c : text) {
        if (c == ',' || c == '+') {
            finish();
        } else {
            name += c;
        }
    }
    finish();
    return names;
}

Result<std::optional<instrument::Stack>> stack_from(const instrument::HornLengths& lengths,
                                                    const std::optional<std::string>& text) {
    if (!text) {
        return std::nullopt;
    }
    const std::vector<std::string> names = split_names(*text);
    const auto stack = instrument::stack_of(lengths, names);
    if (!stack) {
        return tl::unexpected(Error{"--from: " + stack.error().message, ErrorKind::usage});
    }
    return *stack;
}

} // namespace bellhand::cli
