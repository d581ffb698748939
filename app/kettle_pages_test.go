package app

// kettleFixtures holds an empty and a full view of every page of the mill and the kettle.
func kettleFixtures() map[string][2]view {
	lines := []ledgerLine{{Name: evil, Word: evil, URL: "/record/1"}}
	said := []shownFinding{{Level: "hold", Word: evil, What: evil, Measured: evil, Limit: evil, Why: evil, Next: evil, Source: evil}}
	amounts := []amountLine{{Name: evil, URL: "/record/1", Amount: evil, When: evil, Amend: "/a", Estimated: true}}
	shares := []shareLine{{Name: evil, URL: "/record/1", Percent: evil, Width: 40, Estimated: true}}
	card := tankCard{Name: evil, URL: "/record/1", Holds: evil, Contents: evil, Since: evil, Shares: shares}
	form := fullForm()
	draws := []*drawField{{Name: evil, Tick: form.Fields[7], Take: form.Fields[9]}}
	picture := &boilPicture{Width: 400, Height: 350, Desc: evil, Unit: evil, Degrees: []pictureMark{{Text: evil, Anchor: evil}},
		Minutes: []pictureMark{{Text: evil, Anchor: evil}}, Band: &pictureBand{Text: evil}, Past: "1,2 3,4", Line: "1,2 3,4", Dots: []pictureMark{{}},
		Last: pictureMark{Text: evil, Anchor: evil}, Rules: []int{1}, Events: []pictureEvent{{Text: evil, Anchor: evil}, {}}}
	return map[string][2]view{
		"kettle/list": {&kettlesPage{}, &kettlesPage{Page: fullPage(), Start: "/kettle/new", Recent: lines,
			Open:    []openRun{{Code: evil, Kettle: evil, URL: "/r", Lit: evil, Last: evil, Time: evil, Minutes: 5}},
			Kettles: []kettleLine{{Name: evil, URL: "/k", Word: evil, Wash: form, Open: true}, {Name: evil}}}},
		"kettle/new": {&startRunPage{Form: &form0}, &startRunPage{Page: fullPage(), Form: form, Juice: draws, Rest: form.Fields, None: evil, Full: evil}},
		"kettle/run": {&runPage{}, &runPage{Page: fullPage(), Code: evil, Kettle: evil, Open: true, Minutes: 5, Time: evil, Lit: evil, Drawn: evil,
			Sheet: "/sheet/1", Amend: "/a", Who: "/h", Struck: true, Findings: said, Juice: amounts, Out: amounts, Left: evil, Lots: lines,
			Quick:   []*quickForm{{Key: "note", Title: evil, Lead: evil, Open: true, Form: form, Main: form.Fields, More: form.Fields, MoreOpen: true, Draws: draws}},
			Watch:   &watchPanel{Target: evil, At: evil, When: evil, Hand: evil, Reading: evil, Cold: true, Boils: evil, BoilsNote: evil},
			Reading: &readingPanel{Read: evil, Solids: evil, Stage: evil, Usable: true, Advice: evil, Basis: evil, Findings: said},
			Picture: picture, PictureLegend: evil, Log: []logLine{{Clock: evil, Minutes: evil, What: evil, Figure: evil, Details: []string{evil, evil},
				Note: evil, Who: evil, Late: evil, Amended: true, URL: "/r", Amend: "/a", Findings: said}, {}}}},
		"mill/list": {&millPage{}, &millPage{Page: fullPage(), New: "/n", NewTank: "/t", Tanks: []tankCard{card, {}}, Pressings: lines}},
		"mill/new":  {&newPressingPage{Form: &form0}, &newPressingPage{Page: fullPage(), Form: form, Cuts: draws, Rest: form.Fields, None: evil}},
		"mill/pressing": {&pressingPage{}, &pressingPage{Page: fullPage(), Heading: evil, Cuts: amounts, Out: amounts, Left: evil, Findings: said, Amend: "/a",
			History: "/h", Light: "/l", Lines: []line{{Label: evil, Text: evil, Entered: evil, URL: "/record/1"}, {Missing: true}},
			Balance: []balanceLine{{Label: evil, Figure: evil, Note: evil}}}},
		"mill/tank": {&tankPage{}, &tankPage{Page: fullPage(), Card: card, Mass: evil, Solids: evil, Groups: []shareGroup{{Title: evil, Shares: shares}},
			Events: []tankEvent{{When: evil, What: evil, Amount: evil, URL: "/r", Amend: "/a", Note: evil, Estimated: true}},
			Fill:   &drawForm{Form: form, From: draws, Rest: form.Fields}, Wash: form, NoFill: evil, History: "/h"}},
	}
}

// form0 is a form without anything.
var form0 form
