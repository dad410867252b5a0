#include "part/write/annotate.h"

#include "datafile/archive.h"
#include "part/read/compressed.h"
#include "part/read/xml_note.h"

#include <algorithm>
#include <sstream>
#include <string_view>
#include <utility>
#include <vector>

#include <pugixml.hpp>

namespace bellhand::part {

namespace {

/// A stretch of the text and what takes its place.
struct Edit {
    std::size_t from = 0;
    std::size_t to = 0;
    std::string text;
};

/// The end of an element without others of its name inside, after its closing tag.
std::size_t end_of(std::string_view text, std::size_t from, std::string_view name) {
    const std::string closing = "</" + std::string(name);
    for (std::size_t tag = text.find(closing, from); tag != std::string_view::npos;
         tag = text.find(closing, tag + 1)) {
        // Not the end of another whose name begins alike.
        const std::size_t after = text.find_first_not_of(" \t\r\n", tag + closing.size());
        if (after != std::string_view::npos && text[after] == '>') {
            return after + 1;
        }
    }
    return text.size();
}

bool has_elements(const pugi::xml_node& node) {
    const auto children = node.children();
    return std::any_of(children.begin(), children.end(), [](const pugi::xml_node& child) {
        return child.type() == pugi::node_element;
    });
}

/// Takes a child out with the blanks before it.
void remove(pugi::xml_node parent, const pugi::xml_node& child) {
    const pugi::xml_node blank = child.previous_sibling();
    if (blank.type() == pugi::node_pcdata) {
        parent.remove_child(blank);
    }
    parent.remove_child(child);
}

void remove_signs(pugi::xml_node notations) {
    for (pugi::xml_node technical = notations.child("technical"); technical;) {
        const pugi::xml_node next = technical.next_sibling("technical");
        bool removed = false;
        for (pugi::xml_node child = technical.first_child(); child;) {
            const pugi::xml_node after = child.next_sibling();
            if (hand_mark(child)) {
                remove(technical, child);
                removed = true;
            }
            child = after;
        }
        if (removed && !has_elements(technical)) {
            remove(notations, technical);
        }
        technical = next;
    }
}

/// A child at the end, but before the blanks that the closing tag stands after.
pugi::xml_node append_before_blank(pugi::xml_node parent, const char* name) {
    const pugi::xml_node last = parent.last_child();
    return last.type() == pugi::node_pcdata ? parent.insert_child_before(name, last)
                                            : parent.append_child(name);
}

/// `notations` comes before these in a note (MusicXML 4.0, complex type note).
pugi::xml_node notations_for(pugi::xml_node note) {
    if (const pugi::xml_node there = note.child("notations")) {
        return there;
    }
    for (const char* const later : {"lyric", "play", "listen"}) {
        if (const pugi::xml_node node = note.child(later)) {
            const pugi::xml_node blank = node.previous_sibling();
            return note.insert_child_before("notations",
                                            blank.type() == pugi::node_pcdata ? blank : node);
        }
    }
    return append_before_blank(note, "notations");
}

void add_sign(pugi::xml_node note, horn::Hand hand) {
    pugi::xml_node technical = append_before_blank(notations_for(note), "technical");
    if (hand == horn::Hand::open) {
        technical.append_child("open-string");
    } else if (hand == horn::Hand::full) {
        technical.append_child("stopped");
    } else {
        pugi::xml_node sign = technical.append_child("fingering");
        sign.append_attribute("placement") = "above";
        sign.text() = horn::hand_sign(hand);
    }
}

/// The note element with the sign of this choice and no other; without one for null.
std::string signed_note(std::string_view element, const Choice* choice) {
    constexpr unsigned kAsItIs = (pugi::parse_full | pugi::parse_ws_pcdata) &
                                 ~(pugi::parse_eol | pugi::parse_wconv_attribute);
    pugi::xml_document document;
    document.load_buffer(element.data(), element.size(), kAsItIs, pugi::encoding_utf8);
    pugi::xml_node note = document.child("note");
    for (pugi::xml_node notations = note.child("notations"); notations;) {
        const pugi::xml_node next = notations.next_sibling("notations");
        const bool filled = has_elements(notations);
        remove_signs(notations);
        if (filled && !has_elements(notations)) {
            remove(note, notations);
        }
        notations = next;
    }
    if (choice != nullptr) {
        add_sign(note, choice->way.hand);
    }
    std::ostringstream out;
    note.print(out, "", pugi::format_raw, pugi::encoding_utf8);
    return out.str();
}

/// A direction that `annotated` wrote: "p" and a number.
bool is_partial(const Words& words) {
    return words.source && words.text.size() >= 2 && words.text.size() <= 3 &&
           words.text[0] == 'p' &&
           words.text.find_first_not_of("0123456789", 1) == std::string::npos;
}

std::string partial_words(int partial) {
    return "<direction placement=\"above\"><direction-type><words font-size=\"7\">p" +
           std::to_string(partial) + "</words></direction-type></direction>";
}

/// Where words for a note go: before the first of the notes that are struck together.
std::size_t before_note(const Music& music, std::size_t note) {
    while (note > 0 && music.notes[note].chord &&
           music.notes[note - 1].at == music.notes[note].at) {
        --note;
    }
    return music.notes[note].source.value_or(0);
}

std::string applied(const std::string& text, std::vector<Edit> edits) {
    // Insertions come before what replaces the note that stands at the same place.
    std::stable_sort(edits.begin(), edits.end(), [](const Edit& a, const Edit& b) {
        return std::pair(a.from, a.to) < std::pair(b.from, b.to);
    });
    std::string result;
    result.reserve(text.size() + edits.size() * 80);
    std::size_t at = 0;
    for (const Edit& edit : edits) {
        if (edit.from < at) {
            continue;
        }
        result.append(text, at, edit.from - at);
        result += edit.text;
        at = edit.to;
    }
    result.append(text, at);
    return result;
}

} // namespace

Result<std::string>
annotated(const Score& score, const Part& part, const Plan& plan, const AnnotateOptions& options) {
    if (score.format() == ScoreFormat::midi) {
        return failure(
            score.where() +
            " is a MIDI file, which holds sounds and no signs: annotate a MusicXML file.");
    }
    const std::string& text = score.text();
    std::vector<Edit> edits;
    for (const Words& words : part.music.words) {
        if (is_partial(words)) {
            edits.push_back({*words.source, end_of(text, *words.source, "direction"), ""});
        }
    }
    for (std::size_t i = 0; i < part.attacks.size(); ++i) {
        const std::size_t note = part.attacks[i].note;
        const std::size_t from = part.music.notes[note].source.value_or(0);
        const std::size_t to = end_of(text, from, "note");
        const std::optional<Choice>& choice = plan.notes[i].choice;
        edits.push_back({from,
                         to,
                         signed_note(std::string_view(text).substr(from, to - from),
                                     choice ? &*choice : nullptr)});
        if (options.partials && choice) {
            const std::size_t before = before_note(part.music, note);
            edits.push_back({before, before, partial_words(choice->way.partial)});
        }
    }
    return applied(text, std::move(edits));
}

Result<std::string> compressed(const Score& score, std::string text) {
    std::vector<datafile::ArchiveEntry> entries;
    if (score.archive().empty()) {
        entries.push_back(
            {kContainer,
             "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<container><rootfiles><rootfile "
             "full-path=\"score.musicxml\" "
             "media-type=\"application/vnd.recordare.musicxml+xml\"/></rootfiles>"
             "</container>\n"});
        entries.push_back({"score.musicxml", std::move(text)});
        return datafile::archive_bytes(entries);
    }
    const auto archive = open_compressed(score.archive(), score.where());
    if (!archive) {
        return tl::unexpected(archive.error());
    }
    const auto root = root_name(*archive, score.where());
    if (!root) {
        return tl::unexpected(root.error());
    }
    for (const std::string& name : archive->names()) {
        auto bytes = name == *root ? Result<std::string>(std::move(text))
                                   : archive->read(name, archive->size_of(name));
        if (!bytes) {
            return tl::unexpected(bytes.error());
        }
        entries.push_back({name, std::move(*bytes)});
    }
    return datafile::archive_bytes(entries);
}

} // namespace bellhand::part
