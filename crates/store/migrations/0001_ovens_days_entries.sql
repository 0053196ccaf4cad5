-- Ovens, days and entries. Nothing in these tables is ever changed or taken away: triggers refuse it.

CREATE TABLE ovens (
    id TEXT PRIMARY KEY NOT NULL,
    created TEXT NOT NULL
) STRICT;

-- The text of an oven file; a correction is a further row.
CREATE TABLE oven_texts (
    number INTEGER PRIMARY KEY,
    oven TEXT NOT NULL REFERENCES ovens (id),
    text TEXT NOT NULL,
    written TEXT NOT NULL,
    who TEXT NOT NULL
) STRICT;
CREATE INDEX oven_texts_of ON oven_texts (oven, number);

CREATE TABLE days (
    id TEXT PRIMARY KEY NOT NULL,
    oven TEXT NOT NULL REFERENCES ovens (id),
    created TEXT NOT NULL
) STRICT;
CREATE INDEX days_of ON days (oven, created);

-- The text of a day's pots file; a correction is a further row.
CREATE TABLE pots_texts (
    number INTEGER PRIMARY KEY,
    day TEXT NOT NULL REFERENCES days (id),
    text TEXT NOT NULL,
    written TEXT NOT NULL,
    who TEXT NOT NULL
) STRICT;
CREATE INDEX pots_texts_of ON pots_texts (day, number);

-- One entry of a day: its row of the day file. The number says in which order entries came in, written_ms in which order
-- they were written down (Unix time in milliseconds): a phone that was out of reach sends its entries late.
CREATE TABLE entries (
    number INTEGER PRIMARY KEY,
    day TEXT NOT NULL REFERENCES days (id),
    id TEXT NOT NULL,
    written_ms INTEGER NOT NULL,
    line TEXT NOT NULL,
    came_in TEXT NOT NULL,
    who TEXT NOT NULL,
    UNIQUE (day, id)
) STRICT;

CREATE INDEX entries_in_order ON entries (day, written_ms, number);

-- What was computed, and from what.
CREATE TABLE results (
    number INTEGER PRIMARY KEY,
    day TEXT NOT NULL REFERENCES days (id),
    kind TEXT NOT NULL,
    at TEXT NOT NULL,
    body TEXT NOT NULL,
    program_version TEXT NOT NULL,
    input_sha256 TEXT NOT NULL,
    last_entry INTEGER NOT NULL,
    members INTEGER NOT NULL,
    seed INTEGER NOT NULL,
    computed TEXT NOT NULL
) STRICT;
CREATE INDEX results_of ON results (day, kind, number);

CREATE TRIGGER ovens_stay BEFORE UPDATE ON ovens BEGIN SELECT RAISE (ABORT, 'ovens are never changed'); END;
CREATE TRIGGER ovens_kept BEFORE DELETE ON ovens BEGIN SELECT RAISE (ABORT, 'ovens are never taken away'); END;
CREATE TRIGGER oven_texts_stay BEFORE UPDATE ON oven_texts BEGIN SELECT RAISE (ABORT, 'oven texts are never changed'); END;
CREATE TRIGGER oven_texts_kept BEFORE DELETE ON oven_texts BEGIN SELECT RAISE (ABORT, 'oven texts are never taken away'); END;
CREATE TRIGGER days_stay BEFORE UPDATE ON days BEGIN SELECT RAISE (ABORT, 'days are never changed'); END;
CREATE TRIGGER days_kept BEFORE DELETE ON days BEGIN SELECT RAISE (ABORT, 'days are never taken away'); END;
CREATE TRIGGER pots_texts_stay BEFORE UPDATE ON pots_texts BEGIN SELECT RAISE (ABORT, 'pots texts are never changed'); END;
CREATE TRIGGER pots_texts_kept BEFORE DELETE ON pots_texts BEGIN SELECT RAISE (ABORT, 'pots texts are never taken away'); END;
CREATE TRIGGER entries_stay BEFORE UPDATE ON entries BEGIN SELECT RAISE (ABORT, 'entries are never changed'); END;
CREATE TRIGGER entries_kept BEFORE DELETE ON entries BEGIN SELECT RAISE (ABORT, 'entries are never taken away'); END;
