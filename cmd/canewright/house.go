package main

import (
	"errors"
	"os"
	"path/filepath"
	"runtime/debug"
	"strings"
	"time"

	"canewright/cmd/season"
	"canewright/records"
)

// dataPlace is where the records are: --data, else CANEWRIGHT_DATA, else canewright-data in the user's home.
func (c *call) dataPlace() (string, error) {
	for _, place := range []string{c.data, os.Getenv("CANEWRIGHT_DATA")} {
		if place != "" {
			return place, nil
		}
	}
	home, err := os.UserHomeDir()
	if err != nil {
		return "", usage(say("cmd.no_home"))
	}
	return filepath.Join(home, "canewright-data"), nil
}

// remote tells whether a place is a PostgreSQL address and not a folder.
func remote(place string) bool {
	return strings.HasPrefix(place, "postgres://") || strings.HasPrefix(place, "postgresql://")
}

// house opens the records of a house that is there already.
func (c *call) house() (*records.Store, records.House, error) {
	place, err := c.dataPlace()
	if err != nil {
		return nil, records.House{}, err
	}
	if !remote(place) && !records.Exists(place) {
		return nil, records.House{}, usage(say("cmd.no_house", "Place", place))
	}
	store, err := c.open(place)
	if err != nil {
		return nil, records.House{}, err
	}
	house, err := store.House(c.ctx)
	if errors.Is(err, records.ErrNotFound) {
		err = usage(say("cmd.no_house", "Place", shownPlace(place)))
	}
	if err != nil {
		return nil, house, errors.Join(err, store.Close())
	}
	return store, house, nil
}

// open opens the records at a place; those of a demo with its own clock, which stands on the demo's day.
func (c *call) open(place string) (*records.Store, error) {
	opt := records.Options{Data: place, Now: c.now, NotBefore: builtAt(), ToVerify: c.toVerify}
	if remote(place) || !isDemo(place) {
		return records.Open(c.ctx, opt)
	}
	clock := season.NewClock()
	clock.Set(c.now())
	opt.Now, opt.NotBefore = clock.Now, time.Time{}
	store, err := records.Open(c.ctx, opt)
	if err != nil {
		return nil, err
	}
	return store, c.resume(store, clock)
}

// resume lets a demo's clock go on from its newest entry.
func (c *call) resume(store *records.Store, clock *season.Clock) error {
	head, err := records.JournalHead(c.ctx, store)
	if err != nil || head.Seq == 0 {
		return err
	}
	house, err := store.House(c.ctx)
	if err != nil {
		return err
	}
	clock.Set(head.At.Add(time.Minute))
	clock.Run(c.now, house.Location())
	return nil
}

// shownPlace is a place without the password an address may hold.
func shownPlace(place string) string {
	if !remote(place) {
		return place
	}
	scheme, rest, _ := strings.Cut(place, "://")
	if _, after, ok := strings.Cut(rest, "@"); ok {
		rest = after
	}
	return scheme + "://" + rest
}

// builtAt is when this program's source was committed; the zero time when the build does not say.
func builtAt() time.Time {
	info, ok := debug.ReadBuildInfo()
	if !ok {
		return time.Time{}
	}
	at, _ := time.Parse(time.RFC3339, setting(info, "vcs.time"))
	return at
}

func setting(info *debug.BuildInfo, key string) string {
	for _, s := range info.Settings {
		if s.Key == key {
			return s.Value
		}
	}
	return ""
}
