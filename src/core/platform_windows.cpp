// Windows 10 and later. The program's manifest makes UTF-8 the code page, so that the C library's names are UTF-8 too.
#include "core/platform.h"
#include "core/platform_home.h"

#include <algorithm>
#include <array>
#include <chrono>
#include <cstdio>
#include <random>
#include <thread>
#include <utility>

#define WIN32_LEAN_AND_MEAN
#include <windows.h>
// after it
#include <fcntl.h>
#include <io.h>
#include <knownfolders.h>
#include <mmsystem.h>
#include <shellapi.h>
#include <shlobj.h>

namespace bellhand::platform {

namespace {

namespace fs = std::filesystem;

constexpr DWORD kAllShare = FILE_SHARE_READ | FILE_SHARE_WRITE | FILE_SHARE_DELETE;
// Scanners for viruses hold a new file for a moment.
constexpr int kReplaceTries = 100;
constexpr auto kReplacePause = std::chrono::milliseconds(10);

HANDLE handle_of(int number) {
    return reinterpret_cast<HANDLE>(::_get_osfhandle(number));
}

OVERLAPPED at(std::uint64_t place) {
    OVERLAPPED where{};
    where.Offset = static_cast<DWORD>(place);
    where.OffsetHigh = static_cast<DWORD>(place >> 32U);
    return where;
}

std::string utf8(std::wstring_view wide) {
    const int length = static_cast<int>(wide.size());
    const int bytes =
        ::WideCharToMultiByte(CP_UTF8, 0, wide.data(), length, nullptr, 0, nullptr, nullptr);
    std::string text(static_cast<std::size_t>(bytes), '\0');
    ::WideCharToMultiByte(CP_UTF8, 0, wide.data(), length, text.data(), bytes, nullptr, nullptr);
    return text;
}

fs::path known_folder(const KNOWNFOLDERID& which) {
    PWSTR found = nullptr;
    const bool known = ::SHGetKnownFolderPath(which, KF_FLAG_CREATE, nullptr, &found) == S_OK;
    fs::path folder = known ? fs::path(found) : fs::path();
    ::CoTaskMemFree(found);
    return folder;
}

/// Opened so that others may read, write, rename and remove it meanwhile, as is usual elsewhere; -1 on failure.
int open_number(const fs::path& path, DWORD creation, DWORD attributes) {
    const HANDLE handle = ::CreateFileW(path.c_str(),
                                        GENERIC_READ | GENERIC_WRITE,
                                        kAllShare,
                                        nullptr,
                                        creation,
                                        attributes,
                                        nullptr);
    if (handle == INVALID_HANDLE_VALUE) {
        return -1;
    }
    const int number =
        ::_open_osfhandle(reinterpret_cast<intptr_t>(handle), _O_RDWR | _O_BINARY | _O_NOINHERIT);
    if (number < 0) {
        ::CloseHandle(handle);
    }
    return number;
}

/// As many as the call takes in steps of what it can count.
template <typename Step>
std::size_t all_of(std::size_t count, const Step& step) {
    constexpr std::size_t kLargestStep = 1U << 30U;
    std::size_t done = 0;
    while (done < count) {
        DWORD moved = 0;
        if (!step(done, static_cast<DWORD>(std::min(count - done, kLargestStep)), moved) ||
            moved == 0) {
            break;
        }
        done += moved;
    }
    return done;
}

} // namespace

std::string reason() {
    const DWORD code = ::GetLastError();
    std::array<wchar_t, 512> text{};
    DWORD length = ::FormatMessageW(FORMAT_MESSAGE_FROM_SYSTEM | FORMAT_MESSAGE_IGNORE_INSERTS,
                                    nullptr,
                                    code,
                                    0,
                                    text.data(),
                                    static_cast<DWORD>(text.size()),
                                    nullptr);
    while (length > 0 && (text[length - 1] <= L' ' || text[length - 1] == L'.')) {
        --length;
    }
    return length > 0 ? utf8({text.data(), length}) : "error " + std::to_string(code);
}

void begin_program() {
    for (std::FILE* stream : {stdout, stderr}) {
        if (const int number = ::_fileno(stream); number >= 0) {
            ::_setmode(number, _O_BINARY);
        }
    }
    ::SetConsoleOutputCP(CP_UTF8);
    ::timeBeginPeriod(1); // until the program ends
}

fs::path path_of(std::string_view utf8) {
    const int length = static_cast<int>(utf8.size());
    const int wide = ::MultiByteToWideChar(CP_UTF8, 0, utf8.data(), length, nullptr, 0);
    std::wstring text(static_cast<std::size_t>(wide), L'\0');
    ::MultiByteToWideChar(CP_UTF8, 0, utf8.data(), length, text.data(), wide);
    return text;
}

fs::path program_file() {
    std::wstring path(32768, L'\0'); // the longest there is
    path.resize(::GetModuleFileNameW(nullptr, path.data(), static_cast<DWORD>(path.size())));
    return path;
}

fs::path home_folder() {
    return known_folder(FOLDERID_Profile);
}

fs::path settings_folder() {
    return known_folder(FOLDERID_RoamingAppData) / "Bellhand";
}

fs::path data_folder() {
    return known_folder(FOLDERID_LocalAppData) / "Bellhand";
}

fs::path documents_folder() {
    return known_folder(FOLDERID_Documents) / "Bellhand";
}

std::vector<fs::path> font_folders() {
    return {known_folder(FOLDERID_LocalAppData) / "Microsoft" / "Windows" / "Fonts",
            known_folder(FOLDERID_Fonts)};
}

bool command_key() noexcept {
    return false;
}

unsigned long process_number() noexcept {
    return ::GetCurrentProcessId();
}

std::tm local_time(std::int64_t unix_s) noexcept {
    const __time64_t moment = unix_s;
    std::tm local{};
    ::_localtime64_s(&local, &moment);
    return local;
}

std::tm utc_time(std::int64_t unix_s) noexcept {
    const __time64_t moment = unix_s;
    std::tm utc{};
    ::_gmtime64_s(&utc, &moment);
    return utc;
}

std::int64_t utc_seconds(std::tm utc) noexcept {
    return ::_mkgmtime64(&utc);
}

std::optional<File> File::open(const fs::path& path, Use use, bool* missing) {
    const DWORD creation = use == Use::create    ? CREATE_NEW
                           : use == Use::replace ? CREATE_ALWAYS
                                                 : OPEN_EXISTING;
    const DWORD attributes =
        FILE_ATTRIBUTE_NORMAL | (use == Use::change ? FILE_FLAG_OPEN_REPARSE_POINT : 0UL);
    const int number = open_number(path, creation, attributes);
    if (missing != nullptr) {
        *missing = number < 0 && (::GetLastError() == ERROR_FILE_NOT_FOUND ||
                                  ::GetLastError() == ERROR_PATH_NOT_FOUND);
    }
    if (number < 0) {
        return std::nullopt;
    }
    File file(number, path);
    BY_HANDLE_FILE_INFORMATION facts{};
    if (use == Use::change && ::GetFileInformationByHandle(handle_of(number), &facts) != 0 &&
        (facts.dwFileAttributes & FILE_ATTRIBUTE_REPARSE_POINT) != 0) {
        ::SetLastError(ERROR_CANT_ACCESS_FILE);
        return std::nullopt; // a link
    }
    return file;
}

std::optional<File> File::open_beside(const fs::path& path) {
    constexpr std::string_view kLetters = "abcdefghijklmnopqrstuvwxyz0123456789";
    std::random_device chance;
    for (int attempt = 0; attempt < kReplaceTries; ++attempt) {
        std::string ending = ".";
        for (int i = 0; i < 6; ++i) {
            ending += kLetters[chance() % kLetters.size()];
        }
        fs::path name = path;
        name += path_of(ending);
        if (const int number = open_number(name, CREATE_NEW, FILE_ATTRIBUTE_NORMAL); number >= 0) {
            return File(number, name);
        }
        if (::GetLastError() != ERROR_FILE_EXISTS) {
            break;
        }
    }
    return std::nullopt;
}

File::~File() {
    if (number_ >= 0) {
        ::_close(number_);
    }
}

std::size_t File::read_at(std::span<unsigned char> bytes, std::uint64_t place) const {
    return all_of(bytes.size(), [&](std::size_t done, DWORD count, DWORD& moved) {
        OVERLAPPED where = at(place + done);
        return ::ReadFile(handle_of(number_), bytes.data() + done, count, &moved, &where) != 0;
    });
}

std::size_t File::write_at(std::span<const unsigned char> bytes, std::uint64_t place) {
    return all_of(bytes.size(), [&](std::size_t done, DWORD count, DWORD& moved) {
        OVERLAPPED where = at(place + done);
        return ::WriteFile(handle_of(number_), bytes.data() + done, count, &moved, &where) != 0;
    });
}

bool File::flush() {
    return ::FlushFileBuffers(handle_of(number_)) != 0;
}

std::optional<std::uint64_t> File::size() const {
    LARGE_INTEGER bytes{};
    if (::GetFileSizeEx(handle_of(number_), &bytes) == 0) {
        return std::nullopt;
    }
    return static_cast<std::uint64_t>(bytes.QuadPart);
}

bool File::lock() {
    // A byte far behind every end, because what is locked here cannot be read by others.
    OVERLAPPED where = at(std::uint64_t{0x7FFFFFFF} << 32U);
    return ::LockFileEx(handle_of(number_),
                        LOCKFILE_EXCLUSIVE_LOCK | LOCKFILE_FAIL_IMMEDIATELY,
                        0,
                        1,
                        0,
                        &where) != 0;
}

bool File::named() const {
    FILE_STANDARD_INFO facts{};
    return ::GetFileInformationByHandleEx(
               handle_of(number_), FileStandardInfo, &facts, sizeof facts) != 0 &&
           facts.DeletePending == 0 && facts.NumberOfLinks > 0;
}

bool File::close() {
    return ::_close(std::exchange(number_, -1)) == 0;
}

bool replace_file(const fs::path& from, const fs::path& to) {
    for (int attempt = 1;; ++attempt) {
        if (::MoveFileExW(from.c_str(),
                          to.c_str(),
                          MOVEFILE_REPLACE_EXISTING | MOVEFILE_WRITE_THROUGH) != 0) {
            return true;
        }
        const DWORD code = ::GetLastError();
        if (attempt == kReplaceTries ||
            (code != ERROR_ACCESS_DENIED && code != ERROR_SHARING_VIOLATION)) {
            return false;
        }
        std::this_thread::sleep_for(kReplacePause);
    }
}

bool is_own(const fs::path& path) noexcept {
    // The folders for passing files belong to one user here; links are what remains to be refused.
    const DWORD facts = ::GetFileAttributesW(path.c_str());
    return facts != INVALID_FILE_ATTRIBUTES && (facts & FILE_ATTRIBUTE_REPARSE_POINT) == 0;
}

void remove_file(const fs::path& path) noexcept {
    ::DeleteFileW(path.c_str());
}

QuietErrors::QuietErrors() noexcept {
    const int nowhere = ::_open("NUL", _O_WRONLY | _O_NOINHERIT);
    if (nowhere < 0) {
        return;
    }
    saved_ = ::_dup(::_fileno(stderr));
    if (saved_ >= 0) {
        ::_dup2(nowhere, ::_fileno(stderr));
    }
    ::_close(nowhere);
}

QuietErrors::~QuietErrors() {
    if (saved_ >= 0) {
        ::_dup2(saved_, ::_fileno(stderr));
        ::_close(saved_);
    }
}

bool show_folder(const std::filesystem::path& folder) {
    constexpr INT_PTR kLastError = 32; // what the call answers up to this is an error's number
    const auto answer =
        ::ShellExecuteW(nullptr, L"open", folder.c_str(), nullptr, nullptr, SW_SHOWNORMAL);
    return reinterpret_cast<INT_PTR>(answer) > kLastError;
}

} // namespace bellhand::platform
