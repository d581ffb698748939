package hazards

import (
	"fmt"
	"slices"
)

// Level is how much a finding asks for.
type Level int

// The levels, from nothing asked to no signature answers it.
const (
	Within Level = iota // nothing asked
	Note                // told
	Check               // accepted with a reason at release
	Hold                // not releasable until answered by a new reading, an amendment or a corrective action
	Stop                // only amending a wrong record, rework or destruction
)

var levelWords = []string{"within", "note", "check", "hold", "stop"}

// String is the level's word, as stored; its shown word is the catalogue's "level.<word>".
func (l Level) String() string {
	if l < Within || l > Stop {
		return fmt.Sprintf("level(%d)", int(l))
	}
	return levelWords[l]
}

// MarshalText writes the level's word.
func (l Level) MarshalText() ([]byte, error) {
	if l < Within || l > Stop {
		return nil, fmt.Errorf("level %d: expected 0 to 4", int(l))
	}
	return []byte(levelWords[l]), nil
}

// UnmarshalText reads the level's word.
func (l *Level) UnmarshalText(b []byte) error {
	n := slices.Index(levelWords, string(b))
	if n < 0 {
		return fmt.Errorf("level %q: expected one of %v", b, levelWords)
	}
	*l = Level(n)
	return nil
}
