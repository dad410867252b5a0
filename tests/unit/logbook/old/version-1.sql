-- A log as version 1 of its tables left it.
PRAGMA application_id = 1113943148;
PRAGMA user_version = 1;
BEGIN TRANSACTION;
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
INSERT INTO "note" VALUES(1,1,0,0.5,1.5,'F',430.0,'vallotti','C4',4,'open',170.6,170.7,-1.0,0.5,-3.0,-20.0,1);
INSERT INTO "note" VALUES(2,1,1,2.1,1.0,'F',430.0,'vallotti','Bb4',7,'half',300.1,300.0,0.6,0.7,4.0,-22.0,1);
INSERT INTO "note" VALUES(3,1,2,9.0,1.0,'F',430.0,'vallotti','F#5',11,'full',480.0,482.0,-7.2,1.7,4.0,-22.0,1);
INSERT INTO "note" VALUES(4,3,0,1.0,0.4,'Eb',440.0,'equal','G4',6,'open',233.0,233.1,-0.7,0.4,0.0,-19.0,0);
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
INSERT INTO "session" VALUES(1,'2026-03-01T10:11:12Z',20.5,'microphone','F',430.0,'vallotti',1);
INSERT INTO "session" VALUES(3,'2026-03-02T18:00:00Z',9.25,'microphone','Eb',440.0,'equal',0);
DELETE FROM "sqlite_sequence";
INSERT INTO "sqlite_sequence" VALUES('session',3);
COMMIT;
