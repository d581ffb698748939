package main

import (
	"context"
	"errors"
	"os"
	"path/filepath"
	"slices"
	"time"

	"canewright/records"
)

// What serve keeps in the folder's backups: one a day, the newest of them.
const (
	keptBackups  = 14
	backupPrefix = "canewright-"
	backupSuffix = ".db"
	lookEvery    = time.Hour
	leastFree    = 1 << 30 // bytes; below it photos and backups will soon find no room (our choice)
)

// keepHouse backs the house up every day, warns of a full disk and clears ended sessions, until the context ends.
func (c *call) keepHouse(ctx context.Context, store *records.Store, place string) {
	tick := time.NewTicker(lookEvery)
	defer tick.Stop()
	for {
		if err := c.lookAfter(ctx, store, place); err != nil && ctx.Err() == nil {
			c.warn("cmd.keep.failed", "Problem", problemText(err))
		}
		select {
		case <-ctx.Done():
			return
		case <-tick.C:
		}
	}
}

func (c *call) lookAfter(ctx context.Context, store *records.Store, place string) error {
	errs := []error{store.Sessions().DeleteExpired(ctx)}
	if !remote(place) {
		c.warnOfSpace(place)
		errs = append(errs, dailyBackup(ctx, store, place))
	}
	return errors.Join(errs...)
}

func (c *call) warnOfSpace(place string) {
	if free, ok := freeSpace(place); ok && free < leastFree {
		c.warn("cmd.keep.space", "Place", place, "Megabytes", free>>20)
	}
}

// dailyBackup writes the backup of the house's day unless it is there, and removes those past the newest fourteen.
func dailyBackup(ctx context.Context, store *records.Store, place string) error {
	house, err := store.House(ctx)
	if err != nil {
		return err
	}
	folder := filepath.Join(place, "backups")
	if err := os.MkdirAll(folder, 0o700); err != nil {
		return err
	}
	name := filepath.Join(folder, backupPrefix+string(records.DayOf(store.Now(), house.Location()))+backupSuffix)
	if _, err := os.Stat(name); err == nil {
		return nil
	}
	if err := store.Backup(ctx, name); err != nil {
		return err
	}
	return dropOldBackups(folder)
}

func dropOldBackups(folder string) error {
	names, err := filepath.Glob(filepath.Join(folder, backupPrefix+"????-??-??"+backupSuffix))
	if err != nil {
		return err
	}
	slices.Sort(names)
	var errs []error
	for _, name := range names[:max(0, len(names)-keptBackups)] {
		errs = append(errs, os.Remove(name))
	}
	return errors.Join(errs...)
}
