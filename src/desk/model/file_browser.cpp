#include "desk/model/file_browser.h"

#include "core/platform.h"
#include "core/platform_home.h"
#include "desk/model/file_preview.h"
#include "desk/typing.h"

#include <algorithm>
#include <array>
#include <cctype>
#include <optional>
#include <string_view>
#include <system_error>
#include <utility>

namespace bellhand::desk {

namespace fs = std::filesystem;

namespace {

constexpr std::array<std::pair<std::string_view, const char*>, 16> kEndings{{
    {".wav", "sound"},
    {".flac", "sound"},
    {".ogg", "sound"},
    {".opus", "sound"},
    {".mp3", "sound"},
    {".aif", "sound"},
    {".aiff", "sound"},
    {".caf", "sound"},
    {".au", "sound"},
    {".hornwork", "homework"},
    {".json", "exercises, horn or set list"},
    {".musicxml", "music"},
    {".mxl", "music"},
    {".xml", "music"},
    {".mid", "music"},
    {".midi", "music"},
}};

std::string small_letters(std::string text) {
    std::transform(text.begin(), text.end(), text.begin(), [](unsigned char letter) {
        return static_cast<char>(std::tolower(letter));
    });
    return text;
}

const char* kind_by_name(const fs::path& file) {
    const std::string ending = small_letters(file.extension().string());
    const auto found = std::find_if(
        kEndings.begin(), kEndings.end(), [&](const auto& each) { return each.first == ending; });
    return found == kEndings.end() ? nullptr : found->second;
}

std::optional<fs::path> home() {
    fs::path folder = platform::home_folder();
    return folder.empty() ? std::nullopt : std::optional(std::move(folder));
}

} // namespace

void FileBrowser::begin(const fs::path& folder, std::vector<fs::path> recent) {
    recent_ = std::move(recent);
    show(folder);
}

/// The player knows where to look: what was opened elsewhere is in the way from now on.
void FileBrowser::go(const fs::path& folder) {
    recent_.clear();
    show(folder);
}

void FileBrowser::show(const fs::path& folder) {
    std::error_code error;
    fs::path there =
        folder.empty() ? fs::current_path(error) : fs::absolute(folder, error).lexically_normal();
    while (there.has_parent_path() && there != there.parent_path() &&
           !fs::is_directory(there, error)) {
        there = there.parent_path();
    }
    folder_ = there;
    typed_.clear();
    problem_.clear();
    all_.clear();
    if (folder_ != folder_.root_path()) {
        all_.push_back({FileRow::Kind::up, folder_.parent_path(), "..", "the folder above"});
    }
    std::vector<FileRow> files;
    std::vector<FileRow> folders;
    for (fs::directory_iterator entry(folder_, error); !error && entry != fs::directory_iterator();
         entry.increment(error)) {
        const std::string name = entry->path().filename().string();
        std::error_code unknown;
        if (name.starts_with('.')) {
            continue;
        }
        if (entry->is_directory(unknown)) {
            folders.push_back({FileRow::Kind::folder, entry->path(), name + "/", "folder"});
        } else if (const char* kind = kind_by_name(entry->path())) {
            files.push_back({FileRow::Kind::file, entry->path(), name, kind});
        }
    }
    if (error) {
        problem_ = "The folder " + folder_.string() + " cannot be read: " + error.message() + ".";
    }
    for (std::vector<FileRow>* part : {&folders, &files}) {
        std::sort(part->begin(), part->end(), [](const FileRow& a, const FileRow& b) {
            return small_letters(a.words) < small_letters(b.words);
        });
        all_.insert(all_.end(), part->begin(), part->end());
    }
    list();
}

bool FileBrowser::fits(const std::string& name) const {
    // At the beginning of the name, or of a word in it.
    const std::string in = small_letters(name);
    const std::string what = small_letters(typed_);
    for (std::size_t at = in.find(what); at != std::string::npos; at = in.find(what, at + 1)) {
        if (at == 0 || std::isalnum(static_cast<unsigned char>(in[at - 1])) == 0) {
            return true;
        }
    }
    return false;
}

bool FileBrowser::astray() const noexcept {
    return typed_.find('/') != std::string::npos;
}

void FileBrowser::list() {
    rows_.clear();
    if (astray()) {
        problem_ = "There is no folder " + typed_.substr(0, typed_.rfind('/')) + " here.";
        return;
    }
    for (const fs::path& path : recent_) {
        const std::string name = path.filename().string();
        std::error_code unknown;
        if (fits(name) && fs::is_regular_file(path, unknown)) {
            rows_.push_back({FileRow::Kind::recent,
                             path,
                             name,
                             changed_words(path) + " in " + path.parent_path().string()});
        }
    }
    for (const FileRow& row : all_) {
        if (row.kind == FileRow::Kind::up ? typed_.empty() : fits(row.words)) {
            rows_.push_back(row);
        }
    }
}

void FileBrowser::type(const std::string& utf8) {
    if (utf8 != "/") {
        typed_ += utf8;
        list();
        return;
    }
    std::error_code error;
    const std::optional<fs::path> into = typed_.empty() ? std::optional(folder_.root_path())
                                         : typed_ == "~"
                                             ? home()
                                             : std::optional(folder_ / platform::path_of(typed_));
    if (into && fs::is_directory(*into, error)) {
        go(*into);
    } else {
        typed_ += utf8;
        list();
    }
}

void FileBrowser::back() {
    problem_.clear();
    if (typed_.empty()) {
        go(folder_.parent_path());
        return;
    }
    remove_last_character(typed_);
    list();
}

void FileBrowser::complete() {
    if (astray()) {
        return;
    }
    std::optional<std::string> common;
    for (const FileRow& row : all_) {
        if (row.kind == FileRow::Kind::up || !row.words.starts_with(typed_)) {
            continue;
        }
        if (!common) {
            common = row.words;
            continue;
        }
        const auto differ =
            std::mismatch(common->begin(), common->end(), row.words.begin(), row.words.end());
        common->erase(differ.first, common->end());
    }
    if (!common || common->size() <= typed_.size()) {
        return;
    }
    if (common->back() == '/') {
        common->pop_back();
        typed_ = *common;
        type("/");
        return;
    }
    typed_ = std::move(*common);
    list();
}

bool FileBrowser::enter(std::size_t row) {
    if (row >= rows_.size() ||
        (rows_[row].kind != FileRow::Kind::folder && rows_[row].kind != FileRow::Kind::up)) {
        return false;
    }
    const fs::path into = rows_[row].path;
    go(into);
    return true;
}

} // namespace bellhand::desk
