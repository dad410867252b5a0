#include "cli/log_options.h"

#include "core/platform.h"
#include "datafile/json_text.h"
#include "logbook/rescue.h"
#include "takes/entering.h"

#include <charconv>
#include <cstdio>
#include <filesystem>

namespace bellhand::cli {

Result<std::unique_ptr<logbook::Logbook>> open_log(const LogOptions& options, LogUse use) {
    const std::filesystem::path path =
        options.path ? platform::path_of(*options.path) : logbook::default_path();
    std::error_code ignored;
    if (!options.path && !std::filesystem::exists(path, ignored)) {
        return failure("The log is empty: no session has been recorded (" + path.string() + ").");
    }
    tidy(path);
    auto book = logbook::Logbook::open_for_reading(path);
    if (!book || use == LogUse::look) {
        return book;
    }
    book->reset();
    return logbook::Logbook::open(path);
}

Result<std::unique_ptr<logbook::Logbook>> open_and_tidy(const std::filesystem::path& path) {
    auto book = logbook::Logbook::open(path);
    if (!book) {
        return book;
    }
    for (const std::string& sentence : logbook::bring_back(path, **book)) {
        std::fprintf(stderr, "bellhand: %s\n", datafile::plain_line(sentence).c_str());
    }
    const takes::Recovered recovered =
        takes::finish_abandoned_takes(logbook::takes_folder(path), **book);
    for (const std::string& problem : recovered.problems) {
        std::fprintf(stderr, "bellhand: %s\n", datafile::plain_line(problem).c_str());
    }
    if (!recovered.takes.empty()) {
        std::fprintf(
            stderr,
            "bellhand: %zu %s recorded when the program ended last time; now in the log.\n",
            recovered.takes.size(),
            recovered.takes.size() == 1 ? "take was" : "takes were");
    }
    return book;
}

void tidy(const std::filesystem::path& path) {
    if (!logbook::rescued_for(path).empty()) {
        (void)open_and_tidy(path); // what is in the way says whoever opens the log next
    }
}

Result<std::int64_t> parse_session(const std::string& typed) {
    if (typed == "last") {
        return kLastSession;
    }
    std::int64_t number = 0;
    const auto [end, error] = std::from_chars(typed.data(), typed.data() + typed.size(), number);
    if (error != std::errc() || end != typed.data() + typed.size() || number < 1) {
        return usage_error("\"" + typed +
                           "\" is not a session: give its number (see: bellhand log) or \"last\".");
    }
    return number;
}

Result<std::int64_t> session_in(logbook::Logbook& log, std::int64_t number) {
    if (number != kLastSession) {
        return number;
    }
    const auto sessions = log.sessions();
    if (!sessions) {
        return tl::unexpected(sessions.error());
    }
    if (sessions->empty()) {
        return failure("There is no session in the log yet.");
    }
    return sessions->front().id;
}

} // namespace bellhand::cli
