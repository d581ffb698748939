package main

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"canewright/hazards/text"
	"canewright/records"
)

// traced is the answer of trace: what a code leads to, back and forward.
type traced struct {
	Code      string         `json:"code"`
	Printed   string         `json:"printed"`
	Product   string         `json:"product"`
	Container string         `json:"container"`
	Day       string         `json:"filled_on"`
	Back      []stepTraced   `json:"back"`
	Forward   []holderTraced `json:"forward"`
	Parts     []partTraced   `json:"parts"`
	Findings  []findingSaid  `json:"findings"`
}

type stepTraced struct {
	Stage     string   `json:"stage"`
	Name      string   `json:"name"`
	ID        string   `json:"id"`
	Share     *float64 `json:"share_percent,omitempty"` // of the lot's solids; absent for what stands beside the syrup
	Estimated bool     `json:"estimated"`
	Unknown   bool     `json:"contents_not_recorded,omitempty"`
}

type holderTraced struct {
	Customer string `json:"customer"`
	Sort     string `json:"sort"`
	Shipped  string `json:"shipped_at"`
	Units    int    `json:"units"`
	Back     int    `json:"back"`
}

type partTraced struct {
	Number  int    `json:"part"`
	State   string `json:"state"`
	Filled  int    `json:"filled"`
	Back    int    `json:"back"` // unsold, back from a market day
	Shipped int    `json:"shipped"`
	Samples int    `json:"samples"`
	Broken  int    `json:"broken"`
	OnHand  int    `json:"on_hand"`
}

type findingSaid struct {
	Level string `json:"level"`
	Code  string `json:"code"`
	About string `json:"about"`
	What  string `json:"what"`
	Next  string `json:"next,omitempty"`
}

// traceLot is `canewright trace CODE`.
func traceLot(c *call) error {
	c.withData()
	c.withJSON()
	if err := c.parse(say("cmd.word.code")); err != nil {
		return err
	}
	store, house, err := c.house()
	if err != nil {
		return err
	}
	t, err := c.trace(store, house, c.args[0])
	if err := errors.Join(err, store.Close()); err != nil {
		return err
	}
	if c.json {
		return c.encode(t)
	}
	for _, line := range t.lines() {
		fmt.Fprintln(c.stdout, line)
	}
	return nil
}

func (c *call) trace(store *records.Store, house records.House, typed string) (traced, error) {
	lot, err := c.lot(store, typed)
	if err != nil {
		return traced{}, err
	}
	t := traced{Code: lot.Code, Printed: records.PrintedCode(lot.Code), Day: string(lot.Day), Back: []stepTraced{},
		Forward: []holderTraced{}, Parts: []partTraced{}, Findings: []findingSaid{},
		Product: records.Name(c.ctx, store, lot.ProductID), Container: records.Name(c.ctx, store, lot.ContainerID)}
	if err := t.back(c, store, lot.ID); err != nil {
		return t, err
	}
	if err := t.forward(c, store, lot.ID, house.Location()); err != nil {
		return t, err
	}
	findings, err := records.JudgeLot(c.ctx, store, lot.ID)
	for _, f := range findings {
		if f.Level == 0 { // within: nothing is asked
			continue
		}
		w := f.Words(text.English, "us")
		t.Findings = append(t.Findings, findingSaid{f.Level.String(), f.Code, f.AboutName, w.What, w.Next})
	}
	return t, err
}

// stages is the order in which a trace is read, from the field to the bottle, and what stands beside it.
var stages = []records.Kind{records.KindPlanting, records.KindCut, records.KindPressing, records.KindTank, records.KindRun,
	records.KindPart, records.KindShipment, records.KindLot, records.KindSupplyLot}

func (t *traced) back(c *call, store *records.Store, id string) error {
	trace, err := records.TraceBack(c.ctx, store, id)
	if err != nil {
		return err
	}
	for _, kind := range stages {
		for _, s := range trace.OfKind(kind) {
			if s.ID == id {
				continue
			}
			step := stepTraced{Stage: say("cmd.stage." + string(kind)), Name: s.Name, ID: s.ID, Estimated: s.Estimated, Unknown: s.Unknown}
			if s.Share != nil {
				percent := math.Round(float64(*s.Share)*1000) / 10
				step.Share = &percent
			}
			t.Back = append(t.Back, step)
		}
	}
	return nil
}

func (t *traced) forward(c *call, store *records.Store, id string, zone *time.Location) error {
	holders, err := records.WhoHas(c.ctx, store, id)
	if err != nil {
		return err
	}
	for _, h := range holders {
		t.Forward = append(t.Forward, holderTraced{h.Customer.Contact.Name, h.Customer.Sort, h.Shipment.At.In(zone).Format(time.RFC3339), h.Units, h.Back})
	}
	parts, err := c.parts(store, id)
	for _, p := range parts {
		t.Parts = append(t.Parts, partTraced{p.Number, p.State, p.Filled, p.Returned, p.Shipped, p.Samples, p.Broken, p.OnHand})
	}
	return err
}

// lines writes a trace for a person: one line a step, by stage.
func (t traced) lines() []string {
	lines := []string{say("cmd.trace.lot", "Code", t.Printed, "Product", t.Product, "Container", t.Container, "Day", t.Day), ""}
	lines = append(lines, t.backLines()...)
	lines = append(lines, "", say("cmd.trace.forward"))
	lines = append(lines, t.forwardLines()...)
	lines = append(lines, "", say("cmd.trace.findings"))
	if len(t.Findings) == 0 {
		return append(lines, "  "+say("cmd.trace.no_findings"))
	}
	for _, f := range t.Findings {
		lines = append(lines, fmt.Sprintf("  %-6s %s", say("level."+f.Level), f.What))
	}
	return lines
}

func (t traced) backLines() []string {
	lines := []string{say("cmd.trace.back")}
	for _, s := range t.Back {
		share := strings.Repeat(" ", 7)
		if s.Share != nil {
			share = fmt.Sprintf("%5.1f %%", *s.Share)
		}
		line := fmt.Sprintf("  %s  %-11s %s", share, s.Stage, s.Name)
		if s.Estimated && s.Share != nil {
			line += ", " + say("word.estimated")
		}
		if s.Unknown {
			line += ", " + say("cmd.trace.unknown")
		}
		lines = append(lines, line)
	}
	return lines
}

func (t traced) forwardLines() []string {
	var lines []string
	for _, p := range t.Parts {
		lines = append(lines, "  "+say("cmd.trace.part", "Number", p.Number, "State", say("life."+p.State), "Filled", p.Filled, "Back", p.Back, "Shipped", p.Shipped,
			"Samples", p.Samples, "Broken", p.Broken, "OnHand", p.OnHand))
	}
	slices.SortStableFunc(t.Forward, func(a, b holderTraced) int { return strings.Compare(a.Shipped, b.Shipped) })
	for _, h := range t.Forward {
		line := fmt.Sprintf("  %s  %4d  %s", h.Shipped[:10], h.Units, h.Customer)
		if h.Back > 0 {
			line += " " + say("cmd.trace.came_back", "Units", h.Back)
		}
		lines = append(lines, line)
	}
	if len(t.Forward) == 0 {
		lines = append(lines, "  "+say("cmd.trace.nobody"))
	}
	return lines
}
