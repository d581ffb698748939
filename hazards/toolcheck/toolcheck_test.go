package toolcheck

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// recorder stands for a test and notes how it ended.
type recorder struct {
	testing.TB
	skipped, failed bool
}

func (r *recorder) Helper()               {}
func (r *recorder) Skip(...any)           { r.skipped = true }
func (r *recorder) Fatalf(string, ...any) { r.failed = true; panic("stopped") }

func ended(programs ...string) (r recorder) {
	defer func() { _ = recover() }()
	Need(&r, programs...)
	return r
}

func TestNeed(t *testing.T) {
	for required, want := range map[string][2]bool{"": {true, false}, "1": {false, true}, "yes": {false, true}} {
		t.Setenv(Required, required)
		r := recorder{}
		func() {
			defer func() { _ = recover() }()
			Need(&r, "no-such-program-anywhere")
		}()
		assert.Equal(t, want, [2]bool{r.skipped, r.failed}, "%s=%q", Required, required)
		assert.Equal(t, recorder{}, ended("go"), "a program that is there asks nothing")
	}
}
