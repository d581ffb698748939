package records

import (
	"fmt"
	"reflect"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Every table is either kept as written or on the short list of those that may change.
func TestTablesKeptOrMutable(t *testing.T) {
	eachDatabase(t, func(t *testing.T, h *season) {
		query := "SELECT name FROM sqlite_master WHERE type = 'table' AND name NOT LIKE 'sqlite_%'"
		if !h.sqlite() {
			query = "SELECT table_name FROM information_schema.tables WHERE table_schema = current_schema() AND table_type = 'BASE TABLE'"
		}
		var tables []string
		require.NoError(t, h.write.Raw(query).Scan(&tables).Error)
		want := append(kept(), mutable...)
		slices.Sort(tables)
		slices.Sort(want)
		assert.Equal(t, want, tables)
	})
}

// The database itself refuses to change or delete a row of every kept table, whichever statement tries.
func TestRowsStayAsWritten(t *testing.T) {
	eachDatabase(t, func(t *testing.T, h *season) {
		h.fullSeason()
		for _, table := range kept() {
			var n int
			require.NoError(t, h.write.Raw("SELECT COUNT(*) FROM "+table).Scan(&n).Error)
			require.Positive(t, n, "the test season has no %s", table)
			column := "id"
			switch table {
			case "journal":
				column = "hash"
			case "personal":
				column = "name"
			case "lot_code":
				column = "code"
			case "content":
				column = "sha256"
			}
			for _, sql := range []string{
				fmt.Sprintf("UPDATE %s SET %s = %s", table, column, column),
				fmt.Sprintf("DELETE FROM %s", table),
			} {
				err := h.write.Exec(sql).Error
				assert.Error(t, err, sql)
			}
			var after int
			require.NoError(t, h.write.Raw("SELECT COUNT(*) FROM "+table).Scan(&after).Error)
			assert.Equal(t, n, after, table)
		}
		if h.sqlite() {
			err := h.write.Exec("INSERT OR REPLACE INTO record (id, kind) SELECT id, 'lot' FROM record LIMIT 1").Error
			assert.ErrorContains(t, err, "never deleted")
		}
	})
}

func TestJournalRefusesAGap(t *testing.T) {
	eachDatabase(t, func(t *testing.T, h *season) {
		var last Entry
		require.NoError(t, h.write.Order("seq DESC").Take(&last).Error)
		for _, wrong := range []Entry{
			{Seq: last.Seq + 2, Prev: last.Hash}, {Seq: last.Seq + 1, Prev: firstPrev}, {Seq: last.Seq, Prev: last.Hash},
		} {
			wrong.At, wrong.Type, wrong.Form, wrong.RecordID, wrong.Revision, wrong.Record = last.At, last.Type, last.Form, last.RecordID, 1, "{}"
			wrong.Hash = fmt.Sprint("x", wrong.Seq, wrong.Prev)
			assert.Error(t, h.write.Create(&wrong).Error)
		}
	})
}

// Each struct and its table have the same columns, and a pointer is what may be null.
func TestStructsMatchTables(t *testing.T) {
	eachDatabase(t, func(t *testing.T, h *season) {
		for _, kind := range Kinds() {
			fact, _ := NewFact(kind)
			want := map[string]bool{}
			eachField(reflect.ValueOf(fact).Elem(), func(column string, v reflect.Value) { want[column] = v.Kind() == reflect.Pointer })
			columns, err := h.write.Table(string(kind)).Migrator().ColumnTypes(string(kind))
			require.NoError(t, err)
			got := map[string]bool{}
			for _, c := range columns {
				nullable, _ := c.Nullable()
				got[c.Name()] = nullable
			}
			assert.Equal(t, want, got, kind)
		}
	})
}

// Opening a house a second time changes nothing, and one whose trigger is gone is not opened.
func TestOpenAgain(t *testing.T) {
	h := newSeason(t)
	require.NoError(t, h.migrate(h.ctx))
	require.NoError(t, h.assertGround(h.ctx))
	require.NoError(t, h.write.Exec("DROP TRIGGER cut_no_delete").Error)
	assert.ErrorContains(t, h.assertGround(h.ctx), "table cut")
}

func TestMigrationsRefuseWhatTheyDoNotKnow(t *testing.T) {
	h := newSeason(t)
	require.NoError(t, h.write.Exec("INSERT INTO schema_migration (name, checksum, applied_at) VALUES ('9999_later.sql', 'x', ?)", noon).Error)
	assert.ErrorContains(t, h.migrate(h.ctx), "newer Canewright")
	require.NoError(t, h.write.Exec("DELETE FROM schema_migration WHERE name = '9999_later.sql'").Error)
	require.NoError(t, h.write.Exec("UPDATE schema_migration SET checksum = 'x' WHERE name = '0001_ground.sql'").Error)
	assert.ErrorContains(t, h.migrate(h.ctx), "has changed")
}
