package app

import (
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"canewright/hazards/syrup"
	"canewright/records"
)

func boilOf(degrees ...syrup.Fahrenheit) records.BoilLog {
	log := records.BoilLog{Run: records.Run{Code: "25341K2", FireLitAt: testNow}}
	for i, d := range degrees {
		log.Entries = append(log.Entries, records.BoilEntry{What: records.EntryTemperature, At: testNow.Add(time.Duration(i) * 30 * time.Minute), Temperature: at(d.Celsius())})
	}
	return log
}

func plainWordsOf(units string) words {
	return words{lang: "en", units: units, zone: func() *time.Location { return time.UTC }}
}

func TestPictureScale(t *testing.T) {
	w := plainWordsOf("us")
	log := boilOf(70, 140, 212, 222)
	s := w.scaleOf(w.pointsOf(log), log, boilRange{}, false, testNow.Add(90*time.Minute))
	assert.Equal(t, 90.0, s.minutes)
	assert.InDelta(t, 190, s.low, 0.01, "once it boils the axis shows the boil")
	assert.Equal(t, plotBottom, s.y(70), "the warming up runs along the foot")
	assert.Equal(t, plotLeft, s.x(0))
	assert.Equal(t, plotRight, s.x(90))
	assert.Less(t, s.y(222), s.y(212), "hotter is higher")
	cold := boilOf(60, 90)
	s = w.scaleOf(w.pointsOf(cold), cold, boilRange{}, false, testNow)
	assert.InDelta(t, 50, s.low, 0.01)
	forgotten := boilOf(60, 90)
	s = w.scaleOf(w.pointsOf(forgotten), forgotten, boilRange{}, false, testNow.Add(100*time.Hour))
	assert.LessOrEqual(t, s.minutes, 150.0, "a run left open does not squeeze its picture")
}

// TestPictureStrip: words never lie over each other, and none leaves the sheet.
func TestPictureStrip(t *testing.T) {
	var events []timedWord
	for i := range 60 {
		events = append(events, timedWord{float64(i * 4), []string{"skimmed", "cloth changed", "a very long name of something added", "36.1 °Baumé"}[i%4]})
	}
	p := &boilPicture{}
	p.strip(scale{minutes: 240, low: 190, high: 235}, events)
	require.NotEmpty(t, p.Events)
	words := 0
	for i, e := range p.Events {
		if e.Text == "" {
			continue
		}
		words++
		assert.GreaterOrEqual(t, e.from, 0, e.Text)
		assert.LessOrEqual(t, e.to, pictureWidth, e.Text)
		for _, o := range p.Events[i+1:] {
			if o.Text != "" && o.row == e.row {
				assert.True(t, e.to <= o.from || o.to <= e.from, "%q over %q", e.Text, o.Text)
			}
		}
	}
	assert.Greater(t, words, 5)
	assert.Equal(t, 60, len(p.Events), "every event has its tick")
	assert.LessOrEqual(t, len(p.Rules), mostStripRows+1)
}

func TestPastBand(t *testing.T) {
	w := plainWordsOf("us")
	s := scale{minutes: 90, low: 190, high: 235}
	band, runs := w.pastBand(s, []records.BoilLog{boilOf(70, 212, 214, 220), boilOf(70, 212, 214, 220), boilOf(70, 212, 214, 220)})
	assert.Empty(t, band, "three boils are too few")
	assert.Zero(t, runs)
	band, runs = w.pastBand(s, []records.BoilLog{boilOf(70, 200, 210, 220), boilOf(70, 202, 212, 222), boilOf(70, 204, 214, 224), boilOf(70, 206, 216, 226), boilOf(70, 208, 218, 228)})
	assert.Equal(t, 5, runs)
	places := strings.Fields(band)
	at60 := strconv.Itoa(s.x(60)) + "," + strconv.Itoa(s.y(216))
	assert.Contains(t, places, at60, "the upper quarter of 210, 212, 214, 216, 218")
	assert.Contains(t, places, strconv.Itoa(s.x(60))+","+strconv.Itoa(s.y(212)), "the lower quarter")
	assert.Equal(t, 215.0, quantile([]float64{210, 220}, 0.5))
}
