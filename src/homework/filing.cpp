#include "homework/filing.h"

#include "core/files.h"
#include "core/platform.h"
#include "homework/teacher.h"

#include <algorithm>
#include <system_error>

namespace bellhand::homework {

namespace {

namespace fs = std::filesystem;

/// Newest first is largest first: dates and times in ISO 8601.
std::string moment_of(const Filed& filed) {
    return filed.homework.returned ? filed.homework.returned->returned_at
                                   : filed.homework.written_on;
}

/// Whether both hold the same answer, whatever was said of it since.
bool same_answer(Homework a, Homework b) {
    a.comments.clear();
    b.comments.clear();
    return homework_text(a) == homework_text(b);
}

} // namespace

fs::path set_folder(const fs::path& log) {
    return log.parent_path() / platform::path_of(log.stem().string() + "-homework") / "set";
}

fs::path returned_folder(const fs::path& log) {
    return log.parent_path() / platform::path_of(log.stem().string() + "-homework") / "returned";
}

std::vector<Filed> files_in(const fs::path& folder) {
    std::vector<Filed> files;
    std::error_code error;
    for (fs::directory_iterator entry(folder, error); !error && entry != fs::directory_iterator();
         entry.increment(error)) {
        if (entry->path().extension() != kEnding) {
            continue;
        }
        Filed filed;
        filed.file = entry->path();
        auto package = Package::load(filed.file);
        if (package) {
            filed.homework = std::move(package->homework());
        } else {
            filed.problem = package.error().message;
        }
        files.push_back(std::move(filed));
    }
    std::sort(files.begin(), files.end(), [](const Filed& a, const Filed& b) {
        if (a.problem.empty() != b.problem.empty()) {
            return a.problem.empty();
        }
        const std::string at = moment_of(a);
        const std::string other = moment_of(b);
        return at != other ? at > other : a.file < b.file;
    });
    return files;
}

Result<fs::path> file_set(Homework homework, const fs::path& folder, const std::string& today) {
    if (homework.written_on.empty()) {
        homework.written_on = today;
    }
    if (homework.id.empty()) {
        homework.id = make_id(homework);
    }
    if (const auto wrong = problems(homework); !wrong.empty()) {
        return usage_error(wrong.front());
    }
    if (auto made = make_folder(folder); !made) {
        return tl::unexpected(made.error());
    }
    const fs::path file = folder / platform::path_of(homework.id + kEnding);
    if (auto saved = Package(std::move(homework)).save(file); !saved) {
        return tl::unexpected(saved.error());
    }
    return file;
}

Result<fs::path> file_returned(const Package& package, const fs::path& folder) {
    const Homework& homework = package.homework();
    if (!homework.returned) {
        return usage_error("Nothing was returned in the homework \"" + homework.title + "\".");
    }
    if (auto made = make_folder(folder); !made) {
        return tl::unexpected(made.error());
    }
    // Pupils of a class send the same homework back: each has a file of its own.
    for (int number = 1;; ++number) {
        const fs::path file =
            folder / platform::path_of(homework.id + "-returned" +
                                       (number == 1 ? "" : "-" + std::to_string(number)) + kEnding);
        std::error_code ignored;
        if (!fs::exists(file, ignored)) {
            if (auto saved = package.save(file); !saved) {
                return tl::unexpected(saved.error());
            }
            return file;
        }
        const auto there = Package::load(file);
        if (there && same_answer(there->homework(), homework)) {
            return file;
        }
    }
}

fs::path draft_file(const fs::path& folder) {
    return folder / "draft.json";
}

Result<std::optional<Homework>> load_draft(const fs::path& folder) {
    const fs::path file = draft_file(folder);
    std::error_code ignored;
    if (!fs::exists(file, ignored)) {
        return std::optional<Homework>();
    }
    const auto text = read_small_file(file, kLargestJson_bytes);
    if (!text) {
        return tl::unexpected(text.error());
    }
    auto draft = parse_draft(*text, file.string());
    if (!draft) {
        return tl::unexpected(draft.error());
    }
    return std::optional(std::move(*draft));
}

Result<void> keep_draft(const std::optional<Homework>& draft, const fs::path& folder) {
    const fs::path file = draft_file(folder);
    if (!draft) {
        std::error_code cannot;
        fs::remove(file, cannot);
        return cannot ? failure(file.string() + " cannot be removed: " + cannot.message() + ".")
                      : Result<void>{};
    }
    if (auto made = make_folder(folder); !made) {
        return made;
    }
    return write_file_in_one_step(file, homework_text(*draft));
}

} // namespace bellhand::homework
