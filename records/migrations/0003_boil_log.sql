-- The live boil log: files kept with records, how a phone's entry reached the house, loggers' files, and runs that end
-- otherwise than by drawing off syrup. New columns have the value an older record means by leaving them out.

-- Bytes of attachments, under the SHA-256 of themselves in lower-case hex.
CREATE TABLE content (
  sha256  TEXT NOT NULL PRIMARY KEY,
  bytes   BYTEA NOT NULL
);

-- A file kept with a record: a photo, the photo of a paper sheet, a logger's file. Its bytes stand in content.
CREATE TABLE attachment (
  id                   TEXT NOT NULL REFERENCES record(id),
  revision             BIGINT NOT NULL CHECK (revision > 0),
  struck               BOOLEAN NOT NULL,
  written_at           TIMESTAMP NOT NULL,
  written_by           TEXT NOT NULL REFERENCES record(id) DEFERRABLE INITIALLY DEFERRED,
  done_by              TEXT NOT NULL REFERENCES record(id) DEFERRABLE INITIALLY DEFERRED,
  why                  TEXT NOT NULL,
  of_id                TEXT NOT NULL REFERENCES record(id),
  at                   TIMESTAMP NOT NULL,
  sort                 TEXT NOT NULL,
  name                 TEXT NOT NULL,
  media_type           TEXT NOT NULL,
  size                 BIGINT NOT NULL,
  sha256               TEXT NOT NULL,
  note                 TEXT NOT NULL,
  PRIMARY KEY (id, revision)
);

-- How an entry reached the house when that needs saying: the phone's clock was off, it waited for the network, or another person's session carried it.
CREATE TABLE phone_entry (
  id                   TEXT NOT NULL REFERENCES record(id),
  revision             BIGINT NOT NULL CHECK (revision > 0),
  struck               BOOLEAN NOT NULL,
  written_at           TIMESTAMP NOT NULL,
  written_by           TEXT NOT NULL REFERENCES record(id) DEFERRABLE INITIALLY DEFERRED,
  done_by              TEXT NOT NULL REFERENCES record(id) DEFERRABLE INITIALLY DEFERRED,
  why                  TEXT NOT NULL,
  record_id            TEXT NOT NULL REFERENCES record(id),
  phone_clock          TIMESTAMP NOT NULL,
  off_seconds          BIGINT NOT NULL,
  waited_seconds       BIGINT NOT NULL,
  signed_in_id         TEXT NOT NULL REFERENCES record(id),
  PRIMARY KEY (id, revision)
);

-- How a temperature logger's file is read into a run. The points are read from the raw file each time.
CREATE TABLE logger_import (
  id                   TEXT NOT NULL REFERENCES record(id),
  revision             BIGINT NOT NULL CHECK (revision > 0),
  struck               BOOLEAN NOT NULL,
  written_at           TIMESTAMP NOT NULL,
  written_by           TEXT NOT NULL REFERENCES record(id) DEFERRABLE INITIALLY DEFERRED,
  done_by              TEXT NOT NULL REFERENCES record(id) DEFERRABLE INITIALLY DEFERRED,
  why                  TEXT NOT NULL,
  run_id               TEXT NOT NULL REFERENCES record(id),
  attachment_id        TEXT NOT NULL REFERENCES record(id),
  instrument_id        TEXT REFERENCES record(id),
  unit                 TEXT NOT NULL,
  zone                 TEXT NOT NULL,
  separator            TEXT NOT NULL,
  header_lines         BIGINT NOT NULL,
  time_column          BIGINT NOT NULL,
  time_layout          TEXT NOT NULL,
  temperature_column   BIGINT NOT NULL,
  points               BIGINT NOT NULL,
  first_at             TIMESTAMP NOT NULL,
  last_at              TIMESTAMP NOT NULL,
  note                 TEXT NOT NULL,
  PRIMARY KEY (id, revision)
);

DROP VIEW boil_entry_now;
ALTER TABLE boil_entry ADD COLUMN outcome TEXT NOT NULL DEFAULT '';
ALTER TABLE boil_entry ADD COLUMN heel DOUBLE PRECISION;
ALTER TABLE boil_entry ADD COLUMN heel_entered TEXT NOT NULL DEFAULT '';
CREATE VIEW boil_entry_now AS SELECT t.* FROM boil_entry t WHERE NOT t.struck
  AND NOT EXISTS (SELECT 1 FROM boil_entry n WHERE n.id = t.id AND n.revision > t.revision);

-- The thermometer that took the temperature beside a reading: its zero of the day belongs to that temperature.
DROP VIEW density_reading_now;
ALTER TABLE density_reading ADD COLUMN thermometer_id TEXT REFERENCES record(id);
CREATE VIEW density_reading_now AS SELECT t.* FROM density_reading t WHERE NOT t.struck
  AND NOT EXISTS (SELECT 1 FROM density_reading n WHERE n.id = t.id AND n.revision > t.revision);

CREATE INDEX attachment_by_of_id ON attachment (of_id);
CREATE INDEX phone_entry_by_record_id ON phone_entry (record_id);
CREATE INDEX logger_import_by_run_id ON logger_import (run_id);

CREATE VIEW attachment_now AS SELECT t.* FROM attachment t WHERE NOT t.struck
  AND NOT EXISTS (SELECT 1 FROM attachment n WHERE n.id = t.id AND n.revision > t.revision);
CREATE VIEW phone_entry_now AS SELECT t.* FROM phone_entry t WHERE NOT t.struck
  AND NOT EXISTS (SELECT 1 FROM phone_entry n WHERE n.id = t.id AND n.revision > t.revision);
CREATE VIEW logger_import_now AS SELECT t.* FROM logger_import t WHERE NOT t.struck
  AND NOT EXISTS (SELECT 1 FROM logger_import n WHERE n.id = t.id AND n.revision > t.revision);
