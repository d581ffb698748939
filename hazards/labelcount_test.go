package hazards

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// labelCountCases are the labels used beside 100 printed and 100 bottles, at the limit of 2 % (trade.md 2.5), and to each
// side of it.
func labelCountCases() []judgeCase {
	judge := func(change func(*LabelCountFacts)) []Finding {
		l := LabelCountFacts{ID: "lot", Name: "25341K2B1-P", Printed: 110, Used: ptr(100), Spoiled: ptr(4), Bottles: ptr(100)}
		change(&l)
		return JudgeLabelCount(l, rules)
	}
	used := func(n int) func(*LabelCountFacts) {
		return func(l *LabelCountFacts) { l.Used, l.Spoiled = ptr(n), ptr(0) }
	}
	return []judgeCase{
		{"labels/as it should be", judge(func(*LabelCountFacts) {}), levels{}},
		{"labels/not counted", judge(func(l *LabelCountFacts) { l.Used, l.Spoiled = nil, nil }), levels{}},
		{"labels/all printed counted", judge(func(l *LabelCountFacts) { l.Spoiled = ptr(10) }), levels{}},
		{"labels/one more than printed", judge(func(l *LabelCountFacts) { l.Spoiled = ptr(11) }), levels{"labels.over_printed": Check}},
		{"labels/2 % over", judge(used(102)), levels{}},
		{"labels/over 2 % over", judge(used(103)), levels{"labels.more_than_bottles": Check}},
		{"labels/2 % under", judge(used(98)), levels{}},
		{"labels/over 2 % under", judge(used(97)), levels{"labels.fewer_than_bottles": Check}},
		{"labels/as many broken as lack a label", judge(func(l *LabelCountFacts) { used(97)(l); l.Gone = 3 }), levels{}},
		{"labels/all broken", judge(func(l *LabelCountFacts) { used(0)(l); l.Gone = 100 }), levels{}},
		{"labels/bottles not counted", judge(func(l *LabelCountFacts) { used(90)(l); l.Bottles = nil }), levels{}},
	}
}

func TestLabelsUnaccounted(t *testing.T) {
	rest, counted := LabelCountFacts{Printed: 110, Used: ptr(100), Spoiled: ptr(4)}.Unaccounted()
	assert.True(t, counted)
	assert.Equal(t, 6, rest)
	_, counted = LabelCountFacts{Printed: 110}.Unaccounted()
	assert.False(t, counted)
}
