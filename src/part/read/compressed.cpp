#include "part/read/compressed.h"

#include "part/read/score.h"

#include <string_view>
#include <utility>

#include <pugixml.hpp>

namespace bellhand::part {

namespace {

datafile::ArchiveLimits compressed_score() {
    datafile::ArchiveLimits limits;
    limits.what = "compressed score";
    limits.folders = true;
    limits.most_entries = 200;
    limits.largest_entry_bytes = kLargestFile_bytes;
    limits.largest_sum_bytes = std::size_t{2} * kLargestFile_bytes;
    return limits;
}

bool ends_with(std::string_view name, std::string_view ending) {
    return name.size() >= ending.size() && name.substr(name.size() - ending.size()) == ending;
}

} // namespace

Result<datafile::Archive> open_compressed(std::string bytes, const std::string& where) {
    return datafile::Archive::open(std::move(bytes), where, compressed_score());
}

Result<std::string> root_name(const datafile::Archive& archive, const std::string& where) {
    constexpr std::size_t kLargestContainer = 100'000;
    if (archive.has(kContainer)) {
        const auto text = archive.read(kContainer, kLargestContainer);
        if (!text) {
            return tl::unexpected(text.error());
        }
        pugi::xml_document document;
        document.load_buffer(text->data(), text->size());
        const pugi::xml_node list = document.child("container").child("rootfiles");
        for (const pugi::xml_node file : list.children("rootfile")) {
            const std::string_view type = file.attribute("media-type").value();
            if (type.empty() || type.find("musicxml") != std::string_view::npos) {
                return std::string(file.attribute("full-path").value());
            }
        }
    }
    for (const std::string& name : archive.names()) {
        if (ends_with(name, ".musicxml") ||
            (ends_with(name, ".xml") && name.rfind("META-INF/", 0) != 0)) {
            return name;
        }
    }
    return failure(where + " is an archive without a score in it: export the part as MusicXML.");
}

} // namespace bellhand::part
