#include "datafile/archive.h"

#include "datafile/json_text.h"

#include <algorithm>
#include <utility>

#include <zip.h>

namespace bellhand::datafile {

namespace {

bool plain_name(std::string_view name) {
    return !name.empty() && name.size() <= 60 && name.front() != '.' &&
           name.find_first_not_of("abcdefghijklmnopqrstuvwxyz0123456789-_.") ==
               std::string_view::npos;
}

/// A file name below where it is unpacked, whoever unpacks it.
bool inner_name(std::string_view name) {
    if (name.empty() || name.size() > 200 || name.front() == '/' ||
        name.find('\\') != std::string_view::npos || name.find(':') != std::string_view::npos) {
        return false;
    }
    for (std::size_t at = 0; at <= name.size();) {
        const std::size_t end = std::min(name.find('/', at), name.size());
        if (name.substr(at, end - at) == "..") {
            return false;
        }
        at = end + 1;
    }
    return std::none_of(name.begin(), name.end(), [](char c) {
        return static_cast<unsigned char>(c) < 0x20U || c == 0x7f;
    });
}

/// A symbolic link or another special file by its Unix mode, or a folder.
bool is_special(zip_t* archive, zip_uint64_t index) {
    zip_uint8_t system = 0;
    zip_uint32_t attributes = 0;
    if (zip_file_get_external_attributes(archive, index, 0, &system, &attributes) != 0) {
        return true;
    }
    constexpr zip_uint32_t kType = 0170000U;
    constexpr zip_uint32_t kOrdinary = 0100000U;
    const zip_uint32_t type = (attributes >> 16U) & kType;
    return system == ZIP_OPSYS_UNIX && type != 0 && type != kOrdinary;
}

std::string sentence_of(zip_error_t& error) {
    std::string text = zip_error_strerror(&error);
    zip_error_fini(&error);
    return plain_line(text);
}

/// The archive in memory; nullptr, and why, when it is none.
zip_t* opened(const std::string& bytes, zip_error_t& error) {
    zip_source_t* const source = zip_source_buffer_create(bytes.data(), bytes.size(), 0, &error);
    if (source == nullptr) {
        return nullptr;
    }
    zip_t* const archive = zip_open_from_source(source, ZIP_RDONLY | ZIP_CHECKCONS, &error);
    if (archive == nullptr) {
        zip_source_free(source);
    }
    return archive;
}

/// What is wrong with the name of an entry, with how it is kept, with its sizes as they are declared: each empty when
/// nothing is. `shown`: the name as it may stand in a sentence.
std::string wrong_name(const zip_stat_t& stat, const std::string& shown, bool folders) {
    if (folders ? inner_name(stat.name) : plain_name(stat.name)) {
        return {};
    }
    return "holds a file named " + shown +
           (folders ? ", which would lie outside its own folder"
                    : ", and names with folders, capitals or odd characters are not taken");
}

std::string
wrong_kind(const zip_stat_t& stat, const std::string& shown, zip_t* archive, zip_uint64_t index) {
    if (is_special(archive, index)) {
        return "holds " + shown + ", which is a link or a folder";
    }
    if ((stat.valid & ZIP_STAT_ENCRYPTION_METHOD) != 0 && stat.encryption_method != ZIP_EM_NONE) {
        return "holds " + shown + ", which is encrypted";
    }
    if (stat.comp_method != ZIP_CM_STORE && stat.comp_method != ZIP_CM_DEFLATE) {
        return "holds " + shown + ", which is packed in an unusual way";
    }
    return {};
}

/// `left_bytes`: what the entries before it have left of the whole.
std::string wrong_size(const zip_stat_t& stat,
                       const std::string& shown,
                       const ArchiveLimits& limits,
                       std::size_t archive_bytes,
                       std::size_t left_bytes) {
    if (stat.size > limits.largest_entry_bytes || stat.comp_size > archive_bytes ||
        stat.size > left_bytes) {
        return "says that " + shown + " unpacks to " + std::to_string(stat.size) +
               " bytes, more than a " + limits.what + " needs";
    }
    if (static_cast<double>(stat.size) >
        limits.largest_ratio * static_cast<double>(stat.comp_size) + 1000.0) {
        return "says that " + shown + " grows from " + std::to_string(stat.comp_size) + " to " +
               std::to_string(stat.size) + " bytes, which no honest file does";
    }
    return {};
}

} // namespace

Result<Archive> Archive::open(std::string bytes, std::string where, const ArchiveLimits& limits) {
    Archive archive;
    archive.where_ = std::move(where);
    archive.what_ = limits.what;
    archive.bytes_ = std::make_unique<std::string>(std::move(bytes));
    zip_error_t error;
    zip_error_init(&error);
    archive.archive_ = opened(*archive.bytes_, error);
    if (archive.archive_ == nullptr) {
        return failure(archive.where_ + " is no " + archive.what_ +
                       ", or it was damaged on the way (" + sentence_of(error) +
                       "): ask for it again.");
    }
    zip_error_fini(&error);
    const auto refuse = [&](const std::string& what) {
        return failure(archive.where_ + " " + what + "; it was not opened, ask for it again.");
    };
    const zip_int64_t count = zip_get_num_entries(archive.archive_, 0);
    if (count < 1 || static_cast<std::size_t>(count) > limits.most_entries) {
        return refuse("holds " + std::to_string(count) + " files, where 1 to " +
                      std::to_string(limits.most_entries) + " are expected");
    }
    std::size_t left_bytes = limits.largest_sum_bytes;
    for (zip_int64_t i = 0; i < count; ++i) {
        zip_stat_t stat;
        zip_stat_init(&stat);
        const auto index = static_cast<zip_uint64_t>(i);
        constexpr zip_uint64_t kNeeded =
            ZIP_STAT_NAME | ZIP_STAT_SIZE | ZIP_STAT_COMP_SIZE | ZIP_STAT_COMP_METHOD;
        if (zip_stat_index(archive.archive_, index, ZIP_FL_ENC_RAW, &stat) != 0 ||
            (stat.valid & kNeeded) != kNeeded) {
            return refuse("does not say what its file " + std::to_string(i + 1) + " is");
        }
        const std::string shown =
            "\"" + plain_line(std::string_view(stat.name).substr(0, 60)) + "\"";
        std::string wrong = wrong_name(stat, shown, limits.folders);
        if (!wrong.empty()) {
            return refuse(wrong);
        }
        if (limits.folders && std::string_view(stat.name).back() == '/') {
            continue;
        }
        if (archive.has(stat.name)) {
            return refuse("holds " + shown + " twice");
        }
        wrong = wrong_kind(stat, shown, archive.archive_, index);
        if (wrong.empty()) {
            wrong = wrong_size(stat, shown, limits, archive.bytes_->size(), left_bytes);
        }
        if (!wrong.empty()) {
            return refuse(wrong);
        }
        left_bytes -= static_cast<std::size_t>(stat.size);
        archive.names_.emplace_back(stat.name);
        archive.places_.push_back(static_cast<std::size_t>(i));
        archive.sizes_.push_back(static_cast<std::size_t>(stat.size));
    }
    return archive;
}

Archive::~Archive() {
    if (archive_ != nullptr) {
        zip_discard(archive_);
    }
}

Archive::Archive(Archive&& other) noexcept
    : where_(std::move(other.where_)),
      what_(std::move(other.what_)),
      bytes_(std::move(other.bytes_)),
      archive_(std::exchange(other.archive_, nullptr)),
      names_(std::move(other.names_)),
      sizes_(std::move(other.sizes_)),
      places_(std::move(other.places_)) {}

Archive& Archive::operator=(Archive&& other) noexcept {
    std::swap(where_, other.where_);
    std::swap(what_, other.what_);
    std::swap(bytes_, other.bytes_);
    std::swap(archive_, other.archive_);
    std::swap(names_, other.names_);
    std::swap(sizes_, other.sizes_);
    std::swap(places_, other.places_);
    return *this;
}

bool Archive::has(std::string_view name) const noexcept {
    return std::find(names_.begin(), names_.end(), name) != names_.end();
}

std::size_t Archive::size_of(std::string_view name) const noexcept {
    const auto found = std::find(names_.begin(), names_.end(), name);
    return found == names_.end() ? 0 : sizes_[static_cast<std::size_t>(found - names_.begin())];
}

Result<std::string> Archive::read(std::string_view name, std::size_t largest_bytes) const {
    if (!has(name)) {
        return failure(where_ + " lacks \"" + std::string(name) + "\": it is no whole " + what_ +
                       ", ask for it again.");
    }
    const std::size_t size = size_of(name);
    if (size > largest_bytes) {
        return failure(where_ + " holds \"" + std::string(name) + "\" with " +
                       std::to_string(size) + " bytes; at most " + std::to_string(largest_bytes) +
                       " are read.");
    }
    return read_bytes(name, size, true);
}

Result<std::string> Archive::read_start(std::string_view name, std::size_t bytes) const {
    return read_bytes(name, std::min(bytes, size_of(name)), false);
}

Result<std::string>
Archive::read_bytes(std::string_view name, std::size_t bytes, bool whole) const {
    const auto found = std::find(names_.begin(), names_.end(), name);
    const auto damaged = [&] {
        return failure(where_ + " is damaged inside \"" + std::string(name) +
                       "\": ask for it again.");
    };
    zip_file_t* const file =
        found == names_.end()
            ? nullptr
            : zip_fopen_index(
                  archive_, places_[static_cast<std::size_t>(found - names_.begin())], 0);
    if (file == nullptr) {
        return damaged();
    }
    std::string text(bytes, '\0');
    std::size_t done = 0;
    while (done < bytes) {
        const zip_int64_t got = zip_fread(file, text.data() + done, bytes - done);
        if (got <= 0) {
            break;
        }
        done += static_cast<std::size_t>(got);
    }
    // The checksum is compared when the end is read; whoever declared less than there is ends here too.
    char beyond = 0;
    const bool ends = !whole || zip_fread(file, &beyond, 1) == 0;
    const bool closed = zip_fclose(file) == 0;
    if (done != bytes || !ends || (whole && !closed)) {
        return damaged();
    }
    return text;
}

namespace {

/// A library's reference to an archive being written, and to the memory it goes to.
struct Writing {
    zip_source_t* memory = nullptr;
    zip_t* archive = nullptr;
    Writing() = default;
    Writing(const Writing&) = delete;
    Writing& operator=(const Writing&) = delete;
    ~Writing() {
        if (archive != nullptr) {
            zip_discard(archive);
        }
        if (memory != nullptr) {
            zip_source_free(memory);
        }
    }
};

bool add(zip_t* archive, const ArchiveEntry& entry) {
    zip_source_t* const source =
        zip_source_buffer(archive, entry.bytes.data(), entry.bytes.size(), 0);
    if (source == nullptr) {
        return false;
    }
    const zip_int64_t index = zip_file_add(archive, entry.name.c_str(), source, 0);
    if (index < 0) {
        zip_source_free(source);
        return false;
    }
    const auto place = static_cast<zip_uint64_t>(index);
    constexpr zip_uint16_t kFirstDay = (1U << 5U) | 1U; // 1980-01-01, the oldest there is
    constexpr zip_uint32_t kOrdinaryFile = 0100644U;
    return zip_file_set_dostime(archive, place, 0, kFirstDay, 0) == 0 &&
           zip_file_set_external_attributes(
               archive, place, 0, ZIP_OPSYS_UNIX, kOrdinaryFile << 16U) == 0 &&
           zip_set_file_compression(
               archive, place, entry.pack ? ZIP_CM_DEFLATE : ZIP_CM_STORE, 0) == 0;
}

} // namespace

Result<std::string> archive_bytes(const std::vector<ArchiveEntry>& entries) {
    zip_error_t error;
    zip_error_init(&error);
    Writing writing;
    writing.memory = zip_source_buffer_create(nullptr, 0, 0, &error);
    if (writing.memory != nullptr) {
        zip_source_keep(writing.memory); // the archive takes one reference, we read with the other
        writing.archive = zip_open_from_source(writing.memory, ZIP_TRUNCATE, &error);
        if (writing.archive == nullptr) {
            zip_source_free(writing.memory);
        }
    }
    bool good = writing.archive != nullptr;
    for (const ArchiveEntry& entry : entries) {
        good = good && add(writing.archive, entry);
    }
    if (good && zip_close(writing.archive) == 0) {
        writing.archive = nullptr;
    } else {
        good = false;
    }
    zip_stat_t stat;
    zip_stat_init(&stat);
    std::string bytes;
    if (good && zip_source_stat(writing.memory, &stat) == 0 &&
        zip_source_open(writing.memory) == 0) {
        bytes.resize(static_cast<std::size_t>(stat.size));
        good = zip_source_read(writing.memory, bytes.data(), bytes.size()) ==
               static_cast<zip_int64_t>(bytes.size());
        zip_source_close(writing.memory);
    }
    if (!good || bytes.empty()) {
        zip_error_fini(&error);
        return failure("The archive could not be put together: is there enough memory?");
    }
    zip_error_fini(&error);
    return bytes;
}

} // namespace bellhand::datafile
