package app

import (
	"context"
	"errors"
	"net/url"
	"strconv"

	"github.com/gin-gonic/gin"

	"canewright/hazards"
	"canewright/labels"
	"canewright/records"
)

// labelCheck is what the label checker shows of a lot's label.
type labelCheck struct {
	Blocked  bool // contradictions wait for an owner's reason
	Sound    bool // nothing was found but notes
	Findings []shownLabelFinding
	Facts    []line // display panel, and the letters it asks for
	Stocks   Table  // how the label comes out on the stocks of the house
	Signed   []signedLabel
}

// shownLabelFinding is a finding with the way to sign a reason for it, or with the reason signed.
type shownLabelFinding struct {
	Finding shownFinding
	Signed  *signedLabel
	Answer  string // address where an owner signs; blank where nothing is to be signed
}

// signedLabel is a reason an owner signed, in the words it was signed on.
type signedLabel struct{ Words, Reason, By, URL string }

func (a *App) labelCheckRoutes() []route {
	return []route{
		{"GET", "/lot/:id/label-answer", crew, a.showLabelAnswer},
		{"POST", "/lot/:id/label-answer", crew, a.answerLabel},
	}
}

// labelCheckOf checks the label of a lot; nil where no label can be made, which the page says by itself.
func (a *App) labelCheckOf(c *gin.Context, lotID string) (*labelCheck, error) {
	ctx, v := c.Request.Context(), visitorOf(c)
	w := v.words()
	checked, err := records.CheckLabel(ctx, a.store, lotID)
	var refused refusal
	if errors.As(err, &refused) {
		return nil, nil
	}
	if err != nil {
		return nil, err
	}
	page := &labelCheck{Blocked: len(checked.Open()) > 0, Sound: hazards.Worst(checked.Findings) <= hazards.Note, Facts: panelFacts(w, checked),
		Stocks: stocksTable(w, checked)}
	for _, f := range checked.Findings {
		shown := shownLabelFinding{Finding: shownFindingOf(w, f)}
		if answer, ok := checked.AnswerTo(f); ok {
			signed, err := a.signedLabel(ctx, w, answer)
			if err != nil {
				return nil, err
			}
			shown.Signed = &signed
		} else if hazards.LabelBlocks(f) && v.may(crew) {
			shown.Answer = labelAnswerURL(lotID, f, w)
		}
		page.Findings = append(page.Findings, shown)
	}
	page.Signed, err = a.signedLabels(ctx, w, lotID)
	return page, err
}

// labelAnswerURL is where a finding is signed, by its code and the words it is shown in.
func labelAnswerURL(lotID string, f hazards.Finding, w words) string {
	return lotURL(lotID) + "/label-answer?" + url.Values{"code": {f.Code}, "words": {f.Words(w.lang, w.units).What}}.Encode()
}

func (a *App) signedLabel(ctx context.Context, w words, answer records.LabelAnswer) (signedLabel, error) {
	when, err := w.moment(answer.At)
	by := w.say("record.written", "Who", records.Name(ctx, a.store, answer.DoneBy), "When", when)
	return signedLabel{Words: answer.Words, Reason: answer.Reason, By: by, URL: recordURL(answer.ID)}, err
}

// signedLabels are the reasons signed about a lot's label, oldest first, also those whose finding no longer stands.
func (a *App) signedLabels(ctx context.Context, w words, lotID string) ([]signedLabel, error) {
	answers, err := records.LabelAnswers(ctx, a.store, lotID)
	if err != nil {
		return nil, err
	}
	var list []signedLabel
	for _, answer := range answers {
		signed, err := a.signedLabel(ctx, w, answer)
		if err != nil {
			return nil, err
		}
		list = append(list, signed)
	}
	return list, nil
}

// panelFacts are the container's display panel and the letters it asks of the net contents.
func panelFacts(w words, checked records.LabelChecked) []line {
	if checked.Panel == nil {
		return nil
	}
	area := strconv.FormatFloat(float64(*checked.Panel), 'f', 1, 64)
	facts := []line{{Label: w.say("label_check.panel"), Text: w.say("label_check.panel_area", "Area", area)},
		{Label: w.say("label_check.net_height"), Text: w.say("label_check.height", "Height", millimeters(checked.Label.NetHeight), "Sixteenths", sixteenths(float64(checked.Label.NetHeight)/25.4))}}
	if least := checked.Label.StatementHeight; least > 0 {
		facts = append(facts, line{Label: w.say("label_check.statement_height"), Text: w.say("label_check.millimeters", "Height", millimeters(least))})
	}
	return facts
}

func millimeters(x labels.Millimeters) string { return strconv.FormatFloat(float64(x), 'f', 2, 64) }

// stocksTable is how the label comes out on each stock: the height of its letters as drawn, or why it does not go on.
func stocksTable(w words, checked records.LabelChecked) Table {
	t := Table{Heads: []string{w.say("label_check.stock"), w.say("labels.line.net"), w.say("label_check.smallest"), w.say("label_check.fits")}}
	for _, on := range checked.Stocks {
		row := TableRow{URL: recordURL(on.Stock.ID), Cells: []Cell{{Text: on.Stock.Name}, {}, {}, {Text: w.say("label_check.fits_yes")}}}
		var refused refusal
		if errors.As(on.Refused, &refused) {
			row.Cells[3].Text = refused.Say(w.lang)
		} else {
			row.Cells[1], row.Cells[2] = drawnCells(w, on.Drawing)
		}
		t.Rows = append(t.Rows, row)
	}
	return t
}

func drawnCells(w words, drawing labels.Drawing) (net, smallest Cell) {
	for _, l := range drawing.Lines {
		if l.Line == "labels.line.net" {
			net = Cell{Text: w.say("label_check.millimeters", "Height", millimeters(l.Height)), Figure: true}
		}
	}
	if l := drawing.Smallest(); l != nil {
		smallest = Cell{Text: w.say("label_check.smallest_line", "Height", millimeters(l.Height), "Line", w.say(l.Line)), Figure: true}
	}
	return net, smallest
}

// labelAnswerPage asks an owner for the reason why a label is printed although the records contradict it.
type labelAnswerPage struct {
	Page
	Code    string
	Finding *shownFinding // nil when it is no longer found
	Form    *form
}

// labelAnswerForm binds what is signed: reason, owner, and the owner's own secret.
func labelAnswerForm(f *form, answer *records.LabelAnswer, s *signature, owners []Choice) {
	f.Hidden("code", &answer.Code)
	f.Hidden("words", &answer.Words)
	f.LongText("reason", &answer.Reason, 1, longText)
	f.Pick("signer", &s.signer, owners, required)
	f.Secret("secret", &s.secret, required).Autocomplete = "off"
}

// owners are the people who may sign for a label.
func (a *App) owners(ctx context.Context) ([]Choice, error) {
	people, err := records.List[records.Person](ctx, a.store, "role = ? ORDER BY name, id", records.RoleOwner)
	var choices []Choice
	for _, p := range people {
		choices = append(choices, Choice{Value: p.ID, Name: p.Name})
	}
	return choices, err
}

func (a *App) showLabelAnswer(c *gin.Context) error {
	lot, err := a.lotOf(c)
	if err != nil {
		return err
	}
	owners, err := a.owners(c.Request.Context())
	if err != nil {
		return err
	}
	f := a.newForm(c, "label_answer", lotURL(lot.ID)+"/label-answer")
	answer, s := &records.LabelAnswer{Code: c.Query("code"), Words: c.Query("words")}, &signature{}
	if v := visitorOf(c); v.may(owner) {
		s.signer = v.person.ID
	}
	labelAnswerForm(f, answer, s, owners)
	page, err := a.newLabelAnswerPage(c, lot, f, answer)
	if err != nil {
		return err
	}
	return a.show(c, "lot/labelanswer", page)
}

func (a *App) newLabelAnswerPage(c *gin.Context, lot records.Lot, f *form, answer *records.LabelAnswer) (*labelAnswerPage, error) {
	f.Cancel = lotURL(lot.ID) + "/labels"
	page := &labelAnswerPage{Code: records.PrintedCode(lot.Code), Form: f}
	checked, err := records.CheckLabel(c.Request.Context(), a.store, lot.ID)
	if err != nil {
		return nil, err
	}
	w := visitorOf(c).words()
	for _, finding := range checked.Open() {
		if finding.Code == answer.Code && finding.Words(w.lang, w.units).What == answer.Words {
			shown := shownFindingOf(w, finding)
			page.Finding = &shown
		}
	}
	return page, nil
}

// answerLabel signs the reason with the owner's own PIN or password.
func (a *App) answerLabel(c *gin.Context) error {
	lot, err := a.lotOf(c)
	if err != nil {
		return err
	}
	ctx := c.Request.Context()
	owners, err := a.owners(ctx)
	if err != nil {
		return err
	}
	f, err := a.readForm(c, "label_answer", lotURL(lot.ID)+"/label-answer")
	if err != nil {
		return err
	}
	answer, s := &records.LabelAnswer{LotID: lot.ID, At: a.store.Now()}, &signature{}
	labelAnswerForm(f, answer, s, owners)
	if f.OK() {
		err := a.confirmSecret(c, s.signer, s.secret)
		if err == nil {
			who := a.actor(c)
			who.DoneBy = s.signer
			err = a.store.AnswerLabel(ctx, who, answer)
		}
		if _, again := alreadyMade(err); err == nil || again {
			return a.redirect(c, lotURL(lot.ID)+"/labels#check", "label_check.signed_flash")
		}
		if !a.takeRelease(f, err) {
			return err
		}
	}
	if err := f.Err(); err != nil {
		return err
	}
	page, err := a.newLabelAnswerPage(c, lot, f, answer)
	if err != nil {
		return err
	}
	return a.redisplay(c, "lot/labelanswer", page)
}
