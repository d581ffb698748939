package app

import (
	"context"
	"errors"
	"fmt"

	"github.com/gin-gonic/gin"

	"canewright/hazards/text"
	"canewright/labels"
	"canewright/records"
	"canewright/records/packet"
)

// paperRoutes are the blank sheets to print, and what was written on them typed in.
func (a *App) paperRoutes() []route {
	return []route{
		{"GET", "/paper", reader, a.showPapers},
		{"GET", "/paper/blank/:name", reader, a.showBlank},
		{"GET", "/paper/photo/:id", crew, a.showSheetPhoto},
		{"POST", "/paper/photo/:id", crew, a.addSheetPhoto},
		{"GET", "/kettle/run/:id/paper", crew, a.showBoilSheet},
		{"POST", "/kettle/run/:id/paper", crew, a.typeBoilSheet},
		{"GET", "/filler/:id/paper", crew, a.showFillSheet},
		{"POST", "/filler/:id/paper", crew, a.typeFillSheet},
	}
}

// papersPage lists the blank sheets, and the runs and lots that a written one may be of.
type papersPage struct {
	Page
	Blanks []blankLine
	Typed  []ledgerLine
	Write  bool
}

// blankLine is one blank sheet in its papers and languages.
type blankLine struct {
	Title string
	Ways  []Step
}

// typedShown is how many runs and lots are offered to type a sheet in for.
const typedShown = 6

func (a *App) showPapers(c *gin.Context) error {
	ctx, v := c.Request.Context(), visitorOf(c)
	w := v.words()
	page := &papersPage{Write: v.may(crew)}
	usual, err := a.paper(c)
	if err != nil {
		return err
	}
	papers := []string{"letter", "a4"}
	if usual.Name == labels.A4().Name {
		papers = []string{"a4", "letter"}
	}
	for _, name := range packet.Papers() {
		sheet := blankLine{Title: w.say("paper." + name)}
		for _, lang := range text.Languages() {
			for _, paper := range papers {
				sheet.Ways = append(sheet.Ways, Step{Name: w.say("paper.lang."+string(lang)) + ", " + w.say("paper."+paper),
					URL: fmt.Sprintf("/paper/blank/%s?paper=%s&lang=%s", name, paper, lang)})
			}
		}
		page.Blanks = append(page.Blanks, sheet)
	}
	if page.Write {
		page.Typed, err = a.sheetsToType(ctx, w)
	}
	if err != nil {
		return err
	}
	return a.show(c, "paper/list", page)
}

// sheetsToType are the newest runs and lots.
func (a *App) sheetsToType(ctx context.Context, w words) ([]ledgerLine, error) {
	var lines []ledgerLine
	runs, err := records.List[records.Run](ctx, a.store, "ORDER BY fire_lit_at DESC, id DESC LIMIT ?", typedShown)
	if err != nil {
		return nil, err
	}
	for _, r := range runs {
		day, _ := w.day(r.FireLitAt)
		lines = append(lines, ledgerLine{Name: w.say("paper.type_run", "Code", r.Code), Word: day, URL: runURL(r.ID) + "/paper"})
	}
	lots, err := records.List[records.Lot](ctx, a.store, "ORDER BY started_at DESC, id DESC LIMIT ?", typedShown)
	for _, l := range lots {
		day, _ := w.day(l.StartedAt)
		lines = append(lines, ledgerLine{Name: w.say("paper.type_lot", "Code", records.PrintedCode(l.Code)), Word: day, URL: "/filler/" + l.ID + "/paper"})
	}
	return lines, err
}

// showBlank draws a blank sheet.
func (a *App) showBlank(c *gin.Context) error {
	paper := labels.Letter()
	if c.Query("paper") == "a4" {
		paper = labels.A4()
	}
	lang, ok := text.ParseLanguage(c.Query("lang"))
	if !ok {
		lang = visitorOf(c).lang
	}
	pdf, err := packet.BlankSheet(visitorOf(c).house, c.Param("name"), paper, lang)
	if err != nil {
		return err
	}
	return sendPDF(c, c.Param("name")+"-sheet-"+string(lang), pdf)
}

// sheetPhotoPage takes the photo of a paper sheet for a record that is there already.
type sheetPhotoPage struct {
	Page
	Name, Back string
	Form       *form
	Sheets     []string
}

// mayHaveSheet are the kinds that are typed in from paper.
var mayHaveSheet = map[records.Kind]bool{records.KindRun: true, records.KindLot: true, records.KindCut: true, records.KindPressing: true}

// sheetOf finds the record a photo of a sheet is for. Errors: ErrNotFound.
func (a *App) sheetOf(c *gin.Context) (records.Fact, error) {
	fact, err := records.Load(c.Request.Context(), a.store, c.Param("id"))
	if err == nil && !mayHaveSheet[fact.Kind()] {
		err = fmt.Errorf("photo of a sheet of a %s: %w", fact.Kind(), records.ErrNotFound)
	}
	return fact, err
}

func (a *App) sheetPhotoPage(c *gin.Context, fact records.Fact, f *form) (*sheetPhotoPage, error) {
	ctx, w := c.Request.Context(), visitorOf(c).words()
	page := &sheetPhotoPage{Name: a.stepName(ctx, w, fact), Back: recordURL(records.Head(fact).ID), Form: f}
	var err error
	if page.Trail, err = a.trail(ctx, w, fact); err != nil {
		return nil, err
	}
	page.Sheets, err = a.sheetsOf(ctx, records.Head(fact).ID)
	return page, err
}

func sheetPhotoForm(f *form, kept *records.Attachment) {
	f.field("photo", "file", required)
	f.Text("note", &kept.Note, 0, longText)
	f.DoneBy()
}

func (a *App) showSheetPhoto(c *gin.Context) error {
	fact, err := a.sheetOf(c)
	if err != nil {
		return err
	}
	f := a.newForm(c, "paper_photo", "/paper/photo/"+c.Param("id"))
	sheetPhotoForm(f, &records.Attachment{})
	page, err := a.sheetPhotoPage(c, fact, f)
	if err = errors.Join(err, f.Err()); err != nil {
		return err
	}
	return a.show(c, "paper/photo", page)
}

func (a *App) addSheetPhoto(c *gin.Context) error {
	fact, err := a.sheetOf(c)
	if err != nil {
		return err
	}
	f, file, err := a.readPhotoForm(c, "paper_photo", "/paper/photo/"+c.Param("id"))
	if err != nil {
		return err
	}
	kept := &records.Attachment{OfID: records.Head(fact).ID, At: a.store.Now(), Sort: records.AttachedSheet}
	sheetPhotoForm(f, kept)
	if file.wrong != "" {
		f.wrong(f.named("photo"), file.wrong, file.args...)
	}
	if f.OK() {
		kept.Name, kept.MediaType = file.name, file.mediaType
		err := a.store.Attach(c.Request.Context(), a.actor(c), kept, file.bytes)
		if _, again := alreadyMade(err); err == nil || again {
			return a.redirect(c, recordURL(kept.OfID), "paper.photo_kept")
		}
		if !f.take(err) {
			return err
		}
	}
	page, err := a.sheetPhotoPage(c, fact, f)
	if err = errors.Join(err, f.Err()); err != nil {
		return err
	}
	return a.redisplay(c, "paper/photo", page)
}

// sheetsOf are the addresses of the photos of paper sheets kept with a record.
func (a *App) sheetsOf(ctx context.Context, id string) ([]string, error) {
	kept, err := records.SheetsOf(ctx, a.store, id)
	urls := make([]string, len(kept))
	for i, k := range kept {
		urls[i] = "/attachment/" + k.ID
	}
	return urls, err
}
