package records

import (
	"context"
	"errors"
	"fmt"
	"strconv"
	"strings"

	"gorm.io/gorm"
)

func itoa(n int64) string { return strconv.FormatInt(n, 10) }

// inBatch is how many ids stand in one IN list.
const inBatch = 500

// factOf makes T a Fact: every record struct is one by its pointer.
func factOf[T any](v *T) Fact { return any(v).(Fact) }

// Get gives the newest revision of a record, struck or not. Errors: ErrNotFound.
func Get[T any](ctx context.Context, src Source, id string) (T, error) {
	var v T
	kind := factOf(&v).Kind()
	err := src.conn(ctx).Table(string(kind)).Where("id = ?", id).Order("revision DESC").Limit(1).Take(&v).Error
	if errors.Is(err, gorm.ErrRecordNotFound) {
		return v, fmt.Errorf("%s %s: %w", kind, id, ErrNotFound)
	}
	if err != nil {
		return v, fmt.Errorf("%s %s: %w", kind, id, err)
	}
	return v, fillContacts(ctx, src, []Fact{factOf(&v)})
}

// List gives the newest revisions that are not struck. where is a condition on the columns of <kind>_now with ? for the
// arguments, empty for all, and may end in ORDER BY.
func List[T any](ctx context.Context, src Source, where string, args ...any) ([]T, error) {
	var probe T
	kind := factOf(&probe).Kind()
	query := "SELECT * FROM " + string(kind) + "_now"
	switch {
	case where == "":
	case strings.HasPrefix(where, "ORDER BY"):
		query += " " + where
	default:
		query += " WHERE " + where
	}
	rows := []T{}
	if err := src.conn(ctx).Raw(query, args...).Scan(&rows).Error; err != nil {
		return nil, fmt.Errorf("list %s: %w", kind, err)
	}
	if _, ok := any(&probe).(personal); !ok {
		return rows, nil
	}
	facts := make([]Fact, len(rows))
	for i := range rows {
		facts[i] = factOf(&rows[i])
	}
	return rows, fillContacts(ctx, src, facts)
}

// ListStruck gives the last revisions of records taken back as mistakes. where is as for List.
func ListStruck[T any](ctx context.Context, src Source, where string, args ...any) ([]T, error) {
	var probe T
	kind := factOf(&probe).Kind()
	rows := []T{}
	if err := src.conn(ctx).Raw("SELECT * FROM "+string(kind)+" WHERE struck AND "+where, args...).Scan(&rows).Error; err != nil {
		return nil, fmt.Errorf("list struck %s: %w", kind, err)
	}
	facts := make([]Fact, len(rows))
	for i := range rows {
		facts[i] = factOf(&rows[i])
	}
	return rows, fillContacts(ctx, src, facts)
}

// Any tells whether there is a record of a kind that is not struck. where is a condition on its columns, empty for any.
func Any(ctx context.Context, src Source, kind Kind, where string) (bool, error) {
	query := "SELECT id FROM " + string(kind) + "_now"
	if where != "" {
		query += " WHERE " + where
	}
	var found []string
	err := src.conn(ctx).Raw(query + " LIMIT 1").Scan(&found).Error
	return len(found) > 0, err
}

// ByID lists records as a map from their id.
func ByID[T any](ctx context.Context, src Source, where string, args ...any) (map[string]T, error) {
	rows, err := List[T](ctx, src, where, args...)
	byID := make(map[string]T, len(rows))
	for i := range rows {
		byID[factOf(&rows[i]).row().ID] = rows[i]
	}
	return byID, err
}

// ListIDs lists records whose column is one of the ids, however many those are.
func ListIDs[T any](ctx context.Context, src Source, column string, ids []string) ([]T, error) {
	rows := []T{}
	for start := 0; start < len(ids); start += inBatch {
		batch, err := List[T](ctx, src, column+" IN ?", ids[start:min(start+inBatch, len(ids))])
		if err != nil {
			return nil, err
		}
		rows = append(rows, batch...)
	}
	return rows, nil
}

// Revisions gives every revision of a record, oldest first.
func Revisions[T any](ctx context.Context, src Source, id string) ([]T, error) {
	var probe T
	var rows []T
	kind := factOf(&probe).Kind()
	err := src.conn(ctx).Table(string(kind)).Where("id = ?", id).Order("revision").Find(&rows).Error
	return rows, err
}

// KindOf is the kind under which a record is registered. Errors: ErrNotFound.
func KindOf(ctx context.Context, src Source, id string) (Kind, error) {
	var kinds []Kind
	if err := src.conn(ctx).Raw("SELECT kind FROM record WHERE id = ?", id).Scan(&kinds).Error; err != nil {
		return "", err
	}
	if len(kinds) == 0 {
		return "", fmt.Errorf("record %s: %w", id, ErrNotFound)
	}
	return kinds[0], nil
}

// KindOf is the kind under which a record is registered. Errors: ErrNotFound.
func (s *Store) KindOf(ctx context.Context, id string) (Kind, error) { return KindOf(ctx, s, id) }

// Load gives the newest revision of any record. Errors: ErrNotFound.
func Load(ctx context.Context, src Source, id string) (Fact, error) {
	kind, err := KindOf(ctx, src, id)
	if err != nil {
		return nil, err
	}
	revisions, err := loadRevisions(ctx, src, kind, id, "revision DESC", 1)
	if err != nil {
		return nil, err
	}
	return revisions[0], fillContacts(ctx, src, revisions)
}

func loadRevisions(ctx context.Context, src Source, kind Kind, id, order string, limit int) ([]Fact, error) {
	fresh, ok := newFact[kind]
	if !ok {
		return nil, fmt.Errorf("record %s has the unknown kind %q", id, kind)
	}
	rows, err := src.conn(ctx).Table(string(kind)).Where("id = ?", id).Order(order).Limit(limit).Rows()
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	var facts []Fact
	for rows.Next() {
		fact := fresh()
		if err := src.conn(ctx).ScanRows(rows, fact); err != nil {
			return nil, fmt.Errorf("%s %s: %w", kind, id, err)
		}
		facts = append(facts, fact)
	}
	if len(facts) == 0 && rows.Err() == nil {
		return nil, fmt.Errorf("%s %s: %w", kind, id, ErrNotFound)
	}
	return facts, rows.Err()
}

// House gives the house of this database. Errors: ErrNotFound before the first owner has set it up.
func (s *Store) House(ctx context.Context) (House, error) { return theHouse(ctx, s) }

func theHouse(ctx context.Context, src Source) (House, error) {
	houses, err := List[House](ctx, src, "ORDER BY id LIMIT 1")
	if err != nil {
		return House{}, err
	}
	if len(houses) == 0 {
		return House{}, fmt.Errorf("house: %w", ErrNotFound)
	}
	return houses[0], nil
}
