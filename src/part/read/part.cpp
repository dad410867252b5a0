#include "part/part.h"

#include "part/read/interpret.h"
#include "part/read/lines.h"
#include "part/read/play_order.h"

#include <algorithm>
#include <cctype>
#include <utility>

namespace bellhand::part {

namespace {

std::string small(std::string_view text) {
    std::string copy(text);
    std::transform(copy.begin(), copy.end(), copy.begin(), [](unsigned char c) {
        return static_cast<char>(std::tolower(c));
    });
    return copy;
}

/// What the bass clef means is told by all horns of the file together; they are read only when this part needs it.
BassEvidence evidence_for(const Score& score, std::size_t part, const Music& music) {
    const bool has_bass =
        std::any_of(music.clefs.begin(), music.clefs.end(), [](const ClefChange& c) {
            return c.clef.sign == 'F' && c.clef.octave_change == 0;
        });
    if (!has_bass) {
        return {};
    }
    std::vector<Music> others;
    others.reserve(score.parts().size());
    std::vector<const Music*> musics{&music};
    for (std::size_t i = 0; i < score.parts().size(); ++i) {
        if (i == part || !score.parts()[i].horn || score.parts()[i].missing) {
            continue;
        }
        if (auto read = score.music(i)) {
            others.push_back(std::move(*read));
            musics.push_back(&others.back());
        }
    }
    return bass_evidence(musics);
}

} // namespace

Result<Part> read_part(const Score& score, std::size_t index, const ReadOptions& options) {
    auto music = score.music(index);
    if (!music) {
        return tl::unexpected(music.error());
    }
    Part part;
    part.head = score.parts()[index];
    part.index = index;
    part.music = std::move(*music);
    part.players = players_of(part.music);
    part.player = options.player.value_or(1);
    if (part.players > 1 && !options.player) {
        part.questions.push_back(part.head.name +
                                 " holds two players on one staff: answer --player 1 for the upper "
                                 "or --player 2 for the lower.");
    }
    part.attacks = struck_notes(part);
    if (part.attacks.empty()) {
        return failure(score.where() + ", part " + part.head.name +
                       " has no notes to play: choose another part.");
    }
    put_times(part, options);
    const auto crooks = find_crooks(part, options);
    if (!crooks) {
        return tl::unexpected(crooks.error());
    }
    settle_bass_clef(part, evidence_for(score, index, part.music), options);
    settle_pitches(part, options);
    PlayOrder order = play_order(part.music);
    part.order = std::move(order.bars);
    if (!order.doubt.empty()) {
        part.doubts.push_back(std::move(order.doubt));
    }
    const auto count = [&part](int times, const char* one, const char* many, const char* what) {
        if (times > 0) {
            part.doubts.push_back((times == 1 ? one : std::to_string(times) + many) + what);
        }
    };
    count(part.music.skipped,
          "One element",
          " elements",
          " of the file could not be understood; the rest was read.");
    count(
        part.music.unseen, "One note", " notes", " of the file, marked as not printed, left out.");
    count(part.music.quarter_tones,
          "One quarter-tone",
          " quarter-tones",
          " rounded to the nearest semitone.");
    return part;
}

Result<std::size_t> part_named(const Score& score, std::string_view name) {
    const std::vector<PartHead>& heads = score.parts();
    std::vector<std::size_t> found;
    const auto gather = [&](const auto& fits) {
        for (std::size_t i = 0; found.size() < 2 && i < heads.size(); ++i) {
            if (fits(i)) {
                found.push_back(i);
            }
        }
        return !found.empty();
    };
    const std::string wanted = small(name);
    // The exact id or number before the exact name, and that before its beginning.
    if (!gather([&](std::size_t i) { return heads[i].id == name; }) &&
        !gather([&](std::size_t i) { return std::to_string(i + 1) == name; }) &&
        !gather([&](std::size_t i) { return small(heads[i].name) == wanted; })) {
        gather(
            [&](std::size_t i) { return small(heads[i].name).find(wanted) != std::string::npos; });
    }
    if (found.size() == 1) {
        return found.front();
    }
    std::string known;
    for (std::size_t i = 0; i < heads.size() && i < 40; ++i) {
        known += (i == 0 ? "" : ", ") + heads[i].id + " " + heads[i].name;
    }
    return usage_error("\"" + std::string(name.substr(0, 60)) + "\" names " +
                       (found.empty() ? "no part" : "more than one part") + " of " + score.where() +
                       ": there are " + known + ".");
}

} // namespace bellhand::part
