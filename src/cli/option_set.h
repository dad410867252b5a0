#pragma once

#include "core/result.h"

#include <cstddef>
#include <cstdint>
#include <functional>
#include <memory>
#include <optional>
#include <string>
#include <utility>
#include <variant>
#include <vector>

namespace CLI {
class App;
class Option;
} // namespace CLI

namespace bellhand::cli {

/// Where a typed value goes; it must live until the command has run. An optional one stays empty when its option was
/// not typed; a vector takes one value or more.
using OptionTarget = std::variant<std::string*,
                                  std::optional<std::string>*,
                                  std::vector<std::string>*,
                                  std::vector<std::int64_t>*,
                                  int*,
                                  std::optional<int>*,
                                  std::optional<std::uint32_t>*,
                                  std::optional<std::int64_t>*,
                                  std::uint64_t*,
                                  std::optional<std::uint64_t>*,
                                  double*,
                                  std::optional<double>*>;

/// One option, for what it has beside name, target and help.
class Option {
public:
    /// What stands for the value in the help: "FILE".
    const Option& type_name(const char* words) const;
    /// Numbers from `least` to `most` only.
    const Option& range(double least, double most) const;
    const Option& at_least(double least) const;
    /// One of these words only; they stand for the value in the help.
    const Option& one_of(const std::vector<std::string>& words) const;
    /// At most so many values.
    const Option& at_most(int values) const;
    const Option& required() const;
    /// Only together with that other option.
    const Option& needs(const char* other) const;
    /// The help tells the value that the target has now.
    const Option& show_default() const;

private:
    friend class OptionSet;
    Option(CLI::App* parser, CLI::Option* option) : parser_(parser), option_(option) {}
    CLI::App* parser_;
    CLI::Option* option_;
};

/// A word of an option and what it means.
template <class Value>
struct Choice {
    const char* word;
    Value value;
};

/// The options of the program or of one of its commands. A handle: copies mean the same options. The one place that
/// knows the library behind it (option_set.cpp) is the only one that pays for compiling it.
class OptionSet {
public:
    /// An option (`--name`) or, with a name without dashes in capitals, what stands at that place.
    template <class Value>
    Option add_option(const char* name, Value& target, const char* help) const {
        return add_target(name, OptionTarget(&target), help);
    }
    Option add_flag(const char* name, bool& target, const char* help) const;

    /// An option with named values, in either case.
    template <class Value>
    Option add_choice(const char* name,
                      Value& target,
                      std::vector<Choice<Value>> choices,
                      const char* help) const {
        std::vector<std::string> words;
        for (const auto& choice : choices) {
            words.emplace_back(choice.word);
        }
        return add_words(
            name,
            words,
            [&target, choices = std::move(choices)](std::size_t chosen) {
                target = choices[chosen].value;
            },
            help);
    }

    /// A command below this one; at most one is typed.
    OptionSet add_command(const char* name, const char* purpose) const;
    /// Runs when this command was typed, after all options were read.
    void when_chosen(std::function<void()> action) const;

private:
    friend class CommandParser;
    explicit OptionSet(CLI::App* parser) : parser_(parser) {}
    Option add_target(const char* name, OptionTarget target, const char* help) const;
    Option add_words(const char* name,
                     const std::vector<std::string>& words,
                     std::function<void(std::size_t)> chosen,
                     const char* help) const;
    CLI::App* parser_;
};

/// The whole command line.
class CommandParser {
public:
    /// `footer`: the last lines of the help.
    CommandParser(const char* program,
                  const char* description,
                  const char* version,
                  const char* footer);
    ~CommandParser();
    CommandParser(const CommandParser&) = delete;
    CommandParser& operator=(const CommandParser&) = delete;

    [[nodiscard]] OptionSet options() const;

    /// Reads what was typed into the targets. A number: help or version was asked for and printed, leave with it.
    /// Errors (usage): what was typed wrong.
    [[nodiscard]] Result<std::optional<int>> parse(int argc, const char* const* argv);

private:
    std::unique_ptr<CLI::App> parser_;
};

} // namespace bellhand::cli
