package app

import (
	"errors"
	"html/template"
	"net/http"
	"strings"

	"github.com/gin-gonic/gin"

	"canewright/labels"
	"canewright/records"
)

// publicRoutes are what the symbol on a bottle leads to: the only pages strangers see.
func (a *App) publicRoutes() []route {
	return []route{
		{"GET", "/L/:code", anyone, a.showScanned},
		{"GET", "/l/:code", anyone, a.showScanned},
		{"GET", "/01/:gtin/10/:code", anyone, a.showScanned}, // GS1 Digital Link
		{"GET", "/L/:code/tell", anyone, a.showTell},
		{"POST", "/L/:code/tell", anyone, a.tell},
		{"GET", "/L/:code/told", anyone, a.showTold},
		{"GET", "/lot/:id/public", reader, a.previewPublic},
	}
}

// publicPage is a bottle as strangers see it.
type publicPage struct {
	Page
	Preview     string // for the house's own eyes: whether strangers see it; empty for strangers
	Product     string
	Code, Net   string
	Cuts        []string
	Pressed     string
	Boiled      string
	Bottled     string
	BestBy      string
	Storage     string
	Maker       string
	Address     string
	Telephone   string
	Call        template.URL // the telephone as a link: a scheme and digits
	Recalled    bool
	Tell, Enter string // addresses
}

// scannedPage is what a stranger sees while the public page is off, or of a code that no bottle was sold under.
type scannedPage struct {
	Page
	Maker, Telephone, Code string
	Unknown                bool // the page is on, and the code is none of ours
	Enter                  string
}

func publicURL(code string) string { return "/L/" + urlPath(code) }

// showScanned is where the symbol leads: signed in to the lot, else to the bottle's page where the owner turned that on,
// else to the maker's name and telephone.
func (a *App) showScanned(c *gin.Context) error {
	v := visitorOf(c)
	if v.signedIn() {
		lot, err := records.LotByCode(c.Request.Context(), a.store, c.Param("code"))
		if err == nil {
			return a.redirect(c, lotURL(lot.ID), "")
		}
		return a.redirect(c, "/find?q="+urlQuery(c.Param("code")), "")
	}
	public, err := a.publicOf(c)
	if unknownBottle(err) {
		return a.showUnknown(c)
	}
	if err != nil {
		return err
	}
	return a.show(c, "public/bottle", a.publicPage(c, public))
}

// publicOf is the lot of the address as strangers may know it. Errors: ErrNotFound for every reason not to tell: the page
// is off, the code is wrong, or none of the lot ever left the house.
func (a *App) publicOf(c *gin.Context) (records.Public, error) {
	if !visitorOf(c).house.PublicPage {
		return records.Public{}, records.ErrNotFound
	}
	lot, err := records.LotByCode(c.Request.Context(), a.store, c.Param("code"))
	if err != nil {
		return records.Public{}, err
	}
	return records.PublicOf(c.Request.Context(), a.store, lot.ID)
}

// unknownBottle tells whether there is nothing to tell of a code.
func unknownBottle(err error) bool {
	return errors.Is(err, records.ErrNotFound) || errors.As(err, new(labels.WrongCheck)) || errors.As(err, new(labels.MalformedCode))
}

// showUnknown gives the maker's name and telephone. Whether the lot exists is not told.
func (a *App) showUnknown(c *gin.Context) error {
	house, code := visitorOf(c).house, c.Param("code")
	page := &scannedPage{Page: Page{Stranger: true}, Maker: house.Name, Telephone: house.Telephone, Code: code, Unknown: house.PublicPage, Enter: enterURL(code)}
	if page.Unknown {
		return a.render(c, http.StatusNotFound, "public/unknown", page)
	}
	return a.show(c, "public/unknown", page)
}

func enterURL(code string) string { return "/login?next=" + urlQuery(publicURL(code)) }

func (a *App) publicPage(c *gin.Context, p records.Public) *publicPage {
	w := visitorOf(c).words()
	page := &publicPage{Page: Page{Stranger: true}, Product: p.Product, Code: p.Code, Net: p.Net, BestBy: w.dayOf(p.BestBy), Storage: p.Storage, Maker: p.Maker, Address: p.Address,
		Telephone: p.Telephone, Call: dialled(p.Telephone), Recalled: p.Recalled, Bottled: w.dayOf(p.Bottled), Pressed: w.daysOf(p.Pressed), Boiled: w.daysOf(p.Boiled),
		Tell: publicURL(p.Code) + "/tell", Enter: enterURL(p.Code)}
	for _, k := range p.Cuts {
		page.Cuts = append(page.Cuts, w.say("public.cut_on", "Block", k.Block, "Day", w.dayOf(k.Day)))
	}
	return page
}

// previewPublic shows the people of the house what strangers see, or would see.
func (a *App) previewPublic(c *gin.Context) error {
	lot, err := a.lotOf(c)
	if err != nil {
		return err
	}
	v := visitorOf(c)
	public, err := records.PublicOf(c.Request.Context(), a.store, lot.ID)
	if errors.Is(err, records.ErrNotFound) {
		return a.redirect(c, lotURL(lot.ID), "public.not_out")
	}
	if err != nil {
		return err
	}
	page := a.publicPage(c, public)
	page.Stranger = false
	page.Preview = v.words().say("public.preview_on")
	if !v.house.PublicPage {
		page.Preview = v.words().say("public.preview_off")
	}
	return a.show(c, "public/bottle", page)
}

// dayOf writes a house day; nothing for none.
func (w words) dayOf(d records.Day) string {
	said, _ := w.day(d) // a records.Day is always a day
	return said
}

// daysOf writes house days one after the other.
func (w words) daysOf(days []records.Day) string {
	said := make([]string, len(days))
	for i, d := range days {
		said[i] = w.dayOf(d)
	}
	return strings.Join(said, ", ")
}

// dialled is a telephone number as a link: digits, and a plus before them, so that nothing else can be in it.
func dialled(telephone string) template.URL {
	var out []rune
	for _, r := range telephone {
		if r >= '0' && r <= '9' || r == '+' && len(out) == 0 {
			out = append(out, r)
		}
	}
	return template.URL("tel:" + string(out))
}
