package app

import (
	"fmt"

	"github.com/gin-gonic/gin"

	"canewright/records"
)

// reckoning is one form of the reckoner: its word in the address and how it is asked and answered. ask adds the fields and,
// once they are filled in, reckons; before that its answer is nil. An error is about a number and goes to its field.
type reckoning struct {
	name string
	ask  func(*reckonForm) (*reckoned, error)
}

// reckonings are all forms by the place where they are wanted: at the kettle, at the filler, for the label.
var reckonings = []struct {
	place string
	forms []reckoning
}{
	{"kettle", []reckoning{
		{"solids", reckonSolids}, {"reading", reckonReading}, {"boil", reckonBoil}, {"compare", reckonCompare},
		{"refractometer", reckonRefractometer}, {"thicken", reckonThicken}, {"thin", reckonThin}, {"blend", reckonBlend},
		{"yield", reckonYield}, {"implied", reckonImplied}, {"viscosity", reckonViscosity}}},
	{"filler", []reckoning{
		{"fill", reckonFill}, {"headspace", reckonHeadspace}, {"weight", reckonWeight}, {"weigh", reckonWeigh}, {"net", reckonNet},
		{"tolerance", reckonTolerance}, {"lethality", reckonLethality}, {"lotcode", reckonLotCode}}},
	{"label", []reckoning{
		{"name", reckonName}, {"panel", reckonPanel}, {"nutrition", reckonNutrition}, {"activity", reckonActivity},
		{"crystal", reckonCrystal}, {"shelf", reckonShelf}}},
}

// reckonerRoutes are the pages of the reckoner: for whoever is signed in, and all GET, since nothing is recorded.
func (a *App) reckonerRoutes() []route {
	return []route{
		{"GET", "/reckoner", reader, a.showReckoner},
		{"GET", "/reckoner/:form", reader, a.reckon},
	}
}

// reckonerPage is the index of what can be reckoned.
type reckonerPage struct {
	Page
	Groups []reckonGroup
}

// reckonGroup is one place with its forms.
type reckonGroup struct {
	Place, Title string
	Rows         []ledgerLine
}

func (a *App) showReckoner(c *gin.Context) error {
	w, page := visitorOf(c).words(), &reckonerPage{}
	for _, g := range reckonings {
		group := reckonGroup{Place: g.place, Title: w.say("reckoner.at." + g.place)}
		for _, r := range g.forms {
			group.Rows = append(group.Rows, ledgerLine{Name: w.say("reckoner.title." + r.name), Word: w.say("reckoner.about." + r.name), URL: "/reckoner/" + r.name})
		}
		page.Groups = append(page.Groups, group)
	}
	return a.show(c, "reckoner/index", page)
}

// reckonPage is one form, with its answer above it when it was filled in.
type reckonPage struct {
	Page
	Heading, About string
	Form           *form
	Main, More     []*Field // what is always shown, and what is folded away
	MoreWord       string
	MoreOpen       bool
	Answer         *reckoned
	Near           []ledgerLine // lot codes like one that is wrong
	Again          string       // the empty form, once something was typed
}

// reckon shows one form of the reckoner. All it was given stands in the address, so that an answer can be kept as a
// bookmark and going back shows the one before.
func (a *App) reckon(c *gin.Context) error {
	r, ok := reckoningNamed(c.Param("form"))
	if !ok {
		return fmt.Errorf("reckoner %q: %w", c.Param("form"), records.ErrNotFound)
	}
	f := a.newReckonForm(c, r.name)
	if err := a.ownTables(c, f); err != nil {
		return err
	}
	answer, err := r.ask(f)
	if err != nil {
		f.refuse(err)
	}
	page := &reckonPage{Heading: f.words.say("reckoner.title." + r.name), About: f.words.say("reckoner.about." + r.name), Form: f.form, Main: f.main()}
	page.More, page.MoreOpen = f.more()
	page.MoreWord = f.moreWord
	if f.reading() {
		page.Again = f.Action
	}
	if !f.OK() {
		if f.code != "" {
			if page.Near, err = a.nearCodes(c.Request.Context(), f.words, f.code); err != nil {
				return err
			}
		}
		return a.redisplay(c, "reckoner/form", page)
	}
	if page.Answer = answer; answer != nil {
		answer.finish(f, r.name)
	}
	return a.show(c, "reckoner/form", page)
}

func reckoningNamed(name string) (reckoning, bool) {
	for _, g := range reckonings {
		for _, r := range g.forms {
			if r.name == name {
				return r, true
			}
		}
	}
	return reckoning{}, false
}
