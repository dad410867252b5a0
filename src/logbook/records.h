#pragma once

#include "drill/judgement.h"
#include "horn/hand_chart.h"
#include "horn/note.h"
#include "horn/tuning.h"
#include "trainer/note_tracker.h"

#include <array>
#include <cstdint>
#include <optional>
#include <string>
#include <vector>

namespace bellhand::logbook {

/// Where the temperament stood that targets were taken from, as ids of `horn`; empty: the log did not keep it then.
struct FootingRecord {
    std::string root; ///< sounding note: "Eb"
    std::string anchor;
    std::string enharmonic;
};
[[nodiscard]] FootingRecord footing_record(const horn::Tuning& tuning);
/// The footing of such a record. What was not kept: the crook's key.
[[nodiscard]] horn::Footing footing_of(const FootingRecord& record);

/// One practice session, from start to stop.
struct SessionRecord {
    std::int64_t id = 0;
    std::string started_at; ///< UTC, ISO 8601
    double duration_s = 0.0;
    std::string input; ///< what was listened to
    std::string crook; ///< ids as at the start; each note carries its own
    double a4_hz = 440.0;
    std::string temperament;
    FootingRecord footing;
    std::int64_t notes = 0;
    bool closed = false;    ///< false: the program did not get to say goodbye
    std::string deleted_at; ///< UTC; empty unless it lies in the bin
};

struct NoteRecord {
    std::int64_t id = 0;
    std::string crook;
    double a4_hz = 440.0;
    std::string temperament;
    FootingRecord footing;
    double tolerance_cents = 0.0; ///< what counted as in tune when it was played
    /// `note.heard` as far as the log keeps it: position, advice of the held part, match, steadiness; `heard` false
    /// when it keeps nothing.
    trainer::PlayedNote note;
    /// Empty where the pitch of a short note is not known closely enough to tell.
    [[nodiscard]] std::optional<bool> in_tune() const noexcept;
};

/// One exercise within a session, or a stretch of free playing (`exercise` empty). Times in seconds of the session.
struct BlockRecord {
    std::int64_t id = 0;      ///< set by the log
    std::int64_t session = 0; ///< set by the log
    std::uint32_t number = 0; ///< in the session, from 0
    std::string exercise;     ///< id
    std::string title;
    std::string why; ///< the plan's sentence; empty when the player chose it
    std::string crook;
    double a4_hz = 440.0;
    std::string temperament;
    FootingRecord footing;
    double start_s = 0.0;
    double planned_s = 0.0;
    double duration_s = 0.0;     ///< so far
    double planned_rest_s = 0.0; ///< the rest advised after it
    double rest_s = 0.0;         ///< the rest taken
    std::string homework;        ///< id, when it is part of a homework
    int homework_part = 0;
    bool finished = false;       ///< false: broken off, or still going on
    std::int64_t steps = 0;      ///< asked and judged; counted by the log
    std::int64_t good_steps = 0; ///< without a fault; counted by the log
};

/// One call of the crook-change drill and what came of it.
struct CrookChangeRecord {
    std::int64_t session = 0; ///< set by the log
    std::uint32_t number = 0; ///< in the session, from 0
    std::string set_list;     ///< its title; empty: a quiz
    std::string item;         ///< number of the set list; empty in a quiz
    std::string crook;        ///< id of the key that was called
    double a4_hz = 440.0;
    double temperature_c = 20.0;              ///< of the air in the horn
    std::string horn;                         ///< name of the profile
    std::optional<std::string> pieces_before; ///< empty: coming from nowhere
    std::string pieces_right;
    std::optional<std::string> pieces_said;
    double slide_m = 0.0;              ///< where it has to stand
    std::optional<std::string> stands; ///< "in_key", "wrong", "unclear"; empty: not played
    std::optional<double> off_cents;   ///< of the note from the key
    std::optional<double> off_sd_cents;
    double change_s = 0.0;
    std::optional<double> estimate_s;
    std::optional<double> rest_s; ///< before that number
    bool correct = false;
    std::string verdict; ///< the sentence that was shown
};

/// One judgement as the log keeps it.
struct JudgedStep {
    std::int64_t id = 0;      ///< set by the log
    std::int64_t block = 0;   ///< id of the block; set by the log
    std::uint32_t number = 0; ///< in the block, in order of judging, from 0
    horn::Note asked;
    horn::Hand asked_hand = horn::Hand::open;
    /// `judgement.note` comes back whole when the note itself is in the log, with its index alone when it is not yet.
    drill::Judgement judgement;
};

/// A recording kept beside the log.
struct TakeRecord {
    std::int64_t id = 0; ///< set by the log
    std::int64_t session = 0;
    std::optional<std::uint32_t> block; ///< number in the session
    std::string file;                   ///< name inside the takes' folder, no path
    double start_s = 0.0;               ///< in the session
    double duration_s = 0.0;
    std::int64_t bytes = 0;
    bool kept = false; ///< the player asked for it; never removed to save room
    std::string why;   ///< "keep that", "homework", the exercise's title
};

enum class Who { player, teacher };
/// "player", "teacher".
[[nodiscard]] const char* who_id(Who who) noexcept;

/// Words on a take, a note, or the session as a whole.
struct CommentRecord {
    std::int64_t id = 0; ///< set by the log
    std::int64_t session = 0;
    std::optional<std::int64_t> take;  ///< id
    std::optional<std::uint32_t> note; ///< index in the session
    Who who = Who::player;
    double at_s = 0.0; ///< in the take; without a take in the session
    std::string text;
    std::string written_at; ///< UTC, ISO 8601; set by the log when empty
};

/// What the model of skill remembers of one note or one transition. The log does not look inside `values`.
struct SkillRow {
    int crook = 0; ///< horn::Crook's transposition in semitones
    int written = 60;
    horn::Hand hand = horn::Hand::open;
    /// The note before and its hand: a transition. Empty: the note itself.
    std::optional<int> from_written;
    horn::Hand from_hand = horn::Hand::open;
    std::array<double, 8> values{};
    double updated_s = 0.0; ///< seconds since 1970-01-01 UTC
};

/// A homework that was opened here.
struct HomeworkRecord {
    std::string id; ///< from its file
    std::string title;
    std::string file_hash; ///< of the file as received
    std::string received_at;
    std::string due_on;      ///< date, or empty
    std::string returned_at; ///< UTC; empty while it is not
    std::string content;     ///< the file itself, so that it can be worked on without it
};

} // namespace bellhand::logbook
