package records

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"canewright/hazards"
	"canewright/hazards/syrup"
)

// twoKettles is a ground with a second kettle, a bucket, and 600 L of 16 Brix juice.
func (h *season) twoKettles() (g ground, second Kettle, bucket Tank, juice Pressing) {
	g = h.ground()
	second = Kettle{SiteID: h.site.ID, Number: 3, Name: "New kettle"}
	bucket = Tank{SiteID: h.site.ID, Name: "Bucket 2", Holds: HoldsSyrup}
	h.put(&second, &bucket)
	return g, second, bucket, h.pressed(h.cutOf(g.planting.ID, 2000), h.at(4, 0), 600, 16)
}

func (h *season) read(of string, at time.Time, stage string, be float64) {
	h.t.Helper()
	h.put(&DensityReading{OfID: of, At: at, Stage: stage, Reading: be, Scale: syrup.ScaleBaume, Temperature: ptr(syrup.Celsius(100))})
}

// semi is a reading of 22.5 degrees Baume at 100 C, about 50 % solids: as a cook writes it who stops half-way.
func semi() *DensityReading {
	return &DensityReading{Reading: 22.5, Scale: syrup.ScaleBaume, ReadingEntered: "22.5 Be", Temperature: ptr(syrup.Celsius(100))}
}

func (h *season) linkInto(to, from string) Link {
	h.t.Helper()
	links, err := List[Link](h.ctx, h, "to_id = ? AND from_id = ?", to, from)
	require.NoError(h.t, err)
	require.Len(h.t, links, 1)
	return links[0]
}

func (h *season) codesOfRun(id string) []string {
	h.t.Helper()
	findings, err := JudgeRun(h.ctx, h, id)
	require.NoError(h.t, err)
	var codes []string
	for _, f := range findings {
		codes = append(codes, f.Code)
	}
	return codes
}

func (h *season) whole() {
	h.t.Helper()
	report, err := h.Verify(h.ctx, "")
	require.NoError(h.t, err)
	assert.Empty(h.t, report.Faults, "what the trace reads can be made anew from the records")
}

// sharesAddUp holds the pressings' shares of a record, the furthest origins of its syrup here, to 1.
func (h *season) sharesAddUp(id string) map[string]float64 {
	h.t.Helper()
	back, err := TraceBack(h.ctx, h, id)
	require.NoError(h.t, err)
	sum, shares := 0.0, map[string]float64{}
	for _, s := range back.OfKind(KindPressing) {
		sum += float64(*s.Share)
	}
	for _, s := range back.Steps {
		if s.Share != nil {
			shares[s.ID] = float64(*s.Share)
		}
	}
	assert.InDelta(h.t, 1, sum, 1e-9)
	return shares
}

// TestFireOutAndRelit: the run stays open, the time on the fire is lit less out, and the fire goes out but once.
func TestFireOutAndRelit(t *testing.T) {
	eachDatabase(t, func(t *testing.T, h *season) {
		g, _, _, juice := h.twoKettles()
		run := h.run(g.kettle, h.at(5, 0), Draw{FromID: juice.ID})
		turn := func(what string, hour, minute int) error {
			return h.Write(h.ctx, h.owner, &BoilEntry{RunID: run.ID, At: h.at(hour, minute), What: what})
		}
		refused := func(err error, key string) {
			t.Helper()
			var wrong Invalid
			require.ErrorAs(t, err, &wrong)
			assert.Equal(t, key, wrong[0].Key)
			assert.Equal(t, "at", wrong[0].Field)
		}
		refused(turn(EntryRelit, 5, 30), "run.fire_burns_since_lit")
		require.NoError(t, turn(EntryFireOut, 6, 0))
		refused(turn(EntryFireOut, 6, 5), "run.fire_is_out")
		refused(turn(EntryFireOut, 5, 50), "run.fire_turn_follows")
		require.NoError(t, turn(EntryRelit, 6, 45))
		refused(turn(EntryRelit, 7, 0), "run.fire_burns")
		require.NoError(t, turn(EntryFireOut, 9, 0))

		log, err := BoilLogOf(h.ctx, h, run.ID)
		require.NoError(t, err)
		assert.Nil(t, log.DrawnOff, "with the fire out a run is still open")
		fire := log.FireAt(h.at(6, 30))
		assert.True(t, fire.Out)
		assert.Equal(t, time.Hour, fire.OnFire)
		assert.Equal(t, h.at(6, 0), fire.Since)
		fire = log.FireAt(h.at(8, 45))
		assert.False(t, fire.Out)
		assert.Equal(t, 3*time.Hour, fire.OnFire, "5:00 to 6:00 and 6:45 to 8:45")
		h.drawOff(run, h.at(9, 10), 36, 100, "")
		log, err = BoilLogOf(h.ctx, h, run.ID)
		require.NoError(t, err)
		assert.Equal(t, 3*time.Hour+15*time.Minute, log.FireAt(h.at(11, 0)).OnFire, "after the end it stands still")
		g2, err := gather(h.ctx, h, run.ID)
		require.NoError(t, err)
		assert.Equal(t, 55*time.Minute, g2.run(run.ID).FireOut)

		next := h.run(g.kettle, h.at(9, 20))
		require.NoError(t, h.Write(h.ctx, h.owner, &BoilEntry{RunID: next.ID, At: h.at(9, 20), What: EntryFireOut}), "each run has its own fire")
	})
}

// TestSemiSyrupHeld: the run asks for a reading, not for a finish reading, and is not judged on its name; the next run
// takes it from the bucket with its solids known, and the trace goes through.
func TestSemiSyrupHeld(t *testing.T) {
	eachDatabase(t, func(t *testing.T, h *season) {
		g, second, bucket, juice := h.twoKettles()
		run := h.run(g.kettle, h.at(5, 0), Draw{FromID: juice.ID, Volume: ptr(syrup.Liters(300))})
		held := BoilEntry{RunID: run.ID, At: h.at(7, 0), Volume: ptr(syrup.Liters(92)), VolumeEntered: "92 L", Temperature: ptr(syrup.Celsius(95))}
		require.NoError(t, h.HoldSemiSyrup(h.ctx, h.owner, &held, semi(), bucket.ID))
		assert.Equal(t, OutcomeSemiSyrup, held.Outcome)
		for _, code := range h.codesOfRun(run.ID) {
			assert.NotContains(t, []string{"required.run_finish_reading", "required.run_volume_out", "required.run_semi_reading",
				"identity.below_cane", "identity.below_table"}, code)
		}
		kept := h.linkInto(bucket.ID, run.ID)
		require.NotNil(t, kept.Solids)

		semis, err := h.SemiSyrupLeft(h.ctx)
		require.NoError(t, err)
		require.Len(t, semis, 1)
		assert.Equal(t, bucket.ID, semis[0].ID)
		assert.Equal(t, held.At, semis[0].HeldAt.UTC())
		assert.True(t, semis[0].Only)
		assert.Equal(t, hazards.KeepsDays, hazards.KeepingOf(semis[0].Solids, time.Hour), "over 45 % by the reading")
		left, err := SyrupsLeft(h.ctx, h, h.clock)
		require.NoError(t, err)
		assert.Empty(t, left, "nobody is offered to bottle it")

		next := h.run(second, h.at(8, 0), Draw{FromID: bucket.ID}, Draw{FromID: juice.ID, Volume: ptr(syrup.Liters(100))})
		taken := h.linkInto(next.ID, bucket.ID)
		require.NotNil(t, taken.Solids)
		assert.InDelta(t, float64(*kept.Solids), float64(*taken.Solids), 1e-6, "all of what was held")
		h.drawOff(next, h.at(9, 30), 36, 60, "")
		assert.NotContains(t, h.codesOfRun(next.ID), "bounds.unusual", "two hours are enough for what had boiled before")
		shares := h.sharesAddUp(next.ID)
		assert.InDelta(t, float64(*taken.Solids)/float64(*taken.Solids+*h.linkInto(next.ID, juice.ID).Solids), shares[run.ID], 1e-9)
		forward, err := TraceForward(h.ctx, h, run.ID)
		require.NoError(t, err)
		assert.Equal(t, []string{next.ID}, forward.IDs(KindRun))
		semis, err = h.SemiSyrupLeft(h.ctx)
		require.NoError(t, err)
		assert.Empty(t, semis, "it is boiled on")
		h.whole()
	})
}

// Without a reading semi-syrup is kept, and says so; a reading written later tells what went into the bucket and on.
func TestSemiSyrupReadLater(t *testing.T) {
	h := newSeason(t)
	g, second, bucket, juice := h.twoKettles()
	run := h.run(g.kettle, h.at(5, 0), Draw{FromID: juice.ID, Volume: ptr(syrup.Liters(300))})
	require.NoError(t, h.HoldSemiSyrup(h.ctx, h.owner, &BoilEntry{RunID: run.ID, At: h.at(7, 0)}, nil, bucket.ID))
	assert.Contains(t, h.codesOfRun(run.ID), "required.run_semi_reading")
	next := h.run(second, h.at(8, 0), Draw{FromID: bucket.ID})
	assert.Nil(t, h.linkInto(next.ID, bucket.ID).Solids, "not known is not nothing")
	h.read(run.ID, h.at(7, 5), StageBoil, 22.5)
	assert.NotContains(t, h.codesOfRun(run.ID), "required.run_semi_reading")
	in, kept := h.linkInto(run.ID, juice.ID), h.linkInto(bucket.ID, run.ID)
	require.NotNil(t, kept.Solids)
	assert.InDelta(t, float64(*in.Solids), float64(*kept.Solids), 1e-6, "not measured: all that ran in")
	assert.True(t, kept.Estimated)
	balance, err := RunBalanceOf(h.ctx, h, run.ID)
	require.NoError(t, err)
	assert.Nil(t, balance.Unaccounted(), "an amount worked out from what ran in proves nothing about it")
}

// TestSemiSyrupIsNotBottled: not from the run, not after bottling, and through a bucket it holds the lot.
func TestSemiSyrupIsNotBottled(t *testing.T) {
	h := newSeason(t)
	g, _, bucket, juice := h.twoKettles()
	run := h.run(g.kettle, h.at(5, 0), Draw{FromID: juice.ID})
	fill := func(from string) (Lot, error) {
		lot := Lot{SiteID: h.site.ID, ProductID: g.product.ID, ContainerID: g.container.ID, StartedAt: h.at(7, 10)}
		return lot, h.StartFilling(h.ctx, h.owner, &lot, []Draw{{FromID: from, Volume: ptr(syrup.Liters(20))}})
	}
	require.NoError(t, h.HoldSemiSyrup(h.ctx, h.owner, &BoilEntry{RunID: run.ID, At: h.at(7, 0), Volume: ptr(syrup.Liters(180))}, semi(), ""))
	_, err := fill(run.ID)
	var wrong Invalid
	require.ErrorAs(t, err, &wrong)
	assert.Equal(t, "link.semi_syrup", wrong[0].Key)
	require.NoError(t, h.Fill(h.ctx, h.owner, Draw{FromID: run.ID, ToID: bucket.ID, At: h.at(7, 5)}))
	lot, err := fill(bucket.ID)
	require.NoError(t, err, "kept, and held")
	findings, err := JudgeLot(h.ctx, h, lot.ID)
	require.NoError(t, err)
	held := hazards.At(findings, hazards.Hold)
	assert.Condition(t, func() bool {
		for _, f := range held {
			if f.Code == "identity.semi_syrup" {
				return f.Values["Run"].Text == run.Code
			}
		}
		return false
	})

	other := h.run(g.kettle, h.at(7, 5))
	lot, err = fill(other.ID)
	require.NoError(t, err, "bottling may begin while drawing off")
	for _, outcome := range []string{OutcomeSemiSyrup, OutcomeMoved, OutcomeGivenUp} {
		var conflict Conflict
		err := h.Write(h.ctx, h.owner, &BoilEntry{RunID: other.ID, At: h.at(7, 20), What: EntryDrawnOff, Outcome: outcome, Note: "x"})
		require.ErrorAs(t, err, &conflict)
		assert.Equal(t, "run.already_bottled", conflict.Key)
		assert.Equal(t, lot.ID, conflict.ID)
	}
}

// TestPartMoved: a part of what boils goes into another kettle in mid-boil, by the last reading; both balances show it and
// the shares add up.
func TestPartMoved(t *testing.T) {
	eachDatabase(t, func(t *testing.T, h *season) {
		g, second, _, juice := h.twoKettles()
		first := h.run(g.kettle, h.at(5, 0), Draw{FromID: juice.ID, Volume: ptr(syrup.Liters(400))})
		finishing := h.run(second, h.at(6, 0), Draw{FromID: juice.ID, Volume: ptr(syrup.Liters(100))})
		move := Move{FromID: first.ID, At: h.at(7, 0), Volume: ptr(syrup.Liters(50)), Entered: "50 L", IntoID: finishing.ID, Reading: semi()}
		require.NoError(t, h.MoveToKettle(h.ctx, h.owner, move))
		moved := h.linkInto(finishing.ID, first.ID)
		require.NotNil(t, moved.Solids)
		assert.InDelta(t, 29.6, float64(*moved.Solids), 0.1, "50 L of about 50 % solids at 85 C; regression, from the model of density")
		assert.False(t, moved.Heel)

		h.drawOff(first, h.at(8, 0), 36, 40, "")
		h.drawOff(finishing, h.at(9, 0), 36, 40, "")
		balance, err := RunBalanceOf(h.ctx, h, first.ID)
		require.NoError(t, err)
		in, made := float64(*h.linkInto(first.ID, juice.ID).Solids), float64(*balance.Drawn)
		require.Len(t, balance.Ladled, 1)
		assert.InDelta(t, in-made-float64(*moved.Solids), float64(*balance.Unaccounted()), 1e-6, "in = drawn off + moved + unaccounted")
		balance, err = RunBalanceOf(h.ctx, h, finishing.ID)
		require.NoError(t, err)
		assert.InDelta(t, float64(*moved.Solids+*h.linkInto(finishing.ID, juice.ID).Solids), float64(*balance.In()), 1e-9)
		assert.NotContains(t, h.codesOfRun(first.ID), "overdraw.over", "what went in mid-boil is no part of what was drawn off")

		lot := Lot{SiteID: h.site.ID, ProductID: g.product.ID, ContainerID: g.container.ID, StartedAt: h.at(8, 10)}
		require.NoError(t, h.StartFilling(h.ctx, h.owner, &lot, []Draw{{FromID: first.ID}}), "all that was drawn off")
		assert.InDelta(t, 40, float64(*h.linkInto(lot.ID, first.ID).Volume), 1e-6)
		h.sharesAddUp(lot.ID)
		h.sharesAddUp(finishing.ID)
		forward, err := TraceForward(h.ctx, h, first.ID)
		require.NoError(t, err)
		assert.ElementsMatch(t, []string{finishing.ID}, forward.IDs(KindRun))
		assert.Equal(t, []string{lot.ID}, forward.IDs(KindLot))
		h.whole()
	})
}

// TestJuiceAfterAPartMoved: what ran in after a part had gone never reached the other kettle, and is not upstream of it.
func TestJuiceAfterAPartMoved(t *testing.T) {
	eachDatabase(t, func(t *testing.T, h *season) {
		g, second, _, juice := h.twoKettles()
		late := h.pressed(h.cutOf(g.planting.ID, 900), h.at(4, 30), 200, 16)
		first := h.run(g.kettle, h.at(5, 0), Draw{FromID: juice.ID, Volume: ptr(syrup.Liters(300))})
		finishing := h.run(second, h.at(6, 0), Draw{FromID: juice.ID, Volume: ptr(syrup.Liters(100))})
		require.NoError(t, h.MoveToKettle(h.ctx, h.owner, Move{FromID: first.ID, At: h.at(7, 0), Volume: ptr(syrup.Liters(40)), IntoID: finishing.ID, Reading: semi()}))
		require.NoError(t, h.Fill(h.ctx, h.owner, Draw{FromID: late.ID, ToID: first.ID, At: h.at(7, 30)}))
		h.put(&Addition{ToID: first.ID, At: h.at(7, 40), Substance: "lime", Use: "lime", SupplyLotID: &g.bottles.ID})
		back, err := TraceBack(h.ctx, h, finishing.ID)
		require.NoError(t, err)
		assert.Equal(t, []string{juice.ID}, back.IDs(KindPressing))
		assert.Empty(t, back.IDs(KindSupplyLot))
		h.sharesAddUp(finishing.ID)
		back, err = TraceBack(h.ctx, h, first.ID)
		require.NoError(t, err)
		assert.ElementsMatch(t, []string{juice.ID, late.ID}, back.IDs(KindPressing))
		shares := h.sharesAddUp(first.ID)
		rest := float64(*h.linkInto(first.ID, juice.ID).Solids - *h.linkInto(finishing.ID, first.ID).Solids)
		fresh := float64(*h.linkInto(first.ID, late.ID).Solids)
		assert.InDelta(t, fresh/(fresh+rest), shares[late.ID], 1e-9)
		forward, err := TraceForward(h.ctx, h, first.ID)
		require.NoError(t, err)
		assert.Equal(t, []string{finishing.ID}, forward.IDs(KindRun), "a run is not a step of its own")
		forward, err = TraceForward(h.ctx, h, late.ID)
		require.NoError(t, err)
		assert.Equal(t, []string{first.ID}, forward.IDs(KindRun))
		around, err := gather(h.ctx, h, finishing.ID)
		require.NoError(t, err)
		facts := around.run(finishing.ID)
		require.Len(t, facts.Heels, 1)
		assert.Len(t, facts.Heels[0].Pressings, 1, "judged on what reached it")
		assert.Empty(t, facts.Heels[0].Additions)
		h.read(finishing.ID, h.at(7, 50), StageFinish, 36)
		lot := Lot{SiteID: h.site.ID, ProductID: g.product.ID, ContainerID: g.container.ID, StartedAt: h.at(7, 55)}
		require.NoError(t, h.StartFilling(h.ctx, h.owner, &lot, []Draw{{FromID: finishing.ID, Volume: ptr(syrup.Liters(5))}}))
		assert.Equal(t, 3, lot.KettleNumber)
		reached, err := lotsDownstream(h.ctx, h, []string{first.ID, late.ID, juice.ID})
		require.NoError(t, err)
		assert.Equal(t, map[string][]string{first.ID: {lot.ID}, juice.ID: {lot.ID}}, reached)

		// Once more, and then the second part has some of the late juice.
		require.NoError(t, h.MoveToKettle(h.ctx, h.owner, Move{FromID: first.ID, At: h.at(8, 0), All: true, IntoID: finishing.ID, Reading: semi()}))
		back, err = TraceBack(h.ctx, h, finishing.ID)
		require.NoError(t, err)
		assert.ElementsMatch(t, []string{juice.ID, late.ID}, back.IDs(KindPressing))
		assert.Equal(t, []string{g.bottles.ID}, back.IDs(KindSupplyLot))
		h.sharesAddUp(finishing.ID)
		_ = h.codesOfRun(first.ID)
		_ = h.codesOfRun(finishing.ID)
		h.whole()
	})
}

// TestSplitEndsWithWhatMadeIt: what split a run is taken back, or goes to another run, and the trace follows.
func TestSplitEndsWithWhatMadeIt(t *testing.T) {
	eachDatabase(t, func(t *testing.T, h *season) {
		g, second, _, juice := h.twoKettles()
		first := h.run(g.kettle, h.at(5, 0), Draw{FromID: juice.ID, Volume: ptr(syrup.Liters(300))})
		other := h.run(second, h.at(5, 0), Draw{FromID: juice.ID, Volume: ptr(syrup.Liters(100))})
		require.NoError(t, h.MoveToKettle(h.ctx, h.owner, Move{FromID: first.ID, At: h.at(7, 0), Volume: ptr(syrup.Liters(40)), IntoID: other.ID, Reading: semi()}))
		split := func() bool {
			states, err := statesOf(h.ctx, h, first.ID)
			require.NoError(t, err)
			return len(states.partings) > 0
		}
		amend := func(fact Fact) {
			t.Helper()
			require.True(t, split())
			require.NoError(t, h.Amend(h.ctx, h.owner, fact, "written at the wrong place"))
			assert.False(t, split())
			h.whole()
		}
		cloth := &BoilEntry{RunID: first.ID, At: h.at(7, 30), What: EntryCloth, SupplyLotID: &g.bottles.ID}
		h.put(cloth)
		cloth.SupplyLotID = nil
		amend(cloth)
		lime := &Addition{ToID: first.ID, At: h.at(7, 40), Substance: "lime", Use: "lime", SupplyLotID: &g.bottles.ID}
		h.put(lime)
		lime.ToID = other.ID
		amend(lime)
		require.NoError(t, h.Fill(h.ctx, h.owner, Draw{FromID: juice.ID, ToID: first.ID, At: h.at(7, 50), Volume: ptr(syrup.Liters(50))}))
		links, err := List[Link](h.ctx, h, "to_id = ? ORDER BY at DESC LIMIT 1", first.ID)
		require.NoError(t, err)
		links[0].ToID = other.ID
		amend(&links[0])
	})
}

// TestTakenFromARunAfterAll: a link said to come from a tank is amended to come from the run itself, and back.
func TestTakenFromARunAfterAll(t *testing.T) {
	h := newSeason(t)
	g, second, bucket, juice := h.twoKettles()
	first := h.run(g.kettle, h.at(5, 0), Draw{FromID: juice.ID, Volume: ptr(syrup.Liters(300))})
	require.NoError(t, h.HoldSemiSyrup(h.ctx, h.owner, &BoilEntry{RunID: first.ID, At: h.at(7, 0), Volume: ptr(syrup.Liters(100))}, semi(), ""))
	require.NoError(t, h.Fill(h.ctx, h.owner, Draw{FromID: first.ID, ToID: bucket.ID, At: h.at(7, 5), Volume: ptr(syrup.Liters(50))}))
	next := h.run(second, h.at(7, 30), Draw{FromID: bucket.ID, Volume: ptr(syrup.Liters(10))})
	link := h.linkInto(next.ID, bucket.ID)
	for _, from := range []string{first.ID, bucket.ID} {
		link.FromID = from
		require.NoError(t, h.Amend(h.ctx, h.owner, &link, "it came from there"))
		h.whole()
		h.sharesAddUp(next.ID)
	}
}

// TestAllMoved: the first run ends; nothing more is taken from it, and what it fed cannot feed it.
func TestAllMoved(t *testing.T) {
	eachDatabase(t, func(t *testing.T, h *season) {
		g, second, bucket, juice := h.twoKettles()
		first := h.run(g.kettle, h.at(5, 0), Draw{FromID: juice.ID, Volume: ptr(syrup.Liters(400))})
		light := &Run{KettleID: second.ID, FireLitAt: h.at(7, 0)}
		require.NoError(t, h.MoveToKettle(h.ctx, h.owner, Move{FromID: first.ID, At: h.at(7, 0), All: true, Light: light, Reading: semi()}))
		moved := h.linkInto(light.ID, first.ID)
		require.NotNil(t, moved.Solids, "all of it, by what ran in")
		assert.InDelta(t, float64(*h.linkInto(first.ID, juice.ID).Solids), float64(*moved.Solids), 1e-6)
		assert.True(t, moved.Estimated)
		log, err := BoilLogOf(h.ctx, h, first.ID)
		require.NoError(t, err)
		require.NotNil(t, log.DrawnOff)
		assert.Equal(t, OutcomeMoved, log.DrawnOff.Outcome)
		for _, code := range h.codesOfRun(first.ID) {
			assert.NotContains(t, code, "required.run_", code)
			assert.NotContains(t, code, "identity")
		}
		for _, d := range []Draw{{FromID: first.ID, ToID: bucket.ID, At: h.at(7, 30)}, {FromID: first.ID, ToID: light.ID, At: h.at(7, 30)}} {
			var wrong Invalid
			require.ErrorAs(t, h.Fill(h.ctx, h.owner, d), &wrong)
			assert.Equal(t, "link.moved_away", wrong[0].Key)
		}
		heels, err := HeelsOf(h.ctx, h, g.kettle.ID)
		require.NoError(t, err)
		assert.Empty(t, heels)
		back := &Run{KettleID: g.kettle.ID, FireLitAt: h.at(8, 0)}
		require.NoError(t, h.StartRun(h.ctx, h.owner, back, []Draw{{FromID: light.ID, Volume: ptr(syrup.Liters(20))}}))
		var conflict Conflict
		err = h.MoveToKettle(h.ctx, h.owner, Move{FromID: back.ID, At: h.at(8, 30), All: true, IntoID: light.ID, Reading: semi()})
		require.ErrorAs(t, err, &conflict)
		assert.Equal(t, "link.closes_circle", conflict.Key)
		past, err := boilsBefore(h.ctx, h, *back)
		require.NoError(t, err)
		assert.Empty(t, past, "a boil that was broken off is no pattern")
		h.whole()
	})
}

// TestMoveRefuses: what cannot be moved so, in words.
func TestMoveRefuses(t *testing.T) {
	h := newSeason(t)
	g, second, _, juice := h.twoKettles()
	first := h.run(g.kettle, h.at(5, 0), Draw{FromID: juice.ID, Volume: ptr(syrup.Liters(300))})
	other := h.run(second, h.at(5, 0), Draw{FromID: juice.ID, Volume: ptr(syrup.Liters(300))})
	move := func(m Move) error {
		m.FromID, m.Reading = first.ID, semi()
		if m.At.IsZero() {
			m.At = h.at(7, 0)
		}
		return h.MoveToKettle(h.ctx, h.owner, m)
	}
	key := func(err error) string {
		t.Helper()
		var wrong Invalid
		var conflict Conflict
		if assert.Error(t, err) && assert.ErrorAs(t, err, &wrong) {
			return wrong[0].Field + " " + wrong[0].Key
		}
		require.ErrorAs(t, err, &conflict)
		return conflict.Key
	}
	assert.Equal(t, "volume invalid.required", key(move(Move{IntoID: other.ID})), "a part has an amount")
	assert.Equal(t, "quantity link.over_ladled", key(move(Move{IntoID: other.ID, Volume: ptr(syrup.Liters(250))})), "more solids than ran in")
	assert.Equal(t, "at run.before_fire", key(move(Move{IntoID: other.ID, Volume: ptr(syrup.Liters(20)), At: h.at(4, 59)})))
	assert.Equal(t, "from_id link.to_itself", key(move(Move{IntoID: first.ID, Volume: ptr(syrup.Liters(20))})))
	busy := move(Move{Light: &Run{KettleID: second.ID, FireLitAt: h.at(7, 0)}, All: true})
	var conflict Conflict
	require.ErrorAs(t, busy, &conflict)
	assert.Equal(t, "run.kettle_in_use", conflict.Key)
	readings, err := List[DensityReading](h.ctx, h, "of_id = ?", first.ID)
	require.NoError(t, err)
	assert.Empty(t, readings, "what is refused leaves nothing behind")
	h.drawOff(first, h.at(7, 0), 36, 40, "")
	require.ErrorAs(t, move(Move{IntoID: other.ID, Volume: ptr(syrup.Liters(5))}), &conflict)
	assert.Equal(t, "run.already_drawn_off", conflict.Key)
	h.drawOff(other, h.at(7, 0), 36, 40, "")
	third := h.run(g.kettle, h.at(7, 10))
	var wrong Invalid
	require.ErrorAs(t, h.MoveToKettle(h.ctx, h.owner, Move{FromID: third.ID, At: h.at(7, 30), Volume: ptr(syrup.Liters(5)), IntoID: other.ID}), &wrong)
	assert.Equal(t, "link.after_taker", wrong[0].Key)
}

// TestGivenUp: with a reason, nothing is taken from it after, and what ran in counts as lost.
func TestGivenUp(t *testing.T) {
	eachDatabase(t, func(t *testing.T, h *season) {
		g, second, bucket, juice := h.twoKettles()
		run := h.run(g.kettle, h.at(5, 0), Draw{FromID: juice.ID, Volume: ptr(syrup.Liters(300))})
		other := h.run(second, h.at(5, 0), Draw{FromID: juice.ID, Volume: ptr(syrup.Liters(200))})
		require.NoError(t, h.MoveToKettle(h.ctx, h.owner, Move{FromID: run.ID, At: h.at(6, 0), Volume: ptr(syrup.Liters(20)), IntoID: other.ID, Reading: semi()}))
		var wrong Invalid
		require.ErrorAs(t, h.GiveUp(h.ctx, h.owner, &BoilEntry{RunID: run.ID, At: h.at(7, 0)}), &wrong)
		assert.Equal(t, FieldError{Field: "note", Key: "invalid.required"}, wrong[0])
		end := &BoilEntry{RunID: run.ID, At: h.at(7, 0), Note: "scorched"}
		require.NoError(t, h.GiveUp(h.ctx, h.owner, end))
		for _, code := range h.codesOfRun(run.ID) {
			assert.NotContains(t, code, "required.run_")
		}
		balance, err := RunBalanceOf(h.ctx, h, run.ID)
		require.NoError(t, err)
		gone := *h.linkInto(run.ID, juice.ID).Solids - *h.linkInto(other.ID, run.ID).Solids
		assert.InDelta(t, float64(gone), float64(*balance.Poured), 1e-9)
		assert.InDelta(t, 0, float64(*balance.Unaccounted()), 1e-9)

		lot := &Lot{SiteID: h.site.ID, ProductID: g.product.ID, ContainerID: g.container.ID, StartedAt: h.at(7, 30)}
		for name, err := range map[string]error{
			"tank": h.Fill(h.ctx, h.owner, Draw{FromID: run.ID, ToID: bucket.ID, At: h.at(7, 10), Volume: ptr(syrup.Liters(5))}),
			"lot":  h.StartFilling(h.ctx, h.owner, lot, []Draw{{FromID: run.ID}}),
			"heel": h.StartRun(h.ctx, h.owner, &Run{KettleID: g.kettle.ID, FireLitAt: h.at(8, 0)}, []Draw{{FromID: run.ID, Volume: ptr(syrup.Liters(1)), Heel: true}}),
			"run":  h.Fill(h.ctx, h.owner, Draw{FromID: run.ID, ToID: other.ID, At: h.at(7, 10), Volume: ptr(syrup.Liters(5))}),
		} {
			require.ErrorAs(t, err, &wrong, name)
			assert.Equal(t, "link.given_up", wrong[0].Key, name)
		}
		stock, err := h.StockOf(h.ctx, run.ID, h.clock)
		require.NoError(t, err)
		assert.True(t, stock.Empty())
		stock, err = h.StockOf(h.ctx, juice.ID, h.clock)
		require.NoError(t, err)
		assert.InDelta(t, 100, float64(*stock.Volume), 0.01, "the pressing shows what the given-up run took")
		left, err := h.SyrupLeft(h.ctx, 30)
		require.NoError(t, err)
		assert.Empty(t, left)

		require.NoError(t, h.Strike(h.ctx, h.owner, end.ID, "it was not scorched"))
		log, err := BoilLogOf(h.ctx, h, run.ID)
		require.NoError(t, err)
		assert.Nil(t, log.DrawnOff, "struck, the run is on the fire again")
	})
}

// TestEndOnlyOnce: whoever ends a run second is told, whichever way.
func TestEndOnlyOnce(t *testing.T) {
	h := newSeason(t)
	g, _, bucket, juice := h.twoKettles()
	run := h.run(g.kettle, h.at(5, 0), Draw{FromID: juice.ID})
	require.NoError(t, h.HoldSemiSyrup(h.ctx, h.owner, &BoilEntry{RunID: run.ID, At: h.at(7, 0), Volume: ptr(syrup.Liters(100))}, semi(), bucket.ID))
	for name, err := range map[string]error{
		"syrup": h.DrawOff(h.ctx, h.owner, &BoilEntry{RunID: run.ID, At: h.at(7, 0)}, ""),
		"semi":  h.HoldSemiSyrup(h.ctx, h.owner, &BoilEntry{RunID: run.ID, At: h.at(7, 0)}, nil, ""),
		"given": h.GiveUp(h.ctx, h.owner, &BoilEntry{RunID: run.ID, At: h.at(7, 0), Note: "x"}),
	} {
		var conflict Conflict
		require.ErrorAs(t, err, &conflict, name)
		assert.Equal(t, "run.already_drawn_off", conflict.Key, name)
	}
	assert.Error(t, h.Write(h.ctx, h.owner, &BoilEntry{RunID: run.ID, At: h.at(6, 0), What: EntryNote, Note: "x", Outcome: OutcomeGivenUp}), "only an end has an outcome")
}

// TestTwoRunsOneTank: two runs drawn into one tank, one of them in two pourings; the lot has both by their solids.
func TestTwoRunsOneTank(t *testing.T) {
	eachDatabase(t, func(t *testing.T, h *season) {
		g, second, _, juice := h.twoKettles()
		a := h.run(g.kettle, h.at(5, 0), Draw{FromID: juice.ID, Volume: ptr(syrup.Liters(300))})
		b := h.run(second, h.at(5, 0), Draw{FromID: juice.ID, Volume: ptr(syrup.Liters(300))})
		h.read(a.ID, h.at(7, 50), StageFinish, 36)
		require.NoError(t, h.Fill(h.ctx, h.owner, Draw{FromID: a.ID, ToID: g.holding.ID, At: h.at(7, 55), Volume: ptr(syrup.Liters(20)), Entered: "20 L"}), "the first pouring, before the end")
		require.NoError(t, h.DrawOff(h.ctx, h.owner, &BoilEntry{RunID: a.ID, At: h.at(8, 0), Volume: ptr(syrup.Liters(50)), Heel: ptr(syrup.Liters(2))}, ""))
		require.NoError(t, h.Fill(h.ctx, h.owner, Draw{FromID: a.ID, ToID: g.holding.ID, At: h.at(8, 5)}), "the second: all that is left of 50 L")
		links, err := List[Link](h.ctx, h, "from_id = ? ORDER BY at", a.ID)
		require.NoError(t, err)
		require.Len(t, links, 2)
		assert.InDelta(t, 30, float64(*links[1].Volume), 0.5)
		h.drawOff(b, h.at(8, 30), 36, 50, g.holding.ID)
		lot := Lot{SiteID: h.site.ID, ProductID: g.product.ID, ContainerID: g.container.ID, StartedAt: h.at(9, 0)}
		require.NoError(t, h.StartFilling(h.ctx, h.owner, &lot, []Draw{{FromID: g.holding.ID, Volume: ptr(syrup.Liters(60))}}))
		shares := h.sharesAddUp(lot.ID)
		assert.InDelta(t, 0.5, shares[a.ID], 0.01)
		assert.InDelta(t, 1, shares[a.ID]+shares[b.ID], 1e-9)
		balance, err := RunBalanceOf(h.ctx, h, a.ID)
		require.NoError(t, err)
		require.NotNil(t, balance.Heel, "as it was said at the drawing off")
		said := *balance.Heel
		h.run(g.kettle, h.at(9, 10), Draw{FromID: a.ID, Volume: ptr(syrup.Liters(2)), Heel: true})
		balance, err = RunBalanceOf(h.ctx, h, a.ID)
		require.NoError(t, err)
		assert.InDelta(t, float64(said), float64(*balance.Heel), 0.05, "the next run took as much")
		h.whole()
	})
}
