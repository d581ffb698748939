package records

import (
	"slices"
	"sync"
	"time"
)

// loggedKey is all that the points of a logger's file in a run depend on. The file's bytes never change.
type loggedKey struct {
	importID  string
	revision  int
	sum       string
	from, end time.Time
}

// loggedCache keeps what was read from loggers' files, thinned as pages need it: a file may have half a million lines, and a
// run's page is made anew every minute.
type loggedCache struct {
	mu   sync.Mutex
	made map[loggedKey][]LoggedPoint
}

// loggedKept is how many readings of files are kept in memory (our choice, no source).
const loggedKept = 64

// get gives the points of a key, made when they are not there.
func (k *loggedCache) get(key loggedKey, read func() ([]LoggedPoint, error)) ([]LoggedPoint, error) {
	k.mu.Lock()
	points, ok := k.made[key]
	k.mu.Unlock()
	if ok {
		return slices.Clone(points), nil
	}
	points, err := read()
	if err != nil {
		return nil, err
	}
	k.mu.Lock()
	defer k.mu.Unlock()
	if k.made == nil || len(k.made) >= loggedKept {
		k.made = map[loggedKey][]LoggedPoint{}
	}
	k.made[key] = points
	return slices.Clone(points), nil
}

func (s *Store) loggedPoints() *loggedCache { return &s.logged }
func (tx *Tx) loggedPoints() *loggedCache   { return &tx.s.logged }

// loggedCacheOf is the cache of the store behind a source; one that is empty where there is none.
func loggedCacheOf(src Source) *loggedCache {
	if keeps, ok := src.(interface{ loggedPoints() *loggedCache }); ok {
		return keeps.loggedPoints()
	}
	return new(loggedCache)
}
