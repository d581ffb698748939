-- The filler and its labels: what happens between two checks, parts by bottle number, net contents, cooling tests, trade
-- items, label answers and balances. New columns have the value an older record means by leaving them out.

-- What happens at the filler between two checks: bottles broken, a stop, going on, a note.
CREATE TABLE fill_event (
  id                   TEXT NOT NULL REFERENCES record(id),
  revision             BIGINT NOT NULL CHECK (revision > 0),
  struck               BOOLEAN NOT NULL,
  written_at           TIMESTAMP NOT NULL,
  written_by           TEXT NOT NULL REFERENCES record(id) DEFERRABLE INITIALLY DEFERRED,
  done_by              TEXT NOT NULL REFERENCES record(id) DEFERRABLE INITIALLY DEFERRED,
  why                  TEXT NOT NULL,
  lot_id               TEXT NOT NULL REFERENCES record(id),
  at                   TIMESTAMP NOT NULL,
  what                 TEXT NOT NULL,
  count                BIGINT,
  bottle_number        BIGINT,
  note                 TEXT NOT NULL,
  PRIMARY KEY (id, revision)
);

-- A net-contents check of a lot: the sample picked, the weights as written, by which scheme and tables, and the steps as worked out then.
CREATE TABLE net_sample (
  id                   TEXT NOT NULL REFERENCES record(id),
  revision             BIGINT NOT NULL CHECK (revision > 0),
  struck               BOOLEAN NOT NULL,
  written_at           TIMESTAMP NOT NULL,
  written_by           TEXT NOT NULL REFERENCES record(id) DEFERRABLE INITIALLY DEFERRED,
  done_by              TEXT NOT NULL REFERENCES record(id) DEFERRABLE INITIALLY DEFERRED,
  why                  TEXT NOT NULL,
  lot_id               TEXT NOT NULL REFERENCES record(id),
  at                   TIMESTAMP NOT NULL,
  scheme               TEXT NOT NULL,
  edition              TEXT NOT NULL,
  lot_size             BIGINT NOT NULL,
  seed                 TEXT NOT NULL,
  picked               TEXT NOT NULL,
  scale_id             TEXT REFERENCES record(id),
  gross                BOOLEAN NOT NULL,
  tare                 DOUBLE PRECISION,
  tare_entered         TEXT NOT NULL,
  unit                 TEXT NOT NULL,
  weights              TEXT NOT NULL,
  contents             DOUBLE PRECISION NOT NULL,
  solids               DOUBLE PRECISION NOT NULL,
  passed               BOOLEAN NOT NULL,
  result               TEXT NOT NULL,
  note                 TEXT NOT NULL,
  PRIMARY KEY (id, revision)
);

-- A table of tolerances the owner enters where it is not published in full here.
CREATE TABLE net_table (
  id                   TEXT NOT NULL REFERENCES record(id),
  revision             BIGINT NOT NULL CHECK (revision > 0),
  struck               BOOLEAN NOT NULL,
  written_at           TIMESTAMP NOT NULL,
  written_by           TEXT NOT NULL REFERENCES record(id) DEFERRABLE INITIALLY DEFERRED,
  done_by              TEXT NOT NULL REFERENCES record(id) DEFERRABLE INITIALLY DEFERRED,
  why                  TEXT NOT NULL,
  name                 TEXT NOT NULL,
  edition              TEXT NOT NULL,
  source               TEXT NOT NULL,
  as_of                TEXT NOT NULL,
  lines                TEXT NOT NULL,
  PRIMARY KEY (id, revision)
);

-- How a filled container cools: the validation behind its house fill limit.
CREATE TABLE cooling_test (
  id                   TEXT NOT NULL REFERENCES record(id),
  revision             BIGINT NOT NULL CHECK (revision > 0),
  struck               BOOLEAN NOT NULL,
  written_at           TIMESTAMP NOT NULL,
  written_by           TEXT NOT NULL REFERENCES record(id) DEFERRABLE INITIALLY DEFERRED,
  done_by              TEXT NOT NULL REFERENCES record(id) DEFERRABLE INITIALLY DEFERRED,
  why                  TEXT NOT NULL,
  container_id         TEXT NOT NULL REFERENCES record(id),
  at                   TIMESTAMP NOT NULL,
  instrument_id        TEXT REFERENCES record(id),
  unit                 TEXT NOT NULL,
  series               TEXT NOT NULL,
  air                  DOUBLE PRECISION,
  air_entered          TEXT NOT NULL,
  position             TEXT NOT NULL,
  note                 TEXT NOT NULL,
  PRIMARY KEY (id, revision)
);

-- A product in a container, with the GTINs the owner holds for it and the stock its labels are printed on.
CREATE TABLE trade_item (
  id                   TEXT NOT NULL REFERENCES record(id),
  revision             BIGINT NOT NULL CHECK (revision > 0),
  struck               BOOLEAN NOT NULL,
  written_at           TIMESTAMP NOT NULL,
  written_by           TEXT NOT NULL REFERENCES record(id) DEFERRABLE INITIALLY DEFERRED,
  done_by              TEXT NOT NULL REFERENCES record(id) DEFERRABLE INITIALLY DEFERRED,
  why                  TEXT NOT NULL,
  product_id           TEXT NOT NULL REFERENCES record(id),
  container_id         TEXT NOT NULL REFERENCES record(id),
  gtin                 TEXT NOT NULL,
  case_gtin            TEXT NOT NULL,
  label_stock_id       TEXT REFERENCES record(id),
  note                 TEXT NOT NULL,
  PRIMARY KEY (id, revision)
);

-- The owner's signed reason for a label that contradicts the records.
CREATE TABLE label_answer (
  id                   TEXT NOT NULL REFERENCES record(id),
  revision             BIGINT NOT NULL CHECK (revision > 0),
  struck               BOOLEAN NOT NULL,
  written_at           TIMESTAMP NOT NULL,
  written_by           TEXT NOT NULL REFERENCES record(id) DEFERRABLE INITIALLY DEFERRED,
  done_by              TEXT NOT NULL REFERENCES record(id) DEFERRABLE INITIALLY DEFERRED,
  why                  TEXT NOT NULL,
  lot_id               TEXT NOT NULL REFERENCES record(id),
  at                   TIMESTAMP NOT NULL,
  code                 TEXT NOT NULL,
  words                TEXT NOT NULL,
  reason               TEXT NOT NULL,
  PRIMARY KEY (id, revision)
);

-- Labels used and spoiled, beside those printed.
CREATE TABLE label_count (
  id                   TEXT NOT NULL REFERENCES record(id),
  revision             BIGINT NOT NULL CHECK (revision > 0),
  struck               BOOLEAN NOT NULL,
  written_at           TIMESTAMP NOT NULL,
  written_by           TEXT NOT NULL REFERENCES record(id) DEFERRABLE INITIALLY DEFERRED,
  done_by              TEXT NOT NULL REFERENCES record(id) DEFERRABLE INITIALLY DEFERRED,
  why                  TEXT NOT NULL,
  lot_id               TEXT NOT NULL REFERENCES record(id),
  at                   TIMESTAMP NOT NULL,
  used                 BIGINT NOT NULL,
  spoiled              BIGINT NOT NULL,
  note                 TEXT NOT NULL,
  PRIMARY KEY (id, revision)
);

-- A tray tag held against a label before labelling.
CREATE TABLE tag_match (
  id                   TEXT NOT NULL REFERENCES record(id),
  revision             BIGINT NOT NULL CHECK (revision > 0),
  struck               BOOLEAN NOT NULL,
  written_at           TIMESTAMP NOT NULL,
  written_by           TEXT NOT NULL REFERENCES record(id) DEFERRABLE INITIALLY DEFERRED,
  done_by              TEXT NOT NULL REFERENCES record(id) DEFERRABLE INITIALLY DEFERRED,
  why                  TEXT NOT NULL,
  lot_id               TEXT NOT NULL REFERENCES record(id),
  at                   TIMESTAMP NOT NULL,
  tag_typed            TEXT NOT NULL,
  label_typed          TEXT NOT NULL,
  matched              BOOLEAN NOT NULL,
  note                 TEXT NOT NULL,
  PRIMARY KEY (id, revision)
);

DROP VIEW part_now;
ALTER TABLE part ADD COLUMN first_bottle BIGINT;
ALTER TABLE part ADD COLUMN last_bottle BIGINT;
ALTER TABLE part ADD COLUMN of_part_id TEXT REFERENCES record(id);
CREATE VIEW part_now AS SELECT t.* FROM part t WHERE NOT t.struck
  AND NOT EXISTS (SELECT 1 FROM part n WHERE n.id = t.id AND n.revision > t.revision);

DROP VIEW fill_check_now;
ALTER TABLE fill_check ADD COLUMN bottle_number BIGINT;
ALTER TABLE fill_check ADD COLUMN case_number BIGINT;
ALTER TABLE fill_check ADD COLUMN gross DOUBLE PRECISION;
ALTER TABLE fill_check ADD COLUMN gross_entered TEXT NOT NULL DEFAULT '';
ALTER TABLE fill_check ADD COLUMN tare DOUBLE PRECISION;
CREATE VIEW fill_check_now AS SELECT t.* FROM fill_check t WHERE NOT t.struck
  AND NOT EXISTS (SELECT 1 FROM fill_check n WHERE n.id = t.id AND n.revision > t.revision);

DROP VIEW container_now;
ALTER TABLE container ADD COLUMN shape TEXT NOT NULL DEFAULT '';
ALTER TABLE container ADD COLUMN panel_height DOUBLE PRECISION;
ALTER TABLE container ADD COLUMN panel_width DOUBLE PRECISION;
ALTER TABLE container ADD COLUMN diameter DOUBLE PRECISION;
ALTER TABLE container ADD COLUMN surface DOUBLE PRECISION;
ALTER TABLE container ADD COLUMN moulded BOOLEAN NOT NULL DEFAULT FALSE;
ALTER TABLE container ADD COLUMN cooling_test_id TEXT REFERENCES record(id);
CREATE VIEW container_now AS SELECT t.* FROM container t WHERE NOT t.struck
  AND NOT EXISTS (SELECT 1 FROM container n WHERE n.id = t.id AND n.revision > t.revision);

DROP VIEW product_now;
ALTER TABLE product ADD COLUMN claims TEXT NOT NULL DEFAULT '';
ALTER TABLE product ADD COLUMN caution TEXT NOT NULL DEFAULT '';
ALTER TABLE product ADD COLUMN nutrition TEXT NOT NULL DEFAULT '';
ALTER TABLE product ADD COLUMN nutrition_note TEXT NOT NULL DEFAULT '';
CREATE VIEW product_now AS SELECT t.* FROM product t WHERE NOT t.struck
  AND NOT EXISTS (SELECT 1 FROM product n WHERE n.id = t.id AND n.revision > t.revision);

DROP VIEW house_now;
ALTER TABLE house ADD COLUMN company_prefix TEXT NOT NULL DEFAULT '';
ALTER TABLE house ADD COLUMN public_page BOOLEAN NOT NULL DEFAULT FALSE;
ALTER TABLE house ADD COLUMN statement_height DOUBLE PRECISION;
CREATE VIEW house_now AS SELECT t.* FROM house t WHERE NOT t.struck
  AND NOT EXISTS (SELECT 1 FROM house n WHERE n.id = t.id AND n.revision > t.revision);

DROP VIEW label_stock_now;
ALTER TABLE label_stock ADD COLUMN offset_x DOUBLE PRECISION NOT NULL DEFAULT 0;
ALTER TABLE label_stock ADD COLUMN offset_y DOUBLE PRECISION NOT NULL DEFAULT 0;
CREATE VIEW label_stock_now AS SELECT t.* FROM label_stock t WHERE NOT t.struck
  AND NOT EXISTS (SELECT 1 FROM label_stock n WHERE n.id = t.id AND n.revision > t.revision);

DROP VIEW print_now;
ALTER TABLE print ADD COLUMN reprint BOOLEAN NOT NULL DEFAULT FALSE;
ALTER TABLE print ADD COLUMN label_stock_id TEXT REFERENCES record(id);
ALTER TABLE print ADD COLUMN start_cell BIGINT;
CREATE VIEW print_now AS SELECT t.* FROM print t WHERE NOT t.struck
  AND NOT EXISTS (SELECT 1 FROM print n WHERE n.id = t.id AND n.revision > t.revision);

DROP VIEW complaint_now;
ALTER TABLE complaint ADD COLUMN source TEXT NOT NULL DEFAULT '';
CREATE VIEW complaint_now AS SELECT t.* FROM complaint t WHERE NOT t.struck
  AND NOT EXISTS (SELECT 1 FROM complaint n WHERE n.id = t.id AND n.revision > t.revision);

CREATE INDEX fill_event_by_lot_id ON fill_event (lot_id);
CREATE INDEX net_sample_by_lot_id ON net_sample (lot_id);
CREATE INDEX cooling_test_by_container_id ON cooling_test (container_id);
CREATE INDEX trade_item_by_product_id ON trade_item (product_id);
CREATE INDEX label_answer_by_lot_id ON label_answer (lot_id);
CREATE INDEX label_count_by_lot_id ON label_count (lot_id);
CREATE INDEX tag_match_by_lot_id ON tag_match (lot_id);

CREATE VIEW fill_event_now AS SELECT t.* FROM fill_event t WHERE NOT t.struck
  AND NOT EXISTS (SELECT 1 FROM fill_event n WHERE n.id = t.id AND n.revision > t.revision);
CREATE VIEW net_sample_now AS SELECT t.* FROM net_sample t WHERE NOT t.struck
  AND NOT EXISTS (SELECT 1 FROM net_sample n WHERE n.id = t.id AND n.revision > t.revision);
CREATE VIEW net_table_now AS SELECT t.* FROM net_table t WHERE NOT t.struck
  AND NOT EXISTS (SELECT 1 FROM net_table n WHERE n.id = t.id AND n.revision > t.revision);
CREATE VIEW cooling_test_now AS SELECT t.* FROM cooling_test t WHERE NOT t.struck
  AND NOT EXISTS (SELECT 1 FROM cooling_test n WHERE n.id = t.id AND n.revision > t.revision);
CREATE VIEW trade_item_now AS SELECT t.* FROM trade_item t WHERE NOT t.struck
  AND NOT EXISTS (SELECT 1 FROM trade_item n WHERE n.id = t.id AND n.revision > t.revision);
CREATE VIEW label_answer_now AS SELECT t.* FROM label_answer t WHERE NOT t.struck
  AND NOT EXISTS (SELECT 1 FROM label_answer n WHERE n.id = t.id AND n.revision > t.revision);
CREATE VIEW label_count_now AS SELECT t.* FROM label_count t WHERE NOT t.struck
  AND NOT EXISTS (SELECT 1 FROM label_count n WHERE n.id = t.id AND n.revision > t.revision);
CREATE VIEW tag_match_now AS SELECT t.* FROM tag_match t WHERE NOT t.struck
  AND NOT EXISTS (SELECT 1 FROM tag_match n WHERE n.id = t.id AND n.revision > t.revision);
