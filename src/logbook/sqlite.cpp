#include "logbook/sqlite.h"

#include <utility>

#include <sqlite3.h>

namespace bellhand::logbook {

namespace {

constexpr int kPatienceMs =
    1500; // another program's transaction may take this long before "locked" is said

std::string quoted(const std::filesystem::path& path) {
    return "\"" + path.string() + "\"";
}

/// RFC 8089, with what has a meaning of its own in a URI written as its number.
std::string file_uri(const std::filesystem::path& path) {
    std::string uri = path.has_root_name() ? "file:///" : "file:";
    for (const char c : path.generic_string()) {
        switch (c) {
        case '%':
            uri += "%25";
            break;
        case '?':
            uri += "%3f";
            break;
        case '#':
            uri += "%23";
            break;
        default:
            uri += c;
        }
    }
    return uri;
}

} // namespace

Statement::Statement(sqlite3* database, std::string_view sql) {
    prepared_ = sqlite3_prepare_v2(
        database, sql.data(), static_cast<int>(sql.size()), &statement_, nullptr);
}

Statement::~Statement() {
    sqlite3_finalize(statement_);
}

Statement& Statement::bind(std::int64_t value) {
    if (prepared_ == SQLITE_OK) {
        prepared_ = sqlite3_bind_int64(statement_, next_++, value);
    }
    return *this;
}

Statement& Statement::bind(double value) {
    if (prepared_ == SQLITE_OK) {
        prepared_ = sqlite3_bind_double(statement_, next_++, value);
    }
    return *this;
}

Statement& Statement::bind(std::string_view value) {
    if (prepared_ == SQLITE_OK) {
        prepared_ = sqlite3_bind_text(
            statement_, next_++, value.data(), static_cast<int>(value.size()), SQLITE_TRANSIENT);
    }
    return *this;
}

Statement& Statement::bind(std::nullopt_t) {
    if (prepared_ == SQLITE_OK) {
        prepared_ = sqlite3_bind_null(statement_, next_++);
    }
    return *this;
}

int Statement::step() {
    return prepared_ == SQLITE_OK ? sqlite3_step(statement_) : prepared_;
}

std::int64_t Statement::integer(int column) const {
    return sqlite3_column_int64(statement_, column);
}

double Statement::real(int column) const {
    return sqlite3_column_double(statement_, column);
}

std::string_view Statement::view(int column) const {
    const unsigned char* bytes = sqlite3_column_text(statement_, column);
    if (bytes == nullptr) {
        return {};
    }
    return {reinterpret_cast<const char*>(bytes),
            static_cast<std::size_t>(sqlite3_column_bytes(statement_, column))};
}

std::string Statement::text(int column) const {
    return std::string(view(column));
}

bool Statement::null(int column) const {
    return sqlite3_column_type(statement_, column) == SQLITE_NULL;
}

Result<Database> Database::open(const std::filesystem::path& path, Use use) {
    sqlite3* handle = nullptr;
    const int flags =
        use == Use::write ? SQLITE_OPEN_READWRITE | SQLITE_OPEN_CREATE : SQLITE_OPEN_READONLY;
    int code =
        sqlite3_open_v2(path.string().c_str(), &handle, flags | SQLITE_OPEN_NOMUTEX, nullptr);
    Database database(handle, path);
    if (code == SQLITE_OK) {
        sqlite3_extended_result_codes(handle, 1);
        sqlite3_busy_timeout(handle, kPatienceMs);
        // The first look at the file: a file that is no database shows here.
        code = Statement(handle, "SELECT count(*) FROM sqlite_schema").step();
    }
    if (use == Use::read && (code & 0xff) == SQLITE_CANTOPEN) {
        // A log in a folder that cannot be written: WAL needs its index file there unless nobody else writes.
        sqlite3_close(std::exchange(database.handle_, nullptr));
        const std::string uri = file_uri(path) + "?immutable=1";
        code = sqlite3_open_v2(
            uri.c_str(), &database.handle_, flags | SQLITE_OPEN_URI | SQLITE_OPEN_NOMUTEX, nullptr);
        if (code == SQLITE_OK) {
            code = Statement(database.handle_, "SELECT count(*) FROM sqlite_schema").step();
        }
    }
    if (code != SQLITE_ROW) {
        return tl::unexpected<Error>(database.explain(code));
    }
    if (use == Use::write && sqlite3_db_readonly(handle, "main") == 1) {
        return tl::unexpected<Error>(database.explain(SQLITE_READONLY));
    }
    return database;
}

Database::Database(Database&& other) noexcept
    : handle_(std::exchange(other.handle_, nullptr)), path_(std::move(other.path_)) {}

Database& Database::operator=(Database&& other) noexcept {
    std::swap(handle_, other.handle_);
    std::swap(path_, other.path_);
    return *this;
}

Database::~Database() {
    sqlite3_close(handle_);
}

Result<void> Database::run(std::string_view sql) {
    const int code = sqlite3_exec(handle_, std::string(sql).c_str(), nullptr, nullptr, nullptr);
    if (code != SQLITE_OK) {
        return tl::unexpected<Error>(explain(code));
    }
    return {};
}

Result<std::int64_t> Database::number(std::string_view sql) {
    Statement statement(handle_, sql);
    const int code = statement.step();
    if (code != SQLITE_ROW) {
        return tl::unexpected<Error>(explain(code));
    }
    return statement.integer(0);
}

Error Database::explain(int code) const {
    const std::string log = "the log " + quoted(path_);
    const auto sentence = [](std::string text) {
        text[0] = 'T';
        return Error{std::move(text), ErrorKind::failure};
    };
    switch (code & 0xff) {
    case SQLITE_BUSY:
    case SQLITE_LOCKED:
        return sentence(log + " is locked by another program; close that program, or choose "
                              "another file with --log.");
    case SQLITE_READONLY:
    case SQLITE_PERM:
    case SQLITE_AUTH:
        return sentence(
            log +
            " may only be read, not written; change its permissions, or choose another file with "
            "--log.");
    case SQLITE_CANTOPEN:
        return sentence(
            log +
            " cannot be opened; check that the folder exists and may be written, or choose another "
            "file with --log.");
    case SQLITE_NOTADB:
        return sentence(log + " is not a Bellhand log; choose another file with --log.");
    case SQLITE_CORRUPT:
        return sentence(
            log + " is damaged; move it away to start a new one, or put a copy back in its place.");
    case SQLITE_FULL:
        return sentence("the disk that holds the log " + quoted(path_) +
                        " is full; make room, and saving goes on.");
    default:
        return sentence(log + " cannot be used now (" + sqlite3_errmsg(handle_) +
                        "); check the disk, or choose another file with --log.");
    }
}

} // namespace bellhand::logbook
