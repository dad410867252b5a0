#pragma once

#include "core/result.h"

#include <cstdio>
#include <memory>
#include <optional>
#include <string>

namespace bellhand::cli {

/// Buffered rows to standard output or to a file. A failed write is remembered and told once, at `close`.
class CsvFile {
public:
    /// Empty `path`: standard output. Errors: the file cannot be made.
    [[nodiscard]] static Result<std::unique_ptr<CsvFile>>
    open(const std::optional<std::string>& path);
    ~CsvFile();
    CsvFile(const CsvFile&) = delete;
    CsvFile& operator=(const CsvFile&) = delete;

    [[nodiscard]] std::string& buffer() noexcept { return buffer_; }
    void flush_when_long();
    /// Errors: something could not be written (disk full).
    [[nodiscard]] Result<void> close();

private:
    CsvFile(std::FILE* file, std::string name) : file_(file), name_(std::move(name)) {}

    std::FILE* file_;
    std::string name_; ///< empty for standard output
    std::string buffer_;
};

} // namespace bellhand::cli
