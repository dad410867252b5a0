#include "part/read/xml_score.h"

#include "datafile/json_text.h"

#include <algorithm>
#include <array>
#include <string_view>
#include <utility>

namespace bellhand::part {

namespace {

constexpr std::array<std::pair<std::string_view, std::string_view>, 5> kAccidentals{
    {{"flat", "♭"}, {"sharp", "♯"}, {"natural", "♮"}, {"flat-flat", "♭♭"}, {"double-sharp", "♯♯"}}};

/// The display name: text and accidentals in elements of their own, in order.
std::string display_name_of(const pugi::xml_node& display) {
    std::string name;
    for (const pugi::xml_node piece : display.children()) {
        const std::string_view kind = piece.name();
        const std::string_view text = piece.text().get();
        if (kind == "display-text") {
            name += text;
        } else if (kind == "accidental-text") {
            const auto* const found = std::find_if(kAccidentals.begin(),
                                                   kAccidentals.end(),
                                                   [&](const auto& a) { return a.first == text; });
            name += found == kAccidentals.end() ? std::string_view() : found->second;
        }
    }
    return name;
}

/// The sounds of the standard list that a natural or modern horn has.
bool horn_sound(std::string_view sound) {
    return sound == "brass.natural-horn" || sound == "brass.french-horn" || sound == "brass.horn";
}

PartHead head_of(const pugi::xml_node& listed) {
    PartHead head;
    head.id = listed.attribute("id").value();
    const std::string display = display_name_of(listed.child("part-name-display"));
    const std::string name = listed.child("part-name").text().get();
    std::vector<std::string> names{display};
    bool sounds = false;
    for (const pugi::xml_node instrument : listed.children("score-instrument")) {
        names.emplace_back(instrument.child("instrument-name").text().get());
        sounds = sounds || horn_sound(instrument.child("instrument-sound").text().get());
    }
    names.push_back(name);
    head.name = datafile::plain_line(!display.empty() ? display : name);
    bool other = false;
    for (const std::string& one : names) {
        const Heading heading = read_heading(one);
        other = other || heading.other;
        head.horn = head.horn || heading.horn;
        if (heading.key && !head.key) {
            head.key = heading.key;
            head.key_heading = datafile::plain_line(one);
        }
    }
    head.horn = (head.horn || sounds) && !other;
    if (head.name.empty()) {
        const auto named = std::find_if(
            names.begin(), names.end(), [](const std::string& one) { return !one.empty(); });
        head.name = named == names.end() ? head.id : datafile::plain_line(*named);
    }
    return head;
}

/// A part printed by itself often bears its heading as a credit.
void head_from_credits(const pugi::xml_node& root, PartHead& head) {
    for (const pugi::xml_node credit : root.children("credit")) {
        for (const pugi::xml_node words : credit.children("credit-words")) {
            const Heading heading = read_heading(words.text().get());
            head.horn = head.horn || heading.horn;
            if (heading.key && !head.key) {
                head.key = heading.key;
                head.key_heading = datafile::plain_line(words.text().get());
            }
        }
    }
}

std::string title_of(const pugi::xml_node& root) {
    std::string title = root.child("work").child("work-title").text().get();
    const std::string movement = root.child("movement-title").text().get();
    if (title.empty() || (!movement.empty() && movement != title)) {
        title += (title.empty() || movement.empty() ? "" : ", ") + movement;
    }
    return datafile::plain_line(title);
}

pugi::xml_node part_with_id(const pugi::xml_node& parent, const std::string& id) {
    return parent.find_child([&](const pugi::xml_node& child) {
        return std::string_view(child.name()) == "part" && id == child.attribute("id").value();
    });
}

/// Declared entities are never expanded; a file that declares any is a trap or no score.
bool declares_entities(std::string_view text) {
    constexpr std::size_t kProlog = 100'000;
    return text.substr(0, kProlog).find("<!ENTITY") != std::string_view::npos;
}

Result<void> check_markup(std::string_view text, const std::string& where) {
    if (declares_entities(text)) {
        return failure(where + " declares entities of its own, which no score needs; it was not "
                               "read: export it again from a notation program.");
    }
    const auto marks = static_cast<std::size_t>(std::count(text.begin(), text.end(), '<') +
                                                std::count(text.begin(), text.end(), '=') / 2);
    if (marks > kLargestMarkup) {
        return failure(where + " holds " + std::to_string(marks) +
                       " elements, more than any score needs: export the horn part by itself.");
    }
    return {};
}

} // namespace

Result<void> parse_score(std::string text, const std::string& where, XmlScore& score) {
    score.text = std::move(text);
    const auto fits = check_markup(score.text, where);
    if (!fits) {
        return fits;
    }
    const pugi::xml_parse_result parsed = score.document.load_buffer(
        score.text.data(), score.text.size(), pugi::parse_default, pugi::encoding_utf8);
    if (!parsed) {
        const auto line =
            1 +
            std::count(score.text.begin(),
                       score.text.begin() +
                           static_cast<std::ptrdiff_t>(std::min(
                               static_cast<std::size_t>(std::max<std::ptrdiff_t>(parsed.offset, 0)),
                               score.text.size())),
                       '\n');
        return failure(where + ", line " + std::to_string(line) +
                       ": this is no well-formed XML; export the file again.");
    }
    const pugi::xml_node by_parts = score.document.child("score-partwise");
    const pugi::xml_node by_bars = score.document.child("score-timewise");
    if (!by_parts && !by_bars) {
        return failure(where + " is XML but no MusicXML score: export the part as MusicXML.");
    }
    score.by_bars = !by_parts;
    const pugi::xml_node root = score.by_bars ? by_bars : by_parts;
    score.title = title_of(root);
    score.sounding_pitch = static_cast<bool>(root.child("defaults").child("concert-score"));
    const pugi::xml_node music = score.by_bars ? root.child("measure") : root;
    constexpr std::size_t kMostParts = 500;
    for (const pugi::xml_node listed : root.child("part-list").children("score-part")) {
        if (score.heads.size() == kMostParts) {
            return failure(where + " lists more than 500 parts: export the horn part by itself.");
        }
        score.heads.push_back(head_of(listed));
        score.heads.back().missing = !part_with_id(music, score.heads.back().id);
    }
    if (score.heads.empty()) {
        // Without a list the parts still have their music.
        for (const pugi::xml_node part : music.children("part")) {
            if (score.heads.size() < kMostParts) {
                const std::string id = part.attribute("id").value();
                PartHead head;
                head.id = id;
                head.name = id.empty() ? "part" : datafile::plain_line(id);
                score.heads.push_back(head);
            }
        }
    }
    if (score.heads.empty()) {
        return failure(where + " holds no part: export it again with at least one instrument.");
    }
    if (score.heads.size() == 1) {
        head_from_credits(root, score.heads.front());
    }
    return {};
}

std::vector<XmlBar> bars_of(const XmlScore& score, const std::string& part_id) {
    std::vector<XmlBar> bars;
    if (!score.by_bars) {
        const pugi::xml_node part = part_with_id(score.document.child("score-partwise"), part_id);
        for (const pugi::xml_node measure : part.children("measure")) {
            bars.push_back({measure, measure});
        }
        return bars;
    }
    for (const pugi::xml_node measure :
         score.document.child("score-timewise").children("measure")) {
        bars.push_back({measure, part_with_id(measure, part_id)});
    }
    return bars;
}

} // namespace bellhand::part
