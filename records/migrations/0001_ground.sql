-- The ground: every fact has its own table with primary key (id, revision). An amendment is a new revision; no row is ever
-- changed. The registry gives each record its kind, and links refer to it. Personal fields stand apart, the journal holds
-- their salted hash. Times are UTC, days are house days as text, quantities are SI beside the text that was typed.
-- written_by refers late, because the first owner writes the record of itself.

CREATE TABLE record (
  id    TEXT NOT NULL PRIMARY KEY,
  kind  TEXT NOT NULL
);

-- The append-only list of everything ever written: hash = SHA-256(prev || LF || JCS of seq, time, author, type, form, record).
CREATE TABLE journal (
  seq        BIGINT NOT NULL PRIMARY KEY,
  at         TIMESTAMP NOT NULL,
  author     TEXT NOT NULL,
  type       TEXT NOT NULL CHECK (type IN ('new', 'amend', 'strike')),
  form       TEXT NOT NULL,
  record_id  TEXT NOT NULL REFERENCES record(id),
  revision   BIGINT NOT NULL,
  record     TEXT NOT NULL,
  prev       TEXT NOT NULL,
  hash       TEXT NOT NULL UNIQUE
);
CREATE INDEX journal_record ON journal (record_id, revision);

-- Personal fields of customers and complainants, one row per revision of the fact they belong to.
CREATE TABLE personal (
  record_id  TEXT NOT NULL REFERENCES record(id),
  revision   BIGINT NOT NULL,
  salt       TEXT NOT NULL,
  name       TEXT NOT NULL,
  person     TEXT NOT NULL,
  address    TEXT NOT NULL,
  telephone  TEXT NOT NULL,
  email      TEXT NOT NULL,
  PRIMARY KEY (record_id, revision)
);

-- Every lot code ever given out: never edited, never used again, struck lots keep theirs.
CREATE TABLE lot_code (
  code           TEXT NOT NULL PRIMARY KEY,
  lot_id         TEXT NOT NULL REFERENCES record(id),
  day            TEXT NOT NULL,
  kettle_number  BIGINT NOT NULL,
  ordinal        BIGINT NOT NULL,
  UNIQUE (day, kettle_number, ordinal)
);

-- The tables from here to the facts may change: sign-in, and caches rebuilt from the facts.

CREATE TABLE credential (
  person_id      TEXT NOT NULL PRIMARY KEY REFERENCES record(id),
  password_hash  TEXT NOT NULL,
  pin_hash       TEXT NOT NULL DEFAULT '',
  changed_at     TIMESTAMP NOT NULL
);

CREATE TABLE session (
  token       TEXT NOT NULL PRIMARY KEY,
  data        TEXT NOT NULL,
  expires_at  TIMESTAMP NOT NULL
);

CREATE TABLE sign_in_attempt (
  id      TEXT NOT NULL PRIMARY KEY,
  login   TEXT NOT NULL,
  at      TIMESTAMP NOT NULL,
  passed  BOOLEAN NOT NULL
);
CREATE INDEX sign_in_attempt_login ON sign_in_attempt (login, at);

-- What each form submission made, so that a double tap finds it.
CREATE TABLE submission (
  token      TEXT NOT NULL PRIMARY KEY,
  record_id  TEXT NOT NULL,
  at         TIMESTAMP NOT NULL
);

-- Who feeds whom, by node: a record's id, or a tank's id#k after its k-th filling. The trace reads only this.
CREATE TABLE flow (
  from_node  TEXT NOT NULL,
  to_node    TEXT NOT NULL,
  source_id  TEXT NOT NULL,
  at         TIMESTAMP,
  mass       DOUBLE PRECISION,
  solids     DOUBLE PRECISION,
  units      BIGINT,
  estimated  BOOLEAN NOT NULL DEFAULT FALSE,
  beside     BOOLEAN NOT NULL DEFAULT FALSE, -- bottles, closures, cloths: reached, but no part of the syrup
  PRIMARY KEY (to_node, from_node, source_id)
);
CREATE INDEX flow_from ON flow (from_node, to_node);
CREATE INDEX flow_source ON flow (source_id);

-- The facts.

CREATE TABLE house (
  id                   TEXT NOT NULL REFERENCES record(id),
  revision             BIGINT NOT NULL CHECK (revision > 0),
  struck               BOOLEAN NOT NULL,
  written_at           TIMESTAMP NOT NULL,
  written_by           TEXT NOT NULL REFERENCES record(id) DEFERRABLE INITIALLY DEFERRED,
  done_by              TEXT NOT NULL REFERENCES record(id) DEFERRABLE INITIALLY DEFERRED,
  why                  TEXT NOT NULL,
  name                 TEXT NOT NULL,
  address              TEXT NOT NULL,
  telephone            TEXT NOT NULL,
  email                TEXT NOT NULL,
  zone                 TEXT NOT NULL,
  altitude             DOUBLE PRECISION,
  altitude_entered     TEXT NOT NULL,
  target_solids        DOUBLE PRECISION NOT NULL,
  public_address       TEXT NOT NULL,
  address_on_bottle    BOOLEAN NOT NULL,
  statement            TEXT NOT NULL,
  statement_source     TEXT NOT NULL,
  statement_day        TEXT NOT NULL,
  PRIMARY KEY (id, revision)
);

CREATE TABLE site (
  id                   TEXT NOT NULL REFERENCES record(id),
  revision             BIGINT NOT NULL CHECK (revision > 0),
  struck               BOOLEAN NOT NULL,
  written_at           TIMESTAMP NOT NULL,
  written_by           TEXT NOT NULL REFERENCES record(id) DEFERRABLE INITIALLY DEFERRED,
  done_by              TEXT NOT NULL REFERENCES record(id) DEFERRABLE INITIALLY DEFERRED,
  why                  TEXT NOT NULL,
  name                 TEXT NOT NULL,
  address              TEXT NOT NULL,
  telephone            TEXT NOT NULL,
  PRIMARY KEY (id, revision)
);

CREATE TABLE person (
  id                   TEXT NOT NULL REFERENCES record(id),
  revision             BIGINT NOT NULL CHECK (revision > 0),
  struck               BOOLEAN NOT NULL,
  written_at           TIMESTAMP NOT NULL,
  written_by           TEXT NOT NULL REFERENCES record(id) DEFERRABLE INITIALLY DEFERRED,
  done_by              TEXT NOT NULL REFERENCES record(id) DEFERRABLE INITIALLY DEFERRED,
  why                  TEXT NOT NULL,
  site_id              TEXT NOT NULL REFERENCES record(id),
  name                 TEXT NOT NULL,
  login                TEXT NOT NULL,
  role                 TEXT NOT NULL,
  may_release          BOOLEAN NOT NULL,
  language             TEXT NOT NULL,
  units                TEXT NOT NULL,
  expires              TEXT NOT NULL,
  PRIMARY KEY (id, revision)
);

CREATE TABLE kettle (
  id                   TEXT NOT NULL REFERENCES record(id),
  revision             BIGINT NOT NULL CHECK (revision > 0),
  struck               BOOLEAN NOT NULL,
  written_at           TIMESTAMP NOT NULL,
  written_by           TEXT NOT NULL REFERENCES record(id) DEFERRABLE INITIALLY DEFERRED,
  done_by              TEXT NOT NULL REFERENCES record(id) DEFERRABLE INITIALLY DEFERRED,
  why                  TEXT NOT NULL,
  site_id              TEXT NOT NULL REFERENCES record(id),
  number               BIGINT NOT NULL,
  name                 TEXT NOT NULL,
  volume               DOUBLE PRECISION,
  volume_entered       TEXT NOT NULL,
  PRIMARY KEY (id, revision)
);

CREATE TABLE tank (
  id                   TEXT NOT NULL REFERENCES record(id),
  revision             BIGINT NOT NULL CHECK (revision > 0),
  struck               BOOLEAN NOT NULL,
  written_at           TIMESTAMP NOT NULL,
  written_by           TEXT NOT NULL REFERENCES record(id) DEFERRABLE INITIALLY DEFERRED,
  done_by              TEXT NOT NULL REFERENCES record(id) DEFERRABLE INITIALLY DEFERRED,
  why                  TEXT NOT NULL,
  site_id              TEXT NOT NULL REFERENCES record(id),
  name                 TEXT NOT NULL,
  holds                TEXT NOT NULL,
  volume               DOUBLE PRECISION,
  volume_entered       TEXT NOT NULL,
  PRIMARY KEY (id, revision)
);

CREATE TABLE instrument (
  id                   TEXT NOT NULL REFERENCES record(id),
  revision             BIGINT NOT NULL CHECK (revision > 0),
  struck               BOOLEAN NOT NULL,
  written_at           TIMESTAMP NOT NULL,
  written_by           TEXT NOT NULL REFERENCES record(id) DEFERRABLE INITIALLY DEFERRED,
  done_by              TEXT NOT NULL REFERENCES record(id) DEFERRABLE INITIALLY DEFERRED,
  why                  TEXT NOT NULL,
  name                 TEXT NOT NULL,
  measures             TEXT NOT NULL,
  serial               TEXT NOT NULL,
  scale                TEXT NOT NULL,
  stem                 TEXT NOT NULL,
  modulus              DOUBLE PRECISION,
  reads_in             TEXT NOT NULL,
  uncertainty          DOUBLE PRECISION,
  PRIMARY KEY (id, revision)
);

CREATE TABLE instrument_check (
  id                   TEXT NOT NULL REFERENCES record(id),
  revision             BIGINT NOT NULL CHECK (revision > 0),
  struck               BOOLEAN NOT NULL,
  written_at           TIMESTAMP NOT NULL,
  written_by           TEXT NOT NULL REFERENCES record(id) DEFERRABLE INITIALLY DEFERRED,
  done_by              TEXT NOT NULL REFERENCES record(id) DEFERRABLE INITIALLY DEFERRED,
  why                  TEXT NOT NULL,
  instrument_id        TEXT NOT NULL REFERENCES record(id),
  at                   TIMESTAMP NOT NULL,
  method               TEXT NOT NULL,
  expected             DOUBLE PRECISION NOT NULL,
  read                 DOUBLE PRECISION NOT NULL,
  unit                 TEXT NOT NULL,
  passed               BOOLEAN NOT NULL,
  note                 TEXT NOT NULL,
  PRIMARY KEY (id, revision)
);

CREATE TABLE house_limit (
  id                   TEXT NOT NULL REFERENCES record(id),
  revision             BIGINT NOT NULL CHECK (revision > 0),
  struck               BOOLEAN NOT NULL,
  written_at           TIMESTAMP NOT NULL,
  written_by           TEXT NOT NULL REFERENCES record(id) DEFERRABLE INITIALLY DEFERRED,
  done_by              TEXT NOT NULL REFERENCES record(id) DEFERRABLE INITIALLY DEFERRED,
  why                  TEXT NOT NULL,
  code                 TEXT NOT NULL,
  value                DOUBLE PRECISION NOT NULL,
  unit                 TEXT NOT NULL,
  source               TEXT NOT NULL,
  set_on               TEXT NOT NULL,
  PRIMARY KEY (id, revision)
);

CREATE TABLE product (
  id                   TEXT NOT NULL REFERENCES record(id),
  revision             BIGINT NOT NULL CHECK (revision > 0),
  struck               BOOLEAN NOT NULL,
  written_at           TIMESTAMP NOT NULL,
  written_by           TEXT NOT NULL REFERENCES record(id) DEFERRABLE INITIALLY DEFERRED,
  done_by              TEXT NOT NULL REFERENCES record(id) DEFERRABLE INITIALLY DEFERRED,
  why                  TEXT NOT NULL,
  name                 TEXT NOT NULL,
  names                TEXT NOT NULL,
  best_by_months       BIGINT NOT NULL,
  storage              TEXT NOT NULL,
  PRIMARY KEY (id, revision)
);

CREATE TABLE container (
  id                   TEXT NOT NULL REFERENCES record(id),
  revision             BIGINT NOT NULL CHECK (revision > 0),
  struck               BOOLEAN NOT NULL,
  written_at           TIMESTAMP NOT NULL,
  written_by           TEXT NOT NULL REFERENCES record(id) DEFERRABLE INITIALLY DEFERRED,
  done_by              TEXT NOT NULL REFERENCES record(id) DEFERRABLE INITIALLY DEFERRED,
  why                  TEXT NOT NULL,
  name                 TEXT NOT NULL,
  contents             DOUBLE PRECISION NOT NULL,
  contents_entered     TEXT NOT NULL,
  tare                 DOUBLE PRECISION,
  tare_entered         TEXT NOT NULL,
  fill_limit           DOUBLE PRECISION,
  fill_limit_entered   TEXT NOT NULL,
  fill_limit_source    TEXT NOT NULL,
  units_per_case       BIGINT,
  PRIMARY KEY (id, revision)
);

CREATE TABLE label_stock (
  id                   TEXT NOT NULL REFERENCES record(id),
  revision             BIGINT NOT NULL CHECK (revision > 0),
  struck               BOOLEAN NOT NULL,
  written_at           TIMESTAMP NOT NULL,
  written_by           TEXT NOT NULL REFERENCES record(id) DEFERRABLE INITIALLY DEFERRED,
  done_by              TEXT NOT NULL REFERENCES record(id) DEFERRABLE INITIALLY DEFERRED,
  why                  TEXT NOT NULL,
  name                 TEXT NOT NULL,
  paper                TEXT NOT NULL,
  rows                 BIGINT NOT NULL,
  columns              BIGINT NOT NULL,
  margin_top           DOUBLE PRECISION NOT NULL,
  margin_left          DOUBLE PRECISION NOT NULL,
  pitch_x              DOUBLE PRECISION NOT NULL,
  pitch_y              DOUBLE PRECISION NOT NULL,
  label_width          DOUBLE PRECISION NOT NULL,
  label_height         DOUBLE PRECISION NOT NULL,
  dots_per_inch        BIGINT NOT NULL,
  PRIMARY KEY (id, revision)
);

CREATE TABLE supplier (
  id                   TEXT NOT NULL REFERENCES record(id),
  revision             BIGINT NOT NULL CHECK (revision > 0),
  struck               BOOLEAN NOT NULL,
  written_at           TIMESTAMP NOT NULL,
  written_by           TEXT NOT NULL REFERENCES record(id) DEFERRABLE INITIALLY DEFERRED,
  done_by              TEXT NOT NULL REFERENCES record(id) DEFERRABLE INITIALLY DEFERRED,
  why                  TEXT NOT NULL,
  firm                 TEXT NOT NULL,
  address              TEXT NOT NULL,
  telephone            TEXT NOT NULL,
  email                TEXT NOT NULL,
  PRIMARY KEY (id, revision)
);

CREATE TABLE carrier (
  id                   TEXT NOT NULL REFERENCES record(id),
  revision             BIGINT NOT NULL CHECK (revision > 0),
  struck               BOOLEAN NOT NULL,
  written_at           TIMESTAMP NOT NULL,
  written_by           TEXT NOT NULL REFERENCES record(id) DEFERRABLE INITIALLY DEFERRED,
  done_by              TEXT NOT NULL REFERENCES record(id) DEFERRABLE INITIALLY DEFERRED,
  why                  TEXT NOT NULL,
  firm                 TEXT NOT NULL,
  address              TEXT NOT NULL,
  telephone            TEXT NOT NULL,
  email                TEXT NOT NULL,
  PRIMARY KEY (id, revision)
);

CREATE TABLE customer (
  id                   TEXT NOT NULL REFERENCES record(id),
  revision             BIGINT NOT NULL CHECK (revision > 0),
  struck               BOOLEAN NOT NULL,
  written_at           TIMESTAMP NOT NULL,
  written_by           TEXT NOT NULL REFERENCES record(id) DEFERRABLE INITIALLY DEFERRED,
  done_by              TEXT NOT NULL REFERENCES record(id) DEFERRABLE INITIALLY DEFERRED,
  why                  TEXT NOT NULL,
  sort                 TEXT NOT NULL,
  contact_hash         TEXT NOT NULL,
  PRIMARY KEY (id, revision)
);

CREATE TABLE supply_lot (
  id                   TEXT NOT NULL REFERENCES record(id),
  revision             BIGINT NOT NULL CHECK (revision > 0),
  struck               BOOLEAN NOT NULL,
  written_at           TIMESTAMP NOT NULL,
  written_by           TEXT NOT NULL REFERENCES record(id) DEFERRABLE INITIALLY DEFERRED,
  done_by              TEXT NOT NULL REFERENCES record(id) DEFERRABLE INITIALLY DEFERRED,
  why                  TEXT NOT NULL,
  sort                 TEXT NOT NULL,
  description          TEXT NOT NULL,
  supplier_id          TEXT NOT NULL REFERENCES record(id),
  carrier_id           TEXT REFERENCES record(id),
  their_lot            TEXT NOT NULL,
  quantity             DOUBLE PRECISION,
  quantity_entered     TEXT NOT NULL,
  how_packed           TEXT NOT NULL,
  received_on          TEXT NOT NULL,
  reference            TEXT NOT NULL,
  mass                 DOUBLE PRECISION,
  solids               DOUBLE PRECISION,
  PRIMARY KEY (id, revision)
);

CREATE TABLE block (
  id                   TEXT NOT NULL REFERENCES record(id),
  revision             BIGINT NOT NULL CHECK (revision > 0),
  struck               BOOLEAN NOT NULL,
  written_at           TIMESTAMP NOT NULL,
  written_by           TEXT NOT NULL REFERENCES record(id) DEFERRABLE INITIALLY DEFERRED,
  done_by              TEXT NOT NULL REFERENCES record(id) DEFERRABLE INITIALLY DEFERRED,
  why                  TEXT NOT NULL,
  site_id              TEXT NOT NULL REFERENCES record(id),
  name                 TEXT NOT NULL,
  acres                DOUBLE PRECISION,
  area_entered         TEXT NOT NULL,
  note                 TEXT NOT NULL,
  PRIMARY KEY (id, revision)
);

CREATE TABLE planting (
  id                   TEXT NOT NULL REFERENCES record(id),
  revision             BIGINT NOT NULL CHECK (revision > 0),
  struck               BOOLEAN NOT NULL,
  written_at           TIMESTAMP NOT NULL,
  written_by           TEXT NOT NULL REFERENCES record(id) DEFERRABLE INITIALLY DEFERRED,
  done_by              TEXT NOT NULL REFERENCES record(id) DEFERRABLE INITIALLY DEFERRED,
  why                  TEXT NOT NULL,
  block_id             TEXT NOT NULL REFERENCES record(id),
  variety              TEXT NOT NULL,
  planted_on           TEXT NOT NULL,
  ratoon               BIGINT NOT NULL,
  PRIMARY KEY (id, revision)
);

CREATE TABLE application (
  id                   TEXT NOT NULL REFERENCES record(id),
  revision             BIGINT NOT NULL CHECK (revision > 0),
  struck               BOOLEAN NOT NULL,
  written_at           TIMESTAMP NOT NULL,
  written_by           TEXT NOT NULL REFERENCES record(id) DEFERRABLE INITIALLY DEFERRED,
  done_by              TEXT NOT NULL REFERENCES record(id) DEFERRABLE INITIALLY DEFERRED,
  why                  TEXT NOT NULL,
  block_id             TEXT NOT NULL REFERENCES record(id),
  applied_on           TEXT NOT NULL,
  product              TEXT NOT NULL,
  epa_number           TEXT NOT NULL,
  amount               TEXT NOT NULL,
  area_treated         TEXT NOT NULL,
  pre_harvest_days     BIGINT NOT NULL,
  for_sugarcane        BOOLEAN,
  applicator           TEXT NOT NULL,
  certification_no     TEXT NOT NULL,
  PRIMARY KEY (id, revision)
);

CREATE TABLE freeze_night (
  id                   TEXT NOT NULL REFERENCES record(id),
  revision             BIGINT NOT NULL CHECK (revision > 0),
  struck               BOOLEAN NOT NULL,
  written_at           TIMESTAMP NOT NULL,
  written_by           TEXT NOT NULL REFERENCES record(id) DEFERRABLE INITIALLY DEFERRED,
  done_by              TEXT NOT NULL REFERENCES record(id) DEFERRABLE INITIALLY DEFERRED,
  why                  TEXT NOT NULL,
  site_id              TEXT NOT NULL REFERENCES record(id),
  night                TEXT NOT NULL,
  low                  DOUBLE PRECISION NOT NULL,
  low_entered          TEXT NOT NULL,
  hours_below          DOUBLE PRECISION,
  found                TEXT NOT NULL,
  PRIMARY KEY (id, revision)
);

CREATE TABLE cut (
  id                   TEXT NOT NULL REFERENCES record(id),
  revision             BIGINT NOT NULL CHECK (revision > 0),
  struck               BOOLEAN NOT NULL,
  written_at           TIMESTAMP NOT NULL,
  written_by           TEXT NOT NULL REFERENCES record(id) DEFERRABLE INITIALLY DEFERRED,
  done_by              TEXT NOT NULL REFERENCES record(id) DEFERRABLE INITIALLY DEFERRED,
  why                  TEXT NOT NULL,
  planting_id          TEXT NOT NULL REFERENCES record(id),
  cut_on               TEXT NOT NULL,
  finished_at          TIMESTAMP,
  harvester            TEXT NOT NULL,
  harvester_phone      TEXT NOT NULL,
  waits_at             TEXT NOT NULL,
  mass                 DOUBLE PRECISION,
  mass_entered         TEXT NOT NULL,
  counted              TEXT NOT NULL,
  estimated            BOOLEAN NOT NULL,
  day_high             DOUBLE PRECISION,
  day_high_entered     TEXT NOT NULL,
  frozen_stalks        TEXT NOT NULL,
  PRIMARY KEY (id, revision)
);

CREATE TABLE pressing (
  id                   TEXT NOT NULL REFERENCES record(id),
  revision             BIGINT NOT NULL CHECK (revision > 0),
  struck               BOOLEAN NOT NULL,
  written_at           TIMESTAMP NOT NULL,
  written_by           TEXT NOT NULL REFERENCES record(id) DEFERRABLE INITIALLY DEFERRED,
  done_by              TEXT NOT NULL REFERENCES record(id) DEFERRABLE INITIALLY DEFERRED,
  why                  TEXT NOT NULL,
  site_id              TEXT NOT NULL REFERENCES record(id),
  number               BIGINT NOT NULL,
  started_at           TIMESTAMP NOT NULL,
  ended_at             TIMESTAMP,
  volume               DOUBLE PRECISION,
  volume_entered       TEXT NOT NULL,
  estimated            BOOLEAN NOT NULL,
  brix                 DOUBLE PRECISION,
  instrument_id        TEXT REFERENCES record(id),
  ph                   DOUBLE PRECISION,
  temperature          DOUBLE PRECISION,
  temperature_entered  TEXT NOT NULL,
  note                 TEXT NOT NULL,
  PRIMARY KEY (id, revision)
);

CREATE TABLE run (
  id                   TEXT NOT NULL REFERENCES record(id),
  revision             BIGINT NOT NULL CHECK (revision > 0),
  struck               BOOLEAN NOT NULL,
  written_at           TIMESTAMP NOT NULL,
  written_by           TEXT NOT NULL REFERENCES record(id) DEFERRABLE INITIALLY DEFERRED,
  done_by              TEXT NOT NULL REFERENCES record(id) DEFERRABLE INITIALLY DEFERRED,
  why                  TEXT NOT NULL,
  site_id              TEXT NOT NULL REFERENCES record(id),
  kettle_id            TEXT NOT NULL REFERENCES record(id),
  code                 TEXT NOT NULL,
  fire_lit_at          TIMESTAMP NOT NULL,
  note                 TEXT NOT NULL,
  PRIMARY KEY (id, revision)
);

CREATE TABLE boil_entry (
  id                   TEXT NOT NULL REFERENCES record(id),
  revision             BIGINT NOT NULL CHECK (revision > 0),
  struck               BOOLEAN NOT NULL,
  written_at           TIMESTAMP NOT NULL,
  written_by           TEXT NOT NULL REFERENCES record(id) DEFERRABLE INITIALLY DEFERRED,
  done_by              TEXT NOT NULL REFERENCES record(id) DEFERRABLE INITIALLY DEFERRED,
  why                  TEXT NOT NULL,
  run_id               TEXT NOT NULL REFERENCES record(id),
  at                   TIMESTAMP NOT NULL,
  what                 TEXT NOT NULL,
  temperature          DOUBLE PRECISION,
  temperature_entered  TEXT NOT NULL,
  instrument_id        TEXT REFERENCES record(id),
  volume               DOUBLE PRECISION,
  volume_entered       TEXT NOT NULL,
  estimated            BOOLEAN NOT NULL,
  supply_lot_id        TEXT REFERENCES record(id),
  note                 TEXT NOT NULL,
  PRIMARY KEY (id, revision)
);

CREATE TABLE density_reading (
  id                   TEXT NOT NULL REFERENCES record(id),
  revision             BIGINT NOT NULL CHECK (revision > 0),
  struck               BOOLEAN NOT NULL,
  written_at           TIMESTAMP NOT NULL,
  written_by           TEXT NOT NULL REFERENCES record(id) DEFERRABLE INITIALLY DEFERRED,
  done_by              TEXT NOT NULL REFERENCES record(id) DEFERRABLE INITIALLY DEFERRED,
  why                  TEXT NOT NULL,
  of_id                TEXT NOT NULL REFERENCES record(id),
  at                   TIMESTAMP NOT NULL,
  stage                TEXT NOT NULL,
  reading              DOUBLE PRECISION NOT NULL,
  scale                TEXT NOT NULL,
  reading_entered      TEXT NOT NULL,
  temperature          DOUBLE PRECISION,
  temperature_entered  TEXT NOT NULL,
  instrument_id        TEXT REFERENCES record(id),
  note                 TEXT NOT NULL,
  PRIMARY KEY (id, revision)
);

CREATE TABLE addition (
  id                   TEXT NOT NULL REFERENCES record(id),
  revision             BIGINT NOT NULL CHECK (revision > 0),
  struck               BOOLEAN NOT NULL,
  written_at           TIMESTAMP NOT NULL,
  written_by           TEXT NOT NULL REFERENCES record(id) DEFERRABLE INITIALLY DEFERRED,
  done_by              TEXT NOT NULL REFERENCES record(id) DEFERRABLE INITIALLY DEFERRED,
  why                  TEXT NOT NULL,
  to_id                TEXT NOT NULL REFERENCES record(id),
  at                   TIMESTAMP NOT NULL,
  substance            TEXT NOT NULL,
  use                  TEXT NOT NULL,
  supply_lot_id        TEXT REFERENCES record(id),
  amount               DOUBLE PRECISION,
  amount_entered       TEXT NOT NULL,
  stays                BOOLEAN,
  allergens            TEXT,
  sulfites             BOOLEAN,
  PRIMARY KEY (id, revision)
);

CREATE TABLE wash_out (
  id                   TEXT NOT NULL REFERENCES record(id),
  revision             BIGINT NOT NULL CHECK (revision > 0),
  struck               BOOLEAN NOT NULL,
  written_at           TIMESTAMP NOT NULL,
  written_by           TEXT NOT NULL REFERENCES record(id) DEFERRABLE INITIALLY DEFERRED,
  done_by              TEXT NOT NULL REFERENCES record(id) DEFERRABLE INITIALLY DEFERRED,
  why                  TEXT NOT NULL,
  vessel_id            TEXT NOT NULL REFERENCES record(id),
  at                   TIMESTAMP NOT NULL,
  note                 TEXT NOT NULL,
  PRIMARY KEY (id, revision)
);

CREATE TABLE lot (
  id                   TEXT NOT NULL REFERENCES record(id),
  revision             BIGINT NOT NULL CHECK (revision > 0),
  struck               BOOLEAN NOT NULL,
  written_at           TIMESTAMP NOT NULL,
  written_by           TEXT NOT NULL REFERENCES record(id) DEFERRABLE INITIALLY DEFERRED,
  done_by              TEXT NOT NULL REFERENCES record(id) DEFERRABLE INITIALLY DEFERRED,
  why                  TEXT NOT NULL,
  site_id              TEXT NOT NULL REFERENCES record(id),
  code                 TEXT NOT NULL,
  day                  TEXT NOT NULL,
  kettle_number        BIGINT NOT NULL,
  ordinal              BIGINT NOT NULL,
  product_id           TEXT NOT NULL REFERENCES record(id),
  container_id         TEXT NOT NULL REFERENCES record(id),
  bottles_lot_id       TEXT REFERENCES record(id),
  closures_lot_id      TEXT REFERENCES record(id),
  started_at           TIMESTAMP NOT NULL,
  note                 TEXT NOT NULL,
  PRIMARY KEY (id, revision)
);

CREATE TABLE part (
  id                   TEXT NOT NULL REFERENCES record(id),
  revision             BIGINT NOT NULL CHECK (revision > 0),
  struck               BOOLEAN NOT NULL,
  written_at           TIMESTAMP NOT NULL,
  written_by           TEXT NOT NULL REFERENCES record(id) DEFERRABLE INITIALLY DEFERRED,
  done_by              TEXT NOT NULL REFERENCES record(id) DEFERRABLE INITIALLY DEFERRED,
  why                  TEXT NOT NULL,
  lot_id               TEXT NOT NULL REFERENCES record(id),
  number               BIGINT NOT NULL,
  units                BIGINT,
  note                 TEXT NOT NULL,
  PRIMARY KEY (id, revision)
);

CREATE TABLE fill_check (
  id                   TEXT NOT NULL REFERENCES record(id),
  revision             BIGINT NOT NULL CHECK (revision > 0),
  struck               BOOLEAN NOT NULL,
  written_at           TIMESTAMP NOT NULL,
  written_by           TEXT NOT NULL REFERENCES record(id) DEFERRABLE INITIALLY DEFERRED,
  done_by              TEXT NOT NULL REFERENCES record(id) DEFERRABLE INITIALLY DEFERRED,
  why                  TEXT NOT NULL,
  lot_id               TEXT NOT NULL REFERENCES record(id),
  at                   TIMESTAMP NOT NULL,
  bottle               DOUBLE PRECISION,
  bottle_entered       TEXT NOT NULL,
  tank_reading         DOUBLE PRECISION,
  tank_entered         TEXT NOT NULL,
  instrument_id        TEXT REFERENCES record(id),
  inverted_seconds     BIGINT,
  closure_ok           BOOLEAN,
  net_weight           DOUBLE PRECISION,
  net_weight_entered   TEXT NOT NULL,
  scale_id             TEXT REFERENCES record(id),
  note                 TEXT NOT NULL,
  PRIMARY KEY (id, revision)
);

CREATE TABLE fill_end (
  id                   TEXT NOT NULL REFERENCES record(id),
  revision             BIGINT NOT NULL CHECK (revision > 0),
  struck               BOOLEAN NOT NULL,
  written_at           TIMESTAMP NOT NULL,
  written_by           TEXT NOT NULL REFERENCES record(id) DEFERRABLE INITIALLY DEFERRED,
  done_by              TEXT NOT NULL REFERENCES record(id) DEFERRABLE INITIALLY DEFERRED,
  why                  TEXT NOT NULL,
  lot_id               TEXT NOT NULL REFERENCES record(id),
  at                   TIMESTAMP NOT NULL,
  count                BIGINT NOT NULL,
  estimated            BOOLEAN NOT NULL,
  PRIMARY KEY (id, revision)
);

CREATE TABLE disposition (
  id                   TEXT NOT NULL REFERENCES record(id),
  revision             BIGINT NOT NULL CHECK (revision > 0),
  struck               BOOLEAN NOT NULL,
  written_at           TIMESTAMP NOT NULL,
  written_by           TEXT NOT NULL REFERENCES record(id) DEFERRABLE INITIALLY DEFERRED,
  done_by              TEXT NOT NULL REFERENCES record(id) DEFERRABLE INITIALLY DEFERRED,
  why                  TEXT NOT NULL,
  part_id              TEXT NOT NULL REFERENCES record(id),
  at                   TIMESTAMP NOT NULL,
  act                  TEXT NOT NULL,
  reason               TEXT NOT NULL,
  findings             TEXT NOT NULL,
  words                TEXT NOT NULL,
  automatic            BOOLEAN NOT NULL,
  PRIMARY KEY (id, revision)
);

CREATE TABLE corrective_action (
  id                   TEXT NOT NULL REFERENCES record(id),
  revision             BIGINT NOT NULL CHECK (revision > 0),
  struck               BOOLEAN NOT NULL,
  written_at           TIMESTAMP NOT NULL,
  written_by           TEXT NOT NULL REFERENCES record(id) DEFERRABLE INITIALLY DEFERRED,
  done_by              TEXT NOT NULL REFERENCES record(id) DEFERRABLE INITIALLY DEFERRED,
  why                  TEXT NOT NULL,
  part_id              TEXT NOT NULL REFERENCES record(id),
  at                   TIMESTAMP NOT NULL,
  finding              TEXT NOT NULL,
  about_id             TEXT NOT NULL REFERENCES record(id),
  problem              TEXT NOT NULL,
  recurrence           TEXT NOT NULL,
  evaluation           TEXT NOT NULL,
  commerce             TEXT NOT NULL,
  PRIMARY KEY (id, revision)
);

CREATE TABLE link (
  id                   TEXT NOT NULL REFERENCES record(id),
  revision             BIGINT NOT NULL CHECK (revision > 0),
  struck               BOOLEAN NOT NULL,
  written_at           TIMESTAMP NOT NULL,
  written_by           TEXT NOT NULL REFERENCES record(id) DEFERRABLE INITIALLY DEFERRED,
  done_by              TEXT NOT NULL REFERENCES record(id) DEFERRABLE INITIALLY DEFERRED,
  why                  TEXT NOT NULL,
  from_id              TEXT NOT NULL REFERENCES record(id),
  to_id                TEXT NOT NULL REFERENCES record(id),
  at                   TIMESTAMP NOT NULL,
  mass                 DOUBLE PRECISION,
  volume               DOUBLE PRECISION,
  solids               DOUBLE PRECISION,
  units                BIGINT,
  entered              TEXT NOT NULL,
  estimated            BOOLEAN NOT NULL,
  heel                 BOOLEAN NOT NULL,
  PRIMARY KEY (id, revision)
);

CREATE TABLE shipment (
  id                   TEXT NOT NULL REFERENCES record(id),
  revision             BIGINT NOT NULL CHECK (revision > 0),
  struck               BOOLEAN NOT NULL,
  written_at           TIMESTAMP NOT NULL,
  written_by           TEXT NOT NULL REFERENCES record(id) DEFERRABLE INITIALLY DEFERRED,
  done_by              TEXT NOT NULL REFERENCES record(id) DEFERRABLE INITIALLY DEFERRED,
  why                  TEXT NOT NULL,
  customer_id          TEXT NOT NULL REFERENCES record(id),
  carrier_id           TEXT REFERENCES record(id),
  at                   TIMESTAMP NOT NULL,
  how_packed           TEXT NOT NULL,
  reference            TEXT NOT NULL,
  note                 TEXT NOT NULL,
  PRIMARY KEY (id, revision)
);

CREATE TABLE shelf_entry (
  id                   TEXT NOT NULL REFERENCES record(id),
  revision             BIGINT NOT NULL CHECK (revision > 0),
  struck               BOOLEAN NOT NULL,
  written_at           TIMESTAMP NOT NULL,
  written_by           TEXT NOT NULL REFERENCES record(id) DEFERRABLE INITIALLY DEFERRED,
  done_by              TEXT NOT NULL REFERENCES record(id) DEFERRABLE INITIALLY DEFERRED,
  why                  TEXT NOT NULL,
  what                 TEXT NOT NULL,
  part_id              TEXT NOT NULL REFERENCES record(id),
  at                   TIMESTAMP NOT NULL,
  units                BIGINT NOT NULL,
  shipment_id          TEXT REFERENCES record(id),
  place                TEXT NOT NULL,
  note                 TEXT NOT NULL,
  PRIMARY KEY (id, revision)
);

CREATE TABLE complaint (
  id                   TEXT NOT NULL REFERENCES record(id),
  revision             BIGINT NOT NULL CHECK (revision > 0),
  struck               BOOLEAN NOT NULL,
  written_at           TIMESTAMP NOT NULL,
  written_by           TEXT NOT NULL REFERENCES record(id) DEFERRABLE INITIALLY DEFERRED,
  done_by              TEXT NOT NULL REFERENCES record(id) DEFERRABLE INITIALLY DEFERRED,
  why                  TEXT NOT NULL,
  received_at          TIMESTAMP NOT NULL,
  lot_id               TEXT REFERENCES record(id),
  code_typed           TEXT NOT NULL,
  about                TEXT NOT NULL,
  bought_at            TEXT NOT NULL,
  opened_on            TEXT NOT NULL,
  stored               TEXT NOT NULL,
  story                TEXT NOT NULL,
  units                BIGINT,
  decision             TEXT NOT NULL,
  closed_at            TIMESTAMP,
  contact_hash         TEXT NOT NULL,
  PRIMARY KEY (id, revision)
);

CREATE TABLE print (
  id                   TEXT NOT NULL REFERENCES record(id),
  revision             BIGINT NOT NULL CHECK (revision > 0),
  struck               BOOLEAN NOT NULL,
  written_at           TIMESTAMP NOT NULL,
  written_by           TEXT NOT NULL REFERENCES record(id) DEFERRABLE INITIALLY DEFERRED,
  done_by              TEXT NOT NULL REFERENCES record(id) DEFERRABLE INITIALLY DEFERRED,
  why                  TEXT NOT NULL,
  of_id                TEXT NOT NULL REFERENCES record(id),
  what                 TEXT NOT NULL,
  at                   TIMESTAMP NOT NULL,
  copies               BIGINT NOT NULL,
  note                 TEXT NOT NULL,
  PRIMARY KEY (id, revision)
);

CREATE TABLE restore (
  id                   TEXT NOT NULL REFERENCES record(id),
  revision             BIGINT NOT NULL CHECK (revision > 0),
  struck               BOOLEAN NOT NULL,
  written_at           TIMESTAMP NOT NULL,
  written_by           TEXT NOT NULL REFERENCES record(id) DEFERRABLE INITIALLY DEFERRED,
  done_by              TEXT NOT NULL REFERENCES record(id) DEFERRABLE INITIALLY DEFERRED,
  why                  TEXT NOT NULL,
  backup_at            TIMESTAMP NOT NULL,
  restored_at          TIMESTAMP NOT NULL,
  last_code            TEXT NOT NULL,
  PRIMARY KEY (id, revision)
);

-- Look-ups by what a record belongs to.

CREATE INDEX planting_by_block_id ON planting (block_id);
CREATE INDEX application_by_block_id ON application (block_id);
CREATE INDEX cut_by_planting_id ON cut (planting_id);
CREATE INDEX run_by_code ON run (code);
CREATE INDEX run_by_kettle_id ON run (kettle_id);
CREATE INDEX boil_entry_by_run_id ON boil_entry (run_id);
CREATE INDEX density_reading_by_of_id ON density_reading (of_id);
CREATE INDEX addition_by_to_id ON addition (to_id);
CREATE INDEX addition_by_supply_lot_id ON addition (supply_lot_id);
CREATE INDEX wash_out_by_vessel_id ON wash_out (vessel_id);
CREATE INDEX lot_by_code ON lot (code);
CREATE INDEX lot_by_day ON lot (day);
CREATE INDEX part_by_lot_id ON part (lot_id);
CREATE INDEX fill_check_by_lot_id ON fill_check (lot_id);
CREATE INDEX fill_end_by_lot_id ON fill_end (lot_id);
CREATE INDEX disposition_by_part_id ON disposition (part_id);
CREATE INDEX corrective_action_by_part_id ON corrective_action (part_id);
CREATE INDEX link_by_from_id ON link (from_id);
CREATE INDEX link_by_to_id ON link (to_id);
CREATE INDEX shipment_by_customer_id ON shipment (customer_id);
CREATE INDEX shelf_entry_by_part_id ON shelf_entry (part_id);
CREATE INDEX shelf_entry_by_shipment_id ON shelf_entry (shipment_id);
CREATE INDEX complaint_by_lot_id ON complaint (lot_id);
CREATE INDEX print_by_of_id ON print (of_id);
CREATE INDEX instrument_check_by_instrument_id ON instrument_check (instrument_id);
CREATE INDEX person_by_login ON person (login);

-- The newest revision of every record that is not struck.

CREATE VIEW house_now AS SELECT t.* FROM house t WHERE NOT t.struck
  AND NOT EXISTS (SELECT 1 FROM house n WHERE n.id = t.id AND n.revision > t.revision);
CREATE VIEW site_now AS SELECT t.* FROM site t WHERE NOT t.struck
  AND NOT EXISTS (SELECT 1 FROM site n WHERE n.id = t.id AND n.revision > t.revision);
CREATE VIEW person_now AS SELECT t.* FROM person t WHERE NOT t.struck
  AND NOT EXISTS (SELECT 1 FROM person n WHERE n.id = t.id AND n.revision > t.revision);
CREATE VIEW kettle_now AS SELECT t.* FROM kettle t WHERE NOT t.struck
  AND NOT EXISTS (SELECT 1 FROM kettle n WHERE n.id = t.id AND n.revision > t.revision);
CREATE VIEW tank_now AS SELECT t.* FROM tank t WHERE NOT t.struck
  AND NOT EXISTS (SELECT 1 FROM tank n WHERE n.id = t.id AND n.revision > t.revision);
CREATE VIEW instrument_now AS SELECT t.* FROM instrument t WHERE NOT t.struck
  AND NOT EXISTS (SELECT 1 FROM instrument n WHERE n.id = t.id AND n.revision > t.revision);
CREATE VIEW instrument_check_now AS SELECT t.* FROM instrument_check t WHERE NOT t.struck
  AND NOT EXISTS (SELECT 1 FROM instrument_check n WHERE n.id = t.id AND n.revision > t.revision);
CREATE VIEW house_limit_now AS SELECT t.* FROM house_limit t WHERE NOT t.struck
  AND NOT EXISTS (SELECT 1 FROM house_limit n WHERE n.id = t.id AND n.revision > t.revision);
CREATE VIEW product_now AS SELECT t.* FROM product t WHERE NOT t.struck
  AND NOT EXISTS (SELECT 1 FROM product n WHERE n.id = t.id AND n.revision > t.revision);
CREATE VIEW container_now AS SELECT t.* FROM container t WHERE NOT t.struck
  AND NOT EXISTS (SELECT 1 FROM container n WHERE n.id = t.id AND n.revision > t.revision);
CREATE VIEW label_stock_now AS SELECT t.* FROM label_stock t WHERE NOT t.struck
  AND NOT EXISTS (SELECT 1 FROM label_stock n WHERE n.id = t.id AND n.revision > t.revision);
CREATE VIEW supplier_now AS SELECT t.* FROM supplier t WHERE NOT t.struck
  AND NOT EXISTS (SELECT 1 FROM supplier n WHERE n.id = t.id AND n.revision > t.revision);
CREATE VIEW carrier_now AS SELECT t.* FROM carrier t WHERE NOT t.struck
  AND NOT EXISTS (SELECT 1 FROM carrier n WHERE n.id = t.id AND n.revision > t.revision);
CREATE VIEW customer_now AS SELECT t.* FROM customer t WHERE NOT t.struck
  AND NOT EXISTS (SELECT 1 FROM customer n WHERE n.id = t.id AND n.revision > t.revision);
CREATE VIEW supply_lot_now AS SELECT t.* FROM supply_lot t WHERE NOT t.struck
  AND NOT EXISTS (SELECT 1 FROM supply_lot n WHERE n.id = t.id AND n.revision > t.revision);
CREATE VIEW block_now AS SELECT t.* FROM block t WHERE NOT t.struck
  AND NOT EXISTS (SELECT 1 FROM block n WHERE n.id = t.id AND n.revision > t.revision);
CREATE VIEW planting_now AS SELECT t.* FROM planting t WHERE NOT t.struck
  AND NOT EXISTS (SELECT 1 FROM planting n WHERE n.id = t.id AND n.revision > t.revision);
CREATE VIEW application_now AS SELECT t.* FROM application t WHERE NOT t.struck
  AND NOT EXISTS (SELECT 1 FROM application n WHERE n.id = t.id AND n.revision > t.revision);
CREATE VIEW freeze_night_now AS SELECT t.* FROM freeze_night t WHERE NOT t.struck
  AND NOT EXISTS (SELECT 1 FROM freeze_night n WHERE n.id = t.id AND n.revision > t.revision);
CREATE VIEW cut_now AS SELECT t.* FROM cut t WHERE NOT t.struck
  AND NOT EXISTS (SELECT 1 FROM cut n WHERE n.id = t.id AND n.revision > t.revision);
CREATE VIEW pressing_now AS SELECT t.* FROM pressing t WHERE NOT t.struck
  AND NOT EXISTS (SELECT 1 FROM pressing n WHERE n.id = t.id AND n.revision > t.revision);
CREATE VIEW run_now AS SELECT t.* FROM run t WHERE NOT t.struck
  AND NOT EXISTS (SELECT 1 FROM run n WHERE n.id = t.id AND n.revision > t.revision);
CREATE VIEW boil_entry_now AS SELECT t.* FROM boil_entry t WHERE NOT t.struck
  AND NOT EXISTS (SELECT 1 FROM boil_entry n WHERE n.id = t.id AND n.revision > t.revision);
CREATE VIEW density_reading_now AS SELECT t.* FROM density_reading t WHERE NOT t.struck
  AND NOT EXISTS (SELECT 1 FROM density_reading n WHERE n.id = t.id AND n.revision > t.revision);
CREATE VIEW addition_now AS SELECT t.* FROM addition t WHERE NOT t.struck
  AND NOT EXISTS (SELECT 1 FROM addition n WHERE n.id = t.id AND n.revision > t.revision);
CREATE VIEW wash_out_now AS SELECT t.* FROM wash_out t WHERE NOT t.struck
  AND NOT EXISTS (SELECT 1 FROM wash_out n WHERE n.id = t.id AND n.revision > t.revision);
CREATE VIEW lot_now AS SELECT t.* FROM lot t WHERE NOT t.struck
  AND NOT EXISTS (SELECT 1 FROM lot n WHERE n.id = t.id AND n.revision > t.revision);
CREATE VIEW part_now AS SELECT t.* FROM part t WHERE NOT t.struck
  AND NOT EXISTS (SELECT 1 FROM part n WHERE n.id = t.id AND n.revision > t.revision);
CREATE VIEW fill_check_now AS SELECT t.* FROM fill_check t WHERE NOT t.struck
  AND NOT EXISTS (SELECT 1 FROM fill_check n WHERE n.id = t.id AND n.revision > t.revision);
CREATE VIEW fill_end_now AS SELECT t.* FROM fill_end t WHERE NOT t.struck
  AND NOT EXISTS (SELECT 1 FROM fill_end n WHERE n.id = t.id AND n.revision > t.revision);
CREATE VIEW disposition_now AS SELECT t.* FROM disposition t WHERE NOT t.struck
  AND NOT EXISTS (SELECT 1 FROM disposition n WHERE n.id = t.id AND n.revision > t.revision);
CREATE VIEW corrective_action_now AS SELECT t.* FROM corrective_action t WHERE NOT t.struck
  AND NOT EXISTS (SELECT 1 FROM corrective_action n WHERE n.id = t.id AND n.revision > t.revision);
CREATE VIEW link_now AS SELECT t.* FROM link t WHERE NOT t.struck
  AND NOT EXISTS (SELECT 1 FROM link n WHERE n.id = t.id AND n.revision > t.revision);
CREATE VIEW shipment_now AS SELECT t.* FROM shipment t WHERE NOT t.struck
  AND NOT EXISTS (SELECT 1 FROM shipment n WHERE n.id = t.id AND n.revision > t.revision);
CREATE VIEW shelf_entry_now AS SELECT t.* FROM shelf_entry t WHERE NOT t.struck
  AND NOT EXISTS (SELECT 1 FROM shelf_entry n WHERE n.id = t.id AND n.revision > t.revision);
CREATE VIEW complaint_now AS SELECT t.* FROM complaint t WHERE NOT t.struck
  AND NOT EXISTS (SELECT 1 FROM complaint n WHERE n.id = t.id AND n.revision > t.revision);
CREATE VIEW print_now AS SELECT t.* FROM print t WHERE NOT t.struck
  AND NOT EXISTS (SELECT 1 FROM print n WHERE n.id = t.id AND n.revision > t.revision);
CREATE VIEW restore_now AS SELECT t.* FROM restore t WHERE NOT t.struck
  AND NOT EXISTS (SELECT 1 FROM restore n WHERE n.id = t.id AND n.revision > t.revision);
