#include "takes/journal.h"

#include "core/files.h"
#include "datafile/json_fields.h"
#include "datafile/json_text.h"

#include <algorithm>
#include <array>
#include <cerrno>
#include <cstring>
#include <utility>

#include <fcntl.h>
#include <sys/file.h>
#include <sys/stat.h>
#include <unistd.h>

namespace bellhand::takes {

namespace {

namespace fs = std::filesystem;

constexpr std::size_t kHeadBytes = 4096;
constexpr std::size_t kSampleBytes = 3;
constexpr const char* kFormat = "bellhand take in progress";

std::string head_text(const JournalHead& head) {
    nlohmann::ordered_json top{{"format", kFormat},
                               {"version", 1},
                               {"session", head.session.id},
                               {"session_started_at", head.session.started_at},
                               {"input", head.session.input.substr(0, 300)},
                               {"crook", head.session.crook},
                               {"a4_hz", head.session.a4_hz},
                               {"temperament", head.session.temperament},
                               {"why", head.why.substr(0, 300)},
                               {"kept", head.kept},
                               {"start_s", head.start_s},
                               {"rate_hz", head.rate_hz}};
    if (head.block) {
        top["block"] = *head.block;
    }
    std::string text = top.dump(-1, ' ', true, nlohmann::ordered_json::error_handler_t::replace);
    text.resize(kHeadBytes - 1, ' ');
    return text + "\n";
}

Result<JournalHead> parse_head(const std::string& text, const std::string& where) {
    const auto json = datafile::parse_guarded_json(text, where);
    if (!json) {
        return tl::unexpected(json.error());
    }
    datafile::FileProblem problem{where, std::nullopt};
    datafile::Fields top(*json,
                         "",
                         problem,
                         {"format",
                          "version",
                          "session",
                          "session_started_at",
                          "input",
                          "crook",
                          "a4_hz",
                          "temperament",
                          "why",
                          "kept",
                          "start_s",
                          "rate_hz",
                          "block"});
    datafile::check_head(top, kFormat, 1);
    JournalHead head;
    head.session.id = top.whole("session", 0, 2'000'000'000).value_or(0);
    head.session.started_at = top.text("session_started_at");
    head.session.input = top.text("input");
    head.session.crook = top.text("crook");
    head.session.a4_hz = top.number("a4_hz", {300.0, 600.0, "hertz"}).value_or(440.0);
    head.session.temperament = top.text("temperament");
    head.why = top.text("why");
    head.kept = top.truth("kept").value_or(false);
    head.start_s = top.number("start_s", {0.0, 1e7, "seconds"}).value_or(0.0);
    head.rate_hz = top.number("rate_hz", {1000.0, 1e6, "hertz"}).value_or(0.0);
    if (const auto block = top.whole("block", 0, 1'000'000)) {
        head.block = static_cast<std::uint32_t>(*block);
    }
    top.require("rate_hz", "the sound cannot be read without it");
    if (problem.found()) {
        return failure(*problem.sentence);
    }
    return head;
}

/// Bytes written, which are less than all when the disk is full; `errno` tells why.
std::size_t write_at(int file, const unsigned char* bytes, std::size_t count, std::size_t place) {
    std::size_t done = 0;
    while (done < count) {
        const ssize_t written =
            ::pwrite(file, bytes + done, count - done, static_cast<off_t>(place + done));
        if (written < 0 && errno == EINTR) {
            continue;
        }
        if (written <= 0) {
            break;
        }
        done += static_cast<std::size_t>(written);
    }
    return done;
}

tl::unexpected<Error> cannot_record(const fs::path& path) {
    return failure("The take cannot be saved in " + path.parent_path().string() + ": " +
                   std::strerror(errno) + "; it is kept in memory and tried again.");
}

class FromJournal final : public FlacSource {
public:
    explicit FromJournal(const Journal& journal) : journal_(journal) {}
    Result<std::size_t> next(std::span<std::int32_t> out) override {
        const auto count = journal_.read(place_, out);
        place_ += count.value_or(0);
        return count;
    }

private:
    const Journal& journal_;
    std::uint64_t place_ = 0;
};

} // namespace

Result<Journal>
Journal::create(const fs::path& folder, const std::string& name, const JournalHead& head) {
    const fs::path path = folder / (name + kJournalEnding);
    std::error_code problem;
    fs::create_directories(folder, problem); // what goes wrong here shows at the next step
    const int file = ::open(path.c_str(), O_RDWR | O_CREAT | O_EXCL | O_CLOEXEC, 0644);
    if (file < 0) {
        return cannot_record(path);
    }
    Journal journal(file, path);
    ::flock(file, LOCK_EX | LOCK_NB);
    if (auto written = journal.set_head(head); !written) {
        ::unlink(path.c_str());
        return tl::unexpected(written.error());
    }
    return journal;
}

Result<std::optional<Journal>> Journal::open_abandoned(const fs::path& path) {
    const int file = ::open(path.c_str(), O_RDWR | O_CLOEXEC | O_NOFOLLOW);
    if (file < 0) {
        if (errno == ENOENT) {
            return std::optional<Journal>();
        }
        return failure("The unfinished take " + path.string() + " cannot be opened: " +
                       std::strerror(errno) + "; allow writing there, and it is finished.");
    }
    Journal journal(file, path);
    struct stat state {};
    if (::flock(file, LOCK_EX | LOCK_NB) != 0 || ::fstat(file, &state) != 0 ||
        state.st_nlink == 0) {
        return std::optional<Journal>();
    }
    if (static_cast<std::size_t>(state.st_size) < kHeadBytes) {
        journal.remove(); // killed before the first sample
        return std::optional<Journal>();
    }
    std::string text(kHeadBytes, '\0');
    if (::pread(file, text.data(), kHeadBytes, 0) != static_cast<ssize_t>(kHeadBytes)) {
        return failure("The unfinished take " + path.string() +
                       " cannot be read: " + std::strerror(errno) + ".");
    }
    auto head = parse_head(text, path.string());
    if (!head) {
        return tl::unexpected(head.error());
    }
    journal.head_ = std::move(*head);
    journal.samples_ = (static_cast<std::uint64_t>(state.st_size) - kHeadBytes) / kSampleBytes;
    return std::optional<Journal>(std::move(journal));
}

Journal::Journal(Journal&& other) noexcept
    : file_(std::exchange(other.file_, -1)),
      path_(std::move(other.path_)),
      head_(std::move(other.head_)),
      samples_(other.samples_),
      flac_bytes_(other.flac_bytes_) {}

Journal& Journal::operator=(Journal&& other) noexcept {
    std::swap(file_, other.file_);
    std::swap(path_, other.path_);
    std::swap(head_, other.head_);
    std::swap(samples_, other.samples_);
    std::swap(flac_bytes_, other.flac_bytes_);
    return *this;
}

Journal::~Journal() {
    if (file_ >= 0) {
        ::close(file_);
    }
}

Result<void> Journal::set_head(const JournalHead& head) {
    const std::string text = head_text(head);
    if (write_at(file_, reinterpret_cast<const unsigned char*>(text.data()), text.size(), 0) !=
        text.size()) {
        return cannot_record(path_);
    }
    head_ = head;
    return {};
}

Result<void> Journal::append(std::span<const std::int32_t> samples24) {
    std::array<unsigned char, 4096 * kSampleBytes> bytes{};
    while (!samples24.empty()) {
        const std::size_t count = std::min<std::size_t>(4096, samples24.size());
        for (std::size_t i = 0; i < count; ++i) {
            const auto value = static_cast<std::uint32_t>(samples24[i]);
            bytes[kSampleBytes * i] = static_cast<unsigned char>(value & 0xFFU);
            bytes[kSampleBytes * i + 1] = static_cast<unsigned char>((value >> 8U) & 0xFFU);
            bytes[kSampleBytes * i + 2] = static_cast<unsigned char>((value >> 16U) & 0xFFU);
        }
        // A sample that was cut off by a full disk is written over by the next attempt.
        const std::size_t written = write_at(
            file_, bytes.data(), count * kSampleBytes, kHeadBytes + samples_ * kSampleBytes);
        samples_ += written / kSampleBytes;
        if (written < count * kSampleBytes) {
            return cannot_record(path_);
        }
        samples24 = samples24.subspan(count);
    }
    return {};
}

Result<std::size_t> Journal::read(std::uint64_t first, std::span<std::int32_t> out) const {
    std::size_t done = 0;
    std::array<unsigned char, 4096 * kSampleBytes> bytes{};
    while (done < out.size() && first < samples_) {
        const auto count = static_cast<std::size_t>(
            std::min<std::uint64_t>({4096, out.size() - done, samples_ - first}));
        const ssize_t got = ::pread(file_,
                                    bytes.data(),
                                    count * kSampleBytes,
                                    static_cast<off_t>(kHeadBytes + first * kSampleBytes));
        if (got != static_cast<ssize_t>(count * kSampleBytes)) {
            return failure("The unfinished take " + path_.string() +
                           " cannot be read: " + std::strerror(errno) + ".");
        }
        for (std::size_t i = 0; i < count; ++i) {
            const std::uint32_t value = bytes[kSampleBytes * i] |
                                        (std::uint32_t{bytes[kSampleBytes * i + 1]} << 8U) |
                                        (std::uint32_t{bytes[kSampleBytes * i + 2]} << 16U);
            out[done + i] = static_cast<std::int32_t>(value << 8U) / 256; // the sign comes along
        }
        done += count;
        first += count;
    }
    return done;
}

std::string Journal::take_name() const {
    return path_.stem().string() + ".flac";
}

fs::path Journal::take_path() const {
    return path_.parent_path() / take_name();
}

Result<std::int64_t> Journal::write_flac() {
    if (flac_bytes_) {
        return *flac_bytes_;
    }
    FromJournal source(*this);
    const auto bytes = takes::write_flac(take_path(), head_.rate_hz, source);
    if (bytes) {
        flac_bytes_ = *bytes;
    }
    return bytes;
}

void Journal::remove() {
    ::unlink(path_.c_str());
}

} // namespace bellhand::takes
