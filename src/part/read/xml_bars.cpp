#include "datafile/json_text.h"
#include "part/read/rounded_tuplets.h"
#include "part/read/system_marks.h"
#include "part/read/xml_note.h"
#include "part/read/xml_score.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdlib>
#include <string_view>

namespace bellhand::part {

namespace {

constexpr double kMostDivisions = 1'000'000.0;
constexpr double kLongestBar_quarters = 4096.0;

bool yes(const pugi::xml_attribute& attribute) {
    return std::string_view(attribute.value()) == "yes";
}

/// Elements that say nothing about the music of a part and are passed over in silence.
bool of_the_page(std::string_view name) {
    constexpr std::array<std::string_view, 8> kKnown{
        "print", "harmony", "figured-bass", "listening", "bookmark", "link", "grouping", "lyric"};
    return std::find(kKnown.begin(), kKnown.end(), name) != kKnown.end();
}

/// Where an element begins in its text; its name begins after the "<".
std::size_t offset_of(const pugi::xml_node& element) {
    return static_cast<std::size_t>(std::max<std::ptrdiff_t>(element.offset_debug() - 1, 0));
}

std::vector<int> numbers_in(std::string_view text) {
    std::vector<int> numbers;
    for (std::size_t at = 0; at < text.size() && numbers.size() < 20; ++at) {
        if (text[at] >= '1' && text[at] <= '9' &&
            (at == 0 || text[at - 1] < '0' || text[at - 1] > '9')) {
            numbers.push_back(std::atoi(std::string(text.substr(at, 2)).c_str()));
        }
    }
    return numbers;
}

/// The first number in a text such as "c. 116".
std::optional<double> number_in(const char* text) {
    const std::string_view whole(text);
    const std::size_t at = whole.find_first_of("0123456789.");
    if (at == std::string_view::npos) {
        return std::nullopt;
    }
    const double value = std::strtod(text + at, nullptr);
    return std::isfinite(value) ? std::optional(value) : std::nullopt;
}

class BarsReader {
public:
    BarsReader(const std::string& place) : place_(place) {}

    Result<Music> read(const std::vector<XmlBar>& bars) {
        if (bars.size() > kMostBars) {
            return failure(place_ + " has " + std::to_string(bars.size()) +
                           " bars, more than any part: at most 50000 are read.");
        }
        music_.bars.reserve(bars.size());
        for (const XmlBar& bar : bars) {
            begin(bar);
            for (const pugi::xml_node element : bar.content.children()) {
                take(element);
                if (problem_) {
                    return failure(place_ + ", bar " + music_.bars.back().number + ": " +
                                   *problem_);
                }
            }
            end();
        }
        settle_multi_rests();
        std::stable_sort(music_.notes.begin(),
                         music_.notes.end(),
                         [](const Note& a, const Note& b) { return a.at < b.at; });
        return std::move(music_);
    }

private:
    void begin(const XmlBar& bar) {
        Bar next;
        next.number = datafile::plain_line(bar.measure.attribute("number").value()).substr(0, 20);
        if (next.number.empty()) {
            next.number = std::to_string(music_.bars.size() + 1);
        }
        next.counted = !yes(bar.measure.attribute("implicit"));
        music_.bars.push_back(next);
        now_ = furthest_ = 0.0;
        chord_at_ = 0.0;
    }

    void end() {
        Bar& bar = music_.bars.back();
        bar.ticks = furthest_ > 0.0 ? ticks(furthest_) : nominal_ticks();
        rounded_.settle(music_, furthest_ / divisions_);
    }

    int nominal_ticks() const {
        const TimeChange time = music_.times.empty() ? TimeChange{} : music_.times.back();
        return time.beats_sum * (4 * kQuarter / time.beat_type);
    }

    int ticks(double divisions) const {
        return static_cast<int>(std::llround(divisions * kQuarter / divisions_));
    }

    Place here() const { return at(now_); }

    Place at(double divisions) const {
        return {static_cast<int>(music_.bars.size()) - 1, ticks(std::max(divisions, 0.0))};
    }

    void take(const pugi::xml_node& element) {
        const std::string_view name = element.name();
        if (name == "note") {
            take_note(element);
        } else if (name == "backup" || name == "forward") {
            move(element, name == "backup");
        } else if (name == "attributes") {
            take_attributes(element);
        } else if (name == "direction") {
            take_direction(element);
        } else if (name == "barline") {
            take_barline(element);
        } else if (name == "sound") {
            take_sound(element, here());
        } else if (!name.empty() && !of_the_page(name)) {
            ++music_.skipped;
        }
    }

    /// The `duration` of a note, backup or forward, in divisions.
    double duration_of(const pugi::xml_node& element) {
        const pugi::xml_node given = element.child("duration");
        if (!given) {
            return 0.0;
        }
        char* end = nullptr;
        const char* const text = given.text().get();
        const double duration = std::strtod(text, &end);
        if (end == text || !std::isfinite(duration) || duration < 0.0) {
            problem_ = "the duration \"" +
                       datafile::plain_line(std::string_view(text).substr(0, 20)) +
                       "\" is no length; correct the file or export it again.";
            return 0.0;
        }
        if (duration > kLongestBar_quarters * divisions_) {
            problem_ =
                "a duration of more than 4096 quarter notes is no music; correct the file or "
                "export it again.";
            return 0.0;
        }
        return duration;
    }

    void move(const pugi::xml_node& element, bool back) {
        const double by = duration_of(element);
        now_ += back ? -by : by;
        constexpr double kRounding = 1e-6;
        if (now_ < -kRounding) {
            problem_ = "it goes back to before its own beginning; correct the file or export it "
                       "again.";
        }
        reach();
    }

    void reach() {
        furthest_ = std::max(furthest_, now_);
        if (furthest_ > kLongestBar_quarters * divisions_) {
            problem_ = "it is longer than 4096 quarter notes; correct the file or export it again.";
        }
    }

    void take_note(const pugi::xml_node& element) {
        auto note = note_of(element);
        const double duration = note && note->grace ? 0.0 : duration_of(element);
        const bool chord = static_cast<bool>(element.child("chord"));
        if (problem_) {
            return;
        }
        const double start = chord ? chord_at_ : now_;
        if (note) {
            music_.unseen += note->hidden && element.child("pitch") ? 1 : 0;
            music_.quarter_tones += is_quarter_tone(element) ? 1 : 0;
            rounded_.add(
                *note, music_.notes.size(), start / divisions_, duration / divisions_, divisions_);
            note->at = at(start);
            note->ticks = ticks(start + duration) - ticks(start);
            note->source = offset_of(element);
            if (music_.notes.size() == kMostNotes) {
                problem_ = "more than 200000 notes are no part; export the horn by itself.";
                return;
            }
            music_.notes.push_back(std::move(*note));
        } else {
            ++music_.skipped;
        }
        if (!chord) {
            chord_at_ = now_;
            now_ += duration;
            reach();
        }
    }

    void take_attributes(const pugi::xml_node& element) {
        for (const pugi::xml_node child : element.children()) {
            const std::string_view name = child.name();
            if (name == "divisions") {
                take_divisions(child);
            } else if (name == "key") {
                music_.keys.push_back(
                    {here(), std::clamp(child.child("fifths").text().as_int(), -7, 7)});
            } else if (name == "time") {
                take_time(child);
            } else if (name == "clef") {
                take_clef(child);
            } else if (name == "transpose") {
                const int octaves = std::clamp(child.child("octave-change").text().as_int(), -4, 4);
                const int chromatic = std::clamp(child.child("chromatic").text().as_int(), -48, 48);
                music_.transposes.push_back({here(), chromatic + 12 * octaves});
            } else if (name == "for-part") {
                const pugi::xml_node written = child.child("part-transpose");
                const int octaves =
                    std::clamp(written.child("octave-change").text().as_int(), -4, 4);
                const int chromatic =
                    std::clamp(written.child("chromatic").text().as_int(), -48, 48);
                music_.transposes.push_back({here(), chromatic + 12 * octaves});
                music_.sounding_pitch = true;
            } else if (name == "measure-style") {
                const int bars = child.child("multiple-rest").text().as_int();
                music_.bars.back().multi_rest = std::clamp(bars, 0, 10'000);
            }
        }
    }

    void take_divisions(const pugi::xml_node& given) {
        char* end = nullptr;
        const char* const text = given.text().get();
        const double divisions = std::strtod(text, &end);
        if (end == text || !(divisions > 0.0) || divisions > kMostDivisions) {
            problem_ = "\"" + datafile::plain_line(std::string_view(text).substr(0, 20)) +
                       "\" divisions of a quarter note make no sense; correct the file or export "
                       "it again.";
            return;
        }
        // What was read of this bar stays where it is.
        now_ *= divisions / divisions_;
        furthest_ *= divisions / divisions_;
        chord_at_ *= divisions / divisions_;
        divisions_ = divisions;
    }

    void take_time(const pugi::xml_node& element) {
        TimeChange time;
        time.at = here();
        const std::string beats = element.child("beats").text().get();
        const int type = element.child("beat-type").text().as_int();
        if (type < 1 || type > 128 || beats.empty()) {
            ++music_.skipped; // senza misura, or nothing that can be counted
            return;
        }
        time.beats = datafile::plain_line(beats).substr(0, 20);
        time.beat_type = type;
        time.beats_sum = 0;
        for (const int beat : numbers_in(beats)) {
            time.beats_sum = std::min(time.beats_sum + beat, 256);
        }
        time.beats_sum = std::max(time.beats_sum, 1);
        const std::string_view symbol = element.attribute("symbol").value();
        time.symbol = symbol == "common" || symbol == "cut";
        music_.times.push_back(time);
    }

    void take_clef(const pugi::xml_node& element) {
        ClefChange change;
        change.at = here();
        const std::string_view sign = element.child("sign").text().get();
        change.clef.sign = sign == "G" || sign == "F" || sign == "C" ? sign.front() : 'P';
        const int usual_line = change.clef.sign == 'F' ? 4 : change.clef.sign == 'C' ? 3 : 2;
        change.clef.line = std::clamp(element.child("line").text().as_int(usual_line), 1, 5);
        change.clef.octave_change =
            std::clamp(element.child("clef-octave-change").text().as_int(), -2, 2);
        change.staff_of_part = std::clamp(element.attribute("number").as_int(1), 1, 8);
        music_.clefs.push_back(change);
    }

    void take_direction(const pugi::xml_node& element) {
        const double offset = element.child("offset").text().as_double();
        const Place place = at(now_ + (std::isfinite(offset) ? offset : 0.0));
        std::string text;
        for (const pugi::xml_node type : element.children("direction-type")) {
            for (const pugi::xml_node mark : type.children()) {
                take_mark(mark, place, text);
            }
        }
        if (!text.empty()) {
            Words words{place, datafile::plain_line(text).substr(0, 300), std::nullopt};
            const pugi::xml_node only = element.first_child();
            if (!only.next_sibling() && !only.first_child().next_sibling()) {
                words.source = offset_of(element);
            }
            music_.words.push_back(std::move(words));
        }
        if (const pugi::xml_node sound = element.child("sound")) {
            take_sound(sound, place);
        }
    }

    void take_mark(const pugi::xml_node& mark, Place place, std::string& text) {
        const std::string_view name = mark.name();
        if (name == "words") {
            text += mark.text().get();
        } else if (name == "dynamics") {
            for (const pugi::xml_node dynamic : mark.children()) {
                const bool other = std::string_view(dynamic.name()) == "other-dynamics";
                music_.dynamics.push_back(
                    {place,
                     datafile::plain_line(other ? dynamic.text().get() : dynamic.name())
                         .substr(0, 20)});
            }
        } else if (name == "wedge") {
            take_wedge(mark, place);
        } else if (name == "metronome") {
            take_metronome(mark, place);
        } else if (name == "rehearsal") {
            if (const std::string letter = datafile::plain_line(mark.text().get());
                is_rehearsal_mark(letter)) {
                music_.words.push_back({place, letter, std::nullopt});
            }
        } else if (name == "segno") {
            music_.bars.back().signs.segno = true;
        } else if (name == "coda") {
            music_.bars.back().signs.coda = true;
        }
    }

    void take_wedge(const pugi::xml_node& mark, Place place) {
        const std::string_view type = mark.attribute("type").value();
        const auto number =
            static_cast<std::size_t>(std::clamp(mark.attribute("number").as_int(1), 1, 6) - 1);
        if (type == "crescendo" || type == "diminuendo") {
            open_wedges_[number] = Hairpin{place, place, type == "crescendo"};
        } else if (type == "stop" && open_wedges_[number]) {
            open_wedges_[number]->to = place;
            music_.hairpins.push_back(*open_wedges_[number]);
            open_wedges_[number].reset();
        }
    }

    void take_metronome(const pugi::xml_node& mark, Place place) {
        const auto value = value_named(mark.child("beat-unit").text().get());
        const auto per_minute = number_in(mark.child("per-minute").text().get());
        if (!value || !per_minute) {
            return;
        }
        const bool dotted = static_cast<bool>(mark.child("beat-unit-dot"));
        tempo(place, *per_minute * 4.0 * std::pow(2.0, -*value) * (dotted ? 1.5 : 1.0));
        music_.metronomes.push_back(
            {place,
             Value{*value, dotted ? 1 : 0},
             datafile::plain_line(mark.child("per-minute").text().get()).substr(0, 30)});
    }

    void tempo(Place place, double quarters_per_minute) {
        constexpr double kSlowest = 5.0;
        constexpr double kFastest = 1000.0;
        if (quarters_per_minute >= kSlowest && quarters_per_minute <= kFastest) {
            music_.tempos.push_back({place, quarters_per_minute});
        }
    }

    void take_sound(const pugi::xml_node& sound, Place place) {
        Signs& signs = music_.bars.back().signs;
        if (const auto given = sound.attribute("tempo")) {
            tempo(place, given.as_double());
        }
        signs.da_capo = signs.da_capo || yes(sound.attribute("dacapo"));
        signs.dal_segno = signs.dal_segno || sound.attribute("dalsegno");
        signs.to_coda = signs.to_coda || sound.attribute("tocoda");
        signs.fine = signs.fine || sound.attribute("fine");
        signs.segno = signs.segno || sound.attribute("segno");
        signs.coda = signs.coda || sound.attribute("coda");
    }

    void take_barline(const pugi::xml_node& element) {
        Signs& signs = music_.bars.back().signs;
        const pugi::xml_node repeat = element.child("repeat");
        if (repeat) {
            const bool begins =
                std::string_view(repeat.attribute("direction").value()) == "forward";
            (begins ? signs.repeat_begins : signs.repeat_ends) = true;
            signs.repeat_times = begins ? signs.repeat_times : repeat.attribute("times").as_int(2);
        }
        const pugi::xml_node ending = element.child("ending");
        if (ending) {
            if (std::string_view(ending.attribute("type").value()) == "start") {
                signs.ending_begins = numbers_in(ending.attribute("number").value());
            } else {
                signs.ending_ends = true;
            }
        }
        if (element.child("segno")) {
            signs.segno = true;
        }
        if (element.child("coda")) {
            signs.coda = true;
        }
    }

    /// A multi-rest is printed over bars that hold nothing else; one that runs on beyond the end is cut.
    void settle_multi_rests() {
        for (std::size_t i = 0; i < music_.bars.size(); ++i) {
            const auto left = static_cast<int>(music_.bars.size() - i);
            music_.bars[i].multi_rest = std::min(music_.bars[i].multi_rest, left);
        }
    }

    const std::string& place_;
    Music music_;
    std::optional<std::string> problem_;
    RoundedTuplets rounded_;
    double divisions_ = 1.0;
    double now_ = 0.0;      ///< in divisions, from the beginning of the bar
    double furthest_ = 0.0; ///< that any voice came to
    double chord_at_ = 0.0; ///< where the newest note that is no chord note began
    std::array<std::optional<Hairpin>, 6> open_wedges_{};
};

} // namespace

Result<Music> read_bars(const std::vector<XmlBar>& bars, const std::string& place) {
    return BarsReader(place).read(bars);
}

} // namespace bellhand::part
