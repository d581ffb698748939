package main

import (
	"errors"

	"canewright/records"
)

// backup is `canewright backup --out F`.
func backup(c *call) error {
	c.withData()
	c.withJSON()
	out := c.outFlag()
	if err := c.parse(); err != nil {
		return err
	}
	if err := needOut(*out, "season.db"); err != nil {
		return err
	}
	store, _, err := c.house()
	if err != nil {
		return err
	}
	head, err := records.JournalHead(c.ctx, store)
	if err == nil {
		err = store.Backup(c.ctx, *out)
	}
	if err := errors.Join(err, store.Close()); err != nil {
		return err
	}
	if c.json {
		return c.encode(map[string]any{"file": *out, "head_entry": head.Seq, "head_hash": head.Hash})
	}
	c.say("cmd.backup.done", "Path", *out, "Head", head.Short())
	return nil
}

// restore is `canewright restore F`: into a folder that holds no house.
func restore(c *call) error {
	c.withData()
	c.withJSON()
	if err := c.parse(say("cmd.word.backup")); err != nil {
		return err
	}
	place, err := c.dataPlace()
	if err != nil {
		return err
	}
	switch {
	case remote(place):
		return usage(say("cmd.restore.postgres"))
	case records.Exists(place):
		return usage(say("cmd.restore.occupied", "Place", place))
	}
	report, err := records.RestoreInto(c.ctx, place, c.args[0], records.Options{Now: c.now, NotBefore: builtAt()})
	if err != nil {
		return err
	}
	if c.json {
		return c.encode(map[string]any{"place": place, "entries": report.Entries, "head_entry": report.Head.Seq, "head_hash": report.Head.Hash})
	}
	c.say("cmd.restore.done", "Place", place, "Count", report.Entries, "Head", report.Head.Short())
	c.say("cmd.restore.codes")
	return nil
}
