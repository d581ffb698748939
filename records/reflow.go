package records

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"
	"time"

	"gorm.io/gorm"
)

// RebuildTrace makes the flow cache anew from the facts. It changes no record; Verify says when it is needed.
func (s *Store) RebuildTrace(ctx context.Context) error {
	return s.write.WithContext(ctx).Transaction(func(db *gorm.DB) error {
		return (&Tx{ctx: ctx, s: s, db: db, at: s.Now()}).reflowAll()
	})
}

// errKeepOld ends a trial transaction: what it built is compared and thrown away.
var errKeepOld = errors.New("only compared")

// verifyFlows compares the flow cache with one built anew from the facts.
func (s *Store) verifyFlows(ctx context.Context, v *verifier) error {
	err := s.write.WithContext(ctx).Transaction(func(db *gorm.DB) error {
		tx := &Tx{ctx: ctx, s: s, db: db, at: s.Now()}
		stored, err := flowLines(tx)
		if err != nil {
			return err
		}
		if err := tx.reflowAll(); err != nil {
			return err
		}
		built, err := flowLines(tx)
		if err != nil {
			return err
		}
		if line := firstDifference(stored, built); line != "" {
			v.fault(0, strings.Fields(line)[0], "what the trace reads differs from the records at %s; canewright verify --rebuild-trace makes it anew", line)
		}
		return errKeepOld
	})
	if errors.Is(err, errKeepOld) {
		return nil
	}
	v.fault(0, "", "what the trace reads cannot be made from the records: %v", err)
	return nil
}

// reflowAll drops the cache and makes it from every fact that carries material, then every tank.
func (tx *Tx) reflowAll() error {
	if err := tx.db.Exec("DELETE FROM flow").Error; err != nil {
		return err
	}
	tanks, runs := map[string]bool{}, []string{}
	for _, kind := range Kinds() {
		fact := newFact[kind]()
		_, plain := fact.(flower)
		if !plain && kind != KindLink && kind != KindTank && kind != KindRun {
			continue
		}
		facts, err := tx.allOf(kind)
		if err != nil {
			return err
		}
		for _, f := range facts {
			if kind == KindTank {
				tanks[f.row().ID] = true
			} else if kind == KindRun {
				runs = append(runs, f.row().ID)
			} else if err := tx.reflowOne(f); err != nil {
				return err
			}
		}
	}
	for tank := range tanks {
		if err := tx.flowTank(tank); err != nil {
			return err
		}
	}
	for _, run := range runs {
		if err := tx.flowRun(run); err != nil {
			return err
		}
	}
	return nil
}

// reflowOne makes the flows of a fact; those of a tank's links are made with the tank.
func (tx *Tx) reflowOne(fact Fact) error {
	link, ok := fact.(*Link)
	if !ok {
		return tx.flowPlain(fact, fact.(flower))
	}
	for _, id := range []string{link.FromID, link.ToID} {
		if kind, err := KindOf(tx.ctx, tx, id); err != nil || kind == KindTank {
			return err
		}
	}
	return tx.flowAsIs(*link)
}

// allOf reads the newest revisions of a kind that are not struck.
func (tx *Tx) allOf(kind Kind) ([]Fact, error) {
	rows, err := tx.db.Raw("SELECT * FROM " + string(kind) + "_now ORDER BY id").Rows()
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	var facts []Fact
	for rows.Next() {
		fact := newFact[kind]()
		if err := tx.db.ScanRows(rows, fact); err != nil {
			return nil, err
		}
		facts = append(facts, fact)
	}
	return facts, rows.Err()
}

// flowLines is the cache as comparable lines, each beginning with the fact that made it.
func flowLines(tx *Tx) ([]string, error) {
	var flows []flow
	if err := tx.db.Find(&flows).Error; err != nil {
		return nil, err
	}
	lines := make([]string, len(flows))
	for i, f := range flows {
		at := ""
		if f.At != nil {
			at = f.At.UTC().Format(time.RFC3339Nano)
		}
		lines[i] = fmt.Sprint(f.SourceID, " ", f.FromNode, " to ", f.ToNode, " ", at, quantity(f.Mass), quantity(f.Solids), units(f.Units), f.Estimated, f.Beside)
	}
	slices.Sort(lines)
	return lines, nil
}

func quantity[T ~float64](v *T) string {
	if v == nil {
		return " -"
	}
	return fmt.Sprintf(" %.6f", float64(*v))
}

func units(v *int) string {
	if v == nil {
		return " - "
	}
	return fmt.Sprintf(" %d ", *v)
}

func firstDifference(a, b []string) string {
	for i := range max(len(a), len(b)) {
		switch {
		case i >= len(a):
			return b[i]
		case i >= len(b) || a[i] != b[i]:
			return a[i]
		}
	}
	return ""
}
