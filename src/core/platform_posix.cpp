// POSIX.1-2008, with flock of 4.4BSD.
#include "core/platform.h"
#include "core/platform_home.h"

#include <cerrno>
#include <cstdio>
#include <cstdlib>
#include <cstring>
#include <utility>

#include <fcntl.h>
#include <sys/file.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <unistd.h>

namespace bellhand::platform {

namespace {

namespace fs = std::filesystem;

constexpr mode_t kReadByAll = 0644;

/// As many as the call takes in steps, which a signal may interrupt.
template <typename Step>
std::size_t all_of(std::size_t count, const Step& step) {
    std::size_t done = 0;
    while (done < count) {
        const ssize_t moved = step(done);
        if (moved < 0 && errno == EINTR) {
            continue;
        }
        if (moved <= 0) {
            break;
        }
        done += static_cast<std::size_t>(moved);
    }
    return done;
}

} // namespace

std::string reason() {
    return std::strerror(errno);
}

void begin_program() {} // all of it is so already

fs::path path_of(std::string_view utf8) {
    return utf8;
}

fs::path home_folder() {
    const char* named = std::getenv("HOME");
    return named != nullptr ? named : "";
}

unsigned long process_number() noexcept {
    return static_cast<unsigned long>(::getpid());
}

std::tm local_time(std::int64_t unix_s) noexcept {
    const auto moment = static_cast<std::time_t>(unix_s);
    std::tm local{};
    ::localtime_r(&moment, &local);
    return local;
}

std::tm utc_time(std::int64_t unix_s) noexcept {
    const auto moment = static_cast<std::time_t>(unix_s);
    std::tm utc{};
    ::gmtime_r(&moment, &utc);
    return utc;
}

std::int64_t utc_seconds(std::tm utc) noexcept {
    return ::timegm(&utc);
}

std::optional<File> File::open(const fs::path& path, Use use, bool* missing) {
    const int how = use == Use::create    ? O_CREAT | O_EXCL
                    : use == Use::replace ? O_CREAT | O_TRUNC
                                          : O_NOFOLLOW;
    const int number = ::open(path.c_str(), O_RDWR | O_CLOEXEC | how, kReadByAll);
    if (missing != nullptr) {
        *missing = number < 0 && errno == ENOENT;
    }
    return number < 0 ? std::nullopt : std::optional<File>(File(number, path));
}

std::optional<File> File::open_beside(const fs::path& path) {
    std::string name = path.string() + ".XXXXXX";
    const int number = ::mkostemp(name.data(), O_CLOEXEC);
    if (number < 0) {
        return std::nullopt;
    }
    ::fchmod(number, kReadByAll);
    return File(number, name);
}

File::~File() {
    if (number_ >= 0) {
        ::close(number_);
    }
}

std::size_t File::read_at(std::span<unsigned char> bytes, std::uint64_t place) const {
    return all_of(bytes.size(), [&](std::size_t done) {
        return ::pread(
            number_, bytes.data() + done, bytes.size() - done, static_cast<off_t>(place + done));
    });
}

// NOLINTNEXTLINE(readability-make-member-function-const): the file is changed
std::size_t File::write_at(std::span<const unsigned char> bytes, std::uint64_t place) {
    return all_of(bytes.size(), [&](std::size_t done) {
        return ::pwrite(
            number_, bytes.data() + done, bytes.size() - done, static_cast<off_t>(place + done));
    });
}

// NOLINTNEXTLINE(readability-make-member-function-const): the file is changed
bool File::flush() {
    return ::fsync(number_) == 0;
}

std::optional<std::uint64_t> File::size() const {
    struct stat state {};
    if (::fstat(number_, &state) != 0) {
        return std::nullopt;
    }
    return static_cast<std::uint64_t>(state.st_size);
}

// NOLINTNEXTLINE(readability-make-member-function-const): the file is taken
bool File::lock() {
    return ::flock(number_, LOCK_EX | LOCK_NB) == 0;
}

bool File::named() const {
    struct stat state {};
    return ::fstat(number_, &state) == 0 && state.st_nlink > 0;
}

bool File::close() {
    return ::close(std::exchange(number_, -1)) == 0;
}

bool replace_file(const fs::path& from, const fs::path& to) {
    if (std::rename(from.c_str(), to.c_str()) != 0) {
        return false;
    }
    // The new name itself must reach the disk too; a file system that cannot sync folders has done what it can.
    const fs::path folder = to.has_parent_path() ? to.parent_path() : fs::path(".");
    if (const int handle = ::open(folder.c_str(), O_RDONLY | O_DIRECTORY | O_CLOEXEC);
        handle >= 0) {
        ::fsync(handle);
        ::close(handle);
    }
    return true;
}

bool is_own(const fs::path& path) noexcept {
    struct stat facts {};
    return ::lstat(path.c_str(), &facts) == 0 && facts.st_uid == ::getuid() &&
           (S_ISREG(facts.st_mode) || S_ISDIR(facts.st_mode));
}

void remove_file(const fs::path& path) noexcept {
    ::unlink(path.c_str());
}

QuietErrors::QuietErrors() noexcept {
    const int nowhere = ::open("/dev/null", O_WRONLY | O_CLOEXEC);
    if (nowhere < 0) {
        return;
    }
    saved_ = ::fcntl(STDERR_FILENO, F_DUPFD_CLOEXEC, 3);
    if (saved_ >= 0) {
        ::dup2(nowhere, STDERR_FILENO);
    }
    ::close(nowhere);
}

QuietErrors::~QuietErrors() {
    if (saved_ >= 0) {
        ::dup2(saved_, STDERR_FILENO);
        ::close(saved_);
    }
}

bool show_folder(const std::filesystem::path& folder) {
    const std::string name = folder.string();
    const pid_t child = ::fork();
    if (child == 0) { // a shell, which does not wait for what it starts
        ::execlp("sh",
                 "sh",
                 "-c",
                 "for one in xdg-open open; do command -v $one >/dev/null && "
                 "{ $one \"$0\" >/dev/null 2>&1 & exit 0; }; done; exit 1",
                 name.c_str(),
                 nullptr);
        ::_exit(1);
    }
    int code = 0;
    return child > 0 && ::waitpid(child, &code, 0) == child && code == 0;
}

} // namespace bellhand::platform
