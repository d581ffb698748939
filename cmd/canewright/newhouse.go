package main

import (
	"bufio"
	"errors"
	"os"
	"path/filepath"
	"strings"
	"time"

	"canewright/records"
)

// newHouse is what a house starts with: asked on a terminal, or given by flags.
type newHouse struct {
	house, address, telephone, zone string
	owner, login, language          string
	passwordFrom                    string
	password                        string
}

func (n *newHouse) flags(c *call) {
	c.set.StringVar(&n.house, "house", "", "")
	c.set.StringVar(&n.address, "address", "", "")
	c.set.StringVar(&n.telephone, "telephone", "", "")
	c.set.StringVar(&n.zone, "zone", "", "")
	c.set.StringVar(&n.owner, "owner", "", "")
	c.set.StringVar(&n.login, "login", "", "")
	c.set.StringVar(&n.language, "language", "en", "")
	c.set.StringVar(&n.passwordFrom, "password-from", "", "")
}

// missing lists the flags that a start without a terminal still needs.
func (n *newHouse) missing() []string {
	var flags []string
	for _, f := range []struct{ name, value string }{{"--house", n.house}, {"--address", n.address}, {"--telephone", n.telephone},
		{"--zone", n.zone}, {"--owner", n.owner}, {"--login", n.login}, {"--password-from", n.passwordFrom}} {
		if f.value == "" {
			flags = append(flags, f.name)
		}
	}
	return flags
}

// startHouse makes the house of an empty place: asks on a terminal for what the flags leave open, and refuses where
// nobody can be asked. Without --new it asks first whether a house shall start there at all.
func (c *call) startHouse(place string, n newHouse, sure bool) error {
	_, asks := c.terminal()
	switch {
	case !asks && !sure:
		return usage(say("cmd.new.none", "Place", shownPlace(place)))
	case !asks && len(n.missing()) > 0:
		return usage(say("cmd.new.missing", "Flags", list(n.missing())))
	}
	if asks {
		if err := n.ask(c, shownPlace(place), sure); err != nil {
			return err
		}
	}
	var err error
	if n.password, err = c.password(n.passwordFrom); err != nil {
		return err
	}
	if err := n.check(); err != nil {
		return err
	}
	store, err := c.open(place)
	if err != nil {
		return err
	}
	return errors.Join(c.setUp(store, n), store.Close())
}

// ask asks for everything that no flag gave.
func (n *newHouse) ask(c *call, place string, sure bool) error {
	a := &asker{c, bufio.NewReader(c.stdin)}
	if !sure {
		c.say("cmd.new.start", "Place", place)
		if yes, err := a.ask(say("cmd.new.yes"), "no", filled); err != nil || !strings.EqualFold(yes, "yes") {
			return errors.Join(err, usage(say("cmd.new.not_started")))
		}
	}
	for _, q := range []struct {
		value        *string
		key, offered string
		check        func(string) error
	}{
		{&n.house, "cmd.new.house", "", filled}, {&n.address, "cmd.new.address", "", filled}, {&n.telephone, "cmd.new.telephone", "", filled},
		{&n.zone, "cmd.new.zone", machineZone(), checkZone}, {&n.owner, "cmd.new.owner", "", filled}, {&n.login, "cmd.new.login", "", filled},
	} {
		if *q.value != "" {
			continue
		}
		answer, err := a.ask(say(q.key), q.offered, q.check)
		if err != nil {
			return err
		}
		*q.value = answer
	}
	return nil
}

// machineZone is the zone this machine is set to, when it has a name of its own.
func machineZone() string {
	for _, zone := range []string{os.Getenv("TZ"), linkedZone()} {
		if zone != "" && zone != "UTC" && checkZone(zone) == nil {
			return zone
		}
	}
	return ""
}

// linkedZone is the zone that /etc/localtime points to.
func linkedZone() string {
	target, err := filepath.EvalSymlinks("/etc/localtime")
	if err != nil {
		return ""
	}
	_, zone, _ := strings.Cut(filepath.ToSlash(target), "zoneinfo/")
	return zone
}

func checkZone(zone string) error {
	if _, err := time.LoadLocation(zone); err != nil || zone == "" || zone == "Local" {
		return errors.New(say("invalid.zone"))
	}
	return nil
}

// facts are the house, its first site and its owner as they will be written. Lines of the address are apart by semicolons.
func (n *newHouse) facts() (*records.House, *records.Site, *records.Person) {
	var lines []string
	for _, line := range strings.Split(n.address, ";") {
		lines = append(lines, strings.TrimSpace(line))
	}
	house := &records.House{Name: n.house, Address: strings.Join(lines, "\n"), Telephone: n.telephone, Zone: n.zone, TargetSolids: firstTarget}
	site := &records.Site{Name: n.house, Address: strings.Join(lines, ", "), Telephone: n.telephone}
	owner := &records.Person{Name: n.owner, Login: strings.ToLower(n.login), Role: records.RoleOwner, MayRelease: true, Language: n.language, Units: "us"}
	return house, site, owner
}

// firstTarget is where a new house means to stop: one percent above the floor of 21 CFR 168.130, more than a hot
// hydrometer can err. The owner changes it under House.
const firstTarget = 75

// check refuses what the store would refuse, before a folder is made.
func (n *newHouse) check() error {
	house, site, owner := n.facts()
	for _, err := range []error{house.Validate(), site.Validate(), owner.Validate()} {
		if err != nil {
			return usage(problemText(err))
		}
	}
	return nil
}

func (c *call) setUp(store *records.Store, n newHouse) error {
	house, site, owner := n.facts()
	if err := store.SetUp(c.ctx, house, site, owner); err != nil {
		return err
	}
	if err := store.SetPassword(c.ctx, owner.ID, n.password); err != nil {
		return err
	}
	c.say("cmd.new.done", "House", house.Name, "Owner", owner.Name, "Login", owner.Login)
	return nil
}
