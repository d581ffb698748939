package main

import (
	"errors"
	"fmt"
	"strings"

	"canewright/records"
)

// user is `canewright user add|list|password`.
func user(c *call) error {
	if len(c.args) == 0 {
		return usage(say("cmd.user.which"))
	}
	verb := c.args[0]
	c.args = c.args[1:]
	switch verb {
	case "add":
		return addUser(c)
	case "list":
		return listUsers(c)
	case "password":
		return setPassword(c)
	case "-h", "-help", "--help":
		c.args = []string{verb}
		return c.parse()
	}
	return usage(say("cmd.user.which"))
}

// owner is for whom the command line writes: the first owner of the house.
func (c *call) owner(store *records.Store) (records.Actor, error) {
	owners, err := records.List[records.Person](c.ctx, store, "role = ? ORDER BY id LIMIT 1", records.RoleOwner)
	if err == nil && len(owners) == 0 {
		err = usage(say("cmd.user.no_owner"))
	}
	if err != nil {
		return records.Actor{}, err
	}
	return records.Actor{PersonID: owners[0].ID}, nil
}

// addUser is `canewright user add NAME --login L [--role R] [--may-release] [--language L] [--units U] [--expires DAY]`.
func addUser(c *call) error {
	c.withData()
	var p records.Person
	c.set.StringVar(&p.Login, "login", "", "")
	c.set.StringVar((*string)(&p.Role), "role", string(records.RoleCrew), "")
	c.set.BoolVar(&p.MayRelease, "may-release", false, "")
	c.set.StringVar(&p.Language, "language", "en", "")
	c.set.StringVar(&p.Units, "units", "us", "")
	c.set.StringVar((*string)(&p.Expires), "expires", "", "")
	from := c.set.String("password-from", "", "")
	if err := c.parse(say("cmd.word.name")); err != nil {
		return err
	}
	if p.Login == "" {
		return usage(say("cmd.need_flag", "Flag", "--login", "Example", "--login marisol"))
	}
	p.Name, p.Login = c.args[0], strings.ToLower(p.Login)
	if err := p.Validate(); err != nil {
		return usage(problemText(err))
	}
	password, err := c.password(*from)
	if err != nil {
		return err
	}
	store, _, err := c.house()
	if err != nil {
		return err
	}
	if err := errors.Join(c.addPerson(store, &p, password), store.Close()); err != nil {
		return err
	}
	c.say("cmd.user.added", "Name", p.Name, "Login", p.Login, "Role", p.Role)
	return nil
}

func (c *call) addPerson(store *records.Store, p *records.Person, password string) error {
	owner, err := c.owner(store)
	if err != nil {
		return err
	}
	first, err := records.Get[records.Person](c.ctx, store, owner.PersonID)
	if err != nil {
		return err
	}
	p.SiteID = first.SiteID
	if err := store.Write(c.ctx, owner, p); err != nil {
		return err
	}
	return store.SetPassword(c.ctx, p.ID, password)
}

// userListed is one person for a machine.
type userListed struct {
	Name       string `json:"name"`
	Login      string `json:"login"`
	Role       string `json:"role"`
	MayRelease bool   `json:"may_release"`
	Language   string `json:"language"`
	Expires    string `json:"expires,omitempty"`
	Password   bool   `json:"has_password"`
}

func listUsers(c *call) error {
	c.withData()
	c.withJSON()
	if err := c.parse(); err != nil {
		return err
	}
	store, _, err := c.house()
	if err != nil {
		return err
	}
	users, err := c.users(store)
	if err := errors.Join(err, store.Close()); err != nil {
		return err
	}
	if c.json {
		return c.encode(users)
	}
	for _, u := range users {
		line := fmt.Sprintf("%-12s %-24s %s", u.Login, u.Name, say("cmd.role."+u.Role))
		if u.MayRelease {
			line += ", " + say("cmd.user.may_release")
		}
		if u.Expires != "" {
			line += ", " + say("cmd.user.until", "Day", u.Expires)
		}
		if !u.Password {
			line += ", " + say("cmd.user.no_password")
		}
		fmt.Fprintln(c.stdout, line)
	}
	return nil
}

func (c *call) users(store *records.Store) ([]userListed, error) {
	people, err := records.List[records.Person](c.ctx, store, "ORDER BY role DESC, login")
	users := []userListed{}
	for _, p := range people {
		mark, err := store.CredentialMark(c.ctx, p.ID)
		if err != nil {
			return nil, err
		}
		users = append(users, userListed{p.Name, p.Login, string(p.Role), p.MayRelease, p.Language, string(p.Expires), mark != ""})
	}
	return users, err
}

// setPassword is `canewright user password LOGIN`.
func setPassword(c *call) error {
	c.withData()
	from := c.set.String("password-from", "", "")
	if err := c.parse(say("cmd.word.login")); err != nil {
		return err
	}
	store, _, err := c.house()
	if err != nil {
		return err
	}
	return errors.Join(c.newPassword(store, strings.ToLower(c.args[0]), *from), store.Close())
}

func (c *call) newPassword(store *records.Store, login, from string) error {
	people, err := records.List[records.Person](c.ctx, store, "login = ?", login)
	if err != nil {
		return err
	}
	if len(people) == 0 {
		return usage(say("cmd.user.unknown", "Login", login))
	}
	password, err := c.password(from)
	if err != nil {
		return err
	}
	if err := store.SetPassword(c.ctx, people[0].ID, password); err != nil {
		return err
	}
	c.say("cmd.user.password_set", "Name", people[0].Name)
	return nil
}
