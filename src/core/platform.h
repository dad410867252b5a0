#pragma once

#include <cstddef>
#include <cstdint>
#include <ctime>
#include <filesystem>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

/// What the operating system is asked beyond the standard library; one source file answers on each system, and nothing
/// else in the program knows which it is. Nothing here throws; what fails is told by `reason()`.
namespace bellhand::platform {

/// Why the last call on this thread failed, in the system's words.
[[nodiscard]] std::string reason();

/// What a program does first: what it prints leaves as it stands and is shown as UTF-8, and it may sleep as shortly as it
/// asks.
void begin_program();

/// A path from text in UTF-8, as typed and as kept in files. Text goes into paths by this alone: not every system's paths
/// are bytes. Back it comes by `path.string()`, which is UTF-8 on all of them.
[[nodiscard]] std::filesystem::path path_of(std::string_view utf8);

/// The file of the program that runs; empty when the system does not tell.
[[nodiscard]] std::filesystem::path program_file();
/// Folders of this user: for settings, for what the program keeps (the log), and for documents to be seen and sent.
[[nodiscard]] std::filesystem::path settings_folder();
[[nodiscard]] std::filesystem::path data_folder();
[[nodiscard]] std::filesystem::path documents_folder();
/// Shows a folder in the system's own program for files. False: there is none that could.
[[nodiscard]] bool show_folder(const std::filesystem::path& folder);
/// Where fonts lie, this user's first; not all of them need be there.
[[nodiscard]] std::vector<std::filesystem::path> font_folders();
/// Whether shortcuts go by the Command key instead of Control.
[[nodiscard]] bool command_key() noexcept;
/// A number that no other running program has.
[[nodiscard]] unsigned long process_number() noexcept;

/// The player's clock and the world's, from seconds since 1970-01-01 UTC, and back.
[[nodiscard]] std::tm local_time(std::int64_t unix_s) noexcept;
[[nodiscard]] std::tm utc_time(std::int64_t unix_s) noexcept;
[[nodiscard]] std::int64_t utc_seconds(std::tm utc) noexcept;

/// A file read and written at places. Closed at the end of its life; never inherited by another program.
class File {
public:
    enum class Use {
        create,  ///< must not be there yet
        replace, ///< made, or emptied
        change   ///< must be there; a link is not followed
    };
    /// Empty when it cannot be opened; `missing` then says whether there is no such file.
    [[nodiscard]] static std::optional<File>
    open(const std::filesystem::path& path, Use use, bool* missing = nullptr);
    /// A new file beside `path`, under a name that nothing had.
    [[nodiscard]] static std::optional<File> open_beside(const std::filesystem::path& path);

    File(File&& other) noexcept;
    File& operator=(File&& other) noexcept;
    File(const File&) = delete;
    File& operator=(const File&) = delete;
    ~File();

    /// Bytes read or written; fewer than asked at the end, on a full disk or on an error.
    [[nodiscard]] std::size_t read_at(std::span<unsigned char> bytes, std::uint64_t place) const;
    [[nodiscard]] std::size_t write_at(std::span<const unsigned char> bytes, std::uint64_t place);
    /// What was written is on the disk.
    [[nodiscard]] bool flush();
    [[nodiscard]] std::optional<std::uint64_t> size() const;
    /// Whether this program alone may use it until it is closed; false when another one does.
    [[nodiscard]] bool lock();
    /// Whether it still stands under a name.
    [[nodiscard]] bool named() const;
    [[nodiscard]] const std::filesystem::path& path() const noexcept { return path_; }
    /// For libraries that want the system's number of an open file.
    [[nodiscard]] int number() const noexcept { return number_; }
    /// False when what was written may not have arrived.
    [[nodiscard]] bool close();

private:
    File(int number, std::filesystem::path path) : number_(number), path_(std::move(path)) {}

    int number_ = -1;
    std::filesystem::path path_;
};

/// Puts `from` in the place of `to` in one step, both in one folder, and the folder onto the disk. A crash leaves the
/// one or the other.
[[nodiscard]] bool replace_file(const std::filesystem::path& from, const std::filesystem::path& to);
/// A file or a folder, no link, that this user made: in folders for everybody nothing else is taken for ours.
[[nodiscard]] bool is_own(const std::filesystem::path& path) noexcept;
/// Removes a file, open or not; silent when it is not there.
void remove_file(const std::filesystem::path& path) noexcept;

/// While it lives, the standard error output leads nowhere: PortAudio and the libraries under it write there what they
/// tried, which would spoil a command's output.
class QuietErrors {
public:
    QuietErrors() noexcept;
    ~QuietErrors();
    QuietErrors(const QuietErrors&) = delete;
    QuietErrors& operator=(const QuietErrors&) = delete;

private:
    int saved_ = -1;
};

} // namespace bellhand::platform
