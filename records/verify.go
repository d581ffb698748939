package records

import (
	"context"
	"encoding/json"
	"fmt"
	"maps"
	"slices"
	"strconv"
	"strings"
	"time"

	"gorm.io/gorm"
)

// Fault is one difference between the journal and the records: the entry and record it shows at. Seq 0 belongs to no entry.
type Fault struct {
	Seq      int64
	RecordID string
	What     string
}

func (f Fault) String() string {
	if f.Seq == 0 {
		return f.What
	}
	return fmt.Sprintf("journal entry %d, record %s: %s", f.Seq, f.RecordID, f.What)
}

// Report is what verifying found. It shows change; it cannot show who made it.
type Report struct {
	Entries  int
	Head     HeadOf
	Faults   []Fault
	HeadSeen bool // the asked-for head stands in this journal
}

// maxFaults is how many differences are listed; the first is what matters.
const maxFaults = 50

// Verify rebuilds every row from the journal and compares, checks the chain, the personal fields' hashes, the lot codes, the
// flows and the database's own integrity. head is a hash copied from paper, whole or its first characters; "" asks for none.
func (s *Store) Verify(ctx context.Context, head string) (Report, error) {
	v := &verifier{src: s, ctx: ctx, head: strings.ToLower(strings.ReplaceAll(head, " ", ""))}
	if err := s.integrity(ctx, v); err != nil {
		return v.report, err
	}
	if err := v.journal(s.conn(ctx)); err != nil {
		return v.report, err
	}
	if err := v.strays(); err != nil {
		return v.report, err
	}
	if err := v.codes(); err != nil {
		return v.report, err
	}
	if err := v.contents(); err != nil {
		return v.report, err
	}
	return v.report, s.verifyFlows(ctx, v)
}

type verifier struct {
	ctx    context.Context
	src    Source
	head   string
	report Report
	rows   map[Kind]int
}

func (v *verifier) fault(seq int64, record, what string, args ...any) {
	if len(v.report.Faults) < maxFaults {
		v.report.Faults = append(v.report.Faults, Fault{seq, record, fmt.Sprintf(what, args...)})
	}
}

// integrity asks the database itself.
func (s *Store) integrity(ctx context.Context, v *verifier) error {
	if err := s.assertGround(ctx); err != nil {
		v.fault(0, "", "%v", err)
	}
	if !s.sqlite() {
		return nil
	}
	var lines []string
	if err := s.conn(ctx).Raw("PRAGMA integrity_check").Scan(&lines).Error; err != nil {
		v.fault(0, "", "the database file is damaged: %v", err)
		return nil
	}
	if len(lines) != 1 || lines[0] != "ok" {
		v.fault(0, "", "the database file is damaged: %s", strings.Join(lines, "; "))
	}
	return nil
}

// journal walks the chain from the first entry and compares each with its row.
func (v *verifier) journal(db *gorm.DB) error {
	v.rows = map[Kind]int{}
	prev := firstPrev
	for after := int64(0); ; {
		var batch []Entry
		if err := db.Where("seq > ?", after).Order("seq").Limit(inBatch).Find(&batch).Error; err != nil {
			v.fault(after+1, "", "the entry cannot be read: %v", err)
			return nil
		}
		if len(batch) == 0 {
			return nil
		}
		for _, e := range batch {
			if e.Seq != int64(v.report.Entries)+1 {
				v.fault(e.Seq, e.RecordID, "entry %d is missing before it", v.report.Entries+1)
			}
			v.report.Entries = int(e.Seq)
			v.entry(e, prev)
			prev, after = e.Hash, e.Seq
			v.report.Head = HeadOf{e.Seq, e.Hash, e.At}
			if v.head != "" && strings.HasPrefix(e.Hash, v.head) {
				v.report.HeadSeen = true
			}
		}
	}
}

func (v *verifier) entry(e Entry, prev string) {
	body, err := e.body()
	switch {
	case err != nil:
		v.fault(e.Seq, e.RecordID, "the entry's record is not readable: %v", err)
		return
	case e.Prev != prev:
		v.fault(e.Seq, e.RecordID, "the entry does not follow the one before it")
	case e.Hash != chainHash(prev, body):
		v.fault(e.Seq, e.RecordID, "the entry was changed after it was written")
	}
	var written map[string]any
	if err := json.Unmarshal([]byte(e.Record), &written); err != nil {
		v.fault(e.Seq, e.RecordID, "the entry's record is not readable: %v", err)
		return
	}
	if written["id"] != e.RecordID || written["revision"] != strconv.Itoa(e.Revision) {
		v.fault(e.Seq, e.RecordID, "the entry is filed under another record than the one it holds")
	}
	v.row(e, written)
}

// row compares one revision of a fact with what the journal says was written. A column that an old form does not have was
// added by a later migration, and must be empty.
func (v *verifier) row(e Entry, written map[string]any) {
	name, _, _ := strings.Cut(e.Form, "/")
	fresh, ok := newFact[Kind(name)]
	if !ok {
		v.fault(e.Seq, e.RecordID, "the form %s is not known", e.Form)
		return
	}
	v.rows[Kind(name)]++
	fact := fresh()
	result := v.src.conn(v.ctx).Table(name).Where("id = ? AND revision = ?", e.RecordID, e.Revision).Limit(1).Find(fact)
	if result.Error != nil {
		v.fault(e.Seq, e.RecordID, "the %s cannot be read: %v", name, result.Error)
		return
	}
	if result.RowsAffected == 0 {
		v.fault(e.Seq, e.RecordID, "revision %d of the %s is missing", e.Revision, name)
		return
	}
	stored := columnsOf(fact)
	for _, field := range slices.Sorted(maps.Keys(written)) {
		if stored[field] != written[field] {
			v.fault(e.Seq, e.RecordID, "field %s of the %s is %q, the journal has %q", field, name, shown(stored[field]), shown(written[field]))
		}
	}
	for _, field := range slices.Sorted(maps.Keys(stored)) {
		if _, had := written[field]; !had && !empty(stored[field]) {
			v.fault(e.Seq, e.RecordID, "field %s of the %s is %q, and the journal has none", field, name, shown(stored[field]))
		}
	}
	v.personal(e, fact)
}

// empty tells whether a column holds what a record means by leaving it out.
func empty(v any) bool { return v == nil || v == "" || v == "0" || v == false }

// personal compares the fields kept apart with the hash in the fact.
func (v *verifier) personal(e Entry, fact Fact) {
	p, ok := fact.(personal)
	if !ok {
		return
	}
	_, hash := p.contact()
	var rows []personalRow
	err := v.src.conn(v.ctx).Where("record_id = ? AND revision = ?", e.RecordID, e.Revision).Find(&rows).Error
	if err != nil || len(rows) == 0 {
		v.fault(e.Seq, e.RecordID, "the personal fields kept apart are missing")
		return
	}
	if got, err := rows[0].hash(); err != nil || got != *hash {
		v.fault(e.Seq, e.RecordID, "the personal fields kept apart were changed")
	}
}

// strays finds rows that no journal entry wrote.
func (v *verifier) strays() error {
	for _, kind := range Kinds() {
		var ids []string
		err := v.src.conn(v.ctx).Raw(`SELECT t.id FROM ` + string(kind) + ` t LEFT JOIN journal j ON j.record_id = t.id AND j.revision = t.revision
			WHERE j.seq IS NULL ORDER BY t.id LIMIT 5`).Scan(&ids).Error
		if err != nil {
			return err
		}
		for _, id := range ids {
			v.fault(0, id, "the %s %s stands in its table, but no journal entry wrote it", kind, id)
		}
	}
	var ids []string
	err := v.src.conn(v.ctx).Raw(`SELECT r.id FROM record r LEFT JOIN journal j ON j.record_id = r.id WHERE j.seq IS NULL
		UNION SELECT r.id FROM record r JOIN journal j ON j.record_id = r.id WHERE j.form NOT LIKE r.kind || '/%'
		UNION SELECT j.record_id FROM journal j LEFT JOIN record r ON r.id = j.record_id WHERE r.id IS NULL LIMIT 5`).Scan(&ids).Error
	for _, id := range ids {
		v.fault(0, id, "the registry names record %s otherwise than the journal", id)
	}
	if err != nil {
		return err
	}
	var apart []string
	err = v.src.conn(v.ctx).Raw(`SELECT p.record_id FROM personal p LEFT JOIN journal j ON j.record_id = p.record_id AND j.revision = p.revision
		WHERE j.seq IS NULL ORDER BY p.record_id LIMIT 5`).Scan(&apart).Error
	for _, id := range apart {
		v.fault(0, id, "personal fields of record %s stand apart that no journal entry wrote", id)
	}
	return err
}

// codes compares the codes given out with the lots.
func (v *verifier) codes() error {
	var wrong []string
	err := v.src.conn(v.ctx).Raw(`SELECT l.code FROM lot l LEFT JOIN lot_code c ON c.code = l.code AND c.lot_id = l.id
		AND c.day = l.day AND c.kettle_number = l.kettle_number AND c.ordinal = l.ordinal WHERE c.code IS NULL
		UNION SELECT c.code FROM lot_code c LEFT JOIN lot l ON l.id = c.lot_id AND l.code = c.code WHERE l.id IS NULL LIMIT 5`).Scan(&wrong).Error
	for _, code := range wrong {
		v.fault(0, "", "lot code %s and its lot do not belong together", code)
	}
	return err
}

// contents compares the bytes of every attachment with its hash, one file at a time.
func (v *verifier) contents() error {
	var files []Attachment
	err := v.src.conn(v.ctx).Raw("SELECT * FROM attachment ORDER BY id, revision").Scan(&files).Error
	seen := map[string]bool{}
	for _, f := range files {
		if seen[f.SHA256] {
			continue
		}
		seen[f.SHA256] = true
		if _, err := ContentOf(v.ctx, v.src, f); err != nil {
			v.fault(0, f.ID, "%v", err)
		}
	}
	return err
}

// HeadDay is the journal's head at the end of a moment: the newest entry not after it.
func HeadDay(ctx context.Context, src Source, until time.Time) (HeadOf, error) {
	var heads []HeadOf
	err := src.conn(ctx).Raw("SELECT seq, hash, at FROM journal WHERE at <= ? ORDER BY seq DESC LIMIT 1", until.UTC()).Scan(&heads).Error
	if err != nil || len(heads) == 0 {
		return HeadOf{Hash: firstPrev}, err
	}
	return heads[0], nil
}
