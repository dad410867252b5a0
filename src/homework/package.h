#pragma once

#include "core/result.h"
#include "datafile/archive.h"
#include "homework/homework.h"

#include <filesystem>
#include <memory>
#include <string>
#include <vector>

namespace bellhand::homework {

/// Ending of a homework file: a ZIP archive with homework.json, profile.json and take-01.flac, take-02.flac ...
inline constexpr const char* kEnding = ".hornwork";
/// Anything larger is not read at all.
inline constexpr std::size_t kLargestFile_bytes = 200'000'000;
inline constexpr std::size_t kLargestJson_bytes = 20'000'000;
inline constexpr std::size_t kLargestTake_bytes = 60'000'000;

/// A homework with the sound of its takes, which stay packed until they are asked for.
class Package {
public:
    /// A homework without takes.
    explicit Package(Homework homework) : homework_(std::move(homework)) {}

    /// Everything is checked before anything is believed: the archive (archive.h), homework.json, profile.json, and the head
    /// of every take. `where` names it in errors.
    [[nodiscard]] static Result<Package> parse(std::string bytes, const std::string& where);
    /// The same from a file; its kind and size are looked at before its contents.
    [[nodiscard]] static Result<Package> load(const std::filesystem::path& path);

    [[nodiscard]] const Homework& homework() const noexcept { return homework_; }
    [[nodiscard]] Homework& homework() noexcept { return homework_; }
    [[nodiscard]] std::size_t takes() const noexcept;
    /// The sound of a take, from 0, as a FLAC file. Errors: no such take, damaged.
    [[nodiscard]] Result<std::string> sound(std::size_t take) const;
    /// Adds a take to `homework().returned` with its sound, a FLAC file. Errors: too many, too large, no FLAC.
    [[nodiscard]] Result<void> add_take(const Take& take, std::string flac);

    /// The whole file; the same contents give the same bytes.
    [[nodiscard]] Result<std::string> bytes() const;
    /// Replaces the file in one step: a crash leaves the old one or the new one. Errors: contents that could not be opened
    /// again, so that nothing is given away that nobody can read.
    [[nodiscard]] Result<void> save(const std::filesystem::path& path) const;

private:
    Homework homework_;
    std::shared_ptr<const datafile::Archive> archive_; ///< the first takes, as read
    std::size_t archived_ = 0;
    std::vector<std::string> added_; ///< the ones after them
};

/// "take-01.flac" for take 0.
[[nodiscard]] std::string take_name(std::size_t take);

} // namespace bellhand::homework
