package app

// fullLabelCheck has everything the label checker may show.
func fullLabelCheck() *labelCheck {
	finding := shownFinding{Level: "hold", Word: evil, What: evil, Measured: evil, Limit: evil, Why: evil, Next: evil, Source: evil}
	signed := signedLabel{Words: evil, Reason: evil, By: evil, URL: "/record/1"}
	return &labelCheck{Blocked: true, Findings: []shownLabelFinding{{Finding: finding, Answer: "/x"}, {Finding: finding, Signed: &signed}},
		Facts:  []line{{Label: evil, Text: evil}},
		Stocks: Table{Heads: []string{evil, evil}, Rows: []TableRow{{URL: "/record/1", Cells: []Cell{{Text: evil}, {Text: evil, Figure: true}}}}},
		Signed: []signedLabel{signed}}
}

func labelCheckFixtures() map[string][2]view {
	finding := shownFinding{Level: "hold", Word: evil, What: evil, Why: evil, Next: evil, Source: evil}
	return map[string][2]view{
		"lot/labelanswer": {&labelAnswerPage{Form: &form{}}, &labelAnswerPage{Page: fullPage(), Code: evil, Finding: &finding, Form: fullForm()}},
	}
}
