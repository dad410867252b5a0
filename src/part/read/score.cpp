#include "part/read/score.h"

#include "core/files.h"
#include "part/read/compressed.h"
#include "part/read/encoding.h"
#include "part/read/midi.h"
#include "part/read/system_marks.h"
#include "part/read/xml_score.h"

#include <utility>

namespace bellhand::part {

struct Score::Content {
    std::string where;
    std::string archive;
    ScoreFormat format = ScoreFormat::musicxml;
    XmlScore xml;
    MidiScore midi;
};

namespace {

Result<std::string> unpacked(std::string bytes, const std::string& where) {
    const auto archive = open_compressed(std::move(bytes), where);
    if (!archive) {
        return tl::unexpected(archive.error());
    }
    const auto name = root_name(*archive, where);
    if (!name) {
        return tl::unexpected(name.error());
    }
    return archive->read(*name, kLargestFile_bytes);
}

} // namespace

Score::Score(std::unique_ptr<Content> content) : content_(std::move(content)) {}
Score::~Score() = default;
Score::Score(Score&&) noexcept = default;
Score& Score::operator=(Score&&) noexcept = default;

Result<Score> Score::open(std::string bytes, std::string where) {
    if (bytes.size() > kLargestFile_bytes) {
        return failure(where + " has " + std::to_string(bytes.size()) +
                       " bytes, more than the 40 million that are read: export the horn part by "
                       "itself.");
    }
    auto content = std::make_unique<Content>();
    content->where = std::move(where);
    if (bytes.rfind("PK", 0) == 0) {
        content->archive = bytes;
        auto text = unpacked(std::move(bytes), content->where);
        if (!text) {
            return tl::unexpected(text.error());
        }
        bytes = std::move(*text);
    }
    if (bytes.rfind("MThd", 0) == 0) {
        content->format = ScoreFormat::midi;
    } else if (looks_like_xml(bytes)) {
        bytes = utf8_of(std::move(bytes));
    }
    const bool midi = content->format == ScoreFormat::midi;
    if (!midi && !looks_like_xml(bytes)) {
        return failure(content->where + " is no music that can be read: MusicXML (.musicxml, .xml, "
                                        ".mxl) and MIDI (.mid) are.");
    }
    const auto read = midi ? parse_midi(bytes, content->where, content->midi)
                           : parse_score(std::move(bytes), content->where, content->xml);
    if (!read) {
        return tl::unexpected(read.error());
    }
    return Score(std::move(content));
}

Result<Score> Score::load(const std::filesystem::path& path) {
    auto bytes = read_small_file(path, kLargestFile_bytes);
    if (!bytes) {
        return tl::unexpected(bytes.error());
    }
    return open(std::move(*bytes), path.filename().string());
}

const std::string& Score::where() const noexcept {
    return content_->where;
}

ScoreFormat Score::format() const noexcept {
    return content_->format;
}

const std::string& Score::title() const noexcept {
    return content_->xml.title;
}

const std::vector<PartHead>& Score::parts() const noexcept {
    return content_->format == ScoreFormat::midi ? content_->midi.heads : content_->xml.heads;
}

const std::string& Score::text() const noexcept {
    return content_->xml.text;
}

const std::string& Score::archive() const noexcept {
    return content_->archive;
}

Result<Music> Score::music(std::size_t part) const {
    const PartHead& head = parts()[part];
    const std::string place = content_->where + ", part " + head.name;
    if (head.missing) {
        return failure(place + " is listed, but the file holds no music for it: export it again.");
    }
    if (content_->format == ScoreFormat::midi) {
        return midi_music(content_->midi, part, place);
    }
    auto music = read_bars(bars_of(content_->xml, head.id), place);
    if (music && part > 0 && !parts().front().missing) {
        const auto first = read_bars(bars_of(content_->xml, parts().front().id), place);
        if (first) { // what is wrong there does not concern this player
            take_system_marks(*music, *first);
        }
    }
    if (music) {
        music->sounding_pitch = music->sounding_pitch || content_->xml.sounding_pitch;
    }
    return music;
}

} // namespace bellhand::part
