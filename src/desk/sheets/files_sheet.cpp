#include "desk/sheets/files_sheet.h"

#include "core/files.h"
#include "core/platform.h"
#include "desk/typing.h"

#include <algorithm>
#include <sstream>
#include <system_error>
#include <utility>

namespace bellhand::desk {

namespace {

constexpr std::size_t kLongestList = 65536;

} // namespace

FilesSheet::FilesSheet(std::filesystem::path folder, std::filesystem::path list)
    : folder_(std::move(folder)), list_(std::move(list)) {
    if (list_.empty()) {
        return;
    }
    const auto text = read_small_file(list_, kLongestList);
    std::istringstream lines(text.value_or(std::string()));
    for (std::string line; recent_.size() < kRecent && std::getline(lines, line);) {
        if (!line.empty()) {
            recent_.push_back(platform::path_of(line));
        }
    }
}

void FilesSheet::remember(const std::filesystem::path& file) {
    std::error_code unknown;
    const std::filesystem::path whole = std::filesystem::absolute(file, unknown).lexically_normal();
    std::erase(recent_, whole);
    recent_.insert(recent_.begin(), whole);
    if (recent_.size() > kRecent) {
        recent_.resize(kRecent);
    }
    if (!list_.empty()) {
        std::string lines;
        for (const std::filesystem::path& each : recent_) {
            lines += each.string() + "\n";
        }
        // A list that cannot be kept is no loss to speak of.
        if (make_folder(list_.parent_path())) {
            (void)write_file_in_one_step(list_, lines);
        }
    }
}

void FilesSheet::enter() {
    previewed_.clear(); // it may have changed
    browser_.begin(recent_.empty() ? folder_ : recent_.front().parent_path(), recent_);
    for (const char letter : std::exchange(first_, {})) {
        browser_.type(std::string(1, letter));
    }
    select(0);
}

const FilePreview& FilesSheet::preview() {
    const auto row = static_cast<std::size_t>(selected());
    if (row >= browser_.rows().size()) {
        previewed_.clear();
        preview_ = {};
    } else if (browser_.rows()[row].path != previewed_) {
        previewed_ = browser_.rows()[row].path;
        preview_ = preview_of(browser_.rows()[row]);
    }
    return preview_;
}

void FilesSheet::write(const Press& press) {
    if (press.character >= U' ') {
        std::string letter;
        append_utf8(letter, press.character);
        browser_.type(letter);
        select(0);
    }
}

void FilesSheet::accept() {
    const auto row = static_cast<std::size_t>(selected());
    if (browser_.enter(row)) {
        select(0);
        return;
    }
    if (row < browser_.rows().size()) {
        wishes_.file = browser_.rows()[row].path;
    } else if (!browser_.typed().empty() &&
               !browser_
                    .astray()) { // another name than ours: what opens it says what is wrong with it
        wishes_.file = browser_.folder() / platform::path_of(browser_.typed());
    }
}

KeyTable FilesSheet::keys() {
    KeyTable table{on(Key::enter, "open", [this] { accept(); }),
                   rows_line(),
                   on(Key::backspace,
                      "back, or the folder above",
                      [this] {
                          browser_.back();
                          select(0);
                      }),
                   on(Key::tab,
                      "complete the name",
                      [this] {
                          browser_.complete();
                          select(0);
                      }),
                   close_line()};
    table[2].held = true;
    return table;
}

} // namespace bellhand::desk
