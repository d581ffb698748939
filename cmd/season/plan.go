package season

import (
	"time"

	"canewright/hazards/syrup"
	"canewright/records"
)

// boil is one run of the season: what is planned of it, and what was written.
type boil struct {
	turn     int
	offset   int // house day, from today
	kettle   int
	blocks   []int
	gallons  float64 // juice
	brix     float64
	solids   float64 // where the syrup truly is when drawn off
	late     int     // minutes after the first kettle of the day
	heelFrom *boil
	heel     float64 // gallons left in the kettle for the next run
	toTank   bool    // all of it drawn off into the holding tank
	fromTank bool    // charged from the juice tank
	story    story

	cuts     []*records.Cut
	pressing records.Pressing
	run      records.Run
	log      []logged
	finish   syrup.Solids // as read
	drawnAt  time.Time
	drawnT   syrup.Celsius
	volume   syrup.USGallons // drawn off, hot
	mass     syrup.Kilograms
}

// story is what is out of the ordinary about a run.
type story string

const (
	plain      story = ""
	thin       story = "thin"       // stopped too early
	thick      story = "thick"      // went too far
	nearLimit  story = "near limit" // within less than the reading's uncertainty
	coolFill   story = "cool fill"  // a check catches a bottle that is too cool
	buttered   story = "buttered"   // butter against the foam
	unanswered story = "unanswered" // the defoamer's answers are not known
	lowFill    story = "low fill"   // just above the limit, by the probe that later fails
)

// The days on which both kettles boil, and those with a story. Days are from today.
var (
	bothKettles = map[int]bool{-46: true, -38: true, -28: true, -18: true, -8: true}
	stories     = map[int]story{-40: thick, -36: thin, -34: nearLimit, -32: coolFill, -20: lowFill, -22: buttered, -4: unanswered}
)

// planBoils plans every run: on most second days one kettle, on five days both, and one on the fire today.
func (b *builder) planBoils() error {
	for offset := -52; offset <= -2; offset += 2 {
		switch offset {
		case -44:
			continue // rain
		case -2:
			b.addBoil(-1, 1, 0)
			continue
		}
		b.addBoil(offset, 1, 0)
		if bothKettles[offset] {
			b.addBoil(offset, 2, 70)
		}
	}
	b.addBoil(0, 2, 0)
	for _, p := range b.boils {
		b.cutFor(p)
		b.planPressing(p)
		if err := b.planRun(p); err != nil {
			return err
		}
	}
	b.planWashOuts()
	b.planBottling()
	return nil
}

func (b *builder) addBoil(offset, kettle, late int) {
	n := len(b.boils)
	p := &boil{turn: n, offset: offset, kettle: kettle, late: late, blocks: []int{n % 3}, gallons: 88 + float64(b.dice.IntN(5))*2,
		brix: 14.6 + 0.05*float64(offset+52) + 0.2*float64(b.dice.IntN(8)), solids: 74.9 + 0.1*float64(b.dice.IntN(10))}
	if kettle == 2 {
		p.gallons = 64 + float64(b.dice.IntN(4))*2
	}
	if n%5 == 3 || offset == -26 || offset == -24 {
		p.blocks = append(p.blocks, (n+1)%3)
	}
	if kettle == 1 {
		p.story = stories[offset]
	}
	switch p.story {
	case thin:
		p.solids = 71.5
	case thick:
		p.solids = 77.2
	case nearLimit:
		p.solids = 74.25
	}
	if offset == -50 || offset == -48 { // what was left in the kettle goes on
		p.heelFrom = b.boils[n-1]
		p.heelFrom.heel = 1.5
	}
	p.toTank = offset == -46 || offset == -1
	p.fromTank = offset == -38
	b.boils = append(b.boils, p)
}
