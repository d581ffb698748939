package main

import (
	"errors"
	"io"
	"os"
	"path/filepath"
)

// writeFile writes a whole new file: beside its place first, then under its name, so that no half of one is ever seen.
func writeFile(name string, write func(io.Writer) error) (err error) {
	f, err := os.CreateTemp(filepath.Dir(name), ".canewright-*")
	if err != nil {
		return err
	}
	defer func() {
		if err != nil {
			err = errors.Join(err, os.Remove(f.Name()))
		}
	}()
	if err := write(f); err != nil {
		return errors.Join(err, f.Close())
	}
	if err := errors.Join(f.Sync(), f.Chmod(0o644), f.Close()); err != nil {
		return err
	}
	return os.Rename(f.Name(), name)
}

// writeBytes is writeFile of bytes at hand.
func writeBytes(name string, b []byte) error {
	return writeFile(name, func(w io.Writer) error {
		_, err := w.Write(b)
		return err
	})
}

// outFlag is the flag that every command needs that writes a file.
func (c *call) outFlag() *string { return c.set.String("out", "", "") }

// needOut refuses, before any work, a file that is not named, is there already, or would lie in no folder.
func needOut(out, example string) error {
	if out == "" {
		return usage(say("cmd.need_flag", "Flag", "--out", "Example", "--out "+example))
	}
	if _, err := os.Stat(out); err == nil {
		return usage(say("cmd.exists", "Path", out))
	}
	folder := filepath.Dir(out)
	if info, err := os.Stat(folder); err != nil || !info.IsDir() {
		return usage(say("cmd.no_folder", "Path", folder))
	}
	return nil
}
