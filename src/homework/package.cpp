#include "homework/package.h"

#include "core/files.h"
#include "homework/flac_head.h"

#include <cstdio>

namespace bellhand::homework {

namespace {

constexpr const char* kHomework = "homework.json";
constexpr const char* kProfile = "profile.json";
constexpr std::size_t kFlacHead_bytes = 64;

} // namespace

std::string take_name(std::size_t take) {
    char name[32];
    std::snprintf(name, sizeof name, "take-%02zu.flac", take + 1);
    return name;
}

Result<Package> Package::parse(std::string bytes, const std::string& where) {
    auto archive =
        datafile::Archive::open(std::move(bytes),
                                where,
                                {.most_entries = kMostTakes + 2,
                                 .largest_entry_bytes = kLargestTake_bytes,
                                 .largest_sum_bytes = kLargestFile_bytes + kLargestJson_bytes});
    if (!archive) {
        return tl::unexpected(archive.error());
    }
    const auto text = archive->read(kHomework, kLargestJson_bytes);
    if (!text) {
        return tl::unexpected(text.error());
    }
    auto homework = parse_homework(*text, where + ", homework.json");
    if (!homework) {
        return tl::unexpected(homework.error());
    }
    Package package(std::move(*homework));
    std::size_t known = 1;
    if (archive->has(kProfile)) {
        const auto profile_text = archive->read(kProfile, instrument::kLargestProfile_bytes);
        if (!profile_text) {
            return tl::unexpected(profile_text.error());
        }
        auto profile = instrument::parse_profile(*profile_text, where + ", profile.json");
        if (!profile) {
            return tl::unexpected(profile.error());
        }
        if (!package.homework_.returned) {
            return failure(where +
                           " holds a profile, but nothing was returned in it: ask for it again.");
        }
        package.homework_.returned->profile = std::move(*profile);
        ++known;
    }
    const std::size_t takes =
        package.homework_.returned ? package.homework_.returned->takes.size() : 0;
    for (std::size_t i = 0; i < takes; ++i) {
        const std::string name = take_name(i);
        if (!archive->has(name)) {
            return failure(where + " lacks " + name + ", which it tells of: ask for it again.");
        }
        const auto start = archive->read_start(name, kFlacHead_bytes);
        if (!start) {
            return tl::unexpected(start.error());
        }
        const auto head = read_flac_head(*start, where + ", " + name);
        if (!head) {
            return tl::unexpected(head.error());
        }
        // What the file says in words must not be longer than the sound: places in it are jumped to.
        package.homework_.returned->takes[i].duration_s =
            static_cast<double>(head->samples) / static_cast<double>(head->rate_hz);
        ++known;
    }
    if (known != archive->names().size()) {
        return failure(where + " holds a file that belongs to no homework: ask for it again.");
    }
    package.archive_ = std::make_shared<const datafile::Archive>(std::move(*archive));
    package.archived_ = takes;
    return package;
}

Result<Package> Package::load(const std::filesystem::path& path) {
    auto bytes = read_small_file(path, kLargestFile_bytes);
    if (!bytes) {
        return tl::unexpected(bytes.error());
    }
    return parse(std::move(*bytes), path.string());
}

std::size_t Package::takes() const noexcept {
    return archived_ + added_.size();
}

Result<std::string> Package::sound(std::size_t take) const {
    if (take >= takes()) {
        return usage_error("There is no take " + std::to_string(take + 1) + "; the file holds " +
                           std::to_string(takes()) + ".");
    }
    if (take >= archived_) {
        return added_[take - archived_];
    }
    return archive_->read(take_name(take), kLargestTake_bytes);
}

Result<void> Package::add_take(const Take& take, std::string flac) {
    if (takes() >= kMostTakes) {
        return usage_error("A homework file holds at most " + std::to_string(kMostTakes) +
                           " takes: choose fewer.");
    }
    if (flac.size() > kLargestTake_bytes) {
        return usage_error("The take \"" + take.why + "\" is too long for a homework file (" +
                           std::to_string(flac.size() / 1'000'000) + " MB): choose a shorter one.");
    }
    if (const auto head = read_flac_head(flac, "The take \"" + take.why + "\""); !head) {
        return tl::unexpected(head.error());
    }
    if (!homework_.returned) {
        homework_.returned.emplace();
    }
    homework_.returned->takes.push_back(take);
    added_.push_back(std::move(flac));
    return {};
}

Result<std::string> Package::bytes() const {
    std::vector<datafile::ArchiveEntry> entries{{kHomework, homework_text(homework_), true}};
    if (homework_.returned && homework_.returned->profile) {
        entries.push_back({kProfile, instrument::profile_text(*homework_.returned->profile), true});
    }
    for (std::size_t i = 0; i < takes(); ++i) {
        auto flac = sound(i);
        if (!flac) {
            return tl::unexpected(flac.error());
        }
        entries.push_back({take_name(i), std::move(*flac), false});
    }
    auto bytes = datafile::archive_bytes(entries);
    if (bytes && bytes->size() > kLargestFile_bytes) {
        return failure("The homework file would have " + std::to_string(bytes->size() / 1'000'000) +
                       " MB; at most " + std::to_string(kLargestFile_bytes / 1'000'000) +
                       " can be opened again: choose fewer takes.");
    }
    return bytes;
}

Result<void> Package::save(const std::filesystem::path& path) const {
    const auto contents = bytes();
    if (!contents) {
        return tl::unexpected(contents.error());
    }
    if (const auto again = parse(*contents, path.string()); !again) {
        return usage_error(again.error().message);
    }
    return write_file_in_one_step(path, *contents);
}

} // namespace bellhand::homework
