package season

import (
	"fmt"
	"strconv"
	"strings"
	"time"

	"canewright/hazards"
	"canewright/hazards/syrup"
	"canewright/records"
)

// netStory is how a lot's bottles come out when some are weighed for their net contents, in mL over the label.
type netStory struct {
	over   float64
	spread float64
	low    float64 // of one bottle; 0: none is far off
}

// planNet: every sixth lot has bottles picked and weighed the morning after, before it is released; of one lot the first check fails on
// a single bottle, and passes when the lot has been looked through.
func (b *builder) planNet(l *bottling, i int) {
	if i%6 != 3 || l.story != plain {
		return
	}
	day := l.from[0].offset + 1
	if day >= 0 {
		return
	}
	story := netStory{over: 1.1, spread: 0.9}
	at := b.at(day, 7, 5+i%7)
	if i == 15 {
		story.low = -16
		again := at.Add(70 * time.Minute)
		b.plan(again, func() error {
			return b.weighNet(l, netStory{over: 1.4, spread: 0.8}, again, "the lot looked through on the scale")
		})
	}
	b.plan(at, func() error { return b.weighNet(l, story, at, "") })
}

// weighNet picks bottles of a lot and keeps what they weighed, full, on the bench scale.
func (b *builder) weighNet(l *bottling, s netStory, at time.Time, note string) error {
	facts, _, err := records.LotFacts(b.ctx, b.store, l.lot.ID)
	if err != nil {
		return err
	}
	solids := hazards.LotSolids(facts)
	container := b.containers[l.ounces]
	if facts.Units == nil || solids == nil || container.Tare == nil {
		return nil // counted, read and tared lots only
	}
	plan, err := hazards.Plan(hazards.SchemeHB133, *facts.Units)
	if err != nil {
		return err
	}
	seed := fmt.Sprintf("demo %s %s", l.lot.Code, at.Format("15:04"))
	picked := hazards.PickPackages(seed, *facts.Units, plan.Packages)
	full, err := syrup.NetWeight(container.Contents, solids.Percent)
	if err != nil {
		return err
	}
	var numbers, weights []string
	for k, n := range picked {
		over := s.over + s.spread*float64(k*7%11-5)/5
		if k == 4 && s.low != 0 {
			over = s.low
		}
		gross := float64(full)*(1+over/float64(container.Contents)) + float64(*container.Tare)
		numbers, weights = append(numbers, strconv.Itoa(n)), append(weights, strconv.FormatFloat(gross, 'f', 1, 64))
	}
	n := &records.NetSample{LotID: l.lot.ID, At: at, Scheme: records.SchemeHB133, LotSize: *facts.Units, Seed: seed, Picked: strings.Join(numbers, ", "),
		Gross: true, Tare: container.Tare, TareEntered: container.TareEntered, Unit: "g", Weights: strings.Join(weights, " "), Contents: container.Contents,
		Solids: solids.Percent, ScaleID: &b.scale.ID, Note: note}
	if _, err := records.WorkNet(b.ctx, b.store, n); err != nil {
		return err
	}
	return b.put(b.filler(), n)
}
