#include "takes/journal.h"

#include "core/files.h"
#include "core/platform.h"
#include "datafile/json_fields.h"
#include "datafile/json_text.h"

#include <algorithm>
#include <array>
#include <utility>

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
                               {"root", head.session.footing.root},
                               {"anchor", head.session.footing.anchor},
                               {"enharmonic", head.session.footing.enharmonic},
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
                          "root",
                          "anchor",
                          "enharmonic",
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
    head.session.footing = {top.text("root"), top.text("anchor"), top.text("enharmonic")};
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

tl::unexpected<Error> cannot_record(const fs::path& path) {
    return failure("The take cannot be saved in " + path.parent_path().string() + ": " +
                   platform::reason() + "; it is kept in memory and tried again.");
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
    const fs::path path = folder / platform::path_of(name + kJournalEnding);
    std::error_code problem;
    fs::create_directories(folder, problem); // what goes wrong here shows at the next step
    auto file = platform::File::open(path, platform::File::Use::create);
    if (!file) {
        return cannot_record(path);
    }
    Journal journal(std::move(*file), path);
    static_cast<void>(journal.file_.lock()); // nobody else can have it yet
    if (auto written = journal.set_head(head); !written) {
        journal.remove();
        return tl::unexpected(written.error());
    }
    return journal;
}

Result<std::optional<Journal>> Journal::open_abandoned(const fs::path& path) {
    bool missing = false;
    auto file = platform::File::open(path, platform::File::Use::change, &missing);
    if (!file) {
        if (missing) {
            return std::optional<Journal>();
        }
        return failure("The unfinished take " + path.string() + " cannot be opened: " +
                       platform::reason() + "; allow writing there, and it is finished.");
    }
    Journal journal(std::move(*file), path);
    const auto size = journal.file_.size();
    if (!journal.file_.lock() || !size || !journal.file_.named()) {
        return std::optional<Journal>();
    }
    if (*size < kHeadBytes) {
        journal.remove(); // killed before the first sample
        return std::optional<Journal>();
    }
    std::string text(kHeadBytes, '\0');
    if (journal.file_.read_at({reinterpret_cast<unsigned char*>(text.data()), kHeadBytes}, 0) !=
        kHeadBytes) {
        return failure("The unfinished take " + path.string() +
                       " cannot be read: " + platform::reason() + ".");
    }
    auto head = parse_head(text, path.string());
    if (!head) {
        return tl::unexpected(head.error());
    }
    journal.head_ = std::move(*head);
    journal.samples_ = (*size - kHeadBytes) / kSampleBytes;
    return std::optional<Journal>(std::move(journal));
}

Result<void> Journal::set_head(const JournalHead& head) {
    const std::string text = head_text(head);
    if (file_.write_at({reinterpret_cast<const unsigned char*>(text.data()), text.size()}, 0) !=
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
        const std::size_t written = file_.write_at({bytes.data(), count * kSampleBytes},
                                                   kHeadBytes + samples_ * kSampleBytes);
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
        if (file_.read_at({bytes.data(), count * kSampleBytes},
                          kHeadBytes + first * kSampleBytes) != count * kSampleBytes) {
            return failure("The unfinished take " + path_.string() +
                           " cannot be read: " + platform::reason() + ".");
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
    return path_.parent_path() / platform::path_of(take_name());
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
    static_cast<void>(file_.close()); // not every system removes what is open
    platform::remove_file(path_);
}

} // namespace bellhand::takes
