#pragma once

#include "part/plan/plan.h"
#include "part/write/annotate.h"
#include "part/write/plan_json.h"

#include <cstdio>
#include <cstdlib>
#include <string>

namespace bellhand::fuzz {

inline void must(bool holds, const char* what) {
    if (!holds) {
        std::fprintf(stderr, "does not hold: %s\n", what);
        std::abort();
    }
}

/// A sentence is finished, on one line and without terminal codes.
inline void must_be_sentence(const std::string& sentence) {
    must(!sentence.empty() && sentence.back() == '.', "the sentence is finished");
    must(sentence.find('\n') == std::string::npos, "one line");
    must(sentence.find('\x1b') == std::string::npos, "no terminal codes");
}

/// Plans a part, writes it, and reads what was written.
inline void use(const part::Score& score, const part::Part& part) {
    const auto plan = part::plan_part(part, {});
    must(plan.has_value(), "without pins of the player a plan can be made");
    must(plan->notes.size() == part.attacks.size(), "every note is planned");
    const int last = static_cast<int>(part.music.bars.size()) - 1;
    must(!part::plan_json(score, part, *plan, 0, last).empty(), "it can be written");
    const auto text = part::annotated(score, part, *plan, {true});
    if (!text) {
        must_be_sentence(text.error().message);
        return;
    }
    const auto again = part::Score::open(*text, "again");
    must(again.has_value(), "what is written can be read");
    part::ReadOptions same;
    same.player = part.player;
    const auto second = part::read_part(*again, part.index, same);
    must(second && second->attacks.size() == part.attacks.size(), "and holds the same notes");
}

/// Reads whatever it is: one sentence, or parts that can be planned and written.
inline void read_anything(std::string bytes) {
    const auto score = part::Score::open(std::move(bytes), "fuzz");
    if (!score) {
        must_be_sentence(score.error().message);
        return;
    }
    constexpr std::size_t kParts = 4;
    for (std::size_t i = 0; i < score->parts().size() && i < kParts; ++i) {
        part::ReadOptions options;
        options.player = 1 + static_cast<int>(i % 2);
        const auto part = part::read_part(*score, i, options);
        if (!part) {
            must_be_sentence(part.error().message);
            continue;
        }
        for (const auto* const list : {&part->doubts, &part->questions}) {
            for (const std::string& sentence : *list) {
                must_be_sentence(sentence);
            }
        }
        if (part->questions.empty()) {
            use(*score, *part);
        }
    }
}

} // namespace bellhand::fuzz
