package records

import (
	"errors"
	"strings"
	"time"

	"canewright/hazards"
	"canewright/hazards/syrup"
	"canewright/labels"
)

// House is the one business of this database and the owner's settings.
type House struct {
	Row
	Name            string
	Address         string // street, city, state, ZIP as printed on a label; lines apart by a line feed
	Telephone       string
	Email           string
	Zone            string // IANA name of the house's zone, as America/Chicago
	Altitude        *syrup.Meters
	AltitudeEntered string
	TargetSolids    syrup.Brix // where the maker means to stop; the reference floor stands beside it
	PublicAddress   string     // https address that labels carry; blank until the owner confirms one
	AddressOnBottle bool       // the owner has confirmed that the address stays on every bottle
	Statement       string     // statement the jurisdiction asks for on the label, as the owner entered it
	StatementSource string
	StatementDay    Day      // when the owner last checked it; blank when never
	StatementHeight *float64 // least height of its letters the jurisdiction asks for, mm; nil: none
	CompanyPrefix   string   // GS1 Company Prefix the owner holds; blank: none
	PublicPage      bool     // strangers who scan a bottle see its page
}

// Site is one of the house's places.
type Site struct {
	Row
	Name      string
	Address   string
	Telephone string
}

// Role is what a person may do: the owner everything, crew the daily work, a reader looks.
type Role string

// The roles.
const (
	RoleOwner  Role = "owner"
	RoleCrew   Role = "crew"
	RoleReader Role = "reader"
)

// Person is somebody who signs in or writes entries on a shared phone. Passwords and PINs are kept elsewhere.
type Person struct {
	Row
	SiteID     string
	Name       string
	Login      string
	Role       Role
	MayRelease bool
	Language   string // en or es
	Units      string // us or metric
	Expires    Day    // last day a reader may sign in; blank for no end
}

// Kettle is an open kettle; its number stands in lot codes.
type Kettle struct {
	Row
	SiteID        string
	Number        int
	Name          string
	Volume        *syrup.Liters
	VolumeEntered string
}

// Tank is a juice tank, holding tank or bucket: a stop of its own whose contents have shares at every moment.
type Tank struct {
	Row
	SiteID        string
	Name          string
	Holds         string // juice or syrup
	Volume        *syrup.Liters
	VolumeEntered string
}

// HouseLimit is a limit the house sets beside the reference one.
type HouseLimit struct {
	Row
	Code   string // the limit's code in package hazards
	Value  float64
	Unit   string
	Source string
	SetOn  Day
}

// Product is what the house sells, by name.
type Product struct {
	Row
	Name          string // as on the label, held to what the findings allow
	Names         string // cane, table or other: which naming rule applies
	BestByMonths  int
	Storage       string // blank for the line the solids suggest
	Claims        string // what else the label says, one claim a line
	Caution       string // a line of caution the owner wants; blank: none
	Nutrition     string // panel, exempt or blank: not decided
	NutritionNote string // why exempt, as the owner wrote it
}

// Container is a bottle or jar with its declared contents and the house's fill limit for it.
type Container struct {
	Row
	Name             string
	Contents         syrup.Milliliters // declared, at 20 C
	ContentsEntered  string
	Tare             *syrup.Grams
	TareEntered      string
	FillLimit        *syrup.Celsius // nil: no house limit for this bottle
	FillLimitEntered string
	FillLimitSource  string
	UnitsPerCase     *int
	Shape            string   // round, flat or other; blank: not measured
	PanelHeight      *float64 // mm, of the body without shoulder and neck, or of the flat panel
	PanelWidth       *float64 // mm, of the flat panel
	Diameter         *float64 // mm, of a round body
	Surface          *float64 // square mm, of another shape's whole side surface
	Moulded          bool     // the net contents are moulded into the container
	CoolingTestID    *string  // behind the fill limit
}

// LabelStock is a sheet or roll of blank labels given by its dimensions, all in millimeters.
type LabelStock struct {
	Row
	Name        string
	Paper       string // letter, a4 or roll
	Rows        int
	Columns     int
	MarginTop   float64
	MarginLeft  float64
	PitchX      float64
	PitchY      float64
	LabelWidth  float64
	LabelHeight float64
	DotsPerInch int     // of the printer
	OffsetX     float64 // mm the printer has to be moved right
	OffsetY     float64 // mm, down
}

// Validate checks the settings: a house has a name, an address for its labels and a zone that exists.
func (h *House) Validate() error {
	var c checks
	c.need("name", h.Name)
	c.need("address", h.Address)
	c.need("telephone", h.Telephone)
	c.text("email", h.Email)
	c.text("statement", h.Statement)
	c.printable("name", h.Name)
	c.printable("address", h.Address)
	c.printable("telephone", h.Telephone)
	c.printable("statement", h.Statement)
	within(&c, "statement_height", h.StatementHeight, 0.5, 20, "mm")
	if _, err := time.LoadLocation(h.Zone); err != nil || h.Zone == "" || h.Zone == "Local" {
		c.add("zone", "invalid.zone")
	}
	within(&c, "altitude", h.Altitude, -430, 5000, "m")
	within(&c, "target_solids", &h.TargetSolids, 65, 85, "%")
	if h.PublicAddress != "" && !strings.HasPrefix(strings.ToLower(h.PublicAddress), "https://") {
		c.add("public_address", "invalid.https")
	}
	c.optionalDay("statement_day", h.StatementDay)
	if p := h.CompanyPrefix; p != "" && (len(p) < 4 || len(p) > 12 || strings.Trim(p, "0123456789") != "") {
		c.add("company_prefix", "house.prefix_digits") // 4 to 12 digits: GS1 General Specifications, from memory
	}
	return c.err()
}

// Location is the house's zone; UTC if it can't be loaded, which Validate excludes.
func (h House) Location() *time.Location {
	zone, err := time.LoadLocation(h.Zone)
	if err != nil {
		return time.UTC
	}
	return zone
}

// Validate checks a site.
func (s *Site) Validate() error {
	var c checks
	c.need("name", s.Name)
	c.text("address", s.Address)
	c.text("telephone", s.Telephone)
	return c.err()
}

// Validate checks a person.
func (p *Person) Validate() error {
	var c checks
	c.need("name", p.Name)
	c.need("login", p.Login)
	if strings.ContainsAny(p.Login, " \t\n") || p.Login != strings.ToLower(p.Login) {
		c.add("login", "invalid.login")
	}
	c.oneOf("role", string(p.Role), string(RoleOwner), string(RoleCrew), string(RoleReader))
	c.oneOf("language", p.Language, "en", "es")
	c.oneOf("units", p.Units, "us", "metric")
	c.optionalDay("expires", p.Expires)
	if p.MayRelease && p.Role == RoleReader {
		c.add("may_release", "person.reader_cannot_release")
	}
	return c.err()
}

func (p *Person) refs() []ref { return []ref{to("site_id", p.SiteID, KindSite)} }

// Validate checks a kettle; its number stands in lot codes.
func (k *Kettle) Validate() error {
	var c checks
	c.need("name", k.Name)
	c.whole("number", k.Number, 1, 99)
	within(&c, "volume", k.Volume, 1, 19000, "L")
	return c.err()
}

func (k *Kettle) refs() []ref { return []ref{to("site_id", k.SiteID, KindSite)} }

// What a tank holds.
const (
	HoldsJuice = "juice"
	HoldsSyrup = "syrup"
)

// Validate checks a tank.
func (t *Tank) Validate() error {
	var c checks
	c.need("name", t.Name)
	c.oneOf("holds", t.Holds, HoldsJuice, HoldsSyrup)
	within(&c, "volume", t.Volume, 0.5, 19000, "L")
	return c.err()
}

func (t *Tank) refs() []ref { return []ref{to("site_id", t.SiteID, KindSite)} }

// Validate checks a house limit: a number never stands without its source and day.
func (l *HouseLimit) Validate() error {
	var c checks
	c.need("code", l.Code)
	c.need("unit", l.Unit)
	c.need("source", l.Source)
	c.day("set_on", l.SetOn)
	within(&c, "value", &l.Value, -1e6, 1e6, l.Unit)
	return c.err()
}

// Naming rules a product may follow.
const (
	NamesCane  = "cane"
	NamesTable = "table"
	NamesOther = "other"
)

// Validate checks a product.
func (p *Product) Validate() error {
	var c checks
	c.need("name", p.Name)
	c.oneOf("names", p.Names, NamesCane, NamesTable, NamesOther)
	c.whole("best_by_months", p.BestByMonths, 1, 120)
	c.printable("name", p.Name)
	c.printable("storage", p.Storage)
	c.printable("claims", p.Claims)
	c.printable("caution", p.Caution)
	c.oneOf("nutrition", p.Nutrition, "", hazards.NutritionPanelDrawn, hazards.NutritionExempt)
	c.text("nutrition_note", p.NutritionNote)
	if p.Nutrition == hazards.NutritionExempt && strings.TrimSpace(p.NutritionNote) == "" {
		c.add("nutrition_note", "invalid.required")
	}
	return c.err()
}

// Validate checks a container. A house fill limit needs its source.
func (k *Container) Validate() error {
	var c checks
	c.need("name", k.Name)
	within(&c, "contents", &k.Contents, 10, 20000, "mL")
	within(&c, "tare", k.Tare, 1, 20000, "g")
	within(&c, "fill_limit", k.FillLimit, 5, 115, "°C")
	if k.FillLimit != nil && k.CoolingTestID == nil { // a cooling test is a source
		c.need("fill_limit_source", k.FillLimitSource)
	} else {
		c.text("fill_limit_source", k.FillLimitSource)
	}
	if k.UnitsPerCase != nil {
		c.whole("units_per_case", *k.UnitsPerCase, 1, 144)
	}
	k.validatePanel(&c)
	return c.err()
}

func (k *Container) refs() []ref {
	return []ref{toOptional("cooling_test_id", k.CoolingTestID, KindCoolingTest)}
}

// Stock gives the label stock to the room that prints on it.
func (s *LabelStock) Stock() labels.Stock {
	paper := labels.Roll(labels.Millimeters(s.LabelWidth), labels.Millimeters(s.LabelHeight))
	switch s.Paper {
	case PaperLetter:
		paper = labels.Letter()
	case PaperA4:
		paper = labels.A4()
	}
	return labels.Stock{Name: s.Name, Paper: paper, Rows: s.Rows, Columns: s.Columns,
		MarginTop: labels.Millimeters(s.MarginTop), MarginLeft: labels.Millimeters(s.MarginLeft),
		PitchX: labels.Millimeters(s.PitchX), PitchY: labels.Millimeters(s.PitchY),
		LabelWidth: labels.Millimeters(s.LabelWidth), LabelHeight: labels.Millimeters(s.LabelHeight), DotsPerInch: s.DotsPerInch,
		OffsetX: labels.Millimeters(s.OffsetX), OffsetY: labels.Millimeters(s.OffsetY)}
}

// Papers a stock comes on.
const (
	PaperLetter = "letter"
	PaperA4     = "a4"
	PaperRoll   = "roll"
)

// Validate checks a label stock: its figures, and whether they fit its page.
func (s *LabelStock) Validate() error {
	var c checks
	c.need("name", s.Name)
	c.oneOf("paper", s.Paper, PaperLetter, PaperA4, PaperRoll)
	var wrong labels.StockWrong
	if errors.As(s.Stock().Validate(), &wrong) {
		field := wrong.Field
		if field == "paper_width" || field == "paper_height" { // a roll's paper is its label
			field = strings.Replace(field, "paper", "label", 1)
		}
		c.add(field, "label_stock.does_not_fit", "Problem", wrong)
	}
	return c.err()
}
