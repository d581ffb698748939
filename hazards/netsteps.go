package hazards

import (
	"math"

	"canewright/hazards/text"
)

// Edition names the rules a check was judged by and where the tolerance of a single bottle is from, in English, as it is kept.
func (w NetWorked) Edition() string {
	return text.Say(text.English, "net_step.edition."+string(w.Scheme)) + "; " + w.toleranceFrom(text.English)
}

// toleranceFrom says where the tolerance of a single bottle is from.
func (w NetWorked) toleranceFrom(lang text.Language) string {
	switch {
	case w.Scheme == SchemeR87:
		return text.Say(lang, "net_step.from.r87")
	case w.Action:
		return text.Say(lang, "net_step.from.action")
	}
	return text.Say(lang, "net_step.from.entered", "Edition", w.NetFacts.Edition)
}

// Steps says every step from the weights to the decision, each number with where it is from.
func (w NetWorked) Steps(lang text.Language) []string {
	say := func(key string, args ...any) string { return text.Say(lang, "net_step."+key, args...) }
	steps := []string{
		say("sample", "Weighed", len(w.Weights), "Bottles", w.Lot, "Rules", say("edition."+string(w.Scheme))),
		say("nominal", "Contents", fixed(float64(w.Contents), 1), "Solids", fixed(float64(w.Solids), 1), "Nominal", fixed(float64(w.Nominal), 1),
			"Density", fixed(w.Density, 4)),
	}
	if w.Tare != nil {
		steps = append(steps, say("tare", "Tare", fixed(float64(*w.Tare), 1)))
	}
	if w.Scale != nil && w.Scale.unfavourable(0) != 0 {
		steps = append(steps, say("scale", "Name", w.Scale.Name, "Off", fixed(*w.Scale.Error, 1)))
	}
	steps = append(steps, w.averageSteps(say)...)
	steps = append(steps, say("tolerance", "Tolerance", fixed(w.Tolerance, 1), "From", w.toleranceFrom(lang)),
		say("short", "Short", w.Short, "Tolerance", fixed(w.Tolerance, 1), "Allowed", w.Plan.Allowed))
	if w.Scheme == SchemeR87 {
		steps = append(steps, say("twice", "Twice", w.Twice, "Tolerance", fixed(2*w.Tolerance, 1)))
	}
	steps = append(steps, say("lowest", "Number", w.Lowest, "Worst", signedFixed(w.Worst)))
	if w.Pass {
		return append(steps, say("passed"))
	}
	return append(steps, say("failed"))
}

// averageSteps are the mean, its spread, the sampling error limit and what they decide.
func (w NetWorked) averageSteps(say func(string, ...any) string) []string {
	if w.Limit == nil {
		return []string{say("single", "Error", signedFixed(w.Average))}
	}
	steps := []string{
		say("average", "Average", signedFixed(w.Average)),
		say("spread", "SD", fixed(*w.SD, 3)),
		say("limit", "Factor", fixed(w.Plan.Factor, 3), "SD", fixed(*w.SD, 3), "Limit", fixed(*w.Limit, 3), "From", say("factor."+string(w.Scheme))),
	}
	decision := "average_short"
	switch {
	case w.Average >= 0:
		decision = "average_whole"
	case w.AverageOK:
		decision = "average_within"
	}
	return append(steps, say(decision, "Average", signedFixed(w.Average), "Limit", fixed(*w.Limit, 3), "Sum", signedFixed(w.Average+*w.Limit)))
}

// signedFixed writes an error with three decimals and a true minus sign; nothing is written as -0.
func signedFixed(x float64) string {
	if rounded := math.Round(x*1000) / 1000; rounded < 0 {
		return "−" + fixed(-rounded, 3)
	}
	return fixed(math.Abs(x), 3)
}
