#include "logbook/schema.h"

#include <iterator>
#include <string>

#include <sqlite3.h>

namespace bellhand::logbook {

namespace {

// "Bell" in ASCII, in the file's header (PRAGMA application_id): tells a log from any other SQLite file.
constexpr std::int64_t kApplicationId = 0x42656c6c;

// One entry a version, applied in order and never changed once released; PRAGMA user_version counts them.
constexpr const char* kMigrations[] = {
    R"sql(
CREATE TABLE session (
    id          INTEGER PRIMARY KEY AUTOINCREMENT,
    started_at  TEXT    NOT NULL,               -- UTC, ISO 8601
    duration_s  REAL    NOT NULL DEFAULT 0,     -- of sound; kept up to date with every note
    input       TEXT    NOT NULL,
    crook       TEXT    NOT NULL,
    a4_hz       REAL    NOT NULL,
    temperament TEXT    NOT NULL,
    closed      INTEGER NOT NULL DEFAULT 0      -- 1: ended in order
);
CREATE TABLE note (
    id              INTEGER PRIMARY KEY,
    session_id      INTEGER NOT NULL REFERENCES session(id) ON DELETE CASCADE,
    number          INTEGER NOT NULL,           -- in the session, from 0
    start_s         REAL    NOT NULL,           -- since the start of the session
    duration_s      REAL    NOT NULL,
    crook           TEXT    NOT NULL,
    a4_hz           REAL    NOT NULL,
    temperament     TEXT    NOT NULL,
    written         TEXT    NOT NULL,           -- "Bb4"
    partial         INTEGER NOT NULL,
    hand            TEXT    NOT NULL,           -- open, quarter, half, three-quarters, full
    f0_hz           REAL    NOT NULL,
    target_hz       REAL    NOT NULL,
    deviation_cents REAL    NOT NULL,           -- median of the held part
    spread_cents    REAL    NOT NULL,
    attack_cents    REAL    NOT NULL,
    level_dbfs      REAL    NOT NULL,
    finished        INTEGER NOT NULL,           -- 0: the program ended while it sounded
    UNIQUE (session_id, number)
);
)sql",
    // 2: what the trainer leaves behind; the bin; what was heard of the hand
    R"sql(
ALTER TABLE session ADD COLUMN day        INTEGER NOT NULL DEFAULT 0; -- local date, days since 1970-01-01
ALTER TABLE session ADD COLUMN notes      INTEGER NOT NULL DEFAULT 0; -- rows of note; counted as they come
ALTER TABLE session ADD COLUMN deleted_at TEXT;                       -- UTC; set: it lies in the bin
UPDATE session SET day = CAST(julianday(started_at, 'localtime', 'start of day') - 2440587.5 AS INTEGER),
                   notes = (SELECT count(*) FROM note WHERE session_id = session.id);
CREATE INDEX session_day ON session (day);
CREATE INDEX session_bin ON session (deleted_at) WHERE deleted_at IS NOT NULL;

ALTER TABLE note ADD COLUMN written_number  INTEGER NOT NULL DEFAULT 0; -- on the chromatic ladder, C4 = 60
ALTER TABLE note ADD COLUMN tolerance_cents REAL    NOT NULL DEFAULT 5; -- counted as in tune within this
UPDATE note SET
    written_number = 12 * (CAST(substr(written, -1) AS INTEGER) + 1)
        + CASE substr(written, 1, 1) WHEN 'C' THEN 0 WHEN 'D' THEN 2 WHEN 'E' THEN 4 WHEN 'F' THEN 5
                                     WHEN 'G' THEN 7 WHEN 'A' THEN 9 ELSE 11 END
        + CASE substr(written, 2, 1) WHEN '#' THEN 1 WHEN 'b' THEN -1 ELSE 0 END,
    tolerance_cents = CASE hand WHEN 'open' THEN 5 WHEN 'full' THEN 15 ELSE 10 END;
-- What the sound betrayed of the hand; null where nothing was heard.
ALTER TABLE note ADD COLUMN heard_hand        TEXT;
ALTER TABLE note ADD COLUMN closure           REAL; -- 0 open .. 1 full stop
ALTER TABLE note ADD COLUMN closure_low       REAL; -- 10th percentile
ALTER TABLE note ADD COLUMN closure_high      REAL; -- 90th
ALTER TABLE note ADD COLUMN hand_confidence   REAL;
ALTER TABLE note ADD COLUMN advice            TEXT;
ALTER TABLE note ADD COLUMN hand_cents        REAL; -- of the deviation
ALTER TABLE note ADD COLUMN lips_cents        REAL;
ALTER TABLE note ADD COLUMN advice_confidence REAL;
ALTER TABLE note ADD COLUMN match_loudness_db REAL; -- against the note before
ALTER TABLE note ADD COLUMN match_octaves     REAL; -- of the spectral centroid
ALTER TABLE note ADD COLUMN uneven_db         REAL;
ALTER TABLE note ADD COLUMN unsteady_cents    REAL;
ALTER TABLE note ADD COLUMN drift_cents_per_s REAL;
ALTER TABLE note ADD COLUMN tremor_cents      REAL;
ALTER TABLE note ADD COLUMN tremor_hz         REAL;
ALTER TABLE note ADD COLUMN sway              TEXT; -- none, hand, lips, breath

CREATE TABLE block (
    id             INTEGER PRIMARY KEY,
    session_id     INTEGER NOT NULL REFERENCES session(id) ON DELETE CASCADE,
    number         INTEGER NOT NULL,           -- in the session, from 0
    exercise       TEXT    NOT NULL,           -- id; empty: free playing
    title          TEXT    NOT NULL,
    why            TEXT    NOT NULL,
    crook          TEXT    NOT NULL,
    a4_hz          REAL    NOT NULL,
    temperament    TEXT    NOT NULL,
    start_s        REAL    NOT NULL,           -- since the start of the session
    planned_s      REAL    NOT NULL,
    duration_s     REAL    NOT NULL,
    planned_rest_s REAL    NOT NULL,
    rest_s         REAL    NOT NULL,
    homework_id    TEXT    NOT NULL,           -- empty: none
    homework_part  INTEGER NOT NULL,
    finished       INTEGER NOT NULL,
    steps          INTEGER NOT NULL DEFAULT 0, -- rows of step; counted as they come
    good_steps     INTEGER NOT NULL DEFAULT 0,
    UNIQUE (session_id, number)
);
CREATE TABLE step (
    id              INTEGER PRIMARY KEY,
    block_id        INTEGER NOT NULL REFERENCES block(id) ON DELETE CASCADE,
    number          INTEGER NOT NULL,          -- in the block, in order of judging
    step            INTEGER NOT NULL,          -- index into the exercise
    pass            INTEGER NOT NULL,          -- repetition, from 0
    asked           TEXT    NOT NULL,          -- "Bb4"
    asked_number    INTEGER NOT NULL,          -- C4 = 60
    asked_hand      TEXT    NOT NULL,
    note_number     INTEGER,                   -- in the session; null: not played
    held_cents      REAL    NOT NULL,
    attack_cents    REAL    NOT NULL,
    tolerance_cents REAL    NOT NULL,
    timing_s        REAL,                      -- positive = late
    level_db        REAL,
    faults          TEXT    NOT NULL,          -- ids separated by spaces; empty: good
    UNIQUE (block_id, number)
);
CREATE TABLE take (
    id           INTEGER PRIMARY KEY,
    session_id   INTEGER NOT NULL REFERENCES session(id) ON DELETE CASCADE,
    block_number INTEGER,
    file         TEXT    NOT NULL UNIQUE,      -- name inside the takes' folder
    start_s      REAL    NOT NULL,
    duration_s   REAL    NOT NULL,
    bytes        INTEGER NOT NULL,
    kept         INTEGER NOT NULL,             -- 1: the player asked for it
    why          TEXT    NOT NULL
);
CREATE INDEX take_session ON take (session_id);
-- Files whose take is gone; a row leaves when its file has.
CREATE TABLE file_to_remove (file TEXT PRIMARY KEY) WITHOUT ROWID;
CREATE TRIGGER take_gone AFTER DELETE ON take BEGIN
    INSERT OR IGNORE INTO file_to_remove VALUES (old.file);
END;
CREATE TABLE comment (
    id          INTEGER PRIMARY KEY,
    session_id  INTEGER NOT NULL REFERENCES session(id) ON DELETE CASCADE,
    take_id     INTEGER REFERENCES take(id) ON DELETE CASCADE,
    note_number INTEGER,
    who         TEXT    NOT NULL,              -- player, teacher
    at_s        REAL    NOT NULL,              -- in the take; without one in the session
    text        TEXT    NOT NULL,
    written_at  TEXT    NOT NULL               -- UTC, ISO 8601
);
CREATE INDEX comment_session ON comment (session_id);
CREATE INDEX comment_take ON comment (take_id);

CREATE TABLE skill (
    crook        INTEGER NOT NULL,             -- semitones, 0 .. -16
    written      INTEGER NOT NULL,
    hand         TEXT    NOT NULL,
    from_written INTEGER NOT NULL,             -- -1: the note itself, no transition
    from_hand    TEXT    NOT NULL,
    value_0 REAL NOT NULL, value_1 REAL NOT NULL, value_2 REAL NOT NULL, value_3 REAL NOT NULL,
    value_4 REAL NOT NULL, value_5 REAL NOT NULL, value_6 REAL NOT NULL, value_7 REAL NOT NULL,
    updated_s    REAL    NOT NULL,             -- since 1970-01-01 UTC
    PRIMARY KEY (crook, written, hand, from_written, from_hand)
) WITHOUT ROWID;
CREATE TABLE homework (
    id          TEXT PRIMARY KEY,
    title       TEXT NOT NULL,
    file_hash   TEXT NOT NULL,
    received_at TEXT NOT NULL,
    due_on      TEXT NOT NULL,
    returned_at TEXT NOT NULL,
    content     TEXT NOT NULL
);
CREATE TABLE setting (key TEXT PRIMARY KEY, value TEXT NOT NULL) WITHOUT ROWID;
)sql",
    // 3: sums for looking back, kept up to date by every write
    R"sql(
ALTER TABLE session ADD COLUMN playing_s REAL NOT NULL DEFAULT 0; -- notes and the gaps under 5 s between them
ALTER TABLE session ADD COLUMN rest_s    REAL NOT NULL DEFAULT 0; -- longer pauses between notes
CREATE INDEX block_exercise ON block (exercise);
ALTER TABLE step ADD COLUMN part  INTEGER NOT NULL DEFAULT 0;     -- which of the exercise's crooks
ALTER TABLE step ADD COLUMN extra INTEGER NOT NULL DEFAULT 0;     -- 1: nothing asked for this note
CREATE TABLE note_tally (
    crook   TEXT    NOT NULL,
    written INTEGER NOT NULL,
    hand    TEXT    NOT NULL,
    cents   INTEGER NOT NULL,                  -- deviation, nearest whole; -100 and 100 include what is beyond
    notes   INTEGER NOT NULL,
    in_tune INTEGER NOT NULL,
    PRIMARY KEY (crook, written, hand, cents)
) WITHOUT ROWID;
CREATE TABLE week_tally (
    week    INTEGER NOT NULL,                  -- its Monday, days since 1970-01-01
    crook   TEXT    NOT NULL,
    cents   INTEGER NOT NULL,
    notes   INTEGER NOT NULL,
    in_tune INTEGER NOT NULL,
    PRIMARY KEY (week, crook, cents)
) WITHOUT ROWID;
CREATE TABLE transition_tally (
    crook         TEXT    NOT NULL,
    from_written  INTEGER NOT NULL,
    from_hand     TEXT    NOT NULL,
    written       INTEGER NOT NULL,
    hand          TEXT    NOT NULL,
    times         INTEGER NOT NULL,
    in_tune       INTEGER NOT NULL,            -- the second note
    off_cents_sum REAL    NOT NULL,
    PRIMARY KEY (crook, from_written, from_hand, written, hand)
) WITHOUT ROWID;
CREATE TABLE step_tally (
    exercise   TEXT    NOT NULL,
    asked      INTEGER NOT NULL,
    asked_hand TEXT    NOT NULL,
    extra      INTEGER NOT NULL,
    faults     TEXT    NOT NULL,
    steps      INTEGER NOT NULL,
    PRIMARY KEY (exercise, asked, asked_hand, extra, faults)
) WITHOUT ROWID;
INSERT INTO note_tally SELECT note.crook, written_number, hand,
    CAST(round(max(min(deviation_cents, 100), -100)) AS INTEGER), count(*), sum(abs(deviation_cents) <= tolerance_cents)
    FROM session JOIN note ON session_id = session.id WHERE deleted_at IS NULL AND finished GROUP BY 1, 2, 3, 4;
INSERT INTO week_tally SELECT 7 * ((day + 3) / 7) - 3, note.crook,
    CAST(round(max(min(deviation_cents, 100), -100)) AS INTEGER), count(*), sum(abs(deviation_cents) <= tolerance_cents)
    FROM session JOIN note ON session_id = session.id WHERE deleted_at IS NULL AND finished GROUP BY 1, 2, 3;
INSERT INTO transition_tally SELECT b.crook, a.written_number, a.hand, b.written_number, b.hand, count(*),
    sum(abs(b.deviation_cents) <= b.tolerance_cents), sum(min(abs(b.deviation_cents), 100))
    FROM session JOIN note b ON b.session_id = session.id
    JOIN note a ON a.session_id = b.session_id AND a.number = b.number - 1
    WHERE deleted_at IS NULL AND a.finished AND b.finished AND a.crook = b.crook
    AND b.start_s - a.start_s - a.duration_s <= 1.5
    AND (a.written_number <> b.written_number OR a.hand <> b.hand) GROUP BY 1, 2, 3, 4, 5;
INSERT INTO step_tally SELECT exercise, asked_number, asked_hand, extra, faults, count(*)
    FROM session JOIN block ON session_id = session.id JOIN step ON block_id = block.id
    WHERE deleted_at IS NULL GROUP BY 1, 2, 3, 4, 5;
UPDATE session SET (playing_s, rest_s) = (SELECT
    total(duration_s + CASE WHEN gap_s > 0 AND gap_s < 5 THEN gap_s ELSE 0 END),
    total(CASE WHEN gap_s >= 5 THEN gap_s ELSE 0 END) FROM
    (SELECT b.duration_s, b.start_s - a.start_s - a.duration_s AS gap_s FROM note b
     LEFT JOIN note a ON a.session_id = b.session_id AND a.number = b.number - 1 AND a.finished
     WHERE b.session_id = session.id AND b.finished));
)sql",
    // 4: where an unequal temperament stood (empty: not kept then); the crook-change drill
    R"sql(
ALTER TABLE session ADD COLUMN root       TEXT NOT NULL DEFAULT ''; -- sounding note, "Eb"
ALTER TABLE session ADD COLUMN anchor     TEXT NOT NULL DEFAULT ''; -- key, a
ALTER TABLE session ADD COLUMN enharmonic TEXT NOT NULL DEFAULT ''; -- sharp, flat
ALTER TABLE note ADD COLUMN root       TEXT NOT NULL DEFAULT '';
ALTER TABLE note ADD COLUMN anchor     TEXT NOT NULL DEFAULT '';
ALTER TABLE note ADD COLUMN enharmonic TEXT NOT NULL DEFAULT '';
ALTER TABLE block ADD COLUMN root       TEXT NOT NULL DEFAULT '';
ALTER TABLE block ADD COLUMN anchor     TEXT NOT NULL DEFAULT '';
ALTER TABLE block ADD COLUMN enharmonic TEXT NOT NULL DEFAULT '';
CREATE TABLE crook_change (
    id            INTEGER PRIMARY KEY,
    session_id    INTEGER NOT NULL REFERENCES session(id) ON DELETE CASCADE,
    number        INTEGER NOT NULL,            -- in the session, from 0
    set_list      TEXT    NOT NULL,            -- its title; empty: a quiz
    item          TEXT    NOT NULL,            -- number of the set list; empty in a quiz
    crook         TEXT    NOT NULL,            -- the key that was called
    a4_hz         REAL    NOT NULL,
    temperature_c REAL    NOT NULL,            -- of the air in the horn
    horn          TEXT    NOT NULL,            -- name of the profile
    pieces_before TEXT,                        -- "long master + tone"; null: coming from nowhere
    pieces_right  TEXT    NOT NULL,
    pieces_said   TEXT,                        -- null: nothing was said
    slide_m       REAL    NOT NULL,            -- where it has to stand
    stands        TEXT,                        -- in_key, wrong, unclear; null: not played
    off_cents     REAL,                        -- of the note from the key
    off_sd_cents  REAL,                        -- as far as one note can tell
    change_s      REAL    NOT NULL,
    estimate_s    REAL,
    rest_s        REAL,                        -- before that number
    correct       INTEGER NOT NULL,
    verdict       TEXT    NOT NULL,            -- the sentence that was shown
    UNIQUE (session_id, number)
);
)sql",
    // 5: short notes whose pitch is known only so far
    R"sql(
ALTER TABLE note ADD COLUMN known_within_cents REAL NOT NULL DEFAULT 0; -- 0: as close as anybody asks
)sql",
    // 6: how quietly the horn stayed while the hand moved
    R"sql(
CREATE TABLE balance (
    id                INTEGER PRIMARY KEY,
    session_id        INTEGER NOT NULL REFERENCES session(id) ON DELETE CASCADE,
    number            INTEGER NOT NULL,        -- of the tone in the session, from 0
    start_s           REAL    NOT NULL,        -- since the start of the session
    duration_s        REAL    NOT NULL,
    crook             TEXT    NOT NULL,
    wobble_cents      REAL    NOT NULL,        -- where the hand stood still
    drift_cents_per_s REAL    NOT NULL,
    moves             INTEGER NOT NULL,        -- of the hand
    told              INTEGER NOT NULL,        -- of these, slow enough for a jolt to be told
    jolts             INTEGER NOT NULL,
    worst_cents       REAL    NOT NULL,
    UNIQUE (session_id, number)
);
)sql",
};
constexpr std::int64_t kVersion = std::size(kMigrations);

} // namespace

std::int64_t schema_version() noexcept {
    return kVersion;
}

Result<std::int64_t> version_of(Database& database, const std::filesystem::path& path) {
    const auto id = database.number("PRAGMA application_id");
    if (!id) {
        return tl::unexpected<Error>(id.error());
    }
    const auto tables = database.number("SELECT count(*) FROM sqlite_schema");
    if (!tables) {
        return tl::unexpected<Error>(tables.error());
    }
    if (*id != kApplicationId && *tables > 0) {
        return tl::unexpected<Error>(database.explain(SQLITE_NOTADB));
    }
    const auto version = database.number("PRAGMA user_version");
    if (!version) {
        return tl::unexpected<Error>(version.error());
    }
    if (*version > kVersion) {
        return failure("The log \"" + path.string() +
                       "\" was written by a newer Bellhand; use that version, or choose "
                       "another file with --log.");
    }
    return *version;
}

Result<void> bring_up_to_date(Database& database, std::int64_t version) {
    for (std::int64_t step = version; step < kVersion; ++step) {
        const std::string sql = std::string("BEGIN IMMEDIATE;") + kMigrations[step] +
                                "PRAGMA user_version = " + std::to_string(step + 1) +
                                "; PRAGMA application_id = " + std::to_string(kApplicationId) +
                                "; COMMIT;";
        if (auto done = database.run(sql); !done) {
            // Fails when nothing was begun: either way nothing is half done.
            (void)database.run("ROLLBACK");
            return done;
        }
    }
    return {};
}

} // namespace bellhand::logbook
