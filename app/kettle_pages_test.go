package app

import "canewright/records/boilchart"

// kettleFixtures holds an empty and a full view of every page of the mill and the kettle.
func kettleFixtures() map[string][2]view {
	lines := []ledgerLine{{Name: evil, Word: evil, URL: "/record/1"}}
	said := []shownFinding{{Level: "hold", Word: evil, What: evil, Measured: evil, Limit: evil, Why: evil, Next: evil, Source: evil}}
	amounts := []amountLine{{Name: evil, URL: "/record/1", Amount: evil, When: evil, Amend: "/a", Estimated: true}}
	shares := []shareLine{{Name: evil, URL: "/record/1", Percent: evil, Width: 40, Estimated: true}}
	card := tankCard{Name: evil, URL: "/record/1", Holds: evil, Contents: evil, Since: evil, Shares: shares}
	form := fullForm()
	draws := []*drawField{{Name: evil, Tick: form.Fields[7], Take: form.Fields[9]}}
	mark := boilchart.Mark{Text: evil, End: boilchart.Left}
	panel := boilchart.Panel{Title: mark, Marks: []boilchart.Mark{mark}, Target: &boilchart.Box{}, Word: mark, Dots: []boilchart.Place{{}}, Last: &mark}
	picture := &boilPicture{Desc: evil, Captions: []string{evil}, Drawn: []drawnPanel{{Panel: panel, Past: "1,2 3,4", Strokes: []drawnStroke{{"1,2 3,4", "boil-line"}}}},
		Chart: boilchart.Chart{Minutes: []boilchart.Mark{mark}, Out: []boilchart.Box{{}}, Strip: boilchart.Strip{Rules: []float64{1}, Words: []boilchart.Word{{Mark: mark}, {}}}}}
	return map[string][2]view{
		"kettle/list": {&kettlesPage{}, &kettlesPage{Page: fullPage(), Start: "/kettle/new", Recent: lines,
			Open:    []openRun{{Code: evil, Kettle: evil, URL: "/r", Lit: evil, Last: evil, Time: evil, Done: evil, Minutes: 5}},
			Kettles: []kettleLine{{Name: evil, URL: "/k", Word: evil, Wash: form, Open: true}, {Name: evil}}}},
		"kettle/water": {&waterPage{Form: &form0}, &waterPage{Page: fullPage(), Form: form, Main: form.Fields, More: form.Fields, MoreOpen: true, Expected: evil, None: true}},
		"kettle/new":   {&startRunPage{Form: &form0}, &startRunPage{Page: fullPage(), Form: form, Juice: draws, Rest: form.Fields, None: evil, Full: evil}},
		"kettle/run": {&runPage{}, &runPage{Page: fullPage(), Code: evil, Kettle: evil, Open: true, Minutes: 5, Time: evil, Lit: evil, Drawn: evil,
			ID: "R1", live: live{NowAt: 5, LitAt: 4, FireOut: true}, Ends: "/e", Done: evil, Last: []lastFigure{{Label: evil, Figure: evil, Small: evil}},
			Late:    []*quickForm{{Key: "skimming", Title: evil, Tap: true, Open: true, Form: form, Main: form.Fields, More: form.Fields, When: fullWhen()}},
			Loggers: fullLoggers(), Sheets: []string{"/attachment/1"}, Logger: "/l", Paper: "/p", SheetPhoto: "/p",
			Sheet: "/sheet/1", Amend: "/a", Who: "/h", Struck: true, Findings: said, Juice: amounts, Out: amounts, Left: evil, Lots: lines,
			Quick: []*quickForm{{Key: "note", Title: evil, Lead: evil, Open: true, Form: form, Main: form.Fields, More: form.Fields, MoreOpen: true, Draws: draws},
				{Key: "photo", Title: evil, Form: form, Photo: form.Fields[0], When: fullWhen()}, {Key: "drawn-off", Title: evil, Ends: true, Form: form, When: fullWhen()},
				{Key: "relit", Title: evil, Tap: true, Hidden: true, Form: form, When: fullWhen()}},
			Finish: &finishPanel{Title: evil, Lead: evil, Figure: evil, Within: evil, Words: []string{evil}, Asks: true},
			Watch: &watchPanel{Target: evil, At: evil, When: evil, Corrected: evil, Hand: evil, Reading: evil, Cold: true, Boils: evil, On: evil, Rise: evil,
				Above: evil, Suggests: evil, Water: evil, Ask: "/kettle/water", Failed: evil},
			Reading: &readingPanel{Read: evil, Corrected: evil, Solids: evil, Stage: evil, Usable: true, Advice: evil, Basis: evil, Findings: said},
			Picture: picture, Log: []logLine{{Clock: evil, Minutes: evil, What: evil, Figure: evil, Details: []string{evil, evil},
				Note: evil, Who: evil, Late: evil, Amended: true, URL: "/r", Amend: "/a", ID: "R2", TakeBack: "/t", Photos: []string{"/attachment/1"}, Findings: said}, {}}}},
		"kettle/logger": {&loggerPage{Send: &form0}, &loggerPage{Page: fullPage(), Code: evil, Run: "/r", Loggers: fullLoggers(), Name: evil, Sum: evil, How: form,
			Heads: []string{evil}, Rows: [][]string{{evil}}, Comma: true, Preview: &loggerPreview{Sure: true, Seen: evil, Facts: []line{{Label: evil, Text: evil}},
				Warnings: []string{evil}, Unread: []unreadLine{{evil, evil, evil}}, More: evil, Picture: picture}}},
		"paper/list":  {&papersPage{}, &papersPage{Page: fullPage(), Blanks: []blankLine{{Title: evil, Ways: []Step{{Name: evil, URL: "/p"}}}}, Typed: lines, Write: true}},
		"paper/photo": {&sheetPhotoPage{Form: &form0}, &sheetPhotoPage{Page: fullPage(), Name: evil, Back: "/b", Form: form, Sheets: []string{"/attachment/1"}}},
		"paper/typed": {&typedPage{Form: &form0}, &typedPage{Page: fullPage(), Heading: evil, Lead: evil, Back: "/b", Form: form, Head: form.Fields, Tail: form.Fields,
			Rows: []typedRow{{Title: evil, Fields: form.Fields, Wrong: true}}, Count: 12}},
		"kettle/end": {&endPage{}, &endPage{Page: fullPage(), Code: evil, Kettle: evil, Run: "/r", Open: true, Ended: []string{evil}, Note: evil,
			Keeps: []string{evil}, Balance: []balanceLine{{Label: evil, Figure: evil, Note: evil}}, Basis: evil,
			Forms: []*endForm{{Key: "held", Title: evil, Lead: evil, Keeps: evil, Open: true, Form: form}, {Title: evil, None: evil, Form: form}}}},
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

// fullWhen is a question of when with all it may show.
func fullWhen() *whenField {
	return &whenField{ID: "w", Open: true, At: &Field{ID: "w-at", Name: "at", Kind: "daytime", Label: evil, Help: evil, Error: evil},
		Ago: []Choice{{Value: "0", Name: evil, Chosen: true}, {Value: "5", Name: "5"}}}
}

func fullLoggers() []loggerLine {
	return []loggerLine{{Name: evil, URL: "/attachment/1", Words: evil, Sum: evil, Record: "/record/1"}}
}

// form0 is a form without anything.
var form0 form
