package records

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
)

// personalRow keeps the personal fields of one revision apart from the fact, so that a later closing of an expired season
// can remove them without touching the fact or the journal, which hold only their salted hash.
type personalRow struct {
	RecordID  string
	Revision  int
	Salt      string
	Name      string
	Person    string
	Address   string
	Telephone string
	Email     string
}

func (personalRow) TableName() string { return "personal" }

func (p personalRow) contact() Contact {
	return Contact{p.Name, p.Person, p.Address, p.Telephone, p.Email}
}

// hash is SHA-256(salt || LF || JCS of the fields) in lower-case hex.
func (p personalRow) hash() (string, error) {
	body, err := canonical(map[string]string{"name": p.Name, "person": p.Person, "address": p.Address,
		"telephone": p.Telephone, "email": p.Email})
	if err != nil {
		return "", err
	}
	sum := sha256.Sum256(append([]byte(p.Salt+"\n"), body...))
	return hex.EncodeToString(sum[:]), nil
}

// keepApart stores the personal fields of a fact that has some and leaves their hash on it.
func (tx *Tx) keepApart(fact Fact) error {
	p, ok := fact.(personal)
	if !ok {
		return nil
	}
	contact, hash := p.contact()
	salt, err := tx.s.random(16)
	if err != nil {
		return err
	}
	row := personalRow{fact.row().ID, fact.row().Revision, hex.EncodeToString(salt),
		contact.Name, contact.Person, contact.Address, contact.Telephone, contact.Email}
	if *hash, err = row.hash(); err != nil {
		return err
	}
	return tx.db.Create(&row).Error
}

// fillContacts reads the personal fields of those facts that have some, in one query per 500.
func fillContacts(ctx context.Context, src Source, facts []Fact) error {
	wanted := map[string]Fact{}
	var ids []string
	for _, f := range facts {
		if _, ok := f.(personal); ok {
			wanted[f.row().ID] = f
			ids = append(ids, f.row().ID)
		}
	}
	for start := 0; start < len(ids); start += inBatch {
		var rows []personalRow
		err := src.conn(ctx).Where("record_id IN ?", ids[start:min(start+inBatch, len(ids))]).Find(&rows).Error
		if err != nil {
			return err
		}
		for _, r := range rows {
			if f := wanted[r.RecordID]; f.row().Revision == r.Revision {
				contact, _ := f.(personal).contact()
				*contact = r.contact()
			}
		}
	}
	return nil
}
