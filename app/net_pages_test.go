package app

// netFixtures are the pages of net contents and cooling tests, empty and full.
func netFixtures() map[string][2]view {
	f := fullForm()
	lines := []ledgerLine{{Name: evil, Word: evil, URL: "/record/1"}}
	finding := shownFinding{Level: "hold", Word: evil, What: evil, Why: evil, Next: evil, Source: evil}
	table := Table{Heads: []string{evil, evil}, Rows: []TableRow{{URL: "/record/1", Cells: []Cell{{Text: evil}, {Text: evil, Figure: true}}}}}
	return map[string][2]view{
		"net/check": {&netPage{}, &netPage{Page: fullPage(), Code: evil, Product: evil, Container: evil, Lot: "/lot/1", Missing: evil, Small: evil,
			Schemes: []Step{{Name: evil, URL: "/x", Here: true}, {Name: evil, URL: "/y"}}, Facts: []line{{Label: evil, Text: evil, Entered: evil, Missing: true}}, Scales: lines,
			Pick: &netPick{Rows: []pickedBottle{{evil, evil}, {Number: evil}}, Help: evil, Seed: evil, Draw: evil, Scheme: evil, Gone: evil, GoneKept: evil, GoneWrong: evil, Again: "/x", Show: "/x"},
			Form: f, First: f.Fields[:2], Column: f.Fields[2:4], Paste: f.Fields[4:5], Last: f.Fields[5:], PasteOpen: true, Findings: []shownFinding{finding},
			Checks: []shownNet{{Name: evil, URL: "/record/1", Who: evil, Edition: evil, Level: "hold", Verdict: evil, Place: evil, Weights: evil, StoodIn: evil, Steps: []string{evil}, AsKept: true, Note: evil}}}},
		"net/tables": {&netTablesPage{}, &netTablesPage{Page: fullPage(), Parts: []netTablePart{{Title: evil, Note: evil, Warn: true, Record: "/record/1", New: "/x", Table: &table, Earlier: lines}, {Title: evil}}}},
		"cooling/show": {&coolingPage{}, &coolingPage{Page: fullPage(), Container: evil, ContainerURL: "/record/1", Behind: evil, Note: evil, Found: []line{{Label: evil, Text: evil, Missing: true}},
			Facts: []line{{Label: evil, Text: evil, Entered: evil, URL: "/record/1", Missing: true}, {Label: evil, Text: evil}}, Worth: []string{evil}, Readings: table, Amend: "/x", History: "/x",
			Curve: &coolingCurve{Width: 350, Height: 240, Desc: evil, Title: evil, Line: "1,2 3,4", Marks: []curveMark{{Text: evil}}, Minutes: []curveMark{{Text: evil}}, Limits: []curveMark{{Text: evil}}}}},
	}
}
