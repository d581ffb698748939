package records

import (
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"math"
	"reflect"
	"strconv"
	"time"

	"github.com/gowebpki/jcs"
	"gorm.io/gorm/schema"
)

var naming = schema.NamingStrategy{SingularTable: true}

// columnsOf gives a fact as its columns: nil, true or false, or text. Numbers are decimal text, times RFC 3339 in UTC, so
// that a reader in fifty years needs no knowledge of ours. It is the record in a journal entry.
func columnsOf(fact any) map[string]any {
	columns := map[string]any{}
	eachField(reflect.ValueOf(fact).Elem(), func(name string, v reflect.Value) { columns[name] = plain(v) })
	return columns
}

// eachField calls fn for every stored field, those of an embedded Row first.
func eachField(v reflect.Value, fn func(column string, v reflect.Value)) {
	for i := range v.NumField() {
		field := v.Type().Field(i)
		switch {
		case field.Anonymous:
			eachField(v.Field(i), fn)
		case field.Tag.Get("gorm") != "-":
			fn(naming.ColumnName("", field.Name), v.Field(i))
		}
	}
}

func plain(v reflect.Value) any {
	if v.Kind() == reflect.Pointer {
		if v.IsNil() {
			return nil
		}
		v = v.Elem()
	}
	if t, ok := v.Interface().(time.Time); ok {
		return t.UTC().Format(time.RFC3339Nano)
	}
	switch v.Kind() {
	case reflect.Bool:
		return v.Bool()
	case reflect.Int:
		return strconv.FormatInt(v.Int(), 10)
	case reflect.Float64:
		return strconv.FormatFloat(v.Float(), 'f', -1, 64)
	case reflect.String:
		return v.String()
	}
	panic(fmt.Sprintf("records: no journal form for a field of type %s", v.Type()))
}

// normalise brings every time of a fact to UTC at the microsecond, the finest both databases keep, and stops numbers that
// are none: SQLite would keep NaN as nothing, PostgreSQL as itself.
func normalise(fact Fact) error {
	var wrong Invalid
	eachField(reflect.ValueOf(fact).Elem(), func(column string, v reflect.Value) {
		if n := reflect.Indirect(v); n.IsValid() && n.Kind() == reflect.Float64 && (math.IsNaN(n.Float()) || math.IsInf(n.Float(), 0)) {
			wrong = append(wrong, FieldError{column, "invalid.number", nil})
		}
		switch t := v.Interface().(type) {
		case time.Time:
			v.Set(reflect.ValueOf(t.UTC().Truncate(time.Microsecond)))
		case *time.Time:
			if t != nil {
				utc := t.UTC().Truncate(time.Microsecond)
				v.Set(reflect.ValueOf(&utc))
			}
		}
	})
	if len(wrong) > 0 {
		return wrong
	}
	return nil
}

// canonical is the RFC 8785 form of v.
func canonical(v any) ([]byte, error) {
	plain, err := json.Marshal(v)
	if err != nil {
		return nil, err
	}
	return jcs.Transform(plain)
}

// firstPrev is what stands before the first entry: 64 zeros.
const firstPrev = "0000000000000000000000000000000000000000000000000000000000000000"

// chainHash is SHA-256(prev || LF || body) in lower-case hex: the hash rule of the journal.
func chainHash(prev string, body []byte) string {
	h := sha256.New()
	h.Write([]byte(prev))
	h.Write([]byte{'\n'})
	h.Write(body)
	return hex.EncodeToString(h.Sum(nil))
}
