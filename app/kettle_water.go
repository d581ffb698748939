package app

import (
	"context"
	"errors"
	"math"
	"net/url"
	"slices"
	"strings"

	"github.com/gin-gonic/gin"

	"canewright/hazards"
	"canewright/hazards/syrup"
	"canewright/records"
)

// waterPage is the check of a thermometer in boiling water: one number.
type waterPage struct {
	Page
	Form       *form
	Main, More []*Field
	MoreOpen   bool
	Expected   string // where water boils here; empty while nothing says so
	None       bool   // no thermometer is recorded
}

// waterCheck is what the form takes.
type waterCheck struct {
	thermometer string
	read        *syrup.Celsius
	entered     string
	pressure    *syrup.Kilopascals
	barometer   string         // as typed
	expected    *syrup.Celsius // where water boils; nil while nothing says so
	failed      bool           // read twice, and the same
	check       records.InstrumentCheck
}

// waterURL is where a thermometer is checked in boiling water, and back to the run after it.
func waterURL(thermometer *string, run string) string {
	q := url.Values{}
	if thermometer != nil {
		q.Set("thermometer", *thermometer)
	}
	if run != "" {
		q.Set("run", run)
	}
	if len(q) == 0 {
		return "/kettle/water"
	}
	return "/kettle/water?" + q.Encode()
}

func (a *App) waterRoutes() []route {
	return []route{{"GET", "/kettle/water", crew, a.showWater}, {"POST", "/kettle/water", crew, a.checkWater}}
}

// askForWater is the address of the check for the thermometer last used, while none of the house's thermometers was held in
// boiling water today; empty when one was, or there is none.
func (a *App) askForWater(ctx context.Context, v *visitor) (string, error) {
	if !v.may(crew) {
		return "", nil
	}
	all, err := records.List[records.Instrument](ctx, a.store, "measures = ? LIMIT 1", records.MeasuresTemperature)
	if err != nil || len(all) == 0 {
		return "", err
	}
	checked, err := records.ThermometersChecked(ctx, a.store, a.store.Now())
	if err != nil {
		return "", err
	}
	last, err := a.lastThermometer(ctx, records.BoilLog{})
	if err != nil || last != nil && checked[*last] || last == nil && len(checked) > 0 {
		return "", err
	}
	return waterURL(last, ""), nil
}

// backFromWater is where a person came from: the run of the address, else the list of kettles.
func (a *App) backFromWater(c *gin.Context) (run, back string) {
	id := c.Query("run")
	if kind, err := a.store.KindOf(c.Request.Context(), id); id == "" || err != nil || kind != records.KindRun {
		return "", "/kettle"
	}
	return id, runURL(id)
}

// bindWater binds the form. The thermometer is the one asked for, else the one used last.
func (a *App) bindWater(c *gin.Context, f *form, k *waterCheck) (*waterPage, error) {
	page, altitude := &waterPage{Form: f}, visitorOf(c).house.Altitude
	if f.fresh() {
		if err := a.startThermometer(c, k); err != nil {
			return nil, err
		}
	}
	choices := f.instruments(records.MeasuresTemperature, nil)
	page.None = len(choices) == 0
	f.Pick("thermometer", &k.thermometer, choices, required)
	read := f.Temperature("read", &k.read, &k.entered, required)
	if err := a.readsIn(c.Request.Context(), f, read, k.thermometer); err != nil {
		return nil, err
	}
	quantityField(f, "pressure", measure[syrup.Kilopascals]{[]string{"inHg", "hPa", "kPa"}, "inHg", "hPa", syrup.PressureFrom, false},
		&k.pressure, &k.barometer, optional)
	f.moment("at", &k.check.At)
	f.Text("note", &k.check.Note, 0, shortText)
	f.DoneBy()
	_, f.Cancel = a.backFromWater(c)
	if water, err := k.water(altitude); err == nil {
		water = k.tenth(water)
		k.expected = &water
		page.Expected = k.basis(f.words, altitude)
	}
	return page, f.Err()
}

// startThermometer fills in the thermometer asked for, else the one used last.
func (a *App) startThermometer(c *gin.Context, k *waterCheck) error {
	if asked := c.Query("thermometer"); asked != "" {
		k.thermometer = asked
		return nil
	}
	last, err := a.lastThermometer(c.Request.Context(), records.BoilLog{})
	if err == nil && last != nil {
		k.thermometer = *last
	}
	return err
}

// readsIn starts the unit as what the thermometer reads in.
func (a *App) readsIn(ctx context.Context, f *form, read *Field, thermometer string) error {
	if !f.fresh() || thermometer == "" {
		return nil
	}
	all, err := records.List[records.Instrument](ctx, a.store, "id = ?", thermometer)
	for _, i := range all {
		for u := range read.Units {
			read.Units[u].Chosen = read.Units[u].Value == i.ReadsIn
		}
	}
	return err
}

// errNoPlace says that neither a barometer nor a height tells where water boils.
var errNoPlace = errors.New("where water boils is not known here")

// water is where water boils: by the barometer where one was read, else by the height of the house.
func (k *waterCheck) water(altitude *syrup.Meters) (syrup.Celsius, error) {
	switch {
	case k.pressure != nil:
		return syrup.WaterBoiling(*k.pressure)
	case altitude == nil:
		return 0, errNoPlace
	}
	p, err := syrup.PressureAtAltitude(*altitude)
	if err != nil {
		return 0, err
	}
	return syrup.WaterBoiling(p)
}

// tenth rounds where water boils to a tenth of a degree of the unit it was read in: the model knows it no better, and then the
// check says just what is shown.
func (k *waterCheck) tenth(water syrup.Celsius) syrup.Celsius {
	if k.unit() == "C" {
		return syrup.Celsius(math.Round(float64(water)*10) / 10)
	}
	return syrup.Fahrenheit(math.Round(float64(water.Fahrenheit())*10) / 10).Celsius()
}

// unit is the one the reading was typed in.
func (k *waterCheck) unit() string {
	_, unit, _ := strings.Cut(k.entered, " ")
	return unit
}

// basis says where water boils and by what.
func (k *waterCheck) basis(w words, altitude *syrup.Meters) string {
	boils, _ := w.temperature(*k.expected)
	if k.pressure != nil {
		number, unit, _ := strings.Cut(k.barometer, " ")
		return w.say("water_check.by_barometer", "Water", boils, "Pressure", number+noBreak+w.say(unitKeys[unit]))
	}
	height, _ := w.length(altitude)
	return w.say("water_check.by_height", "Water", boils, "Altitude", height)
}

// lowestBoiling to highestBoiling is what a thermometer can show in boiling water at all (trade.md 2.3: 190 to 216 F, common practice).
const lowestBoiling, highestBoiling = syrup.Fahrenheit(190), syrup.Fahrenheit(216)

// judge looks at what was read. Far off, it asks to read once more before it is kept as a failed check, on which every reading
// since the last good one is judged again.
func (k *waterCheck) judge(page *waterPage, altitude *syrup.Meters) {
	f := page.Form
	f.Flag("failed", &k.failed)
	flag := f.Fields[len(f.Fields)-1]
	f.Fields = f.Fields[:len(f.Fields)-1]
	if k.expected == nil {
		if _, err := k.water(altitude); errors.Is(err, errNoPlace) {
			f.wrong(f.named("pressure"), "water_check.need_place")
		} else {
			f.wrongNumber(f.named("pressure"), err)
		}
		return
	}
	read, off := f.named("read"), k.read.Sub(*k.expected)
	boils, _ := f.words.temperature(*k.expected)
	switch {
	case k.read.Fahrenheit() < lowestBoiling || k.read.Fahrenheit() > highestBoiling:
		f.wrong(read, "water_check.not_boiling", "Water", boils)
		return
	case hazards.ZeroPasses(off):
		k.check.Passed = true
	case !k.failed:
		f.wrong(read, "water_check.far_off", "Off", f.words.signed(off), "Water", boils)
		f.Fields = append(f.Fields, flag)
		return
	}
	k.take(f.words, altitude)
}

// take makes the check: read as typed, expected in the same unit.
func (k *waterCheck) take(w words, altitude *syrup.Meters) {
	number, unit, _ := strings.Cut(k.entered, " ")
	k.check.InstrumentID, k.check.Method, k.check.Unit = k.thermometer, records.MethodBoilingWater, unit
	k.check.Read, _ = syrup.ParseNumber(number) // it was parsed before
	expected := float64(*k.expected)
	if unit == "F" {
		expected = float64(k.expected.Fahrenheit())
	}
	k.check.Expected = math.Round(expected*10) / 10
	k.check.Note = strings.TrimSpace(k.basis(w, altitude) + " " + k.check.Note)
}

func (a *App) showWater(c *gin.Context) error {
	run, _ := a.backFromWater(c)
	f := a.newForm(c, "water_check", waterURL(nil, run))
	page, err := a.bindWater(c, f, &waterCheck{})
	if err != nil {
		return err
	}
	page.sort()
	return a.show(c, "kettle/water", page)
}

// sort puts one number first: what is asked less often stands under "more", unless it is needed or wrong.
func (p *waterPage) sort() {
	for _, field := range p.Form.Fields {
		needed := field.Name == "pressure" && p.Expected == ""
		if needed || slices.Contains([]string{"thermometer", "read", "failed"}, field.Name) {
			p.Main = append(p.Main, field)
			continue
		}
		p.More = append(p.More, field)
		p.MoreOpen = p.MoreOpen || field.Error != ""
	}
}

// checkWater keeps the check, or asks again.
func (a *App) checkWater(c *gin.Context) error {
	run, back := a.backFromWater(c)
	f, err := a.readForm(c, "water_check", waterURL(nil, run))
	if err != nil {
		return err
	}
	k, altitude := &waterCheck{}, visitorOf(c).house.Altitude
	page, err := a.bindWater(c, f, k)
	if err != nil {
		return err
	}
	if f.OK() {
		k.judge(page, altitude)
	}
	if f.OK() {
		err := a.store.Write(c.Request.Context(), a.actor(c), &k.check)
		if _, again := alreadyMade(err); err == nil || again {
			return a.redirect(c, back, k.said(), "Thermometer", records.Name(c.Request.Context(), a.store, k.thermometer), "Off", f.words.signed(k.read.Sub(*k.expected)))
		}
		if !f.take(err) {
			return err
		}
	}
	page.sort()
	return a.redisplay(c, "kettle/water", page)
}

// said is what is told when the check is kept.
func (k *waterCheck) said() string {
	if k.check.Passed {
		return "water_check.kept"
	}
	return "water_check.kept_failed"
}
