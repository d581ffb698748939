package app

import (
	"errors"
	"net/http"
	"slices"
	"strconv"
	"strings"
	"time"

	"github.com/gin-gonic/gin"

	"canewright/hazards/syrup"
	"canewright/records"
)

// The rows of a sheet on the screen: so many at once, and at most.
const (
	sheetRows     = 12
	sheetRowsMost = 120
)

// typedPage is a paper sheet being typed in.
type typedPage struct {
	Page
	Heading, Lead, Back string
	Form                *form
	Head, Tail          []*Field
	Rows                []typedRow
	Count               int
}

// typedRow is one row of the sheet.
type typedRow struct {
	Title  string
	Fields []*Field
	Wrong  bool
}

// typedSheet reads a sheet of rows: what is asked once, then every row.
type typedSheet struct {
	f     *form
	rows  int
	day   records.Day
	after bool // the rows have passed midnight
	last  time.Time

	page *typedPage
	out  []records.SheetRow
}

// newSheet begins a sheet with its day.
func newSheet(f *form, page *typedPage, day records.Day) *typedSheet {
	s := &typedSheet{f: f, page: page, rows: sheetRows, day: day}
	if n, err := strconv.Atoi(f.raw.Get("rows")); err == nil {
		s.rows = min(max(n, sheetRows), sheetRowsMost)
	}
	if f.raw.Get("do") == "more" {
		s.rows = min(s.rows+sheetRows, sheetRowsMost)
	}
	page.Form, page.Count = f, s.rows
	f.Day("day", &s.day, required)
	return s
}

// cell adds a field of a row; its label is that of the column, and among what is wrong it is named with its row.
func (s *typedSheet) cell(name, kind string, n int) *Field {
	f := s.f
	field := &Field{ID: f.ID + "-" + name + "-" + strconv.Itoa(n), Name: name + "_" + strconv.Itoa(n), Kind: kind, Required: true, Label: f.words.say(f.kind + "." + name)}
	if f.reading() {
		field.Value = strings.TrimSpace(f.raw.Get(field.Name))
	}
	f.Fields = append(f.Fields, field)
	return field
}

// choices makes a cell a list to choose from. What was sent and is none of it is said.
func (s *typedSheet) choices(field *Field, blank string, choices ...Choice) *Field {
	field.Kind = "pick"
	field.Choices = slices.Concat([]Choice{{Name: blank}}, choices)
	if _, known := field.choose(field.Value); !known && field.Value != "" {
		s.f.wrong(field, "invalid.choice")
	}
	return field
}

// words are choices said by the texts "<kind>.<name>.<word>".
func (s *typedSheet) words(name string, values ...string) []Choice {
	choices := make([]Choice, len(values))
	for i, v := range values {
		choices[i] = Choice{Value: v, Name: s.f.words.say(s.f.kind + "." + name + "." + keyWord(v))}
	}
	return choices
}

// figure reads the number of a cell in a unit of the sheet; another unit may stand behind the number. nil for a blank cell.
func (s *typedSheet) figure(field *Field, units []string, unit string) (*float64, string) {
	if field.Value == "" {
		return nil, unit
	}
	number := field.Value
	for _, u := range units {
		if rest := strings.TrimSuffix(strings.ToUpper(number), strings.ToUpper(u)); len(rest) < len(number) {
			number, unit = strings.TrimRight(number[:len(rest)], " °"), u
			break
		}
	}
	x, err := syrup.ParseNumber(number)
	switch {
	case err != nil:
		s.f.wrongNumber(field, err)
		return nil, unit
	case unit == "" && len(units) > 0:
		s.f.wrong(field, "paper.no_unit")
		return nil, unit
	}
	return &x, unit
}

// quantityIn reads a quantity of a row and what was typed, with its unit.
func quantityIn[T ~float64](s *typedSheet, field *Field, units []string, unit string, from func(float64, string) (T, error)) (*T, string) {
	x, unit := s.figure(field, units, unit)
	if x == nil {
		return nil, ""
	}
	value, err := from(*x, unit)
	if err != nil {
		s.f.wrongNumber(field, err)
		return nil, ""
	}
	return &value, plainNumber(*x) + " " + unit
}

// count reads a whole number of a row.
func (s *typedSheet) count(field *Field, lo, hi int) *int {
	x, _ := s.figure(field, nil, "")
	if x == nil {
		return nil
	}
	n := int(*x)
	switch {
	case float64(n) != *x:
		s.f.wrong(field, "invalid.whole")
	case n < lo || n > hi:
		s.f.wrong(field, "invalid.between", "Min", strconv.Itoa(lo), "Max", strconv.Itoa(hi))
	}
	return &n
}

// clockLayouts are how a time of day may be typed.
var clockLayouts = []string{"15:04", "15:04:05", "3:04 PM", "3:04PM"}

// clockOf reads a time of day as hours and minutes.
func clockOf(typed string) (string, bool) {
	typed = strings.ReplaceAll(strings.ToUpper(strings.ReplaceAll(typed, noBreak, " ")), ".", "")
	typed = strings.NewReplacer("A M", "AM", "P M", "PM").Replace(typed)
	for _, layout := range clockLayouts {
		if t, err := time.Parse(layout, strings.TrimSpace(typed)); err == nil {
			return t.Format("15:04"), true
		}
	}
	return "", false
}

// moment is when a row happened. Rows go forward in time; where one goes back, it is asked whether midnight lies between.
func (s *typedSheet) moment(at, which *Field) time.Time {
	f := s.f
	if at.Value == "" {
		f.wrong(at, "paper.no_time")
		return time.Time{}
	}
	clock, ok := clockOf(at.Value)
	if !ok {
		f.wrong(at, "paper.clock")
		return time.Time{}
	}
	switch which.Value {
	case "same":
		s.after = false
	case "next":
		s.after = true
	}
	if !s.day.Valid() {
		return time.Time{}
	}
	day := s.day.Start(time.UTC)
	if s.after {
		day = day.AddDate(0, 0, 1)
	}
	found := instants(day.Format(time.DateOnly)+"T"+clock, f.words.zone())
	switch len(found) {
	case 0:
		f.wrong(at, "invalid.moment_missing")
		return time.Time{}
	case 2:
		f.wrong(at, "paper.hour_twice")
		return time.Time{}
	}
	if found[0].Before(s.last) && which.Value == "" {
		f.wrong(at, "paper.goes_back")
		return time.Time{}
	}
	if found[0].After(s.last) {
		s.last = found[0]
	}
	return found[0]
}

// filled tells whether anything stands in some cells.
func filled(fields ...*Field) bool {
	return slices.ContainsFunc(fields, func(f *Field) bool { return f.Value != "" })
}

// close names what is wrong by row, and splits the fields of the form for the page.
func (s *typedSheet) close(head int, perRow int) {
	f, page := s.f, s.page
	page.Head = f.Fields[:head]
	for n := range s.rows {
		fields := f.Fields[head+n*perRow : head+(n+1)*perRow]
		row := typedRow{Title: f.words.say("paper.row", "Number", n+1), Fields: fields}
		page.Rows = append(page.Rows, row)
	}
	page.Tail = f.Fields[head+s.rows*perRow:]
	if f.reading() && len(s.out) == 0 && f.OK() {
		f.Wrong = append(f.Wrong, Wrong{Message: f.words.say("paper.no_rows")})
	}
}

// nameRows says in the list of what is wrong which row it is in.
func (p *typedPage) nameRows() {
	f := p.Form
	for n := range p.Rows {
		for _, field := range p.Rows[n].Fields {
			p.Rows[n].Wrong = p.Rows[n].Wrong || field.Error != ""
			for i := range f.Wrong {
				if f.Wrong[i].Target == field.ID {
					f.Wrong[i].Label = f.words.say("paper.row_fault", "Number", n+1, "Label", field.Label)
				}
			}
		}
	}
}

// askMore shows the sheet again with more rows, and nothing said to be wrong yet.
func (a *App) askMore(c *gin.Context, page *typedPage) error {
	page.Form.Wrong = nil
	for _, field := range page.Form.Fields {
		field.Error = ""
	}
	return a.render(c, http.StatusOK, "paper/typed", page)
}

// keepSheet writes a sheet that was typed in, or shows what is wrong with it.
func (a *App) keepSheet(c *gin.Context, s *typedSheet, file *sentFile, of, back, kept string) error {
	f := s.f
	if f.raw.Get("do") == "more" {
		return a.askMore(c, s.page)
	}
	var photo *records.Attachment
	field := f.named("photo")
	switch {
	case file.wrong == "":
		photo = &records.Attachment{OfID: of, Name: file.name, MediaType: file.mediaType}
		field.Help = f.words.say("paper.photo_again")
	case file.wrong != "attachment.none":
		f.wrong(field, file.wrong, file.args...)
	}
	if f.OK() {
		err := a.store.TypeSheet(c.Request.Context(), a.actor(c), s.out, photo, file.bytes)
		if _, again := alreadyMade(err); err == nil || again {
			return a.redirect(c, back, kept, "Count", len(s.out))
		}
		var conflict records.Conflict
		if errors.As(err, &conflict) {
			f.Wrong = append(f.Wrong, Wrong{Message: f.words.say(conflict.Key, conflict.Args...)})
		} else if !f.take(err) {
			return err
		}
	}
	if err := f.Err(); err != nil {
		return err
	}
	s.page.nameRows()
	return a.redisplay(c, "paper/typed", s.page)
}

// again finds whether the sheet that was sent was kept before.
func (a *App) again(c *gin.Context, f *form) (bool, error) {
	made, err := records.Submitted(c.Request.Context(), a.store, f.raw.Get("submission"))
	return made != "", err
}
