-- A log as version 4 of its tables left it.
PRAGMA application_id = 1113943148;
PRAGMA user_version = 4;
BEGIN TRANSACTION;
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
    good_steps     INTEGER NOT NULL DEFAULT 0, root       TEXT NOT NULL DEFAULT '', anchor     TEXT NOT NULL DEFAULT '', enharmonic TEXT NOT NULL DEFAULT '',
    UNIQUE (session_id, number)
);
INSERT INTO "block" VALUES(1,1,0,'scales','Scales','','F',430.0,'vallotti',0.0,60.0,20.0,60.0,0.0,'',0,1,2,1,'','','');
INSERT INTO "block" VALUES(2,4,0,'scales','Scales','','F',440.0,'equal',0.0,60.0,20.0,60.0,0.0,'',0,1,1,0,'','','');
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
INSERT INTO "comment" VALUES(1,1,1,NULL,'teacher',2.5,'Good.','2026-03-05T12:00:00Z');
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
CREATE TABLE file_to_remove (file TEXT PRIMARY KEY) WITHOUT ROWID;
CREATE TABLE homework (
    id          TEXT PRIMARY KEY,
    title       TEXT NOT NULL,
    file_hash   TEXT NOT NULL,
    received_at TEXT NOT NULL,
    due_on      TEXT NOT NULL,
    returned_at TEXT NOT NULL,
    content     TEXT NOT NULL
);
INSERT INTO "homework" VALUES('w','Week','h','2026-03-01T00:00:00Z','','','{}');
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
    finished        INTEGER NOT NULL, written_number  INTEGER NOT NULL DEFAULT 0, tolerance_cents REAL    NOT NULL DEFAULT 5, heard_hand        TEXT, closure           REAL, closure_low       REAL, closure_high      REAL, hand_confidence   REAL, advice            TEXT, hand_cents        REAL, lips_cents        REAL, advice_confidence REAL, match_loudness_db REAL, match_octaves     REAL, uneven_db         REAL, unsteady_cents    REAL, drift_cents_per_s REAL, tremor_cents      REAL, tremor_hz         REAL, sway              TEXT, root       TEXT NOT NULL DEFAULT '', anchor     TEXT NOT NULL DEFAULT '', enharmonic TEXT NOT NULL DEFAULT '',           -- 0: the program ended while it sounded
    UNIQUE (session_id, number)
);
INSERT INTO "note" VALUES(1,1,0,0.5,1.5,'F',430.0,'vallotti','C4',4,'open',170.6,170.7,-1.0,0.5,-3.0,-20.0,1,60,5.0,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,'','','');
INSERT INTO "note" VALUES(2,1,1,2.1,1.0,'F',430.0,'vallotti','Bb4',7,'half',300.1,300.0,0.6,0.7,4.0,-22.0,1,70,10.0,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,'','','');
INSERT INTO "note" VALUES(3,1,2,9.0,1.0,'F',430.0,'vallotti','F#5',11,'full',480.0,482.0,-7.2,1.7,4.0,-22.0,1,78,15.0,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,'','','');
INSERT INTO "note" VALUES(4,3,0,1.0,0.4,'Eb',440.0,'equal','G4',6,'open',233.0,233.1,-0.7,0.4,0.0,-19.0,0,67,5.0,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,'','','');
INSERT INTO "note" VALUES(5,4,0,1.0,1.0,'F',440.0,'equal','C4',4,'open',174.0,174.6,-6.0,1.0,0.0,-20.0,1,60,5.0,'open',0.125,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,'','','');
CREATE TABLE note_tally (
    crook   TEXT    NOT NULL,
    written INTEGER NOT NULL,
    hand    TEXT    NOT NULL,
    cents   INTEGER NOT NULL,                  -- deviation, nearest whole; -100 and 100 include what is beyond
    notes   INTEGER NOT NULL,
    in_tune INTEGER NOT NULL,
    PRIMARY KEY (crook, written, hand, cents)
) WITHOUT ROWID;
INSERT INTO "note_tally" VALUES('F',60,'open',-1,1,1);
INSERT INTO "note_tally" VALUES('F',70,'half',1,1,1);
INSERT INTO "note_tally" VALUES('F',78,'full',-7,1,1);
CREATE TABLE session (
    id          INTEGER PRIMARY KEY AUTOINCREMENT,
    started_at  TEXT    NOT NULL,               -- UTC, ISO 8601
    duration_s  REAL    NOT NULL DEFAULT 0,     -- of sound; kept up to date with every note
    input       TEXT    NOT NULL,
    crook       TEXT    NOT NULL,
    a4_hz       REAL    NOT NULL,
    temperament TEXT    NOT NULL,
    closed      INTEGER NOT NULL DEFAULT 0      -- 1: ended in order
, day        INTEGER NOT NULL DEFAULT 0, notes      INTEGER NOT NULL DEFAULT 0, deleted_at TEXT, playing_s REAL NOT NULL DEFAULT 0, rest_s    REAL NOT NULL DEFAULT 0, root       TEXT NOT NULL DEFAULT '', anchor     TEXT NOT NULL DEFAULT '', enharmonic TEXT NOT NULL DEFAULT '');
INSERT INTO "session" VALUES(1,'2026-03-01T10:11:12Z',20.5,'microphone','F',430.0,'vallotti',1,20513,3,NULL,3.6,5.9,'','','');
INSERT INTO "session" VALUES(3,'2026-03-02T18:00:00Z',9.25,'microphone','Eb',440.0,'equal',0,20514,1,NULL,0.0,0.0,'','','');
INSERT INTO "session" VALUES(4,'2026-03-04T12:00:00Z',5.0,'microphone','F',440.0,'equal',1,20516,1,'2099-03-05T12:00:00Z',1.0,0.0,'','','');
CREATE TABLE setting (key TEXT PRIMARY KEY, value TEXT NOT NULL) WITHOUT ROWID;
INSERT INTO "setting" VALUES('takes_budget_bytes','5');
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
INSERT INTO "skill" VALUES(-7,60,'open',-1,'',1.0,2.0,3.0,4.0,5.0,6.0,7.0,8.0,1700000000.0);
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
    faults          TEXT    NOT NULL, part  INTEGER NOT NULL DEFAULT 0, extra INTEGER NOT NULL DEFAULT 0,          -- ids separated by spaces; empty: good
    UNIQUE (block_id, number)
);
INSERT INTO "step" VALUES(1,1,0,0,0,'C4',60,'open',0,-1.0,-3.0,5.0,NULL,NULL,'',0,0);
INSERT INTO "step" VALUES(2,1,1,1,0,'Bb4',70,'half',1,0.6,4.0,10.0,NULL,NULL,'flat late',0,0);
INSERT INTO "step" VALUES(3,2,0,0,0,'C4',60,'open',0,-6.0,0.0,5.0,NULL,NULL,'flat',0,0);
CREATE TABLE step_tally (
    exercise   TEXT    NOT NULL,
    asked      INTEGER NOT NULL,
    asked_hand TEXT    NOT NULL,
    extra      INTEGER NOT NULL,
    faults     TEXT    NOT NULL,
    steps      INTEGER NOT NULL,
    PRIMARY KEY (exercise, asked, asked_hand, extra, faults)
) WITHOUT ROWID;
INSERT INTO "step_tally" VALUES('scales',60,'open',0,'',1);
INSERT INTO "step_tally" VALUES('scales',70,'half',0,'flat late',1);
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
INSERT INTO "take" VALUES(1,1,0,'a.flac',0.0,9.0,99,1,'keep that');
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
INSERT INTO "transition_tally" VALUES('F',60,'open',70,'half',1,1,0.6);
CREATE TABLE week_tally (
    week    INTEGER NOT NULL,                  -- its Monday, days since 1970-01-01
    crook   TEXT    NOT NULL,
    cents   INTEGER NOT NULL,
    notes   INTEGER NOT NULL,
    in_tune INTEGER NOT NULL,
    PRIMARY KEY (week, crook, cents)
) WITHOUT ROWID;
INSERT INTO "week_tally" VALUES(20507,'F',-7,1,1);
INSERT INTO "week_tally" VALUES(20507,'F',-1,1,1);
INSERT INTO "week_tally" VALUES(20507,'F',1,1,1);
CREATE INDEX session_day ON session (day);
CREATE INDEX session_bin ON session (deleted_at) WHERE deleted_at IS NOT NULL;
CREATE INDEX take_session ON take (session_id);
CREATE TRIGGER take_gone AFTER DELETE ON take BEGIN
    INSERT OR IGNORE INTO file_to_remove VALUES (old.file);
END;
CREATE INDEX comment_session ON comment (session_id);
CREATE INDEX comment_take ON comment (take_id);
CREATE INDEX block_exercise ON block (exercise);
DELETE FROM "sqlite_sequence";
INSERT INTO "sqlite_sequence" VALUES('session',4);
COMMIT;
