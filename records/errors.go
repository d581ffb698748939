package records

import (
	"errors"
	"strings"
)

// FieldError is one wrong field: its name, and the catalogue key and arguments of what to say there.
type FieldError struct {
	Field string
	Key   string
	Args  []any
}

// Invalid is input that cannot be taken: every wrong field at once. HTTP 422.
type Invalid []FieldError

func (e Invalid) Error() string {
	var fields []string
	for _, f := range e {
		fields = append(fields, f.Field+": "+f.Key)
	}
	return "invalid input: " + strings.Join(fields, "; ")
}

// Conflict is input that was right until something else happened. HTTP 409.
type Conflict struct {
	Key  string
	Args []any
	ID   string // record to look at
}

func (e Conflict) Error() string { return "conflict: " + e.Key }

// Forbidden is an act the person may not do. HTTP 403.
type Forbidden struct {
	Key  string
	Args []any
}

func (e Forbidden) Error() string { return "forbidden: " + e.Key }

// Already says that this submission was taken before; RecordID is what it made then. HTTP 303 to that record.
type Already struct{ RecordID string }

func (e Already) Error() string { return "already recorded as " + e.RecordID }

// NoRoom tells whether the database had no room left on its disk. Nothing of what was being written is kept; what was
// acknowledged before is, and can be read.
func NoRoom(err error) bool {
	if err == nil {
		return false
	}
	said := err.Error() // SQLite's words for SQLITE_FULL, PostgreSQL's state for disk_full
	return strings.Contains(said, "database or disk is full") || strings.Contains(said, "SQLSTATE 53100")
}

// ErrNotFound is wrapped by every look-up that finds nothing. HTTP 404.
var ErrNotFound = errors.New("not found")
