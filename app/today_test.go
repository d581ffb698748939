package app

import (
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"canewright/records"
)

// TestTodayShowsWhatIsOpen: a run on the fire stands under its heading, and under late as well when it is past 9 hours.
func TestTodayShowsWhatIsOpen(t *testing.T) {
	for _, test := range []struct {
		name  string
		since time.Duration
		times int
	}{{"early", time.Hour, 1}, {"at the limit", lateRun, 1}, {"past it", lateRun + time.Minute, 2}} {
		t.Run(test.name, func(t *testing.T) {
			h := newHouse(t)
			kettle := &records.Kettle{SiteID: h.site, Name: "Big kettle", Number: 2}
			h.write(kettle)
			run := &records.Run{SiteID: h.site, KettleID: kettle.ID, Code: "25341K2", FireLitAt: testNow.Add(-test.since)}
			h.write(run)
			page := h.as("odell").get("/")
			assert.Equal(t, test.times, strings.Count(page.body, `href="/record/`+run.ID+`"`))
			assert.Equal(t, "/record/"+run.ID, h.as("odell").get("/find?q=25341k2").location(t), "found by its code")
			h.write(&records.BoilEntry{RunID: run.ID, At: testNow.Add(-time.Minute), What: records.EntryDrawnOff})
			page = h.as("odell").get("/")
			assert.NotContains(t, page.words(), "fire lit", "drawn off")
			assert.Contains(t, page.plain(), "25341K2 drawn off without a finish reading")
		})
	}
}

func TestTodayShowsPartsFillingAndHeld(t *testing.T) {
	h := newHouse(t)
	product, container := &records.Product{Name: "Cane syrup", Names: records.NamesCane, BestByMonths: 12}, &records.Container{Name: "Pint", Contents: 473}
	h.write(product, container)
	lot := &records.Lot{SiteID: h.site, Code: "25341K2B1P", Day: "2025-12-07", KettleNumber: 2, Ordinal: 1, ProductID: product.ID, ContainerID: container.ID,
		StartedAt: testNow.Add(-time.Hour)}
	h.write(lot)
	h.write(&records.Part{LotID: lot.ID, Number: 1})
	page := h.as("odell").get("/")
	assert.Contains(t, page.words(), "25341K2B1-P")
	assert.Contains(t, page.words(), "filling since")
	h.write(&records.FillEnd{LotID: lot.ID, At: testNow.Add(-time.Minute), Count: 60})
	assert.Contains(t, h.as("odell").get("/").words(), "held since")
	assert.Equal(t, ownPage(lot), h.as("odell").get("/record/"+lot.ID).location(t))
}

// A new house is told what to set up, one line less with each record; a house that has it all, and the crew, see nothing.
func TestTodayTellsWhatToSetUp(t *testing.T) {
	h := newHouse(t)
	page := h.as("odell").get("/").words()
	assert.Contains(t, page, "To set up first")
	assert.Contains(t, page, "A hydrometer or refractometer")
	assert.NotContains(t, h.as("ines").get("/").words(), "To set up first")
	h.write(&records.Instrument{Name: "Spindle", Measures: records.MeasuresDensity, Scale: "Be"})
	assert.NotContains(t, h.as("odell").get("/").words(), "A hydrometer or refractometer")
	for _, step := range firstSteps {
		assert.NotNil(t, h.app.kinds.of[step.kind], step.key)
	}
	h.equip()
	page = h.as("odell").get("/").words()
	assert.NotContains(t, page, "To set up first")
}
