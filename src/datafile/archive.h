#pragma once

#include "core/result.h"

#include <cstddef>
#include <memory>
#include <string>
#include <string_view>
#include <vector>

struct zip;

namespace bellhand::datafile {

/// What may be in an archive that is not trusted.
struct ArchiveLimits {
    const char* what = "homework file"; ///< what sentences call it
    /// Names with folders, capitals and blanks are taken too; never one that begins at the root, goes up or holds a
    /// backslash, and folders themselves are passed over.
    bool folders = false;
    std::size_t most_entries = 32;
    std::size_t largest_entry_bytes = 100'000'000;
    std::size_t largest_sum_bytes = 250'000'000;
    double largest_ratio = 100.0; ///< unpacked to packed; whole text files come to 30 or so
};

/// One file in an archive.
struct ArchiveEntry {
    std::string name;
    std::string bytes;
    bool pack = true; ///< false: stored as it is, for what is packed already
};

/// A ZIP archive from somebody else (APPNOTE.TXT 6.3), read from memory. When it opens, every name is there once and,
/// unless the limits say otherwise, a bare file name of small letters, digits, "-", "_" and "."; no entry is a link, a
/// folder or encrypted, and sizes and ratios as they are declared lie within the limits; `read` never gives more than
/// was declared.
class Archive {
public:
    /// `where` names the file in errors.
    [[nodiscard]] static Result<Archive>
    open(std::string bytes, std::string where, const ArchiveLimits& limits = {});
    ~Archive();
    Archive(Archive&& other) noexcept;
    Archive& operator=(Archive&& other) noexcept;
    Archive(const Archive&) = delete;
    Archive& operator=(const Archive&) = delete;

    [[nodiscard]] const std::vector<std::string>& names() const noexcept { return names_; }
    [[nodiscard]] bool has(std::string_view name) const noexcept;
    /// Bytes of an entry as declared; 0 when it is not there.
    [[nodiscard]] std::size_t size_of(std::string_view name) const noexcept;
    /// The whole of an entry. Errors: it is not there, larger than `largest_bytes`, or damaged (CRC-32).
    [[nodiscard]] Result<std::string> read(std::string_view name, std::size_t largest_bytes) const;
    /// Only its first bytes, without the check of the whole.
    [[nodiscard]] Result<std::string> read_start(std::string_view name, std::size_t bytes) const;

private:
    Archive() = default;
    [[nodiscard]] Result<std::string>
    read_bytes(std::string_view name, std::size_t bytes, bool whole) const;

    std::string where_;
    std::string what_;
    std::unique_ptr<std::string> bytes_; ///< the library reads from here: it must not move
    zip* archive_ = nullptr;
    std::vector<std::string> names_;
    std::vector<std::size_t> sizes_;
    std::vector<std::size_t> places_; ///< in the archive, of each name
};

/// A ZIP archive of these files in this order: the same files give the same bytes (no times, no owners). Errors: memory.
[[nodiscard]] Result<std::string> archive_bytes(const std::vector<ArchiveEntry>& entries);

} // namespace bellhand::datafile
