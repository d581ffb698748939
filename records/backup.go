package records

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
)

// Backup writes a whole, consistent copy of an embedded house to a file while people go on writing. On PostgreSQL the
// database's own tools do that. Errors: the file exists already, no room.
func (s *Store) Backup(ctx context.Context, file string) (err error) {
	if !s.sqlite() {
		return errors.New("these records are on PostgreSQL: back them up with its own pg_dump")
	}
	if _, err := os.Stat(file); err == nil {
		return fmt.Errorf("%s exists already: choose another name", file)
	}
	partial := file + ".partial"
	if err := removeDatabase(partial); err != nil {
		return err
	}
	defer func() {
		if err != nil { // a disk that is full gets its room back
			err = errors.Join(err, removeDatabase(partial))
		}
	}()
	if err := os.WriteFile(partial, nil, 0o600); err != nil { // VACUUM INTO takes an empty file, and its rights
		return err
	}
	if err := s.write.WithContext(ctx).Exec("VACUUM INTO ?", partial).Error; err != nil {
		return fmt.Errorf("back up to %s: %w", file, err)
	}
	if err := syncFile(partial); err != nil {
		return err
	}
	if err := os.Rename(partial, file); err != nil {
		return err
	}
	return syncFile(filepath.Dir(file))
}

func syncFile(name string) error {
	f, err := os.Open(name)
	if err != nil {
		return err
	}
	return errors.Join(f.Sync(), f.Close())
}

// RestoreInto brings a backup back into a folder that holds no house, checks it whole, and writes into it that it was
// restored. Errors: the folder holds a house, the backup is damaged.
func RestoreInto(ctx context.Context, folder, file string, opt Options) (report Report, err error) {
	if Exists(folder) {
		return Report{}, fmt.Errorf("%s already holds a house: restore into an empty folder", folder)
	}
	if err := os.MkdirAll(folder, 0o700); err != nil {
		return Report{}, err
	}
	target := filepath.Join(folder, DatabaseFile)
	if err := copyFile(target, file); err != nil {
		return Report{}, err
	}
	defer func() {
		if err != nil {
			err = errors.Join(err, removeDatabase(target))
		}
	}()
	opt.Data = folder
	s, err := Open(ctx, opt)
	if err != nil {
		return Report{}, fmt.Errorf("%s is not a backup of a house: %w", file, err)
	}
	defer func() { err = errors.Join(err, s.Close()) }()
	if report, err = s.Verify(ctx, ""); err != nil {
		return report, err
	}
	if len(report.Faults) > 0 {
		return report, fmt.Errorf("%s does not agree with its own journal: %s", file, report.Faults[0])
	}
	// The records end with their newest entry. The file's own time is no measure: copying a backup makes it younger.
	return report, s.RecordRestore(ctx, report.Head.At)
}

func copyFile(to, from string) (err error) {
	in, err := os.Open(from)
	if err != nil {
		return err
	}
	defer in.Close()
	out, err := os.OpenFile(to, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o600)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, out.Close()) }()
	if _, err := io.Copy(out, in); err != nil {
		return err
	}
	return out.Sync()
}

func removeDatabase(file string) error {
	var errs []error
	for _, f := range []string{file, file + "-wal", file + "-shm", file + "-journal"} {
		if err := os.Remove(f); err != nil && !errors.Is(err, os.ErrNotExist) {
			errs = append(errs, err)
		}
	}
	return errors.Join(errs...)
}
