package records

import (
	"encoding/json"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"canewright/hazards/syrup"
)

// Source: RFC 8785 test data by its author (github.com/cyberphone/json-canonicalization testdata), quoted in standards.md
// vectors 50 and 51.
func TestCanonical(t *testing.T) {
	for in, want := range map[string]string{
		`[56,{"d":true,"10":null,"1":[ ]}]`:                                     `[56,{"1":[],"10":null,"d":true}]`,
		`[333333333.33333329, 1E30, 4.50, 2e-3, 0.000000000000000000000000001]`: `[333333333.3333333,1e+30,4.5,0.002,1e-27]`,
		"\"A\u030a\"": "\"A\u030a\"",
	} {
		got, err := canonical(rawJSON(in))
		require.NoError(t, err)
		assert.Equal(t, want, string(got))
	}
}

// Source: standards.md vector 53, computed there with SHA-256 (FIPS 180-4).
func TestChainHash(t *testing.T) {
	assert.Equal(t, "4f2e0a0d49575d16aa61d1566f00cf99f9c6eb078e57cca3ae59b1afd51dc7fb", chainHash(firstPrev, []byte(`{"lot":"L1","seq":1}`)))
}

// Nothing of an entry stands outside its hash.
func TestEntryHashCoversEverything(t *testing.T) {
	e := Entry{Seq: 3, At: noon, Author: "a", Type: EntryNew, Form: "cut/1", RecordID: "r", Revision: 1, Record: `{"id":"r","revision":"1"}`, Prev: firstPrev}
	body := func(e Entry) string {
		b, err := e.body()
		require.NoError(t, err)
		return string(b)
	}
	original := body(e)
	assert.True(t, json.Valid([]byte(original)))
	for _, change := range []func(*Entry){
		func(e *Entry) { e.Seq++ }, func(e *Entry) { e.At = e.At.Add(1) }, func(e *Entry) { e.Author = "b" },
		func(e *Entry) { e.Type = EntryAmend }, func(e *Entry) { e.Form = "cut/2" }, func(e *Entry) { e.Record = `{"id":"r","revision":"2"}` },
	} {
		changed := e
		change(&changed)
		assert.NotEqual(t, original, body(changed))
	}
}

// Numbers are decimal text, times RFC 3339 in UTC, what was not recorded is null.
func TestColumnsOf(t *testing.T) {
	k := Cut{Row: Row{ID: "x", Revision: 2, WrittenAt: noon}, CutOn: "2025-12-06", Mass: nil, DayHigh: ptr(syrup.Celsius(21.5))}
	c := columnsOf(&k)
	assert.Equal(t, []any{"2", "2025-12-07T18:00:00Z", nil, "21.5", false, "2025-12-06"},
		[]any{c["revision"], c["written_at"], c["mass"], c["day_high"], c["estimated"], c["cut_on"]})
}
