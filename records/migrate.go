package records

import (
	"context"
	"crypto/sha256"
	"embed"
	"encoding/hex"
	"errors"
	"fmt"
	"io/fs"
	"slices"
	"strings"

	"gorm.io/gorm"
)

//go:embed migrations/*.sql
var migrations embed.FS

// migration is one released SQL file. A file for one database only is named .sqlite.sql or .postgres.sql.
type migration struct{ Name, SQL, Checksum string }

// migrate applies what is missing, each file in one transaction. It refuses a released file that changed and a database
// newer than this program.
func (s *Store) migrate(ctx context.Context) error {
	all, err := s.migrations()
	if err != nil {
		return err
	}
	return s.write.WithContext(ctx).Transaction(func(db *gorm.DB) error {
		if !s.sqlite() {
			if err := db.Exec("SELECT pg_advisory_xact_lock(?)", chainLock).Error; err != nil {
				return err
			}
		}
		err := db.Exec("CREATE TABLE IF NOT EXISTS schema_migration (name TEXT NOT NULL PRIMARY KEY, checksum TEXT NOT NULL, applied_at TIMESTAMP NOT NULL)").Error
		if err != nil {
			return err
		}
		var applied []struct{ Name, Checksum string }
		if err := db.Raw("SELECT name, checksum FROM schema_migration").Scan(&applied).Error; err != nil {
			return err
		}
		done := map[string]string{}
		for _, a := range applied {
			done[a.Name] = a.Checksum
		}
		for _, m := range all {
			if err := s.apply(db, m, done); err != nil {
				return fmt.Errorf("%s: %w", m.Name, err)
			}
			delete(done, m.Name)
		}
		for name := range done {
			return fmt.Errorf("these records were written by a newer Canewright (%s): start that version, or restore an older backup", name)
		}
		return nil
	})
}

func (s *Store) apply(db *gorm.DB, m migration, done map[string]string) error {
	if sum, ok := done[m.Name]; ok {
		if sum != m.Checksum {
			return fmt.Errorf("this released migration has changed since it was applied: use an unaltered build")
		}
		return nil
	}
	if err := db.Exec(m.SQL).Error; err != nil {
		return err
	}
	return db.Exec("INSERT INTO schema_migration (name, checksum, applied_at) VALUES (?, ?, ?)", m.Name, m.Checksum, s.Now()).Error
}

// migrations lists the files for this database in the order of their numbers.
func (s *Store) migrations() ([]migration, error) {
	names, err := fs.Glob(migrations, "migrations/*.sql")
	if err != nil {
		return nil, err
	}
	slices.Sort(names)
	other := ".postgres.sql"
	if !s.sqlite() {
		other = ".sqlite.sql"
	}
	var all []migration
	for _, name := range names {
		if strings.HasSuffix(name, other) {
			continue
		}
		text, err := migrations.ReadFile(name)
		if err != nil {
			return nil, err
		}
		sum := sha256.Sum256(text)
		all = append(all, migration{strings.TrimPrefix(name, "migrations/"), string(text), hex.EncodeToString(sum[:])})
	}
	return all, nil
}

// mutable lists the tables that may change: sign-in, and caches that are rebuilt from the facts.
var mutable = []string{"credential", "session", "sign_in_attempt", "submission", "flow", "schema_migration"}

// kept lists the tables whose rows stay as written.
func kept() []string {
	tables := []string{"record", "journal", "personal", "lot_code", "content"}
	for _, k := range Kinds() {
		tables = append(tables, string(k))
	}
	return tables
}

// assertGround checks at every start what the records rest on: the pragmas of each connection and the triggers of each
// table.
func (s *Store) assertGround(ctx context.Context) error {
	if !s.sqlite() {
		var commit string
		if err := s.write.WithContext(ctx).Raw("SHOW synchronous_commit").Scan(&commit).Error; err != nil {
			return err
		}
		if commit == "off" {
			return errors.New("PostgreSQL has synchronous_commit = off: what was acknowledged could be lost; turn it on for this database")
		}
		return s.assertTriggers(ctx, "SELECT DISTINCT event_object_table FROM information_schema.triggers WHERE trigger_name LIKE '%_no_change'")
	}
	for pragma, want := range map[string]string{"synchronous": "2", "journal_mode": "wal", "foreign_keys": "1", "recursive_triggers": "1"} {
		for _, db := range []*gorm.DB{s.write, s.read} {
			var got string
			if err := db.WithContext(ctx).Raw("PRAGMA " + pragma).Scan(&got).Error; err != nil {
				return err
			}
			if got != want {
				return fmt.Errorf("SQLite opened with %s = %s, needed %s: records could be lost", pragma, got, want)
			}
		}
	}
	if err := s.assertTriggers(ctx, `SELECT tbl_name FROM sqlite_master WHERE type = 'trigger' AND name LIKE '%\_no\_update' ESCAPE '\'`); err != nil {
		return err
	}
	return s.assertTriggers(ctx, `SELECT tbl_name FROM sqlite_master WHERE type = 'trigger' AND name LIKE '%\_no\_delete' ESCAPE '\'`)
}

func (s *Store) assertTriggers(ctx context.Context, query string) error {
	var guarded []string
	if err := s.write.WithContext(ctx).Raw(query).Scan(&guarded).Error; err != nil {
		return err
	}
	for _, table := range kept() {
		if !slices.Contains(guarded, table) {
			return fmt.Errorf("table %s has lost the trigger that keeps its rows as written: run canewright verify before going on", table)
		}
	}
	return nil
}
