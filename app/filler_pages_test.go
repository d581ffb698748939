package app

// fillerFixtures holds an empty and a full view of the pages of filler, lot, inspector and journal.
func fillerFixtures() map[string][2]view {
	lines := []ledgerLine{{Name: evil, Word: evil, URL: "/record/1"}}
	fields := []line{{Label: evil, Text: evil, URL: "/record/1"}, {Label: evil, Missing: true}}
	finding := shownFinding{Level: "hold", Word: evil, What: evil, Measured: evil, Limit: evil, Why: evil, Next: evil, Source: evil}
	findings := []shownFinding{finding}
	checks := []shownCheck{{When: evil, Who: evil, Amend: "/a", Lines: fields, Findings: findings}, {}}
	syrupHere := syrupLine{Name: evil, Left: evil, Solids: evil, Since: evil, URL: "/record/1", Fill: "/filler/new"}
	tick := &Field{ID: "x-tick", Name: "tick", Kind: "flag", Label: evil, Error: evil}
	take := &Field{ID: "x-take", Name: "take", Kind: "quantity", Label: evil, Error: evil, Value: evil}
	taken := []sourceLine{{Name: evil, Word: evil, URL: "/record/1", Amend: "/record/2/amend"}}
	offer := &divideOffer{Help: evil, Pieces: []string{evil}, Left: []Step{{Name: evil, URL: "/x"}}, Form: fullForm()}
	report := &shownReport{Said: evil, Faults: []string{evil}}
	part := shownPart{Number: 1, Anchor: "part-1", Bottles: evil, Of: evil, URL: "/p", State: evil, OnHand: evil, Word: "hold", Units: fields, Missing: []string{evil}, Ready: true,
		Signed: []signed{{Act: evil, Who: evil, When: evil, Reason: evil, URL: "/record/1", Words: []string{evil}}, {Automatic: true}}, Release: fullForm(), Hold: fullForm(), Dispose: fullForm(), Open: "hold"}
	return map[string][2]view{
		"filler/front": {&fillerPage{}, &fillerPage{Page: fullPage(), MayFill: true, Filling: []fillingCard{{Code: evil, Product: evil, Since: evil, Checks: evil, Late: evil, URL: "/filler/1"}},
			Left: []syrupLine{syrupHere, {}}, Recent: lines}},
		"filler/start": {&startPage{Form: &form{}}, &startPage{Page: fullPage(), Form: fullForm(), Rest: fullForm().Fields,
			Sources: []sourceFields{{Line: syrupHere, Tick: tick, Take: take, NothingByBook: true, Took: "/record/1/amend"}}}},
		"filler/filling": {&fillingPage{}, &fillingPage{Page: fullPage(), Code: evil, Product: evil, Container: evil, Since: evil, Lot: "/lot/1", Sheet: "/sheet/1", Open: true, Counted: evil,
			Sources: taken, Check: fullForm(), End: fullForm(), Reading: fullForm(), Tag: fullForm(), TagPreview: "/t", Checks: checks,
			Targets: fillTargets{Rows: []target{{evil, evil, evil}}, Missing: evil, NoTare: evil, SetTare: "/x", Single: evil, Behind: &Step{Name: evil, URL: "/x"}}, CheckFirst: fullForm().Fields[:3], CheckMore: fullForm().Fields[3:],
			Clock: &fillClock{Word: evil, Time: evil, Left: evil, Note: evil, Seconds: 9, Running: true, State: "waits", In: evil, Over: evil, DueWord: evil},
			InIt:  taken, Between: eventForms{{evil, true, fullForm()}, {evil, false, fullForm()}}, Divide: offer, Balance: fields, Events: []shownEvent{{evil, evil, evil, evil, "/a"}, {}},
			Findings: findings, Now: findings, More: 2}},
		"lot/show": {&lotPage{}, &lotPage{Page: fullPage(), Code: evil, Product: evil, Container: evil, Struck: true, Open: true, Filler: "/filler/1", Labels: "/l", Trace: "/trace/1", Sheet: "/s",
			History: "/h", Amend: "/a", SheetPrint: fullForm(), Facts: fields, Divide: offer, Parts: []shownPart{part, {}}, Within: findings, Taken: taken, Checks: checks, Complaints: lines, Prints: lines, LabelSigned: fullLabelCheck().Signed,
			Findings: []shownAnswerable{{Finding: finding, Record: "/record/1", Answers: lines, Ask: []Step{{Name: evil, URL: "/x"}}}},
			Sources:  Table{Heads: []string{evil, evil}, Rows: []TableRow{{URL: "/record/1", Cells: []Cell{{Text: evil}, {Text: evil, Figure: true}}}}}}},
		"lot/labels":     {&labelsPage{Form: &form{}}, &labelsPage{Page: fullPage(), Check: fullLabelCheck(), Code: evil, Product: evil, Preview: "/p", Lot: "/lot/1", NewStock: "/n", Refused: evil, Says: fields, MayPrint: true, Form: fullForm()}},
		"lot/answer":     {&answerPage{Form: &form{}}, &answerPage{Page: fullPage(), Code: evil, Part: evil, Finding: &finding, Form: fullForm()}},
		"public/unknown": {&scannedPage{}, &scannedPage{Page: fullPage(), Maker: evil, Telephone: evil, Code: evil, Unknown: true, Enter: evil}},
		"public/bottle":  {&publicPage{}, &publicPage{Page: fullPage(), Preview: evil, Product: evil, Code: evil, Net: evil, Cuts: []string{evil, evil}, Pressed: evil, Boiled: evil, Bottled: evil, BestBy: evil, Storage: evil, Maker: evil, Address: evil, Telephone: evil, Call: evil, Recalled: true, Tell: evil, Enter: evil}},
		"public/tell":    {&tellPage{Form: &form{}}, &tellPage{Page: fullPage(), Product: evil, Code: evil, Bottle: evil, Form: fullForm()}},
		"public/told":    {&toldPage{}, &toldPage{Page: fullPage(), Maker: evil, Telephone: evil, Call: evil, Bottle: evil}},
		"inspector/packet": {&inspectorPage{Range: &form{}, Check: &form{}}, &inspectorPage{Page: fullPage(), Range: fullForm(), Asked: true, Said: evil, Lots: lines, Make: fullForm(),
			Statement: statementEntry{evil, evil, evil}, Packets: lines, Check: fullForm(), Checked: report}},
		"journal/entries": {&journalPage{Compare: &form{}}, &journalPage{Page: fullPage(), Head: evil, Hash: evil, Entries: "3", At: evil, Turn: Turn{Before: "/b", After: "/a", Shown: evil},
			Rows: []journalRow{{Seq: 3, What: evil, Record: evil, URL: "/record/1", Who: evil, When: evil, Hash: evil}}, Compare: fullForm(), Compared: &comparison{Said: evil}, Verify: fullForm(), Report: report}},
	}
}
