#include "cli/csv_file.h"

#include <cerrno>
#include <cstring>

namespace bellhand::cli {

namespace {

constexpr std::size_t kLong = 65536;

}

Result<std::unique_ptr<CsvFile>> CsvFile::open(const std::optional<std::string>& path) {
    if (!path) {
        return std::unique_ptr<CsvFile>(new CsvFile(stdout, ""));
    }
    std::FILE* file = std::fopen(path->c_str(), "wb");
    if (file == nullptr) {
        return failure("Cannot write " + *path + ": " + std::strerror(errno) + ".");
    }
    return std::unique_ptr<CsvFile>(new CsvFile(file, *path));
}

CsvFile::~CsvFile() {
    if (file_ != nullptr && file_ != stdout) {
        std::fclose(file_);
    }
}

void CsvFile::flush_when_long() {
    if (buffer_.size() >= kLong) {
        std::fwrite(buffer_.data(), 1, buffer_.size(), file_);
        buffer_.clear();
    }
}

Result<void> CsvFile::close() {
    std::fwrite(buffer_.data(), 1, buffer_.size(), file_);
    buffer_.clear();
    bool good = std::fflush(file_) == 0 && std::ferror(file_) == 0;
    if (file_ != stdout) {
        good = std::fclose(file_) == 0 && good;
    }
    file_ = nullptr;
    if (!good) {
        return failure((name_.empty() ? std::string("The output") : name_) +
                       " could not be written completely: is the disk full?");
    }
    return {};
}

} // namespace bellhand::cli
