package app

// labelFixtures holds an empty and a full view of the pages of the label room.
func labelFixtures() map[string][2]view {
	lines := []ledgerLine{{Name: evil, Word: evil, URL: "/record/1"}}
	photo := photoForm{ID: "photo-tag", Action: "/x", Label: evil, Submit: evil, Error: evil}
	return map[string][2]view{
		"house/testpage": {&testPage{}, &testPage{Page: fullPage(), Stock: evil, Look: "/l", Amend: "/a", Figures: []line{{Label: evil, Text: evil}}, Print: fullForm()}},
		"filler/match":   {&matchPage{Form: &form{}}, &matchPage{Page: fullPage(), Form: fullForm(), Tag: photo, Label: photo, Last: lines}},
		"filler/mismatch": {&mismatchPage{}, &mismatchPage{Page: fullPage(), Tag: evil, TagOf: evil, Label: evil, LabelOf: evil, When: evil, Note: evil,
			Form: fullForm(), Next: "/n"}},
	}
}
