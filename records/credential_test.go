package records

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"golang.org/x/crypto/bcrypt"
)

// TestNobodyTakesAsLong: the hash compared with for unknown logins is a whole one of the same cost, so that the time
// taken tells nothing, and nothing matches it.
func TestNobodyTakesAsLong(t *testing.T) {
	cost, err := bcrypt.Cost([]byte(nobody))
	assert.NoError(t, err)
	assert.Equal(t, hashCost, cost)
	assert.ErrorIs(t, bcrypt.CompareHashAndPassword([]byte(nobody), []byte("x")), bcrypt.ErrMismatchedHashAndPassword)
	assert.False(t, matches("", ""))
}
