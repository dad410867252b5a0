#include "cli/option_set.h"

#include "core/number.h"

#include <algorithm>
#include <charconv>
#include <limits>
#include <string_view>
#include <type_traits>

#include <CLI/CLI.hpp>
#include <fmt/format.h>

namespace bellhand::cli {

namespace {

/// The type of one typed value.
template <class Target>
struct One {
    using Type = Target;
};
template <class Target>
struct One<std::optional<Target>> {
    using Type = Target;
};
template <class Target>
struct One<std::vector<Target>> {
    using Type = Target;
};

/// What is wrong with it, or nothing: checks of the parser are of this kind.
template <class Number>
std::string complaint_about(const std::string& typed) {
    const std::string_view text = std::string_view(typed).substr(typed.starts_with('+') ? 1 : 0);
    bool fine = false;
    if constexpr (std::is_floating_point_v<Number>) {
        fine = number_of(text).has_value();
    } else {
        Number value = {};
        const char* const end = text.data() + text.size();
        const auto [read_to, problem] = std::from_chars(text.data(), end, value);
        fine = problem == std::errc() && read_to == end;
    }
    return fine ? std::string()
                : fmt::format("\"{}\" is not a {}number",
                              typed,
                              std::is_floating_point_v<Number> ? "" : "whole ");
}

double number_in(const std::string& typed) {
    double value = std::numeric_limits<double>::quiet_NaN();
    return CLI::detail::lexical_cast(typed, value) ? value
                                                   : std::numeric_limits<double>::quiet_NaN();
}

bool positional(const CLI::Option& option) {
    return option.get_positional();
}

} // namespace

const Option& Option::type_name(const char* words) const {
    if (!positional(*option_)) { // what stands at a place has a name already
        option_->type_name(words);
    }
    return *this;
}

const Option& Option::range(double least, double most) const {
    const std::string words = fmt::format("{:.10g} to {:.10g}", least, most);
    if (option_->get_description().find(words) == std::string::npos) {
        option_->description(option_->get_description() + ", " + words);
    }
    option_->check([least, most, words](const std::string& typed) {
        const double value = number_in(typed);
        return value >= least && value <= most ? std::string()
                                               : fmt::format("{} is not from {}", typed, words);
    });
    return *this;
}

const Option& Option::at_least(double least) const {
    option_->check([least](const std::string& typed) {
        return number_in(typed) >= least ? std::string()
                                         : fmt::format("{} is less than {:g}", typed, least);
    });
    return *this;
}

const Option& Option::one_of(const std::vector<std::string>& words) const {
    option_->check([words](const std::string& typed) {
        return std::find(words.begin(), words.end(), typed) != words.end()
                   ? std::string()
                   : fmt::format("\"{}\" is none of {}", typed, fmt::join(words, ", "));
    });
    return type_name(fmt::format("{}", fmt::join(words, "|")).c_str());
}

const Option& Option::at_most(int values) const {
    option_->expected(1, values);
    return *this;
}

const Option& Option::required() const {
    option_->required();
    return *this;
}

const Option& Option::needs(const char* other) const {
    option_->needs(parser_->get_option(other));
    return *this;
}

const Option& Option::show_default() const {
    option_->capture_default_str();
    return *this;
}

Option OptionSet::add_target(const char* name, OptionTarget target, const char* help) const {
    return std::visit(
        [&](auto* value) {
            using Value = typename One<std::remove_pointer_t<decltype(value)>>::Type;
            CLI::Option* option = parser_->add_option(name, *value, help);
            if constexpr (std::is_arithmetic_v<Value>) {
                option->check(complaint_about<Value>);
                option->type_name(positional(*option) ? "" : "N");
            } else {
                option->type_name(positional(*option) ? "" : "WORD");
            }
            return Option(parser_, option);
        },
        target);
}

Option OptionSet::add_flag(const char* name, bool& target, const char* help) const {
    return {parser_, parser_->add_flag(name, target, help)};
}

Option OptionSet::add_words(const char* name,
                            const std::vector<std::string>& words,
                            std::function<void(std::size_t)> chosen,
                            const char* help) const {
    const auto place = [words](const std::string& typed) {
        const std::string lower = CLI::detail::to_lower(typed);
        return static_cast<std::size_t>(std::find(words.begin(), words.end(), lower) -
                                        words.begin());
    };
    const Option option(
        parser_,
        parser_->add_option_function<std::string>(
            name,
            [place, chosen = std::move(chosen)](const std::string& typed) { chosen(place(typed)); },
            help));
    option.option_->check([place, words](const std::string& typed) {
        return place(typed) < words.size()
                   ? std::string()
                   : fmt::format("\"{}\" is none of {}", typed, fmt::join(words, ", "));
    });
    return option.type_name(fmt::format("{}", fmt::join(words, "|")).c_str());
}

OptionSet OptionSet::add_command(const char* name, const char* purpose) const {
    parser_->require_subcommand(0, 1);
    return OptionSet(parser_->add_subcommand(name, purpose));
}

void OptionSet::when_chosen(std::function<void()> action) const {
    parser_->callback(std::move(action));
}

CommandParser::CommandParser(const char* program,
                             const char* description,
                             const char* version,
                             const char* footer)
    : parser_(std::make_unique<CLI::App>(description, program)) {
    parser_->set_version_flag("--version", version, "Print the version and leave");
    parser_->set_help_flag("-h,--help", "Print this help and leave");
    parser_->footer(footer);
    parser_->allow_windows_style_options(
        false); // what begins with a slash is a path on all systems
}

CommandParser::~CommandParser() = default;

OptionSet CommandParser::options() const {
    return OptionSet(parser_.get());
}

Result<std::optional<int>> CommandParser::parse(int argc, const char* const* argv) {
    try {
        parser_->parse(argc, argv);
    } catch (const CLI::Success& asked) { // --help and --version
        return parser_->exit(asked);
    } catch (const CLI::ParseError& wrong) {
        return usage_error(std::string(wrong.what()) + " (see: bellhand --help)");
    }
    return std::optional<int>();
}

} // namespace bellhand::cli
