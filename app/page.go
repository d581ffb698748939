package app

import (
	"net"
	"net/http"
	"strings"

	"github.com/gin-gonic/gin"

	"canewright/hazards/text"
)

// Page is what the layout needs; every page's struct embeds it. Handlers set Trail, render fills the rest.
type Page struct {
	Language  string
	House     string
	Path      string
	User      string // name of the person signed in
	UserID    string // and the record of it: entries that wait on a phone carry it
	Zone      string // of the house, for times that a script writes
	HouseNow  int64  // the house's clock, in milliseconds since 1970: a phone's may be set between making an entry and sending it
	Nav       []NavItem
	Flash     string
	Overheard bool // plain http on a network: passwords can be overheard
	Settings  []SettingButton
	Trail     []Step
	Stranger  bool // somebody who scanned a bottle: nothing of the work stands on the page
}

// NavItem is one word of the menu.
type NavItem struct {
	Name, URL string
	Here      bool
}

// Step is one word of the trail line: the chain from block to lot, this record bold.
type Step struct {
	Name, URL string
	Here      bool
}

// SettingButton switches language or units.
type SettingButton struct {
	Name, Value, Label, Lang string
	Chosen                   bool
}

// navItems is the whole menu, in the order of the work; what has no route yet, or is not for this person, is left out.
var navItems = []struct{ key, path string }{
	{"nav.today", "/"}, {"nav.field", "/field"}, {"nav.mill", "/mill"}, {"nav.kettle", "/kettle"},
	{"nav.filler", "/filler"}, {"nav.shelf", "/shelf"}, {"nav.trace", "/trace"}, {"nav.complaints", "/complaints"},
	{"nav.house", "/house"}, {"nav.inspector", "/inspector"}, {"nav.journal", "/journal"}, {"nav.reckoner", "/reckoner"},
}

func (p *Page) page() *Page { return p }

// fill sets what the layout shows on every page.
func (a *App) fill(c *gin.Context, p *Page) {
	v := visitorOf(c)
	p.Language, p.House, p.User = string(v.lang), v.house.Name, v.person.Name
	p.UserID, p.Zone, p.HouseNow = v.person.ID, v.zone.String(), a.store.Now().UnixMilli()
	p.Path = "/"
	if c.Request.Method == http.MethodGet {
		p.Path = c.Request.URL.RequestURI()
	}
	p.Nav = a.nav(v, c.Request.URL.Path)
	p.Flash = a.takeFlash(c)
	p.Overheard = !a.opt.HTTPS && c.Request.TLS == nil && !onThisMachine(c.Request.Host)
	p.Settings = settingButtons(v)
	if p.Stranger {
		p.Settings = p.Settings[:2] // the languages: no figure of the page has a unit to choose
	}
}

// nav lists the menu for a visitor.
func (a *App) nav(v *visitor, path string) []NavItem {
	var items []NavItem
	if !v.signedIn() {
		return nil
	}
	for _, item := range navItems {
		if who, ok := a.routed[item.path]; !ok || !v.may(who) {
			continue
		}
		here := path == item.path || item.path != "/" && strings.HasPrefix(path, item.path+"/")
		items = append(items, NavItem{Name: text.Say(v.lang, item.key), URL: item.path, Here: here})
	}
	return items
}

// settingButtons are the language and unit switches. A language is named in itself.
func settingButtons(v *visitor) []SettingButton {
	return []SettingButton{
		{Name: "language", Value: "en", Label: "English", Lang: "en", Chosen: v.lang == text.English},
		{Name: "language", Value: "es", Label: "Español", Lang: "es", Chosen: v.lang == text.Spanish},
		{Name: "units", Value: "us", Label: text.Say(v.lang, "setting.us"), Chosen: v.units == "us"},
		{Name: "units", Value: "metric", Label: text.Say(v.lang, "setting.metric"), Chosen: v.units == "metric"},
	}
}

// onThisMachine tells whether the app was reached without a network between.
func onThisMachine(host string) bool {
	name, _, err := net.SplitHostPort(host)
	if err != nil {
		name = host
	}
	name = strings.Trim(name, "[]")
	ip := net.ParseIP(name)
	return strings.EqualFold(name, "localhost") || ip != nil && ip.IsLoopback()
}
