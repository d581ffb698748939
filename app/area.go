package app

import (
	"github.com/gin-gonic/gin"

	"canewright/records"
)

// areaPage lists the simple kinds of an area, a few newest of each.
type areaPage struct {
	Page
	Heading  string
	Sections []areaSection
	Paper    bool // the area's sheets can be written on paper
}

// areaSection is one kind: its newest records and the button for a new one.
type areaSection struct {
	Anchor, Title, URL, Empty string
	New, NewName              string // address and whole name of the button for a new one
	Count                     int
	Rows                      []ledgerLine
	More                      bool
}

// ledgerLine is one line to tap: a name and a word beside it.
type ledgerLine struct{ Name, Word, URL string }

// rowsInArea is how many records of each kind stand on its area's page.
const rowsInArea = 5

// showArea shows an area made of simple kinds.
func (a *App) showArea(area string) func(*gin.Context) error {
	return func(c *gin.Context) error {
		v := visitorOf(c)
		page := &areaPage{Heading: v.words().say("nav." + area), Paper: area == "field"}
		for _, k := range a.kinds.inArea(area) {
			if !v.may(k.See) {
				continue
			}
			section, err := a.sectionOf(c, k)
			if err != nil {
				return err
			}
			page.Sections = append(page.Sections, section)
		}
		return a.show(c, "area/area", page)
	}
}

func (a *App) sectionOf(c *gin.Context, k *kindPage) (areaSection, error) {
	v, ctx := visitorOf(c), c.Request.Context()
	w := v.words()
	section := areaSection{Anchor: string(k.Kind), Title: w.say(string(k.Kind) + ".plural"), URL: k.path(), Empty: w.say("kind.empty")}
	facts, err := k.rows(ctx, a.store, "ORDER BY "+k.Order)
	if err != nil {
		return section, err
	}
	section.Count = len(facts)
	if v.may(k.Write) && canAdd(k, len(facts)) {
		section.New, section.NewName = k.path()+"/new", w.say(string(k.Kind)+".new")
	}
	if section.More = len(facts) > rowsInArea; section.More {
		facts = facts[:rowsInArea]
	}
	f := a.newForm(c, string(k.Kind), "")
	for _, fact := range facts {
		f.Fields, f.Revision = nil, records.Head(fact).Revision
		k.bind(f, fact)
		section.Rows = append(section.Rows, ledgerLine{Name: cellOf(f, k.Columns[0]).Text, Word: cellOf(f, k.Columns[1]).Text,
			URL: recordURL(records.Head(fact).ID)})
	}
	return section, f.Err()
}
