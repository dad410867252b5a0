#pragma once

#include "core/result.h"

#include <cstdint>
#include <filesystem>
#include <optional>
#include <string>
#include <string_view>

struct sqlite3;
struct sqlite3_stmt;

namespace bellhand::logbook {

/// One prepared statement; finalised when it goes. Bind in order, then step.
class Statement {
public:
    Statement(sqlite3* database, std::string_view sql);
    ~Statement();
    Statement(const Statement&) = delete;
    Statement& operator=(const Statement&) = delete;

    Statement& bind(std::int64_t value);
    Statement& bind(double value);
    Statement& bind(std::string_view value);
    Statement& bind(std::nullopt_t);
    template <typename T>
    Statement& bind(const std::optional<T>& value) {
        return value ? bind(*value) : bind(std::nullopt);
    }

    /// SQLite's result code: SQLITE_ROW, SQLITE_DONE, or an error.
    [[nodiscard]] int step();

    [[nodiscard]] std::int64_t integer(int column) const;
    [[nodiscard]] double real(int column) const;
    [[nodiscard]] std::string text(int column) const;
    /// The same without a copy; until the next step.
    [[nodiscard]] std::string_view view(int column) const;
    [[nodiscard]] bool null(int column) const;

private:
    sqlite3_stmt* statement_ = nullptr;
    int prepared_ = 0; ///< result code of preparing or of the first bind that failed
    int next_ = 1;
};

/// An open database file.
class Database {
public:
    enum class Use { write, read };
    [[nodiscard]] static Result<Database> open(const std::filesystem::path& path, Use use);
    Database(Database&& other) noexcept;
    Database& operator=(Database&& other) noexcept;
    Database(const Database&) = delete;
    Database& operator=(const Database&) = delete;
    ~Database();

    [[nodiscard]] sqlite3* handle() const noexcept { return handle_; }
    /// Statements without results, separated by semicolons.
    [[nodiscard]] Result<void> run(std::string_view sql);
    /// What `code` means for the person who uses this file.
    [[nodiscard]] Error explain(int code) const;
    [[nodiscard]] Result<std::int64_t> number(std::string_view sql);

private:
    Database(sqlite3* handle, std::filesystem::path path)
        : handle_(handle), path_(std::move(path)) {}
    sqlite3* handle_ = nullptr;
    std::filesystem::path path_;
};

} // namespace bellhand::logbook
