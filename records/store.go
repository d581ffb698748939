package records

import (
	"context"
	"crypto/rand"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"time"

	"github.com/oklog/ulid/v2"
	"gorm.io/driver/postgres"
	"gorm.io/driver/sqlite"
	"gorm.io/gorm"
	"gorm.io/gorm/logger"
)

// Options say where a house's records are and what the store takes from outside.
type Options struct {
	Data    string           // a folder, or postgres://…
	Now     func() time.Time // clock; time.Now when nil
	Entropy io.Reader        // for ids and salts; crypto/rand when nil
	// NotBefore is when this program was built: no lot is given a code while the clock stands before it.
	NotBefore time.Time
	// ToVerify opens records whose ground is not as it should be, as when a table has lost its guard, so that Verify can
	// say what was changed. Nothing else may be done with them.
	ToVerify bool
}

// Store holds one house. One connection writes; pages read from a pool that cannot write.
type Store struct {
	write, read *gorm.DB
	now         func() time.Time
	entropy     io.Reader
	ids         *ulid.MonotonicEntropy // ids of one moment come in the order written
	idMu        sync.Mutex
	notBefore   time.Time
	feed        feed
	logged      loggedCache
}

// Source is where a query reads: the store's read pool, or the transaction that is writing.
type Source interface {
	conn(ctx context.Context) *gorm.DB
}

func (s *Store) conn(ctx context.Context) *gorm.DB { return s.read.WithContext(ctx) }

// DatabaseFile is the file of an embedded house inside its data folder.
const DatabaseFile = "canewright.db"

// Exists says whether a folder already holds a house.
func Exists(folder string) bool {
	_, err := os.Stat(filepath.Join(folder, DatabaseFile))
	return err == nil
}

// Open opens a house, brings its tables up to date and checks that the database keeps what it acknowledges.
func Open(ctx context.Context, opt Options) (*Store, error) {
	s := &Store{now: opt.Now, entropy: opt.Entropy, notBefore: opt.NotBefore, feed: feed{woken: make(chan struct{}, 1)}}
	if s.now == nil {
		s.now = time.Now
	}
	if s.entropy == nil {
		s.entropy = rand.Reader
	}
	s.ids = ulid.Monotonic(s.entropy, 0)
	if err := s.connect(opt.Data); err != nil {
		return nil, fmt.Errorf("open %s: %w", opt.Data, err)
	}
	if err := s.migrate(ctx); err != nil {
		return nil, errors.Join(fmt.Errorf("bring the tables of %s up to date: %w", opt.Data, err), s.Close())
	}
	if err := s.assertGround(ctx); err != nil && !opt.ToVerify {
		return nil, errors.Join(err, s.Close())
	}
	return s, nil
}

// sqliteDSN: measured in the engineering notes. FULL keeps what was acknowledged through a power cut; immediate avoids
// the upgrade of a read lock, which busy_timeout does not wait for; kept statements save a fifth of a season's writing.
const sqliteDSN = "file:%s?_journal_mode=WAL&_synchronous=FULL&_foreign_keys=1&_txlock=immediate&_busy_timeout=5000&_rt=1&_stmt_cache_size=200"

func (s *Store) connect(data string) (err error) {
	if isPostgres(data) {
		if s.write, err = open(postgres.Open(data), 8); err == nil {
			s.read = s.write
		}
		return err
	}
	if err = os.MkdirAll(data, 0o700); err != nil {
		return err
	}
	dsn := fmt.Sprintf(sqliteDSN, filepath.ToSlash(filepath.Join(data, DatabaseFile)))
	if s.write, err = open(sqlite.Open(dsn), 1); err != nil {
		return err
	}
	s.read, err = open(sqlite.Open(dsn+"&_query_only=1"), 4)
	return err
}

func isPostgres(data string) bool {
	return strings.HasPrefix(data, "postgres://") || strings.HasPrefix(data, "postgresql://")
}

func open(dialect gorm.Dialector, connections int) (*gorm.DB, error) {
	db, err := gorm.Open(dialect, &gorm.Config{
		NamingStrategy:         naming,
		SkipDefaultTransaction: true,
		TranslateError:         true,
		Logger:                 logger.Discard,
	})
	if err != nil {
		return nil, err
	}
	pool, err := db.DB()
	if err != nil {
		return nil, err
	}
	pool.SetMaxOpenConns(connections)
	pool.SetMaxIdleConns(connections)
	return db, nil
}

// Close ends the feed and closes both pools.
func (s *Store) Close() error {
	s.feed.close()
	var errs []error
	for _, db := range []*gorm.DB{s.read, s.write} {
		if db == nil {
			continue
		}
		if pool, err := db.DB(); err == nil {
			errs = append(errs, pool.Close())
		}
	}
	return errors.Join(errs...)
}

// Now is the store's clock, in UTC.
func (s *Store) Now() time.Time { return s.now().UTC().Truncate(time.Microsecond) }

func (s *Store) sqlite() bool { return s.write.Dialector.Name() == "sqlite" }
