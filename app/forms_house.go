package app

import (
	"canewright/hazards"
	"canewright/hazards/syrup"
	"canewright/records"
)

// Bounds of ordinary texts, in characters.
const (
	shortText = 120
	longText  = 2000
)

func houseForm(f *form, h *records.House) {
	f.Text("name", &h.Name, 1, shortText)
	f.LongText("address", &h.Address, 1, 300)
	f.Text("telephone", &h.Telephone, 1, 40)
	f.Text("email", &h.Email, 0, shortText)
	f.Text("zone", &h.Zone, 1, 60)
	f.Length("altitude", &h.Altitude, &h.AltitudeEntered, optional)
	needed(f, &h.TargetSolids, func(p **syrup.Brix) {
		numberOf(f, "target_solids", p, 65, 85, required).Unit = f.words.say("unit.percent_solids")
	})
	f.Text("public_address", &h.PublicAddress, 0, 200)
	f.Flag("address_on_bottle", &h.AddressOnBottle)
	f.Flag("public_page", &h.PublicPage)
	f.Text("company_prefix", &h.CompanyPrefix, 0, 12)
	f.LongText("statement", &h.Statement, 0, 600)
	f.Number("statement_height", &h.StatementHeight, 0.5, 20, optional).Unit = "mm"
	f.Text("statement_source", &h.StatementSource, 0, 300)
	f.Day("statement_day", &h.StatementDay, optional)
}

func siteForm(f *form, s *records.Site) {
	f.Text("name", &s.Name, 1, shortText)
	f.LongText("address", &s.Address, 0, 300)
	f.Text("telephone", &s.Telephone, 0, 40)
}

func personForm(f *form, p *records.Person) {
	f.Text("name", &p.Name, 1, shortText)
	f.Text("login", &p.Login, 1, 40)
	choiceOf(f, "role", &p.Role, required, records.RoleCrew, records.RoleReader, records.RoleOwner)
	f.Flag("may_release", &p.MayRelease)
	f.Choice("language", &p.Language, required, "en", "es")
	f.Choice("units", &p.Units, required, "us", "metric")
	f.Pick("site", &p.SiteID, f.choices(records.KindSite), required)
	f.Day("expires", &p.Expires, optional)
}

func newPerson(f *form, p *records.Person) {
	p.Role, p.Language, p.Units = records.RoleCrew, "en", "us"
	p.SiteID = f.only(records.KindSite)
}

func kettleForm(f *form, k *records.Kettle) {
	f.Text("name", &k.Name, 1, shortText)
	f.Whole("number", &k.Number, 1, 99)
	f.Volume("volume", &k.Volume, &k.VolumeEntered, optional)
	f.Pick("site", &k.SiteID, f.choices(records.KindSite), required)
}

func tankForm(f *form, t *records.Tank) {
	f.Text("name", &t.Name, 1, shortText)
	f.Choice("holds", &t.Holds, required, records.HoldsJuice, records.HoldsSyrup)
	f.Volume("volume", &t.Volume, &t.VolumeEntered, optional)
	f.Pick("site", &t.SiteID, f.choices(records.KindSite), required)
}

func productForm(f *form, p *records.Product) {
	f.Text("name", &p.Name, 1, shortText)
	f.Choice("names", &p.Names, required, records.NamesCane, records.NamesTable, records.NamesOther)
	f.Whole("best_by_months", &p.BestByMonths, 1, 120)
	f.Text("storage", &p.Storage, 0, 200)
	f.LongText("claims", &p.Claims, 0, 600)
	f.Text("caution", &p.Caution, 0, 200)
	f.Choice("nutrition", &p.Nutrition, optional, hazards.NutritionPanelDrawn, hazards.NutritionExempt)
	f.Text("nutrition_note", &p.NutritionNote, 0, 300)
}

func newProduct(_ *form, p *records.Product) { p.Names = records.NamesCane }

func containerForm(f *form, k *records.Container) {
	f.Text("name", &k.Name, 1, shortText)
	needed(f, &k.Contents, func(p **syrup.Milliliters) { f.Contents("contents", p, &k.ContentsEntered, required) })
	f.Grams("tare", &k.Tare, &k.TareEntered, optional)
	f.Temperature("fill_limit", &k.FillLimit, &k.FillLimitEntered, optional)
	f.Text("fill_limit_source", &k.FillLimitSource, 0, 300)
	coolingField(f, k)
	f.Count("units_per_case", &k.UnitsPerCase, 1, 144, optional)
	panelFields(f, k)
}

// panelFields binds what the container's display panel is worked out from.
func panelFields(f *form, k *records.Container) {
	f.Choice("shape", &k.Shape, optional, records.ShapeRound, records.ShapeFlat, records.ShapeOther)
	f.Number("panel_height", &k.PanelHeight, 10, 500, optional).Unit = "mm"
	f.Number("diameter", &k.Diameter, 10, 400, optional).Unit = "mm"
	f.Number("panel_width", &k.PanelWidth, 10, 500, optional).Unit = "mm"
	f.Number("surface", &k.Surface, 500, 500_000, optional).Unit = "mm²"
	f.Flag("moulded", &k.Moulded)
}

func labelStockForm(f *form, l *records.LabelStock) {
	f.Text("name", &l.Name, 1, shortText)
	f.Choice("paper", &l.Paper, required, "letter", "a4", "roll")
	f.Whole("rows", &l.Rows, 1, 60)
	f.Whole("columns", &l.Columns, 1, 30)
	for _, side := range []struct {
		name string
		to   *float64
	}{{"margin_top", &l.MarginTop}, {"margin_left", &l.MarginLeft}, {"pitch_x", &l.PitchX}, {"pitch_y", &l.PitchY},
		{"label_width", &l.LabelWidth}, {"label_height", &l.LabelHeight}} {
		needed(f, side.to, func(p **float64) { f.Number(side.name, p, 0, 1000, required).Unit = "mm" })
	}
	f.Whole("dots_per_inch", &l.DotsPerInch, 150, 4800)
	offsetField(f, "offset_x", &l.OffsetX)
	offsetField(f, "offset_y", &l.OffsetY)
}

// offsetField is how far a printer has to be corrected; blank is not at all.
func offsetField(f *form, name string, to *float64) {
	var moved *float64
	if value := *to; value != 0 || !f.fresh() {
		moved = &value
	}
	field := f.Number(name, &moved, -10, 10, optional)
	field.Unit, field.Signed = "mm", true
	if *to = 0; moved != nil {
		*to = *moved
	}
}

// only is the id of the one record of a kind, or empty when there are more or none: nothing is chosen for a person who
// has a choice.
func (f *form) only(kind records.Kind) string {
	if choices := f.choices(kind); len(choices) == 1 {
		return choices[0].Value
	}
	return ""
}

// atFirstSite starts a new record at the house's site when it has just one.
func atFirstSite[P any](site func(P) *string) func(*form, P) {
	return func(f *form, fact P) { *site(fact) = f.only(records.KindSite) }
}
