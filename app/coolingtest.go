package app

import (
	"context"
	"errors"
	"math"
	"strconv"
	"strings"

	"github.com/gin-gonic/gin"

	"canewright/hazards"
	"canewright/hazards/syrup"
	"canewright/records"
)

// coolingTestForm is a cooling test as it is typed or pasted. Times of day are kept as minutes since the bottle was capped.
func coolingTestForm(f *form, t *records.CoolingTest) {
	f.Pick("container", &t.ContainerID, f.choices(records.KindContainer), required)
	f.DayTime("at", &t.At, required)
	f.OptionalPick("instrument", &t.InstrumentID, f.instruments(records.MeasuresTemperature, t.InstrumentID))
	f.Choice("unit", &t.Unit, required, "F", "C")
	series := f.LongText("series", &t.Series, 1, 4000)
	f.Temperature("air", &t.Air, &t.AirEntered, optional)
	f.Choice("position", &t.Position, required, "upright", "inverted", "on_side")
	f.LongText("note", &t.Note, 0, longText)
	if f.reading() && t.Series != "" && t.Unit != "" && !t.At.IsZero() {
		f.readCooling(series, t)
	}
}

// readCooling holds the series against what a bottle can do.
func (f *form) readCooling(field *Field, t *records.CoolingTest) {
	record, err := hazards.ReadCooling(t.Series, t.Unit, t.At.In(f.words.zone()))
	var wrong hazards.CoolingError
	switch {
	case errors.As(err, &wrong):
		f.wrong(field, "cooling_test.wrong."+string(wrong.Problem), "Line", wrong.Line, "Typed", wrong.Text, "Hottest", wrong.Hottest, "Unit", "°"+wrong.Unit)
	case err == nil && strings.Contains(t.Series, ":"):
		t.Series = inMinutes(t.Series, record)
	}
}

// inMinutes writes a series of clock times with minutes in their place; the temperatures stay as typed.
func inMinutes(typed string, record []syrup.Moment) string {
	var b strings.Builder
	i := 0
	for line := range strings.Lines(typed) {
		if line = strings.TrimSpace(line); line == "" {
			continue
		}
		_, degrees, _ := strings.Cut(strings.NewReplacer(",", " ", ";", " ", "\t", " ").Replace(line), " ")
		b.WriteString(strconv.FormatFloat(math.Round(record[i].Minutes*1e4)/1e4, 'f', -1, 64) + " " + strings.TrimSpace(degrees) + "\n")
		i++
	}
	return b.String()
}

func newCoolingTest(f *form, t *records.CoolingTest) { t.ContainerID = f.asked.Get("container") }

// coolingOf stands before a container's id, in place of a kind, when a form lists only its cooling tests.
const coolingOf = "cooling_test/"

// coolingField asks which cooling test stands behind the fill limit of a container that has one.
func coolingField(f *form, k *records.Container) {
	if k.ID == "" {
		return
	}
	if tests := f.choices(records.Kind(coolingOf + k.ID)); len(tests) > 0 {
		f.OptionalPick("cooling_test", &k.CoolingTestID, tests)
	}
}

// coolingChoices reads the tests a pseudo kind of coolingOf asks for; false for any other kind.
func (a *App) coolingChoices(ctx context.Context, w words, kind records.Kind) ([]Choice, bool, error) {
	container, ok := strings.CutPrefix(string(kind), coolingOf)
	if !ok {
		return nil, false, nil
	}
	tests, err := records.List[records.CoolingTest](ctx, a.store, "container_id = ? ORDER BY at DESC, id DESC", container)
	choices := make([]Choice, len(tests))
	for i, t := range tests {
		when, err := w.moment(t.At)
		if err != nil {
			return nil, true, err
		}
		choices[i] = Choice{Value: t.ID, Name: when + ", " + w.say("cooling_test.position."+t.Position)}
	}
	return choices, true, err
}

// coolingPage shows one cooling test: the curve, how long it stayed hot, and what stands behind it.
type coolingPage struct {
	Page
	Container, ContainerURL string
	Behind, Note            string
	Curve                   *coolingCurve
	Found, Facts            []line
	Worth                   []string // what the lethality is worth, and is not
	Readings                Table
	Amend, History          string
}

func coolingPageOf(fact records.Fact) string {
	if t, ok := fact.(*records.CoolingTest); ok && !t.Struck {
		return "/cooling/" + t.ID
	}
	return ""
}

func (a *App) showCooling(c *gin.Context) error {
	ctx, v := c.Request.Context(), visitorOf(c)
	w := v.words()
	t, err := records.Get[records.CoolingTest](ctx, a.store, c.Param("id"))
	if err != nil {
		return err
	}
	container, err := records.Get[records.Container](ctx, a.store, t.ContainerID)
	if err != nil {
		return err
	}
	found, record, err := records.CoolingOf(ctx, a.store, t)
	if err != nil {
		return err
	}
	page := &coolingPage{Container: container.Name, ContainerURL: recordURL(container.ID), Note: t.Note, Behind: w.say("cooling_page.not_behind"),
		History: recordURL(t.ID) + "/history", Found: w.coolingFound(found), Worth: w.coolingWorth(found), Readings: w.coolingReadings(record)}
	if container.CoolingTestID != nil && *container.CoolingTestID == t.ID && container.FillLimit != nil {
		page.Behind = w.say("cooling_page.behind", "Name", container.Name, "Limit", *container.FillLimit)
	}
	if a.mayAmend(v, &t) {
		page.Amend = recordURL(t.ID) + "/amend"
	}
	for _, l := range a.named(ctx, linesOf(w, &t)) {
		if l.column != "series" && l.column != "unit" && l.column != "note" && l.column != "container_id" {
			page.Facts = append(page.Facts, l)
		}
	}
	page.Facts = append(page.Facts, line{Label: w.say("cooling_page.who"), Text: a.writers(ctx, w, t.Row)})
	page.Curve = w.coolingCurve(container.Name, record, found)
	if page.Trail, err = a.trail(ctx, w, &t); err != nil {
		return err
	}
	return a.show(c, "cooling/show", page)
}

// coolingFound words how long the bottle stayed hot.
func (w words) coolingFound(found hazards.CoolingFound) []line {
	var lines []line
	for _, m := range found.Above {
		key, said := "cooling_page.above", "cooling_page.minutes"
		if m.House {
			key = "cooling_page.above_house"
		}
		switch {
		case m.Still:
			said = "cooling_page.still"
		case m.Minutes == 0:
			said = "cooling_page.never"
		}
		lines = append(lines, line{Label: w.say(key, "Temperature", m.Limit), Text: w.say(said, "Minutes", decimal(m.Minutes)), Missing: m.Minutes == 0 && !m.Still})
	}
	half := line{Label: w.say("cooling_page.half"), Text: w.say("cooling_page.half_missing"), Missing: true}
	if found.Half != nil {
		half.Text, half.Missing = w.say("cooling_page.minutes", "Minutes", decimal(*found.Half)), false
	}
	at := func(m syrup.Moment) string {
		return w.say("cooling_page.minutes", "Minutes", plainNumber(m.Minutes)) + ": " + w.degrees(m.Temperature)
	}
	return append(lines, half, line{Label: w.say("cooling_page.first"), Text: at(found.First)}, line{Label: w.say("cooling_page.last"), Text: at(found.Last)})
}

// degrees is temperature where no error can come.
func (w words) degrees(t syrup.Celsius) string {
	said, _ := w.temperature(t)
	return said
}

// coolingWorth words the lethality, and that nothing follows from it.
func (w words) coolingWorth(found hazards.CoolingFound) []string {
	said := []string{w.say("cooling_page.worth", "Reference", w.degrees(syrup.Fahrenheit(180).Celsius()), "Slope", w.rise(syrup.FahrenheitDelta(23).Celsius())) +
		": " + w.say("cooling_page.minutes", "Minutes", decimal(found.Worth)) + ", " + w.say("word.estimated"), w.say("cooling_page.worth_note")}
	if found.Coarse {
		said = append(said, w.say("cooling_page.coarse"))
	}
	return said
}

func (w words) coolingReadings(record []syrup.Moment) Table {
	t := Table{Heads: []string{w.say("cooling_page.minute"), w.say("cooling_page.temperature")}}
	for _, m := range record {
		t.Rows = append(t.Rows, TableRow{Cells: []Cell{{Text: plainNumber(m.Minutes)}, {Text: w.degrees(m.Temperature), Figure: true}}})
	}
	return t
}

// coolingBehind words the cooling test behind a container's house limit; nil where there is none.
func (a *App) coolingBehind(ctx context.Context, w words, container records.Container) (*Step, error) {
	if container.FillLimit == nil || container.CoolingTestID == nil {
		return nil, nil
	}
	tests, err := records.List[records.CoolingTest](ctx, a.store, "id = ?", *container.CoolingTestID)
	if err != nil || len(tests) == 0 {
		return nil, err
	}
	day, err := w.day(tests[0].At)
	return &Step{Name: w.say("cooling_page.behind_limit", "Limit", *container.FillLimit, "Day", day), URL: "/cooling/" + tests[0].ID}, err
}

// coolingActions lead from a container to a new test of it.
func (a *App) coolingActions(v *visitor, k *records.Container) []Step {
	if !v.may(crew) || k.Struck {
		return nil
	}
	return []Step{{Name: v.words().say("cooling_page.new_of"), URL: "/house/cooling-test/new?container=" + k.ID}}
}
