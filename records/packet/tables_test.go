package packet

import (
	"reflect"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"canewright/records"
)

// leftOut are the kinds no packet carries, and why.
var leftOut = map[records.Kind]string{
	records.KindLabelStock: "the dimensions of blank labels tell nothing of a lot",
	records.KindRestore:    "belongs to the database, not to a lot",
}

// Every kind is on the written list or left out on purpose: a new kind makes somebody decide.
func TestEveryKindIsDecided(t *testing.T) {
	for _, kind := range records.Kinds() {
		_, listed := tableOf(kind)
		assert.NotEqual(t, listed, leftOut[kind] != "", "kind %s: put it into tables or into leftOut", kind)
	}
	for i, table := range tables {
		for _, other := range tables[:i] {
			assert.NotEqual(t, other.Kind, table.Kind, "a kind twice")
		}
	}
}

var wordEdge = regexp.MustCompile(`([a-z0-9])([A-Z])`)

// Every quantity of every listed kind has its unit, and every unit and omission names a column that exists.
func TestEveryQuantityHasItsUnit(t *testing.T) {
	known := map[string]bool{}
	for _, table := range tables {
		fact, ok := records.NewFact(table.Kind)
		require.True(t, ok)
		for column := range records.Columns(fact) {
			known[string(table.Kind)+"."+column] = true
		}
		structure := reflect.TypeOf(fact).Elem()
		for i := range structure.NumField() {
			field := structure.Field(i)
			kind := field.Type.Kind()
			if kind == reflect.Pointer {
				kind = field.Type.Elem().Kind()
			}
			if kind != reflect.Float64 {
				continue
			}
			column := string(table.Kind) + "." + columnName(field.Name)
			require.True(t, known[column], "column %s of field %s", column, field.Name)
			assert.True(t, (unitOfColumn[column] != "") != (unitElsewhere[column] != ""), "give the unit of %s in unitOfColumn, or say where it stands", column)
		}
	}
	for column := range unitOfColumn {
		assert.True(t, known[column], "unit of %s", column)
	}
	for kind, columns := range omitted {
		for _, column := range columns {
			assert.True(t, known[string(kind)+"."+column], "omitted %s.%s", kind, column)
		}
	}
	for column := range refersTo {
		assert.True(t, slices.ContainsFunc(sortedKeys(known), func(k string) bool { return strings.HasSuffix(k, "."+column) }), "refersTo %s", column)
	}
}

func columnName(field string) string {
	if field == "PH" {
		return "ph"
	}
	return strings.ToLower(wordEdge.ReplaceAllString(field, "${1}_${2}"))
}

func TestGuard(t *testing.T) {
	for cell, want := range map[string]string{"": "", "12": "12", "-3.5": "-3.5", "-": "'-", "=1+1": "'=1+1", "+1 601 555": "'+1 601 555", "-2+3": "'-2+3", "@home": "'@home",
		"\tx": "'\tx", "\rx": "'\rx", "'quoted": "''quoted", "a=b": "a=b", "1e5": "1e5", "7 Dec": "7 Dec"} {
		assert.Equal(t, want, guard(cell), "%q", cell)
		assert.Equal(t, cell, Unguard(guard(cell)), "%q comes back", cell)
	}
}

// Commas, quotes, line ends, accents and formulas come back from the file as they went in.
func TestCSVComesBack(t *testing.T) {
	body, err := csvFile([]string{"a", "b"}, [][]string{{`say "hot", then`, "two\nlines"}, {"=SUM(A1)", "guarapo de caña"}})
	require.NoError(t, err)
	rows := rowsOf(t, body)
	assert.Equal(t, map[string]string{"a": `say "hot", then`, "b": "two\nlines"}, rows[0])
	assert.Equal(t, map[string]string{"a": "=SUM(A1)", "b": "guarapo de caña"}, rows[1])
	assert.Contains(t, string(body), "'=SUM(A1)", "guarded in the file")
	assert.NotEqual(t, byte(0xEF), body[0], "no byte order mark")
	assert.True(t, strings.HasPrefix(string(body), "a,b\r\n"), "RFC 4180 ends lines with CR LF")
}
