#pragma once

#include "core/result.h"
#include "part/music.h"
#include "part/read/heading.h"

#include <filesystem>
#include <memory>
#include <optional>
#include <string>
#include <vector>

namespace bellhand::part {

/// What a file with music may ask of us.
inline constexpr std::size_t kLargestFile_bytes = 40'000'000;
inline constexpr std::size_t kLargestMarkup = 2'500'000; ///< elements, each takes memory
inline constexpr std::size_t kMostBars = 50'000;
inline constexpr std::size_t kMostNotes = 200'000; ///< heads and rests of one part

enum class ScoreFormat { musicxml, midi };

/// One part as the file lists it.
struct PartHead {
    std::string id;             ///< in the file
    std::string name;           ///< for people
    bool horn = false;          ///< one of its names means horn
    std::optional<KeyName> key; ///< that its names say
    std::string key_heading;    ///< the name that says it
    bool missing = false;       ///< listed, but there is no music for it
};

/// A file with music, read into memory. Plain MusicXML 2.0 to 4.0 (W3C Music Notation Community Group), by parts or by
/// bars, in UTF-8, UTF-16 or ISO 8859-1; the same compressed; Standard MIDI files of format 0 and 1. Told by content.
class Score {
public:
    /// `where` names the file in errors. Errors: not music, damaged, or more than the limits.
    [[nodiscard]] static Result<Score> open(std::string bytes, std::string where);
    /// The same from the disk. Errors also: unreadable, no file.
    [[nodiscard]] static Result<Score> load(const std::filesystem::path& path);
    ~Score();
    Score(Score&&) noexcept;
    Score& operator=(Score&&) noexcept;
    Score(const Score&) = delete;
    Score& operator=(const Score&) = delete;

    [[nodiscard]] const std::string& where() const noexcept;
    [[nodiscard]] ScoreFormat format() const noexcept;
    [[nodiscard]] const std::string& title() const noexcept; ///< may be empty
    [[nodiscard]] const std::vector<PartHead>& parts() const noexcept;
    /// The text in UTF-8; empty for MIDI.
    [[nodiscard]] const std::string& text() const noexcept;
    /// The archive it came in, as it was; empty for a plain file.
    [[nodiscard]] const std::string& archive() const noexcept;
    /// Music of one part. Errors: it is missing, or its times make no sense (with part and bar).
    [[nodiscard]] Result<Music> music(std::size_t part) const;

private:
    struct Content;
    explicit Score(std::unique_ptr<Content> content);
    std::unique_ptr<Content> content_;
};

} // namespace bellhand::part
