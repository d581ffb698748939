package records

import (
	"context"
	"fmt"
	"regexp"
	"strconv"
	"strings"
)

// TypedHead is a journal head as copied from paper: the entry's number where it was written, and the hash or its first
// characters.
type TypedHead struct {
	Seq  int64 // 0: not given
	Hash string
}

// headTyped is the form of a head: its number, then at least eight hexadecimal characters that may stand in groups.
var headTyped = regexp.MustCompile(`^(?:([0-9]{1,12})[ ,.:#-]+)?((?:[0-9a-f]{2,64}[ -]*)+)$`)

// leastOfHash is how many characters of a hash must be given: with fewer, another entry might begin alike.
const leastOfHash = 8

// ParseHead reads a head as typed: "1042 3f9c08d1a2b45e67", the hash alone, whole or its beginning. Errors: Invalid for the
// field "head".
func ParseHead(typed string) (TypedHead, error) {
	wrong := Invalid{{"head", "journal.head_form", nil}}
	folded := strings.ToLower(strings.Join(strings.Fields(typed), " "))
	match := headTyped.FindStringSubmatch(folded)
	if match == nil {
		return TypedHead{}, wrong
	}
	h := TypedHead{Hash: strings.NewReplacer(" ", "", "-", "").Replace(match[2])}
	if match[1] != "" {
		h.Seq, _ = strconv.ParseInt(match[1], 10, 64)
	}
	if len(h.Hash) < leastOfHash || len(h.Hash) > 64 {
		return TypedHead{}, wrong
	}
	return h, nil
}

// EntryOfHead finds the entry a head names. Errors: ErrNotFound when no entry of this journal has that hash, or the one
// with that number has another.
func EntryOfHead(ctx context.Context, src Source, h TypedHead) (Entry, error) {
	db := src.conn(ctx).Where("hash LIKE ?", h.Hash+"%")
	if h.Seq > 0 {
		db = db.Where("seq = ?", h.Seq)
	}
	var entries []Entry
	if err := db.Order("seq").Limit(1).Find(&entries).Error; err != nil {
		return Entry{}, err
	}
	if len(entries) == 0 {
		return Entry{}, fmt.Errorf("journal head %s: %w", h.Hash, ErrNotFound)
	}
	return entries[0], nil
}
