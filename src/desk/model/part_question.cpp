#include "desk/model/part_question.h"

#include "horn/crook.h"

#include <algorithm>

namespace bellhand::desk {

namespace {

bool names(const std::string& question, const char* option) {
    return question.find(option) != std::string::npos;
}

/// What stands behind every "--crook ": "C-alto", "151=Eb".
std::vector<std::string> crooks_named(const std::string& question) {
    constexpr std::string_view kOption = "--crook ";
    std::vector<std::string> named;
    for (std::size_t at = question.find(kOption); at != std::string::npos;
         at = question.find(kOption, at + 1)) {
        const std::size_t from = at + kOption.size();
        std::string word = question.substr(from, question.find_first_of(" ,;:", from) - from);
        while (!word.empty() && word.back() == '.') {
            word.pop_back();
        }
        if (std::find(named.begin(), named.end(), word) == named.end()) {
            named.push_back(word);
        }
    }
    return named;
}

void add_crook(PartQuestion& made, const part::ReadOptions& said, const std::string& named) {
    const std::size_t equals = named.find('=');
    const std::string bar = equals == std::string::npos ? "" : named.substr(0, equals);
    const auto crook =
        horn::parse_crook(equals == std::string::npos ? named : named.substr(equals + 1));
    if (!crook) {
        return;
    }
    PartAnswer answer{std::string(crook->label) + " crook", said};
    answer.options.crooks.push_back({bar, *crook});
    made.answers.push_back(std::move(answer));
}

} // namespace

PartQuestion part_question(const std::string& question, const part::ReadOptions& said) {
    PartQuestion made;
    // What only the command line needs to know is left out.
    made.words = question.substr(0, question.rfind(": "));
    const auto answer = [&](const char* words) -> part::ReadOptions& {
        made.answers.push_back({words, said});
        return made.answers.back().options;
    };
    if (names(question, "--player")) {
        answer("the upper notes (first player)").player = 1;
        answer("the lower notes (second player)").player = 2;
    } else if (names(question, "--bass-clef")) {
        answer("old: written an octave low").bass_clef = horn::BassClef::octave_lower;
        answer("new: as it sounds in the treble clef").bass_clef = horn::BassClef::sounding_octave;
    } else if (names(question, "--notes")) {
        answer("written for the horn").notes = part::Notation::written;
        answer("as they sound").notes = part::Notation::sounding;
    } else {
        // An example is no choice: then every crook is offered.
        const bool example = names(question, "such as");
        for (const std::string& named : crooks_named(question)) {
            if (!example) {
                add_crook(made, said, named);
            }
        }
        if (made.answers.empty()) {
            for (const horn::Crook& crook : horn::all_crooks()) {
                add_crook(made, said, std::string(crook.id));
            }
        }
    }
    return made;
}

} // namespace bellhand::desk
