package records

import (
	"context"
	"strconv"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"canewright/hazards/syrup"
)

// look is one fill check: the minute after 11:00, the bottle in F, the bottle's number (0: not said).
type look struct {
	minute, number int
	f              syrup.Fahrenheit
	closure        bool
}

func good(minute, number int) look { return look{minute, number, 188, true} }
func cool(minute, number int) look { return look{minute, number, 171, true} }

// bottled fills a lot of 108 bottles with these checks.
func (h *season) bottled(g ground, looks ...look) Lot {
	h.t.Helper()
	_, _, run := h.boiled(g)
	lot := Lot{SiteID: h.site.ID, ProductID: g.product.ID, ContainerID: g.container.ID, StartedAt: h.at(11, 20),
		BottlesLotID: &g.bottles.ID, ClosuresLotID: &g.closures.ID}
	require.NoError(h.t, h.StartFilling(h.ctx, h.owner, &lot, []Draw{{FromID: run.ID}}))
	for _, l := range looks {
		h.put(h.lookAt(g, lot, l))
	}
	require.NoError(h.t, h.EndFilling(h.ctx, h.owner, &FillEnd{LotID: lot.ID, At: h.at(11, 55), Count: 108}))
	return lot
}

func (h *season) lookAt(g ground, lot Lot, l look) *FillCheck {
	k := &FillCheck{LotID: lot.ID, At: h.at(11, l.minute), Bottle: ptr(l.f.Celsius()), InstrumentID: &g.probe.ID, InvertedSeconds: ptr(300),
		ClosureOK: ptr(l.closure), NetWeight: ptr(syrup.Grams(652)), NetWeightEntered: "652 g"}
	if l.number > 0 {
		k.BottleNumber = &l.number
	}
	return k
}

// partsOf writes the parts of a lot: bottles, units, state.
func (h *season) partsOf(lot Lot) []string {
	h.t.Helper()
	var said []string
	for _, p := range h.shelvesOf(lot) {
		bottles := "all"
		if p.FirstBottle != nil {
			bottles = strconv.Itoa(*p.FirstBottle) + "-" + strconv.Itoa(*p.LastBottle)
		}
		said = append(said, bottles+" "+strconv.Itoa(p.Filled)+" "+p.State)
	}
	return said
}

func (h *season) shelvesOf(lot Lot) []PartShelf {
	h.t.Helper()
	parts, err := List[Part](h.ctx, h, "lot_id = ? ORDER BY number", lot.ID)
	require.NoError(h.t, err)
	shelves, err := Shelves(h.ctx, h, parts)
	require.NoError(h.t, err)
	return shelves
}

// What a check holds becomes a part of its own when filling ends, where the checks beside it have bottle numbers.
func TestFillingDividesItself(t *testing.T) {
	tests := map[string]struct {
		looks []look
		parts []string
		held  int // how many parts the rules hold with a reason
	}{
		"nothing wrong":             {[]look{good(21, 12), good(50, 100)}, []string{"all 108 held"}, 0},
		"one in the middle":         {[]look{good(21, 24), cool(30, 48), good(50, 72)}, []string{"1-24 24 held", "25-71 47 held", "72-108 37 held"}, 1},
		"the first":                 {[]look{cool(21, 1), good(50, 72)}, []string{"1-71 71 held", "72-108 37 held"}, 1},
		"the last":                  {[]look{good(21, 24), cool(50, 108)}, []string{"1-24 24 held", "25-108 84 held"}, 1},
		"two apart":                 {[]look{good(21, 10), cool(25, 20), good(30, 30), cool(35, 50), good(50, 70)}, []string{"1-10 10 held", "11-29 19 held", "30-30 1 held", "31-69 39 held", "70-108 39 held"}, 2},
		"two in a row":              {[]look{good(21, 10), cool(25, 20), cool(30, 30), good(50, 70)}, []string{"1-10 10 held", "11-69 59 held", "70-108 39 held"}, 1},
		"a closure":                 {[]look{good(21, 24), {30, 48, 188, false}, good(50, 72)}, []string{"1-24 24 held", "25-71 47 held", "72-108 37 held"}, 1},
		"no number beside it":       {[]look{good(21, 0), cool(30, 48), good(50, 72)}, []string{"all 108 held"}, 0},
		"no number of its own":      {[]look{good(21, 24), cool(30, 0), good(50, 72)}, []string{"1-24 24 held", "25-71 47 held", "72-108 37 held"}, 1},
		"every bottle":              {[]look{cool(21, 24), cool(50, 72)}, []string{"all 108 held"}, 0},
		"one without, one with":     {[]look{cool(21, 0), good(24, 0), good(30, 30), cool(35, 50), good(50, 70)}, []string{"1-30 30 held", "31-69 39 held", "70-108 39 held"}, 1},
		"numbers that say too much": {[]look{good(21, 48), cool(30, 0), good(50, 49)}, []string{"all 108 held"}, 0},
	}
	for name, test := range tests {
		t.Run(name, func(t *testing.T) {
			h := newSeason(t)
			lot := h.bottled(h.ground(), test.looks...)
			assert.Equal(t, test.parts, h.partsOf(lot))
			byRules := 0
			for _, p := range h.shelvesOf(lot) {
				if p.Last != nil {
					byRules++
					assert.True(t, p.Last.Automatic)
					assert.Contains(t, p.Last.Reason, "on hold", "the finding in words")
				}
			}
			assert.Equal(t, test.held, byRules)
		})
	}
}

// The bottles that no check holds are released and shipped while the others stay; those are answered or destroyed.
func TestPartsAreJudgedByThemselves(t *testing.T) {
	eachDatabase(t, func(t *testing.T, h *season) {
		g := h.ground()
		lot := h.bottled(g, good(21, 24), cool(30, 48), good(50, 72))
		parts := h.shelvesOf(lot)
		require.Len(t, parts, 3)
		first, bad, last := parts[0], parts[1], parts[2]
		require.NoError(t, h.Release(h.ctx, h.owner, first.ID, "looked at"))
		require.NoError(t, h.Release(h.ctx, h.owner, last.ID, "looked at"))
		assert.Equal(t, []string{"fill.below_limit"}, missingCodes(h.Release(h.ctx, h.owner, bad.ID, "looked at")))
		assert.Equal(t, []string{"1-24 24 released", "25-71 47 held", "72-108 37 released"}, h.partsOf(lot))

		shop := h.customer()
		ship := func(id string, n int) error {
			return h.Ship(h.ctx, h.owner, &Shipment{CustomerID: shop.ID, At: h.at(11, 58), HowPacked: "cases"}, []Units{{id, n}})
		}
		require.NoError(t, ship(first.ID, 24))
		require.ErrorAs(t, ship(bad.ID, 1), new(Conflict))
		require.NoError(t, h.Dispose(h.ctx, h.owner, bad.ID, ActDestroy, "poured out"))
		held, err := WhoHas(h.ctx, h, lot.ID)
		require.NoError(t, err)
		require.Len(t, held, 1)
		assert.Equal(t, first.ID, held[0].PartID)

		trace, err := TraceForward(h.ctx, h, lot.ID)
		require.NoError(t, err)
		assert.Len(t, trace.IDs(KindPart), 3, "a trace reaches every part")
		report, err := h.Verify(h.ctx, "")
		require.NoError(t, err)
		assert.Empty(t, report.Faults)
	})
}

// After an amendment of the check the judgement follows: the division stays, and what no longer falls short is releasable;
// what falls short now is held again.
func TestAmendedCheckIsFollowed(t *testing.T) {
	h := newSeason(t)
	g := h.ground()
	lot := h.bottled(g, good(21, 24), cool(30, 48), good(50, 72))
	parts := h.shelvesOf(lot)
	require.NoError(t, h.Release(h.ctx, h.owner, parts[0].ID, "looked at"))
	checks, err := List[FillCheck](h.ctx, h, "lot_id = ? ORDER BY at", lot.ID)
	require.NoError(t, err)
	misread := checks[1]
	misread.Bottle = ptr(syrup.Fahrenheit(187).Celsius())
	require.NoError(t, h.Amend(h.ctx, h.owner, &misread, "read the wrong line"))
	require.NoError(t, h.Release(h.ctx, h.owner, parts[1].ID, "looked at"))
	assert.Equal(t, []string{"1-24 24 released", "25-71 47 released", "72-108 37 held"}, h.partsOf(lot))

	first := checks[0]
	first.Bottle = ptr(syrup.Fahrenheit(170).Celsius())
	require.NoError(t, h.Amend(h.ctx, h.owner, &first, "the first was the cool one"))
	assert.Equal(t, []string{"1-24 24 held", "25-71 47 held", "72-108 37 held"}, h.partsOf(lot), "bottles 1 to 47 are in doubt: bottle 48 was good")
	require.NoError(t, h.DivideByChecks(h.ctx, h.owner, lot.ID, nil, ""))
	assert.Equal(t, []string{"1-24 24 held", "25-47 23 held", "72-108 37 held", "48-71 24 held"}, h.partsOf(lot))
	require.NoError(t, h.Release(h.ctx, h.owner, h.shelvesOf(lot)[3].ID, "looked at"))
}

// A part that is divided holds all its bottles in its pieces, each once.
func TestDivideIsExact(t *testing.T) {
	h := newSeason(t)
	lot := h.bottled(h.ground(), good(21, 12), good(50, 100))
	part := h.partOf(lot)
	for name, pieces := range map[string][]Piece{
		"one piece":         {{First: 1, Last: 108}},
		"a gap":             {{First: 1, Last: 24}, {First: 26, Last: 108}},
		"twice":             {{First: 1, Last: 24}, {First: 24, Last: 108}},
		"too many":          {{First: 1, Last: 24}, {First: 25, Last: 109}},
		"too few":           {{First: 1, Last: 24}, {First: 25, Last: 107}},
		"a count too many":  {{Count: 24}, {Count: 85}},
		"a count too few":   {{Count: 24}, {Count: 83}},
		"nothing":           {{Count: 0}, {Count: 108}},
		"backwards":         {{First: 24, Last: 1}, {First: 25, Last: 108}},
		"numbers and count": {{First: 1, Last: 24}, {Count: 84}},
	} {
		t.Run(name, func(t *testing.T) {
			var wrong Invalid
			require.ErrorAs(t, h.Divide(h.ctx, h.owner, part.ID, pieces), &wrong)
			assert.Equal(t, "pieces", wrong[0].Field)
		})
	}
	assert.Equal(t, []string{"all 108 held"}, h.partsOf(lot), "nothing half-done remains")
	require.NoError(t, h.Divide(h.ctx, h.owner, part.ID, []Piece{{First: 61, Last: 108}, {First: 1, Last: 60, Hold: "a cracked one among them"}}))
	assert.Equal(t, []string{"61-108 48 held", "1-60 60 held"}, h.partsOf(lot))
	child := h.shelvesOf(lot)[1]
	assert.Equal(t, part.ID, *child.OfPartID)
	assert.Equal(t, "a cracked one among them", child.Last.Reason)
	require.NoError(t, h.Divide(h.ctx, h.owner, child.ID, []Piece{{First: 1, Last: 1}, {First: 2, Last: 60}}), "a piece divides again")
}

func TestDivideWhileFilling(t *testing.T) {
	h := newSeason(t)
	g := h.ground()
	_, _, run := h.boiled(g)
	lot := Lot{SiteID: h.site.ID, ProductID: g.product.ID, ContainerID: g.container.ID, StartedAt: h.at(11, 20)}
	require.NoError(t, h.StartFilling(h.ctx, h.owner, &lot, []Draw{{FromID: run.ID}}))
	require.ErrorAs(t, h.Divide(h.ctx, h.owner, h.partOf(lot).ID, []Piece{{Count: 1}, {Count: 1}}), new(Conflict))
}

// Three cases held out of a released part on the shelf: what left stays with the rest, and the rest may leave.
func TestDivideAReleasedPart(t *testing.T) {
	eachDatabase(t, func(t *testing.T, h *season) {
		g := h.ground()
		_, lot, part := h.released(g)
		shop := h.customer()
		require.NoError(t, h.Ship(h.ctx, h.owner, &Shipment{CustomerID: shop.ID, At: h.at(11, 58), HowPacked: "cases"}, []Units{{part.ID, 24}}))
		h.put(&ShelfEntry{What: ShelfSample, PartID: part.ID, At: h.at(11, 59), Units: 2, Place: "laboratory"},
			&ShelfEntry{What: ShelfCount, PartID: part.ID, At: h.at(12, 0), Units: 82})
		h.clock = h.clock.Add(time.Hour)

		var wrong Invalid
		require.ErrorAs(t, h.Divide(h.ctx, h.owner, part.ID, []Piece{{Count: 20, Keeps: true}, {Count: 88}}), &wrong, "26 have gone")
		assert.Equal(t, "divide.gone", wrong[0].Key)

		require.NoError(t, h.Divide(h.ctx, h.owner, part.ID, []Piece{{Count: 72, Keeps: true}, {Count: 36, Hold: "lids to look at"}}))
		assert.Equal(t, []string{"1-108 72 released", "1-108 36 held"}, h.partsOf(lot), "some of bottles 1 to 108 each")
		shelves := h.shelvesOf(lot)
		assert.Equal(t, []int{46, 36}, []int{shelves[0].OnHand, shelves[1].OnHand})
		assert.Zero(t, shelves[0].CountOff, "the count before was right")
		_, _, numbered := shelves[0].Numbers()
		assert.False(t, numbered)
		require.ErrorAs(t, h.Divide(h.ctx, h.owner, part.ID, []Piece{{First: 1, Last: 40}, {First: 41, Last: 72}}), new(Conflict))

		require.NoError(t, h.Ship(h.ctx, h.owner, &Shipment{CustomerID: shop.ID, At: h.at(12, 30), HowPacked: "cases"}, []Units{{part.ID, 46}}))
		require.ErrorAs(t, h.Ship(h.ctx, h.owner, &Shipment{CustomerID: shop.ID, At: h.at(12, 30), HowPacked: "cases"}, []Units{{shelves[1].ID, 1}}), new(Conflict))
		require.NoError(t, h.Release(h.ctx, h.owner, shelves[1].ID, "lids looked at"))
	})
}

// Pieces of a released part that are not held stay released, with what their release knew.
func TestPiecesKeepTheirRelease(t *testing.T) {
	h := newSeason(t)
	g := h.ground()
	_, lot, part := h.released(g)
	require.NoError(t, h.Ship(h.ctx, h.owner, &Shipment{CustomerID: h.customer().ID, At: h.at(11, 58), HowPacked: "cases"}, []Units{{part.ID, 24}}))
	require.NoError(t, h.Divide(h.ctx, h.owner, part.ID, []Piece{{First: 1, Last: 40}, {First: 41, Last: 52, Hold: "glass"}, {First: 53, Last: 108, Keeps: true}}))
	assert.Equal(t, []string{"53-108 56 released", "1-40 40 released", "41-52 12 held"}, h.partsOf(lot))
	shelves := h.shelvesOf(lot)
	assert.Equal(t, 32, shelves[0].OnHand, "what left stays with the piece that keeps it")
	assert.True(t, shelves[1].Last.Automatic)
	assert.NotEmpty(t, shelves[1].Last.Words)
}

// An answer given before a part was divided answers for its pieces; one given after for its own bottles only.
func TestAnswersGoWithTheBottles(t *testing.T) {
	h := newSeason(t)
	g := h.ground()
	lot := h.bottled(g, good(21, 0), cool(30, 0), good(50, 0))
	part := h.partOf(lot)
	checks, err := List[FillCheck](h.ctx, h, "lot_id = ? ORDER BY at", lot.ID)
	require.NoError(t, err)
	answer := func(id string) {
		h.put(&CorrectiveAction{PartID: id, At: h.at(11, 56), Finding: "fill.below_limit", AboutID: checks[1].ID, Problem: "a", Recurrence: "b", Evaluation: "c", Commerce: "d"})
	}
	require.NoError(t, h.Divide(h.ctx, h.owner, part.ID, []Piece{{Count: 60}, {Count: 48}}))
	piece := h.shelvesOf(lot)[1]
	answer(part.ID)
	require.NoError(t, h.Release(h.ctx, h.owner, part.ID, "answered"))
	assert.Equal(t, []string{"fill.below_limit"}, missingCodes(h.Release(h.ctx, h.owner, piece.ID, "looked at")), "the other part's answer says nothing of these")
	answer(piece.ID)
	require.NoError(t, h.Divide(h.ctx, h.owner, piece.ID, []Piece{{Count: 24}, {Count: 24}}))
	require.NoError(t, h.Release(h.ctx, h.owner, h.shelvesOf(lot)[2].ID, "answered before it was divided"))
}

// Where the checks lacked numbers the lot is divided once they are counted.
func TestDivideByChecksCountedLater(t *testing.T) {
	eachDatabase(t, func(t *testing.T, h *season) {
		g := h.ground()
		lot := h.bottled(g, good(21, 0), cool(30, 0), good(50, 0))
		offered, err := DividedByChecks(h.ctx, h, lot.ID)
		require.NoError(t, err)
		require.Len(t, offered, 1)
		require.Len(t, offered[0].Ask, 2, "the good checks beside it")
		before, after := offered[0].Ask[0].ID, offered[0].Ask[1].ID
		var wrong Invalid
		require.ErrorAs(t, h.DivideByChecks(h.ctx, h.owner, lot.ID, map[string]int{before: 24, after: 20}, "counted"), &wrong)
		assert.Equal(t, FieldError{"number_" + after, "fill_check.number_runs_back", wrong[0].Args}, wrong[0])
		require.ErrorAs(t, h.DivideByChecks(h.ctx, h.owner, lot.ID, map[string]int{before: 24, after: 109}, "counted"), &wrong)
		assert.Equal(t, "fill_check.number_over_count", wrong[0].Key)
		assert.Equal(t, []string{"all 108 held"}, h.partsOf(lot))

		require.NoError(t, h.DivideByChecks(h.ctx, h.owner, lot.ID, map[string]int{before: 24, after: 72}, "counted"))
		assert.Equal(t, []string{"1-24 24 held", "25-71 47 held", "72-108 37 held"}, h.partsOf(lot))
		require.NoError(t, h.Release(h.ctx, h.owner, h.partOf(lot).ID, "looked at"))
		require.ErrorAs(t, h.DivideByChecks(h.ctx, h.owner, lot.ID, nil, "again"), new(Conflict), "there is nothing more to divide")
	})
}

// Where bottles of a part have left, nobody knows which: its checks do not divide it by themselves.
func TestChecksDoNotDivideWhatHasLeft(t *testing.T) {
	h := newSeason(t)
	g := h.ground()
	lot := h.bottled(g, good(21, 24), good(30, 48), good(50, 72))
	part := h.partOf(lot)
	require.NoError(t, h.Release(h.ctx, h.owner, part.ID, "looked at"))
	require.NoError(t, h.Ship(h.ctx, h.owner, &Shipment{CustomerID: h.customer().ID, At: h.at(11, 58), HowPacked: "cases"}, []Units{{part.ID, 24}}))
	checks, err := List[FillCheck](h.ctx, h, "lot_id = ? ORDER BY at", lot.ID)
	require.NoError(t, err)
	checks[1].Bottle = ptr(syrup.Fahrenheit(171).Celsius())
	require.NoError(t, h.Amend(h.ctx, h.owner, &checks[1], "read again"))
	assert.Equal(t, []string{"all 108 held"}, h.partsOf(lot), "it is held again whole")
	offered, err := DividedByChecks(h.ctx, h, lot.ID)
	require.NoError(t, err)
	require.Len(t, offered, 1)
	assert.True(t, offered[0].Left)
	require.ErrorAs(t, h.DivideByChecks(h.ctx, h.owner, lot.ID, nil, ""), new(Conflict))
}

// Two people divide the same part at once: one of them is told to look again.
func TestTwoDivideAtOnce(t *testing.T) {
	eachDatabase(t, func(t *testing.T, h *season) {
		lot := h.bottled(h.ground(), good(21, 12), good(50, 100))
		part := h.partOf(lot)
		const people = 6
		errs := make([]error, people)
		var wait sync.WaitGroup
		for i := range people {
			wait.Go(func() {
				errs[i] = h.Divide(context.Background(), h.owner, part.ID, []Piece{{First: 1, Last: 60 + i}, {First: 61 + i, Last: 108}})
			})
		}
		wait.Wait()
		done := 0
		for _, err := range errs {
			if err == nil {
				done++
				continue
			}
			require.ErrorAs(t, err, new(Invalid))
		}
		assert.Equal(t, 1, done)
		sum := 0
		for _, p := range h.shelvesOf(lot) {
			sum += p.Filled
		}
		assert.Equal(t, 108, sum)
		assert.Len(t, h.shelvesOf(lot), 2)
	})
}

// An amended count changes the part with the last bottles, never another.
func TestRecountOfADividedLot(t *testing.T) {
	h := newSeason(t)
	lot := h.bottled(h.ground(), good(21, 24), cool(30, 48), good(50, 72))
	ends, err := List[FillEnd](h.ctx, h, "lot_id = ?", lot.ID)
	require.NoError(t, err)
	end := ends[0]
	amend := func(count int) error {
		end.Count = count
		err := h.Amend(h.ctx, h.owner, &end, "counted again")
		return err
	}
	require.NoError(t, amend(110))
	assert.Equal(t, []string{"1-24 24 held", "25-71 47 held", "72-110 39 held"}, h.partsOf(lot))
	require.NoError(t, amend(104))
	assert.Equal(t, []string{"1-24 24 held", "25-71 47 held", "72-104 33 held"}, h.partsOf(lot))
	require.NoError(t, h.Release(h.ctx, h.owner, h.shelvesOf(lot)[2].ID, "looked at"))
	require.NoError(t, h.Ship(h.ctx, h.owner, &Shipment{CustomerID: h.customer().ID, At: h.at(11, 58), HowPacked: "cases"}, []Units{{h.shelvesOf(lot)[2].ID, 30}}))
	var wrong Invalid
	require.ErrorAs(t, amend(100), &wrong, "30 of its 33 have left")
	assert.Equal(t, "fill_end.divided_fewer", wrong[0].Key)
	ends, err = List[FillEnd](h.ctx, h, "lot_id = ?", lot.ID)
	require.NoError(t, err)
	end = ends[0]
	require.ErrorAs(t, amend(60), &wrong, "bottle 72 was looked at")
	assert.Equal(t, "fill_end.fewer_than_checked", wrong[0].Key)
}

// Of a lot divided by count the rest takes the difference, and its numbers still reach the last bottle.
func TestRecountOfALotDividedByCount(t *testing.T) {
	h := newSeason(t)
	lot := h.bottled(h.ground(), good(21, 12), good(50, 100))
	require.NoError(t, h.Divide(h.ctx, h.owner, h.partOf(lot).ID, []Piece{{Count: 72}, {Count: 36}}))
	ends, err := List[FillEnd](h.ctx, h, "lot_id = ?", lot.ID)
	require.NoError(t, err)
	ends[0].Count = 110
	require.NoError(t, h.Amend(h.ctx, h.owner, &ends[0], "counted again"))
	assert.Equal(t, []string{"1-110 74 held", "1-110 36 held"}, h.partsOf(lot))
}

// What comes back is judged as the part it left from.
func TestReturnsOfADividedLot(t *testing.T) {
	h := newSeason(t)
	lot := h.bottled(h.ground(), good(21, 24), cool(30, 48), good(50, 72))
	first := h.shelvesOf(lot)[0]
	require.NoError(t, h.Release(h.ctx, h.owner, first.ID, "looked at"))
	shipment := Shipment{CustomerID: h.customer().ID, At: h.at(11, 58), HowPacked: "cases"}
	require.NoError(t, h.Ship(h.ctx, h.owner, &shipment, []Units{{first.ID, 12}}))
	back := ShelfEntry{PartID: first.ID, At: h.at(12, 0), Units: 3, ShipmentID: &shipment.ID}
	require.NoError(t, h.Return(h.ctx, h.owner, &back))
	parts := h.shelvesOf(lot)
	require.Len(t, parts, 4)
	assert.True(t, parts[3].CameBack)
	assert.Equal(t, 4, parts[3].Number)
	judged, err := JudgePart(h.ctx, h, parts[3].ID)
	require.NoError(t, err)
	for _, f := range judged.Findings {
		assert.NotEqual(t, "fill.below_limit", f.Code, "bottles 1 to 24 are not in doubt")
	}
	require.ErrorAs(t, h.Divide(h.ctx, h.owner, parts[3].ID, []Piece{{First: 1, Last: 1}, {First: 2, Last: 3}}), new(Conflict))
	require.NoError(t, h.Divide(h.ctx, h.owner, parts[3].ID, []Piece{{Count: 1, Hold: "leaks"}, {Count: 2}}))
}

// Full bottle less empty bottle is the net weight; slips are caught where they were typed.
func TestWeighedWithTheBottle(t *testing.T) {
	h := newSeason(t)
	g := h.ground()
	_, _, run := h.boiled(g)
	lot := Lot{SiteID: h.site.ID, ProductID: g.product.ID, ContainerID: g.container.ID, StartedAt: h.at(11, 20)}
	require.NoError(t, h.StartFilling(h.ctx, h.owner, &lot, []Draw{{FromID: run.ID}}))
	weigh := func(gross syrup.Grams) (*FillCheck, error) {
		k := &FillCheck{LotID: lot.ID, At: h.at(11, 30), Gross: &gross, GrossEntered: "x"}
		return k, h.Write(h.ctx, h.owner, k)
	}
	refused := func(gross syrup.Grams, key string) {
		t.Helper()
		var wrong Invalid
		_, err := weigh(gross)
		require.ErrorAs(t, err, &wrong)
		assert.Equal(t, FieldError{"gross", key, wrong[0].Args}, wrong[0])
	}
	refused(950, "fill_check.no_tare")
	container, err := Get[Container](h.ctx, h, g.container.ID)
	require.NoError(t, err)
	container.Tare, container.TareEntered = ptr(syrup.Grams(300)), "300 g"
	require.NoError(t, h.Amend(h.ctx, h.owner, &container, "weighed"))
	refused(299, "fill_check.under_tare")
	refused(300, "fill_check.under_tare")
	refused(33.5, "fill_check.under_tare")        // ounces typed as grams
	refused(952*28.3495, "fill_check.gross_slip") // grams typed as ounces
	k, err := weigh(952)
	require.NoError(t, err)
	kept, err := Get[FillCheck](h.ctx, h, k.ID)
	require.NoError(t, err)
	assert.Equal(t, []syrup.Grams{952, 300, 652}, []syrup.Grams{*kept.Gross, *kept.Tare, *kept.NetWeight})
	kept.NetWeight, kept.NetWeightEntered = ptr(syrup.Grams(650)), "650 g"
	var wrong Invalid
	require.ErrorAs(t, h.Amend(h.ctx, h.owner, &kept, "x"), &wrong)
	assert.Equal(t, "fill_check.gross_or_net", wrong[0].Key)
}

// A filling stops and goes on by turns, inside its time.
func TestFillEvents(t *testing.T) {
	h := newSeason(t)
	g := h.ground()
	_, _, run := h.boiled(g)
	lot := Lot{SiteID: h.site.ID, ProductID: g.product.ID, ContainerID: g.container.ID, StartedAt: h.at(11, 20), BottlesLotID: &g.bottles.ID}
	require.NoError(t, h.StartFilling(h.ctx, h.owner, &lot, []Draw{{FromID: run.ID}}))
	event := func(what string, minute int) error {
		e := &FillEvent{LotID: lot.ID, At: h.at(11, minute), What: what}
		if what == FillBroken {
			e.Count = ptr(3)
		}
		return h.Write(h.ctx, h.owner, e)
	}
	refused := func(err error, key string) {
		t.Helper()
		var wrong Invalid
		require.ErrorAs(t, err, &wrong)
		assert.Equal(t, key, wrong[0].Key)
	}
	refused(event(FillStop, 10), "fill_event.before_start")
	refused(event(FillRestart, 25), "fill_event.runs")
	require.NoError(t, event(FillStop, 25))
	refused(event(FillStop, 27), "fill_event.stands")
	require.NoError(t, event(FillRestart, 40))
	require.NoError(t, event(FillBroken, 42))
	h.checkFill(g, lot, h.at(11, 22), 188)
	require.NoError(t, h.EndFilling(h.ctx, h.owner, &FillEnd{LotID: lot.ID, At: h.at(11, 50), Count: 108}))
	refused(event(FillStop, 55), "fill_event.after_end")
	facts, rules, err := LotFacts(h.ctx, h, lot.ID)
	require.NoError(t, err)
	assert.Len(t, facts.Fill.Stops, 1)
	assert.NotNil(t, rules)
	findings, err := JudgeLot(h.ctx, h, lot.ID)
	require.NoError(t, err)
	var codes []string
	for _, f := range findings {
		codes = append(codes, f.Code)
	}
	assert.Contains(t, codes, "fill.no_check_after_stop")
	supplies, err := SuppliesLeft(h.ctx, h, SupplyBottles)
	require.NoError(t, err)
	assert.Equal(t, 111, supplies[0].Used, "filled and broken")
}

// A low house limit that judges thick syrup cannot judge thin: then it is the bottles below the reference that are held, and
// none of the others.
func TestUnusableLowLimitDividesToo(t *testing.T) {
	tests := map[string]struct {
		baume float64
		parts []string
	}{
		"thick": {40.5, []string{"all 108 held"}},
		"thin":  {37, []string{"1-24 24 held", "25-71 47 held", "72-108 37 held"}},
	}
	for name, test := range tests {
		t.Run(name, func(t *testing.T) {
			h := newSeason(t)
			g := h.ground()
			g.container.FillLimit, g.product.Names = ptr(syrup.Fahrenheit(165).Celsius()), NamesTable
			require.NoError(t, h.Amend(h.ctx, h.owner, &g.container, "a lower limit by our cooling test"))
			require.NoError(t, h.Amend(h.ctx, h.owner, &g.product, "sold as table syrup"))
			_, _, run := h.boiled(g)
			lot := Lot{SiteID: h.site.ID, ProductID: g.product.ID, ContainerID: g.container.ID, StartedAt: h.at(11, 20), BottlesLotID: &g.bottles.ID, ClosuresLotID: &g.closures.ID}
			require.NoError(t, h.StartFilling(h.ctx, h.owner, &lot, []Draw{{FromID: run.ID}}))
			h.put(&DensityReading{OfID: lot.ID, At: h.at(11, 20), Stage: StageLot, Reading: test.baume, Scale: syrup.ScaleBaume, ReadingEntered: "Be",
				Temperature: ptr(syrup.Fahrenheit(60).Celsius()), TemperatureEntered: "60 F", InstrumentID: &g.spindle.ID})
			for _, l := range []look{good(21, 24), cool(30, 48), good(50, 72)} {
				h.put(h.lookAt(g, lot, l))
			}
			require.NoError(t, h.EndFilling(h.ctx, h.owner, &FillEnd{LotID: lot.ID, At: h.at(11, 55), Count: 108}))
			require.Equal(t, test.parts, h.partsOf(lot))
			for i, p := range h.shelvesOf(lot) {
				err := h.Release(h.ctx, h.owner, p.ID, "looked at")
				if i == 1 {
					assert.Equal(t, []string{"fill.below_reference"}, missingCodes(err))
					continue
				}
				require.NoError(t, err)
			}
		})
	}
}

// Pieces of returned bottles came back as well: they ask what was looked at, and are no bottles filled besides.
func TestReturnedBottlesDivided(t *testing.T) {
	eachDatabase(t, func(t *testing.T, h *season) {
		_, lot, part := h.released(h.ground())
		shipment := Shipment{CustomerID: h.customer().ID, At: h.at(11, 58), HowPacked: "cases"}
		require.NoError(t, h.Ship(h.ctx, h.owner, &shipment, []Units{{part.ID, 24}}))
		back := ShelfEntry{PartID: part.ID, At: h.at(12, 0), Units: 6, ShipmentID: &shipment.ID}
		require.NoError(t, h.Return(h.ctx, h.owner, &back))
		require.NoError(t, h.Divide(h.ctx, h.owner, back.PartID, []Piece{{Count: 4}, {Count: 2}}))
		piece := h.shelvesOf(lot)[2]
		assert.True(t, piece.CameBack)
		judged, err := JudgePart(h.ctx, h, piece.ID)
		require.NoError(t, err)
		assert.Equal(t, "shelf.returned", judged.Findings[len(judged.Findings)-1].Code)
		balance, err := LabelBalanceOf(h.ctx, h, lot.ID)
		require.NoError(t, err)
		assert.Equal(t, 108, *balance.Bottles)
		assert.Equal(t, 108, balance.ToLabel)

		back.Units = 7
		require.NoError(t, h.Amend(h.ctx, h.owner, &back, "counted again"))
		assert.Equal(t, []int{108, 5, 2}, filledOf(h.shelvesOf(lot)))
		back.Units = 2
		var conflict Conflict
		require.ErrorAs(t, h.Amend(h.ctx, h.owner, &back, "counted again"), &conflict)
		assert.Equal(t, piece.ID, conflict.ID)
		require.ErrorAs(t, h.Strike(h.ctx, h.owner, back.ID, "never came back"), &conflict)
	})
}

func filledOf(parts []PartShelf) []int {
	var filled []int
	for _, p := range parts {
		filled = append(filled, p.Filled)
	}
	return filled
}
