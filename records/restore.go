package records

import (
	"context"
	"time"
)

// Restore says that these records came back from a backup. Codes given out between the two moments are not in it, though
// their bottles exist: that day's ordinals go on at the next hundred, and the owner is asked for the last code printed.
type Restore struct {
	Row
	BackupAt   time.Time
	RestoredAt time.Time
	LastCode   string // blank until the owner has looked at the newest bottle
}

// Validate checks a restore.
func (r *Restore) Validate() error {
	var c checks
	c.moment("backup_at", r.BackupAt)
	c.moment("restored_at", r.RestoredAt)
	c.text("last_code", r.LastCode)
	return c.err()
}

// ordinalFloor is the number after which a house day's ordinals go on: 0, or the next hundred less one for a day between
// a backup and its restore.
func (tx *Tx) ordinalFloor(day Day) (int, error) {
	restores, err := List[Restore](tx.ctx, tx, "ORDER BY restored_at")
	floor := 0
	for _, r := range restores {
		if err != nil || day < DayOf(r.BackupAt, tx.zone()) || day > DayOf(r.RestoredAt, tx.zone()) {
			continue
		}
		var before int
		err = tx.db.Raw(`SELECT COALESCE(MAX(c.ordinal), 0) FROM lot_code c JOIN lot l ON l.id = c.lot_id AND l.revision = 1
			WHERE c.day = ? AND l.written_at <= ?`, day, r.RestoredAt).Scan(&before).Error
		floor = max(floor, (before/100+1)*100-1)
	}
	return floor, err
}

// RecordRestore writes into records just brought back that they were: when the backup was made and when it came back.
// The entry is the owner's.
func (s *Store) RecordRestore(ctx context.Context, backupAt time.Time) error {
	owners, err := List[Person](ctx, s, "role = ? ORDER BY id LIMIT 1", RoleOwner)
	if err != nil || len(owners) == 0 {
		return err
	}
	return s.Write(ctx, Actor{PersonID: owners[0].ID}, &Restore{BackupAt: backupAt, RestoredAt: s.Now()})
}
