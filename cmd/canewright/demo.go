package main

import (
	"errors"
	"fmt"
	"net"
	"os"
	"path/filepath"
	"time"

	"canewright/cmd/season"
	"canewright/records"
)

// demoMarker is the file by which a folder is known to hold a demo and no real house.
const demoMarker = "demo-season"

// demoPassword is no secret: it is printed, and the house does not exist. Real houses have no password by default.
const demoPassword = "cane-and-kettle"

func isDemo(place string) bool {
	_, err := os.Stat(filepath.Join(place, demoMarker))
	return err == nil
}

// demo is `canewright demo`: an invented season, built anew or as it was left, and served.
func demo(c *call) error {
	c.withData()
	c.withJSON()
	var s served
	s.flags(c, "")
	today := c.set.String("today", "", "")
	noServe := c.set.Bool("no-serve", false, "")
	if err := c.parse(); err != nil {
		return err
	}
	if *today != "" && !records.Day(*today).Valid() {
		return usage(say("cmd.need_day", "Flag", "--today", "Typed", *today))
	}
	if s.addr != "" {
		if err := s.check(); err != nil {
			return err
		}
	}
	place, err := c.demoPlace()
	if err != nil {
		return err
	}
	store, summary, err := c.demoSeason(place, records.Day(*today))
	if err != nil {
		return err
	}
	if err := c.tellDemo(place, summary); err != nil {
		return errors.Join(err, store.Close())
	}
	if !*noServe {
		err = c.serveDemo(store, place, s)
	}
	return errors.Join(err, store.Close())
}

// demoPlace is a folder of its own unless --data names one. CANEWRIGHT_DATA is not used: it is where the real house is.
func (c *call) demoPlace() (string, error) {
	switch {
	case remote(c.data):
		return "", usage(say("cmd.demo.folder_only"))
	case c.data == "":
		return os.MkdirTemp("", "canewright-demo-")
	case records.Exists(c.data) && !isDemo(c.data):
		return "", usage(say("cmd.demo.real_house", "Place", c.data))
	}
	return c.data, os.MkdirAll(c.data, 0o700)
}

// demoSeason opens the demo that a folder holds, or builds one for the day.
func (c *call) demoSeason(place string, today records.Day) (*records.Store, demoSummary, error) {
	if records.Exists(place) {
		return c.oldDemo(place, today)
	}
	if today == "" {
		zone, err := time.LoadLocation(season.Zone)
		if err != nil {
			return nil, demoSummary{}, err
		}
		today = records.DayOf(c.now(), zone)
	}
	return c.newDemo(place, today)
}

// demoSummary is what the demo tells: where to sign in and what to trace.
type demoSummary struct {
	Today     records.Day `json:"today"`
	House     string      `json:"house"`
	Login     string      `json:"login"`
	Password  string      `json:"password"`
	TraceCode string      `json:"trace_code"`
	Folder    string      `json:"folder"`
	trace     traced
	took      time.Duration // 0: built before
}

func (c *call) newDemo(place string, today records.Day) (*records.Store, demoSummary, error) {
	began := c.now()
	if err := os.WriteFile(filepath.Join(place, demoMarker), []byte(say("cmd.demo.marker", "Day", today)+"\n"), 0o600); err != nil {
		return nil, demoSummary{}, err
	}
	clock := season.NewClock()
	clock.Set(season.Start(today))
	store, err := records.Open(c.ctx, records.Options{Data: place, Now: clock.Now, Entropy: season.Entropy()})
	if err != nil {
		return nil, demoSummary{}, err
	}
	built, err := season.Build(c.ctx, store, season.Options{Today: today, Clock: clock})
	if err != nil {
		return nil, demoSummary{}, errors.Join(err, store.Close())
	}
	for _, id := range append([]string{built.OwnerID}, built.CrewIDs...) {
		if err := store.SetPassword(c.ctx, id, demoPassword); err != nil {
			return nil, demoSummary{}, errors.Join(err, store.Close())
		}
	}
	if err := c.resume(store, clock); err != nil {
		return nil, demoSummary{}, errors.Join(err, store.Close())
	}
	return c.summarise(store, place, today, c.now().Sub(began))
}

// oldDemo serves a demo as it was left; a day cannot be chosen for it any more.
func (c *call) oldDemo(place string, today records.Day) (*records.Store, demoSummary, error) {
	store, err := c.open(place)
	if err != nil {
		return nil, demoSummary{}, err
	}
	house, err := store.House(c.ctx)
	if errors.Is(err, records.ErrNotFound) {
		err = usage(say("cmd.demo.unfinished", "Place", place))
	}
	stands := records.DayOf(store.Now(), house.Location())
	if err == nil && today != "" && today != stands {
		err = usage(say("cmd.demo.other_day", "Place", place, "Day", stands))
	}
	if err != nil {
		return nil, demoSummary{}, errors.Join(err, store.Close())
	}
	return c.summarise(store, place, stands, 0)
}

// summarise finds what to tell of a demo: its owner, and the lot of the first leaking bottle with its trace.
func (c *call) summarise(store *records.Store, place string, today records.Day, took time.Duration) (*records.Store, demoSummary, error) {
	d := demoSummary{Today: today, Password: demoPassword, Folder: place, took: took}
	err := func() error {
		house, err := store.House(c.ctx)
		if err != nil {
			return err
		}
		d.House = house.Name
		owners, err := records.List[records.Person](c.ctx, store, "role = ? ORDER BY id LIMIT 1", records.RoleOwner)
		if err != nil || len(owners) == 0 {
			return errors.Join(err, errors.New(say("cmd.user.no_owner")))
		}
		d.Login = owners[0].Login
		leaks, err := records.List[records.Complaint](c.ctx, store, "about = ? AND lot_id IS NOT NULL ORDER BY received_at LIMIT 1", "leak")
		if err != nil || len(leaks) == 0 {
			return err
		}
		d.TraceCode = leaks[0].CodeTyped
		d.trace, err = c.trace(store, house, d.TraceCode)
		return err
	}()
	if err != nil {
		return nil, d, errors.Join(err, store.Close())
	}
	return store, d, nil
}

func (c *call) tellDemo(place string, d demoSummary) error {
	if c.json {
		return c.encode(d)
	}
	c.say("cmd.demo.about", "House", d.House, "Day", d.Today, "Place", place)
	if d.took > 0 {
		c.say("cmd.demo.built", "Seconds", fmt.Sprintf("%.1f", d.took.Seconds()))
	}
	if d.TraceCode == "" {
		return nil
	}
	c.say("cmd.demo.trace", "Code", d.TraceCode)
	for _, line := range d.trace.lines() {
		fmt.Fprintln(c.stdout, line)
	}
	fmt.Fprintln(c.stdout)
	c.say("cmd.demo.sign_in", "Login", d.Login, "Password", d.Password)
	return nil
}

// The ports a demo tries when no address is given; then it takes any that is free.
const (
	firstDemoPort = 8080
	lastDemoPort  = 8099
)

func (c *call) serveDemo(store *records.Store, place string, s served) error {
	listener, err := s.demoListener()
	if err != nil {
		return err
	}
	return c.serveHouse(listener, store, place, s)
}

func (s *served) demoListener() (net.Listener, error) {
	if s.addr != "" {
		return listen(s.addr)
	}
	for port := firstDemoPort; port <= lastDemoPort; port++ {
		if listener, err := net.Listen("tcp", fmt.Sprintf("127.0.0.1:%d", port)); err == nil {
			return listener, nil
		}
	}
	return listen("127.0.0.1:0")
}
