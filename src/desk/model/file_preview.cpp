#include "desk/model/file_preview.h"

#include "app/file_kind.h"
#include "audio/file_feed.h"
#include "core/platform.h"
#include "drill/exercise_file.h"
#include "homework/package.h"
#include "instrument/planner/set_list.h"
#include "instrument/profile.h"
#include "part/read/score.h"
#include "report/text.h"

#include <algorithm>
#include <chrono>
#include <cmath>
#include <cstdint>
#include <cstdio>
#include <ctime>
#include <system_error>

namespace bellhand::desk {

namespace fs = std::filesystem;

namespace {

constexpr std::uintmax_t kReadAtOnce_bytes = 1'000'000; // while a choice moves over it
constexpr std::size_t kNamed = 5;                       // of many things, the first ones by name

std::string size_words(std::uintmax_t bytes) {
    char words[32];
    if (bytes < 1000) {
        std::snprintf(words, sizeof words, "%d bytes", static_cast<int>(bytes));
    } else if (bytes < 1'000'000) {
        std::snprintf(words, sizeof words, "%.0f kB", 1e-3 * static_cast<double>(bytes));
    } else {
        std::snprintf(words, sizeof words, "%.1f MB", 1e-6 * static_cast<double>(bytes));
    }
    return words;
}

std::string count_words(std::size_t count, const std::string& one, const std::string& many) {
    return std::to_string(count) + " " + (count == 1 ? one : many);
}

std::string named(const std::vector<std::string>& names) {
    std::string words;
    for (std::size_t i = 0; i < std::min(names.size(), kNamed); ++i) {
        words += (words.empty() ? "" : ", ") + names[i];
    }
    return names.size() > kNamed ? words + " and " + std::to_string(names.size() - kNamed) + " more"
                                 : words;
}

template <typename T>
bool could(const Result<T>& read, FilePreview& preview) {
    if (!read) {
        preview.lines.push_back(read.error().message);
    }
    return read.has_value();
}

void tell_homework(const fs::path& file, FilePreview& preview) {
    const auto read = homework::Package::load(file);
    if (!could(read, preview)) {
        return;
    }
    const homework::Homework& work = read->homework();
    preview.title = work.title;
    std::string people = work.teacher.empty() ? "" : "from " + work.teacher;
    people += work.student.empty() ? "" : (people.empty() ? "for " : ", for ") + work.student;
    people += work.due_on.empty() ? "" : (people.empty() ? "due " : ", due ") + work.due_on;
    if (!people.empty()) {
        preview.lines.push_back(people);
    }
    std::vector<std::string> titles;
    for (const homework::Task& task : work.tasks) {
        titles.push_back(task.exercise.title);
    }
    preview.lines.push_back(named(titles));
    if (work.returned) {
        preview.lines.push_back("given back, with " + count_words(read->takes(), "take", "takes"));
    }
}

void tell_exercises(const fs::path& file, FilePreview& preview) {
    const auto read = drill::load_exercises(file);
    if (!could(read, preview)) {
        return;
    }
    std::vector<std::string> titles;
    for (const drill::Exercise& exercise : read->exercises) {
        titles.push_back(exercise.title);
    }
    preview.title = read->title.empty() ? titles.front() : read->title;
    preview.lines.push_back(count_words(titles.size(), "exercise: ", "exercises: ") +
                            named(titles));
}

void tell_horn(const fs::path& file, FilePreview& preview) {
    const auto read = instrument::load_profile(file);
    if (!could(read, preview)) {
        return;
    }
    preview.title = read->name;
    preview.lines.push_back(count_words(read->crooks.size(), "crook", "crooks") + ", " +
                            count_words(read->couplers.size(), "coupler", "couplers") + ", " +
                            count_words(read->bits.size(), "tuning bit", "tuning bits"));
}

void tell_set_list(const fs::path& file, FilePreview& preview) {
    const auto read = instrument::load_set_list(file);
    if (!could(read, preview)) {
        return;
    }
    preview.title = read->title;
    char words[64];
    std::snprintf(words, sizeof words, "%zu numbers at A = %g", read->numbers.size(), read->a4_hz);
    preview.lines.emplace_back(words);
}

void tell_music(const fs::path& file, FilePreview& preview) {
    const auto read = part::Score::load(file);
    if (!could(read, preview)) {
        return;
    }
    if (!read->title().empty()) {
        preview.title = read->title();
    }
    std::vector<std::string> names;
    for (const part::PartHead& head : read->parts()) {
        names.push_back(head.name.empty() ? head.id : head.name);
    }
    preview.lines.push_back(count_words(names.size(), "part: ", "parts: ") + named(names));
}

void tell_sound(const fs::path& file, FilePreview& preview) {
    const auto read = audio::open_feed(file, 0);
    if (!could(read, preview)) {
        return;
    }
    const audio::FileFacts& facts = (*read)->facts();
    char rate[48];
    std::snprintf(
        rate,
        sizeof rate,
        ", %g kHz, %s",
        1e-3 * facts.sample_rate_hz,
        count_words(static_cast<std::size_t>(facts.channels), "channel", "channels").c_str());
    preview.lines.push_back(
        report::clock_text(static_cast<double>(facts.frames) / facts.sample_rate_hz) + rate);
}

struct Telling {
    const char* kind;
    void (*tell)(const fs::path&, FilePreview&);
};

Telling telling_of(app::FileKind kind) {
    switch (kind) {
    case app::FileKind::homework:
        return {"homework", tell_homework};
    case app::FileKind::exercises:
        return {"exercises", tell_exercises};
    case app::FileKind::horn_profile:
        return {"horn", tell_horn};
    case app::FileKind::set_list:
        return {"set list", tell_set_list};
    case app::FileKind::music:
        return {"music", tell_music};
    case app::FileKind::sound:
        break;
    }
    return {"sound", tell_sound};
}

FilePreview preview_of_folder(const fs::path& folder) {
    FilePreview preview;
    preview.title = folder.filename().string() + "/";
    FileBrowser inside;
    inside.begin(folder, {});
    std::vector<std::string> names;
    for (const FileRow& row : inside.rows()) {
        if (row.kind != FileRow::Kind::up) {
            names.push_back(row.words);
        }
    }
    preview.lines.push_back(!inside.problem().empty() ? inside.problem()
                            : names.empty()           ? "nothing that can be opened"
                                                      : named(names));
    return preview;
}

} // namespace

std::string changed_words(const fs::path& file) {
    std::error_code error;
    const fs::file_time_type changed = fs::last_write_time(file, error);
    if (error) {
        return {};
    }
    // The clock of files counts from a beginning of its own.
    const auto ago = fs::file_time_type::clock::now() - changed;
    const auto moment = std::chrono::system_clock::now() -
                        std::chrono::duration_cast<std::chrono::system_clock::duration>(ago);
    const std::tm local = platform::local_time(std::chrono::system_clock::to_time_t(moment));
    char words[32];
    return std::strftime(words, sizeof words, "%Y-%m-%d %H:%M", &local) > 0 ? words : "";
}

FilePreview preview_of(const FileRow& row) {
    if (row.kind == FileRow::Kind::up) {
        return {};
    }
    if (row.kind == FileRow::Kind::folder) {
        return preview_of_folder(row.path);
    }
    FilePreview preview;
    preview.title = row.path.filename().string();
    std::error_code error;
    const std::uintmax_t bytes = fs::file_size(row.path, error);
    const auto kind = app::kind_of(row.path);
    if (error || !kind) {
        preview.lines.push_back(kind ? error.message() : kind.error().message);
        return preview;
    }
    const Telling telling = telling_of(*kind);
    preview.lines.push_back(std::string(telling.kind) + ", " + size_words(bytes) + ", changed " +
                            changed_words(row.path));
    // Of sound only the head is read, however long it is.
    if (bytes <= kReadAtOnce_bytes || *kind == app::FileKind::sound) {
        telling.tell(row.path, preview);
    }
    return preview;
}

} // namespace bellhand::desk
