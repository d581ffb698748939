package records

import (
	"fmt"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"canewright/hazards/syrup"
)

// A lot is followed back to its planting and supply lots and forward to its customers, and back and forward agree.
func TestTraceBackAndForward(t *testing.T) {
	eachDatabase(t, func(t *testing.T, h *season) {
		g := h.ground()
		run, lot, part := h.released(g)
		shop := h.customer()
		shipment := Shipment{CustomerID: shop.ID, At: h.at(11, 58), HowPacked: "cases"}
		require.NoError(t, h.Ship(h.ctx, h.owner, &shipment, []Units{{part.ID, 12}}))

		back, err := TraceBack(h.ctx, h, lot.ID)
		require.NoError(t, err)
		assert.Equal(t, []string{run.ID}, back.IDs(KindRun))
		assert.Equal(t, []string{g.planting.ID}, back.IDs(KindPlanting))
		assert.ElementsMatch(t, []string{g.bottles.ID, g.closures.ID}, back.IDs(KindSupplyLot))
		for _, s := range back.Steps {
			if s.Kind == KindSupplyLot {
				assert.Nil(t, s.Share, "bottles are beside the syrup")
			} else {
				assert.InDelta(t, 1, float64(*s.Share), 1e-9, s.Name)
			}
		}
		for _, id := range []string{g.planting.ID, g.closures.ID, run.ID} {
			forward, err := TraceForward(h.ctx, h, id)
			require.NoError(t, err)
			assert.Equal(t, []string{lot.ID}, forward.IDs(KindLot))
			assert.Equal(t, []string{shipment.ID}, forward.IDs(KindShipment))
		}
	})
}

// Two lots of one run are sisters; a lot that shares only the closures says so; an instrument in common as well.
func TestSideways(t *testing.T) {
	h := newSeason(t)
	g := h.ground()
	_, _, run := h.boiled(g)
	small := ptr(syrup.Liters(20))
	fill := func() Lot {
		lot := Lot{SiteID: h.site.ID, ProductID: g.product.ID, ContainerID: g.container.ID, StartedAt: h.at(11, 20), ClosuresLotID: &g.closures.ID}
		require.NoError(t, h.StartFilling(h.ctx, h.owner, &lot, []Draw{{FromID: run.ID, Volume: small}}))
		return lot
	}
	first, second := fill(), fill()
	h.checkFill(g, first, h.at(11, 30), 188)
	h.checkFill(g, second, h.at(11, 40), 188)
	beside, err := Sideways(h.ctx, h, first.ID)
	require.NoError(t, err)
	require.Len(t, beside, 1)
	assert.Equal(t, second.ID, beside[0].Lot.ID)
	assert.True(t, beside[0].Same)
	var kinds []Kind
	for _, s := range beside[0].By {
		kinds = append(kinds, s.Kind)
	}
	assert.ElementsMatch(t, []Kind{KindRun, KindPressing, KindCut, KindSupplyLot, KindInstrument, KindInstrument}, kinds, "run, juice, cane, closures, probe and spindle")
}

func TestNames(t *testing.T) {
	h := newSeason(t)
	g := h.ground()
	cut, pressing, run := h.boiled(g)
	lot := h.filled(g, run, 108)
	for id, want := range map[string]string{
		g.block.ID: "B1", g.planting.ID: "B1, Striped", cut.ID: "2025-12-06 B1, Striped", pressing.ID: "2025-12-07, 1", run.ID: "25341K2",
		lot.ID: "25341K2B1-P", h.partOf(lot).ID: "25341K2B1-P / 1", g.closures.ID: "Lug cap C-12", "nothing": "nothing",
	} {
		assert.Equal(t, want, Name(h.ctx, h, id))
	}
}

// thousandLots is a season of a thousand lots: a cut, a pressing, a run with the heel of the one before, a lot and two
// shipments for each, no heel after every tenth run.
func thousandLots(b *testing.B) (*season, []string, string) {
	b.Helper()
	h := &season{ctx: b.Context(), clock: noon.AddDate(0, 0, 1100)}
	store, err := Open(h.ctx, Options{Data: b.TempDir(), Now: func() time.Time { return h.clock }})
	require.NoError(b, err)
	b.Cleanup(func() { require.NoError(b, store.Close()) })
	h.Store = store
	h.house = House{Name: "Heron Bend Farm", Address: "12 Ferry Road", Telephone: "1", Zone: "UTC", TargetSolids: 75}
	h.site = Site{Name: "Home place"}
	owner := Person{Name: "Ada", Login: "ada", Language: "en", Units: "us"}
	require.NoError(b, store.SetUp(h.ctx, &h.house, &h.site, &owner))
	h.owner = Actor{PersonID: owner.ID}
	block, kettle := Block{SiteID: h.site.ID, Name: "B1"}, Kettle{SiteID: h.site.ID, Number: 1, Name: "K"}
	product, container := Product{Name: "Cane syrup", Names: NamesCane, BestByMonths: 18}, Container{Name: "Pint", Contents: 473}
	shop := Customer{Sort: CustomerPerson, Contact: Contact{Name: "Buyer"}}
	require.NoError(b, h.Write(h.ctx, h.owner, &block, &kettle, &product, &container, &shop))
	planting := Planting{BlockID: block.ID, Variety: "Striped", PlantedOn: "2020-01-01"}
	require.NoError(b, h.Write(h.ctx, h.owner, &planting))
	var lots []string
	heel := ""
	for i := range 1000 {
		var lot, run string
		err := h.change(h.ctx, h.owner, func(tx *Tx) (err error) {
			tx.judging = true // the season is made to be traced, not judged
			lot, run, err = tx.tracedLot(i, planting, kettle, product, container, shop, heel)
			return err
		})
		require.NoError(b, err)
		lots, heel = append(lots, lot), run
		if i%10 == 9 {
			heel = ""
		}
	}
	return h, lots, planting.ID
}

// tracedLot writes the chain of one lot, from cut to two shipments.
func (tx *Tx) tracedLot(i int, planting Planting, kettle Kettle, product Product, container Container, shop Customer, heel string) (string, string, error) {
	day := noon.AddDate(0, 0, i)
	cut := &Cut{PlantingID: planting.ID, CutOn: DayOf(day, time.UTC), Harvester: "B", Mass: ptr(syrup.Kilograms(500))}
	pressing := &Pressing{SiteID: kettle.SiteID, StartedAt: day, Volume: ptr(syrup.Liters(200)), Brix: ptr(syrup.Brix(16)), Number: 1}
	run := &Run{SiteID: kettle.SiteID, KettleID: kettle.ID, Code: fmt.Sprint("R", i), FireLitAt: day.Add(time.Hour)}
	lot := &Lot{SiteID: kettle.SiteID, Code: fmt.Sprint("L", i), Day: DayOf(day, time.UTC), KettleNumber: 1, Ordinal: 1, ProductID: product.ID,
		ContainerID: container.ID, StartedAt: day.Add(5 * time.Hour)}
	part := &Part{Number: 1, Units: ptr(80)}
	first := &Shipment{CustomerID: shop.ID, At: day.Add(7 * time.Hour), HowPacked: "case"}
	second := &Shipment{CustomerID: shop.ID, At: day.Add(8 * time.Hour), HowPacked: "case"}
	steps := []func() Fact{
		func() Fact { return cut }, func() Fact { return pressing }, func() Fact { return run }, func() Fact { return lot },
		func() Fact { return first }, func() Fact { return second },
		func() Fact { return &FillEnd{LotID: lot.ID, At: day.Add(6 * time.Hour), Count: 80} },
		func() Fact { part.LotID = lot.ID; return part },
		func() Fact { return &Disposition{PartID: part.ID, At: day.Add(6 * time.Hour), Act: ActRelease} },
		func() Fact { return &Link{FromID: cut.ID, ToID: pressing.ID, At: day} },
		func() Fact { return &Link{FromID: pressing.ID, ToID: run.ID, At: day.Add(time.Hour)} },
		func() Fact { return &Link{FromID: run.ID, ToID: lot.ID, At: day.Add(5 * time.Hour)} },
		func() Fact { return &Link{FromID: part.ID, ToID: first.ID, At: first.At, Units: ptr(24)} },
		func() Fact { return &Link{FromID: part.ID, ToID: second.ID, At: second.At, Units: ptr(36)} },
	}
	if heel != "" {
		steps = append(steps, func() Fact { return &Link{FromID: heel, ToID: run.ID, At: day.Add(time.Hour), Heel: true} })
	}
	for _, step := range steps {
		if err := tx.put(step(), ""); err != nil {
			return "", "", err
		}
	}
	return lot.ID, run.ID, nil
}

// BenchmarkTrace traces lots of a 1,000-lot database back and forward; the baseline is one indexed look-up of a lot in the
// same database in the same run.
func BenchmarkTrace(b *testing.B) {
	h, lots, planting := thousandLots(b)
	lookUp := func(i int) error { _, err := Get[Lot](h.ctx, h, lots[i%len(lots)]); return err }
	for name, do := range map[string]func(i int) error{
		"look-up of one lot":                   lookUp,
		"back to the planting":                 func(i int) error { _, err := TraceBack(h.ctx, h, lots[i%len(lots)]); return err },
		"forward to customers":                 func(i int) error { _, err := WhoHas(h.ctx, h, lots[i%len(lots)]); return err },
		"forward of a planting, all 1000 lots": func(int) error { _, err := TraceForward(h.ctx, h, planting); return err },
	} {
		b.Run(name, func(b *testing.B) {
			b.ReportAllocs()
			for i := 0; b.Loop(); i++ {
				if err := do(i); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
