package hazards

// JudgeReturned is the finding about bottles that came back: nobody knows how they were kept while they were away.
func JudgeReturned(part, name string, units int) Finding {
	n := number(float64(units), UnitBottles)
	return Finding{Code: "shelf.returned", Level: Check, About: part, AboutName: name, Measured: &n, Source: ourRule}
}
