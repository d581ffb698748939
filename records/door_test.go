package records

import (
	"context"
	"fmt"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"canewright/hazards/syrup"
)

func TestAmend(t *testing.T) {
	eachDatabase(t, func(t *testing.T, h *season) {
		g := h.ground()
		read, err := Get[Block](h.ctx, h, g.block.ID)
		require.NoError(t, err)
		stale := read
		read.Name = "B1 creek side"
		require.ErrorAs(t, h.Amend(h.ctx, h.owner, &read, ""), new(Invalid), "an amendment needs a reason")
		require.NoError(t, h.Amend(h.ctx, h.owner, &read, "the name the crew uses"))
		now, err := Get[Block](h.ctx, h, g.block.ID)
		require.NoError(t, err)
		assert.Equal(t, "B1 creek side", now.Name)
		assert.Equal(t, 2, now.Revision)

		stale.Name = "other"
		var conflict Conflict
		require.ErrorAs(t, h.Amend(h.ctx, h.owner, &stale, "late"), &conflict)
		assert.Equal(t, "conflict.newer", conflict.Key)

		changes, err := Changes(h.ctx, h, g.block.ID)
		require.NoError(t, err)
		require.Len(t, changes, 1)
		assert.Equal(t, []string{"name", "B1", "B1 creek side", "the name the crew uses"},
			[]string{changes[0].Field, changes[0].Old, changes[0].New, changes[0].Why})
	})
}

func TestStrike(t *testing.T) {
	h := newSeason(t)
	g := h.ground()
	cut, _, run := h.boiled(g)
	var conflict Conflict
	require.ErrorAs(t, h.Strike(h.ctx, h.owner, cut.ID, "wrong block"), &conflict)
	assert.Equal(t, "strike.used", conflict.Key)
	for name, id := range map[string]string{"block with a planting": g.block.ID, "kettle of a run": g.kettle.ID, "spindle of a reading": g.spindle.ID, "place": h.site.ID} {
		require.ErrorAs(t, h.Strike(h.ctx, h.owner, id, "mistake"), &conflict, name)
		assert.Equal(t, "strike.used", conflict.Key, name)
	}
	spare := Instrument{Name: "Spare probe", Measures: MeasuresTemperature, ReadsIn: "F"}
	h.put(&spare)
	require.NoError(t, h.Strike(h.ctx, h.owner, spare.ID, "never bought"))
	note := BoilEntry{RunID: run.ID, At: h.at(9, 0), What: EntryNote, Note: "typed in the wrong log"}
	h.put(&note)
	require.NoError(t, h.Strike(h.ctx, h.owner, note.ID, "wrong log"))
	require.ErrorAs(t, h.Strike(h.ctx, h.owner, note.ID, "again"), &conflict)
	left, err := List[BoilEntry](h.ctx, h, "run_id = ? AND what = ?", run.ID, EntryNote)
	require.NoError(t, err)
	assert.Empty(t, left, "a struck entry is not listed")
	still, err := Get[BoilEntry](h.ctx, h, note.ID)
	require.NoError(t, err)
	assert.True(t, still.Struck, "and stays readable")
	assert.Equal(t, "wrong log", still.Why)
}

// A double tap makes one record and finds it.
func TestSubmissionTwice(t *testing.T) {
	eachDatabase(t, func(t *testing.T, h *season) {
		who := h.owner
		who.Submission = "tap-1"
		first := Site{Name: "Lower place"}
		require.NoError(t, h.Write(h.ctx, who, &first))
		var already Already
		require.ErrorAs(t, h.Write(h.ctx, who, &Site{Name: "Lower place"}), &already)
		assert.Equal(t, first.ID, already.RecordID)
		sites, err := List[Site](h.ctx, h, "name = ?", "Lower place")
		require.NoError(t, err)
		assert.Len(t, sites, 1)
	})
}

// Nothing half-written remains when a later fact of the same act is refused.
func TestAllOrNothing(t *testing.T) {
	eachDatabase(t, func(t *testing.T, h *season) {
		g := h.ground()
		before, err := JournalHead(h.ctx, h)
		require.NoError(t, err)
		pressing := Pressing{SiteID: h.site.ID, StartedAt: h.at(6, 0), Brix: ptr(syrup.Brix(16))}
		err = h.RecordPressing(h.ctx, h.owner, &pressing, []Draw{{FromID: g.planting.ID}})
		require.ErrorAs(t, err, new(Invalid))
		after, err := JournalHead(h.ctx, h)
		require.NoError(t, err)
		assert.Equal(t, before, after)
		pressings, err := List[Pressing](h.ctx, h, "")
		require.NoError(t, err)
		assert.Empty(t, pressings)
	})
}

func TestRefused(t *testing.T) {
	h := newSeason(t)
	g := h.ground()
	cut, pressing, run := h.boiled(g)
	nan := syrup.Celsius(0)
	nan /= nan
	for name, c := range map[string]struct {
		fact  Fact
		field string
	}{
		"blank name":                          {&Block{SiteID: h.site.ID}, "name"},
		"emoji":                               {&Block{SiteID: h.site.ID, Name: "B \U0001F33E"}, "name"},
		"site that is no site":                {&Block{SiteID: g.block.ID, Name: "B2"}, "site_id"},
		"unknown record":                      {&Block{SiteID: "01NOTHING", Name: "B2"}, "site_id"},
		"day that does not exist":             {&Planting{BlockID: g.block.ID, Variety: "x", PlantedOn: "2025-02-30"}, "planted_on"},
		"cut before planting":                 {&Cut{PlantingID: g.planting.ID, CutOn: "2024-09-19", Harvester: "B", Mass: ptr(syrup.Kilograms(5))}, "cut_on"},
		"cut tomorrow":                        {&Cut{PlantingID: g.planting.ID, CutOn: "2025-12-08", Harvester: "B", Mass: ptr(syrup.Kilograms(5))}, "cut_on"},
		"cut neither weighed nor counted":     {&Cut{PlantingID: g.planting.ID, CutOn: "2025-12-06", Harvester: "B"}, "mass"},
		"negative mass":                       {&Cut{PlantingID: g.planting.ID, CutOn: "2025-12-06", Harvester: "B", Mass: ptr(syrup.Kilograms(-5))}, "mass"},
		"not a number":                        {&BoilEntry{RunID: run.ID, At: h.at(8, 0), What: EntryTemperature, Temperature: &nan}, "temperature"},
		"before the fire":                     {&BoilEntry{RunID: run.ID, At: h.at(6, 59), What: EntrySkimming}, "at"},
		"long after drawn off":                {&BoilEntry{RunID: run.ID, At: h.at(17, 0), What: EntrySkimming}, "at"},
		"Brix typed as Baume, over the scale": {&DensityReading{OfID: run.ID, At: h.at(9, 0), Stage: StageBoil, Scale: syrup.ScaleBaume, Reading: 74.1}, "reading"},
		"business without address":            {&Customer{Sort: CustomerBusiness, Contact: Contact{Name: "Shop", Telephone: "1"}}, "contact_address"},
		"house limit unknown":                 {&HouseLimit{Code: "solids.sweet", Value: 1, Unit: "percent_solids", Source: "x", SetOn: "2025-01-01"}, "code"},
		"fill limit, no source":               {&Container{Name: "x", Contents: 473, FillLimit: ptr(syrup.Celsius(71))}, "fill_limit_source"},
		"kettle number taken":                 {&Kettle{SiteID: h.site.ID, Number: 2, Name: "x"}, "number"},
		"link before its source":              {&Link{FromID: pressing.ID, ToID: g.juice.ID, At: h.at(5, 0), Volume: ptr(syrup.Liters(1))}, "at"},
		"link the wrong way":                  {&Link{FromID: run.ID, ToID: pressing.ID, At: h.at(8, 0)}, "from_id"},
		"corrective action, a part empty":     {&CorrectiveAction{PartID: run.ID, At: h.at(9, 0), Finding: "x", AboutID: run.ID, Problem: "a", Recurrence: "b", Evaluation: " ", Commerce: "d"}, "evaluation"},
	} {
		t.Run(name, func(t *testing.T) {
			var wrong Invalid
			require.ErrorAs(t, h.Write(h.ctx, h.owner, c.fact), &wrong)
			assert.Equal(t, c.field, wrong[0].Field)
		})
	}
	lot := h.filled(g, run, 100)
	for grams, taken := range map[syrup.Grams]bool{23: false, 18427: false, 640: true, 842: true, 843: false, 260: true, 259: false} {
		err := h.Write(h.ctx, h.owner, &FillCheck{LotID: lot.ID, At: h.at(11, 40), NetWeight: &grams})
		assert.Equal(t, taken, err == nil, "net weight of %v g in a 473 mL bottle", grams)
	}
	t.Run("a customer who is a person needs nothing more", func(t *testing.T) {
		require.NoError(t, h.Write(h.ctx, h.owner, &Customer{Sort: CustomerPerson, Contact: Contact{Name: "A neighbour"}}))
	})
	_ = cut
}

// Eight writers at once: every entry acknowledged stands in the journal, without a gap.
func TestWritersAtOnce(t *testing.T) {
	eachDatabase(t, func(t *testing.T, h *season) {
		var wg sync.WaitGroup
		errs := make(chan error, 80)
		for w := range 8 {
			wg.Go(func() {
				for i := range 10 {
					errs <- h.Write(context.Background(), h.owner, &Site{Name: fmt.Sprintf("place %d-%d", w, i)})
				}
			})
		}
		wg.Wait()
		close(errs)
		for err := range errs {
			require.NoError(t, err)
		}
		report, err := h.Verify(h.ctx, "")
		require.NoError(t, err)
		assert.Empty(t, report.Faults)
		sites, err := List[Site](h.ctx, h, "")
		require.NoError(t, err)
		assert.Len(t, sites, 81)
	})
}

// Two people draw off the same run at once: one does, the other is told.
func TestTwoEndOneRun(t *testing.T) {
	eachDatabase(t, func(t *testing.T, h *season) {
		g := h.ground()
		cut := Cut{PlantingID: g.planting.ID, CutOn: "2025-12-06", Harvester: "Ben Oak", Mass: ptr(syrup.Kilograms(900))}
		h.put(&cut)
		pressing := Pressing{SiteID: h.site.ID, StartedAt: h.at(6, 0), Volume: ptr(syrup.Liters(340)), Brix: ptr(syrup.Brix(17))}
		require.NoError(t, h.RecordPressing(h.ctx, h.owner, &pressing, []Draw{{FromID: cut.ID}}))
		run := Run{KettleID: g.kettle.ID, FireLitAt: h.at(7, 0)}
		require.NoError(t, h.StartRun(h.ctx, h.owner, &run, []Draw{{FromID: pressing.ID}}))
		results := make(chan error, 2)
		for range 2 {
			go func() {
				results <- h.DrawOff(context.Background(), h.owner, &BoilEntry{RunID: run.ID, At: h.at(11, 0), Volume: ptr(syrup.Liters(56))}, "")
			}()
		}
		won := 0
		for range 2 {
			err := <-results
			if err == nil {
				won++
				continue
			}
			var conflict Conflict
			require.ErrorAs(t, err, &conflict)
			assert.Equal(t, "run.already_drawn_off", conflict.Key)
		}
		assert.Equal(t, 1, won)
	})
}

func TestKettleInUse(t *testing.T) {
	h := newSeason(t)
	g := h.ground()
	first := Run{KettleID: g.kettle.ID, FireLitAt: h.at(7, 0)}
	require.NoError(t, h.StartRun(h.ctx, h.owner, &first, nil))
	var conflict Conflict
	require.ErrorAs(t, h.StartRun(h.ctx, h.owner, &Run{KettleID: g.kettle.ID, FireLitAt: h.at(8, 0)}, nil), &conflict)
	assert.Equal(t, "run.kettle_in_use", conflict.Key)
	require.NoError(t, h.DrawOff(h.ctx, h.owner, &BoilEntry{RunID: first.ID, At: h.at(10, 0)}, ""))
	second := Run{KettleID: g.kettle.ID, FireLitAt: h.at(10, 30)}
	require.NoError(t, h.StartRun(h.ctx, h.owner, &second, nil))
	assert.Equal(t, []string{"25341K2", "25341K2-2"}, []string{first.Code, second.Code})
}

// 300 L of juice cannot give 361 L of syrup, but 360 is not refused here: that much over is judged.
func TestDrawnOffMoreThanJuice(t *testing.T) {
	for liters, taken := range map[syrup.Liters]bool{50: true, 360: true, 361: false} {
		h := newSeason(t)
		g := h.ground()
		juice := h.pressed(h.cutOf(g.planting.ID, 900), h.at(5, 0), 300, 16)
		run := h.run(g.kettle, h.at(6, 0), Draw{FromID: juice.ID})
		err := h.DrawOff(h.ctx, h.owner, &BoilEntry{RunID: run.ID, At: h.at(9, 0), Volume: &liters}, "")
		if taken {
			require.NoError(t, err, "%v L", liters)
			continue
		}
		var wrong Invalid
		require.ErrorAs(t, err, &wrong)
		assert.Equal(t, "volume", wrong[0].Field)
	}
}

func TestHouseDay(t *testing.T) {
	zone, err := time.LoadLocation("America/Chicago")
	require.NoError(t, err)
	assert.Equal(t, Day("2025-12-06"), DayOf(time.Date(2025, 12, 7, 5, 59, 0, 0, time.UTC), zone))
	assert.Equal(t, Day("2025-12-07"), DayOf(time.Date(2025, 12, 7, 6, 0, 0, 0, time.UTC), zone))
	assert.False(t, Day("2025-13-01").Valid())
	assert.False(t, Day("7 Dec").Valid())
}
