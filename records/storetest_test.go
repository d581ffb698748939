package records

import (
	"context"
	"math/rand/v2"
	"os"
	"testing"
	"time"

	"canewright/hazards/toolcheck"

	"github.com/stretchr/testify/require"

	"canewright/hazards/syrup"
)

// season is a house with an owner and a clock that a test moves by hand.
type season struct {
	*Store
	t     *testing.T
	ctx   context.Context
	clock time.Time
	owner Actor
	site  Site
	house House
}

// noon is a December noon in the invented house's zone, in UTC.
var noon = time.Date(2025, 12, 7, 18, 0, 0, 0, time.UTC)

// newSeason opens a fresh house: on PostgreSQL when TEST_DATABASE_URL is set and the test asks for it, else on SQLite.
func newSeason(t *testing.T) *season {
	t.Helper()
	return seasonIn(t, t.TempDir())
}

func seasonIn(t *testing.T, data string) *season {
	t.Helper()
	h := &season{t: t, ctx: context.Background(), clock: noon}
	seed := rand.NewChaCha8([32]byte{7})
	store, err := Open(h.ctx, Options{Data: data, Now: func() time.Time { return h.clock }, Entropy: seed})
	require.NoError(t, err)
	t.Cleanup(func() { require.NoError(t, store.Close()) })
	h.Store = store
	h.house = House{Name: "Heron Bend Farm", Address: "12 Ferry Road\nHeron Bend, MS 39000", Telephone: "+1 601 555 0100",
		Zone: "America/Chicago", TargetSolids: 75}
	h.site = Site{Name: "Home place"}
	owner := Person{Name: "Ada Quill", Login: "ada", Language: "en", Units: "us"}
	require.NoError(t, store.SetUp(h.ctx, &h.house, &h.site, &owner))
	h.owner = Actor{PersonID: owner.ID}
	return h
}

// eachDatabase runs a test on SQLite and, when TEST_DATABASE_URL names a server, on PostgreSQL.
func eachDatabase(t *testing.T, test func(t *testing.T, h *season)) {
	t.Run("sqlite", func(t *testing.T) { test(t, newSeason(t)) })
	t.Run("postgres", func(t *testing.T) { test(t, seasonIn(t, freshPostgres(t))) })
}

// freshPostgres makes an empty schema on the server of TEST_DATABASE_URL and gives its address.
func freshPostgres(t *testing.T) string {
	t.Helper()
	url := os.Getenv("TEST_DATABASE_URL")
	if url == "" {
		toolcheck.Missing(t, "TEST_DATABASE_URL is not set: no PostgreSQL to test on")
	}
	return postgresSchema(t, url)
}

func (h *season) put(facts ...Fact) {
	h.t.Helper()
	require.NoError(h.t, h.Write(h.ctx, h.owner, facts...))
}

func ptr[T any](v T) *T { return &v }

// ground is a block with plant cane, a kettle, a holding tank, instruments, product, container and supplies.
type ground struct {
	block     Block
	planting  Planting
	kettle    Kettle
	juice     Tank
	holding   Tank
	probe     Instrument
	spindle   Instrument
	product   Product
	container Container
	bottles   SupplyLot
	closures  SupplyLot
}

func (h *season) ground() ground {
	g := ground{
		block:     Block{SiteID: h.site.ID, Name: "B1"},
		kettle:    Kettle{SiteID: h.site.ID, Number: 2, Name: "Old kettle"},
		juice:     Tank{SiteID: h.site.ID, Name: "Juice tank", Holds: HoldsJuice},
		holding:   Tank{SiteID: h.site.ID, Name: "Holding tank", Holds: HoldsSyrup},
		probe:     Instrument{Name: "Probe 1", Measures: MeasuresTemperature, ReadsIn: "F", Uncertainty: ptr(0.5)},
		spindle:   Instrument{Name: "Spindle 1", Measures: MeasuresDensity, Scale: syrup.ScaleBaume, Stem: syrup.Stem60F},
		product:   Product{Name: "Cane syrup", Names: NamesCane, BestByMonths: 18, Claims: "Unsulphured"},
		container: Container{Name: "Pint glass", Contents: 473, ContentsEntered: "473 mL", FillLimit: ptr(syrup.Fahrenheit(180).Celsius()), FillLimitSource: "our cooling test"},
	}
	maker := Supplier{Firm: "Tern Glass", Address: "1 Kiln Way, Tern, MS", Telephone: "+1 601 555 0111"}
	h.put(&g.block, &g.kettle, &g.juice, &g.holding, &g.probe, &g.spindle, &g.product, &g.container, &maker)
	g.planting = Planting{BlockID: g.block.ID, Variety: "Striped", PlantedOn: "2024-09-20"}
	g.bottles = SupplyLot{Sort: SupplyBottles, Description: "Pint round", SupplierID: maker.ID, TheirLot: "G-88", Quantity: ptr(1000.0), HowPacked: "cases of 12", ReceivedOn: "2025-10-01"}
	g.closures = SupplyLot{Sort: SupplyClosures, Description: "Lug cap", SupplierID: maker.ID, TheirLot: "C-12", Quantity: ptr(1000.0), HowPacked: "carton", ReceivedOn: "2025-10-01"}
	h.put(&g.planting, &g.bottles, &g.closures)
	return g
}

// at is a moment of the house's day of noon: hour and minute in its zone.
func (h *season) at(hour, minute int) time.Time {
	return time.Date(2025, 12, 7, hour, minute, 0, 0, h.house.Location()).UTC()
}

// boiled makes the chain from a cut to a run drawn off at 75 % or so.
func (h *season) boiled(g ground) (Cut, Pressing, Run) {
	h.t.Helper()
	cut := Cut{PlantingID: g.planting.ID, CutOn: "2025-12-06", Harvester: "Ben Oak", Mass: ptr(syrup.Kilograms(900))}
	h.put(&cut)
	pressing := Pressing{SiteID: h.site.ID, StartedAt: h.at(6, 0), Volume: ptr(syrup.Liters(340)), Brix: ptr(syrup.Brix(17))}
	require.NoError(h.t, h.RecordPressing(h.ctx, h.owner, &pressing, []Draw{{FromID: cut.ID}}))
	run := Run{KettleID: g.kettle.ID, FireLitAt: h.at(7, 0)}
	require.NoError(h.t, h.StartRun(h.ctx, h.owner, &run, []Draw{{FromID: pressing.ID}}))
	h.put(&DensityReading{OfID: run.ID, At: h.at(10, 55), Stage: StageFinish, Reading: 36.1, Scale: syrup.ScaleBaume, ReadingEntered: "36.1 Be",
		Temperature: ptr(syrup.Fahrenheit(224).Celsius()), TemperatureEntered: "224 F", InstrumentID: &g.spindle.ID})
	drawn := BoilEntry{RunID: run.ID, At: h.at(11, 0), Volume: ptr(syrup.Liters(56)), VolumeEntered: "56 L", Temperature: ptr(syrup.Celsius(104))}
	require.NoError(h.t, h.DrawOff(h.ctx, h.owner, &drawn, ""))
	return cut, pressing, run
}
