package packet

import (
	"cmp"
	"slices"
	"time"

	"canewright/hazards"
	"canewright/hazards/syrup"
	"canewright/records"
)

// runFile is everything about one run, read once, before a line of it is drawn.
type runFile struct {
	records.Run
	Kettle    records.Kettle
	Site      records.Site
	Into      []records.Link // what ran into the kettle, heels among them
	Kinds     map[string]records.Kind
	Pressings []pressingFile // upstream, through tanks but not through other runs
	Log       []logEntry
	Additions []records.Addition // to the run, its pressings and tanks
	Drawn     *records.BoilEntry
	OnFire    time.Duration // until it ended
	Balance   *records.RunBalance
	Finish    *syrup.Solids    // what it ended with
	Washed    *records.WashOut // the kettle's last before the fire
	Findings  []hazards.Finding
	Curve     records.BoilCurve
}

// pressingFile is a pressing with its cuts.
type pressingFile struct {
	records.Pressing
	Share          *syrup.Fraction // of the run's solids
	ShareEstimated bool
	Cuts           []cutFile
}

// cutFile is a cut with the place it grew.
type cutFile struct {
	records.Cut
	Link     records.Link
	Planting records.Planting
	Block    records.Block
}

// logEntry is one line of the boil log: an entry, a density reading, an addition or a wash-out.
type logEntry struct {
	At         time.Time
	Row        records.Row
	Entry      *records.BoilEntry
	Reading    *records.DensityReading
	Solids     *syrup.Solids       // of the reading; nil when it cannot be used
	Correction *hazards.Correction // taken off the reading's temperature; nil when nothing
	Addition   *records.Addition
	WashOut    *records.WashOut
	Moved      *records.Link // into another kettle in mid-boil
}

func (r *reader) runFile(id string) runFile {
	run := get[records.Run](r, id)
	f := runFile{Run: run, Kettle: get[records.Kettle](r, run.KettleID), Site: get[records.Site](r, run.SiteID), Kinds: map[string]records.Kind{}}
	if r.err != nil {
		return f
	}
	back, err := records.TraceBack(r.ctx, r.src, id)
	r.fail(err)
	upstream := near(back, id, true, records.KindRun)
	f.Into = list[records.Link](r, "to_id = ? ORDER BY at, id", id)
	for _, s := range upstream {
		f.Kinds[s.ID] = s.Kind
		if s.Kind == records.KindPressing {
			f.Pressings = append(f.Pressings, r.pressingFile(s))
		}
	}
	slices.SortStableFunc(f.Pressings, func(a, b pressingFile) int { return a.StartedAt.Compare(b.StartedAt) })
	for _, to := range append([]string{id}, ofKind(upstream, records.KindPressing, records.KindTank)...) {
		f.Additions = append(f.Additions, list[records.Addition](r, "to_id = ? ORDER BY at, id", to)...)
	}
	f.readLog(r)
	f.readEnd(r)
	list[records.Freeze](r, "site_id = ?", run.SiteID)
	f.Findings = r.judged(records.JudgeRun, id)
	f.Curve = r.curve(id)
	return f
}

// curve gives the picture of a run, as it stood at its last entry: a sheet knows no clock. The boils before, of which its band
// is made, count for the head.
func (r *reader) curve(id string) records.BoilCurve {
	if r.err != nil {
		return records.BoilCurve{}
	}
	log, err := records.BoilLogOf(r.ctx, r.src, id)
	if err != nil {
		r.fail(err)
		return records.BoilCurve{}
	}
	curve, err := records.BoilCurveOf(r.ctx, r.src, log, log.LastAt())
	r.fail(err)
	r.beside = append(r.beside, curve.Read...)
	return curve
}

func (r *reader) pressingFile(s records.Step) pressingFile {
	f := pressingFile{Pressing: get[records.Pressing](r, s.ID), Share: s.Share, ShareEstimated: s.Estimated}
	for _, link := range list[records.Link](r, "to_id = ? ORDER BY at, id", s.ID) {
		kind, err := records.KindOf(r.ctx, r.src, link.FromID)
		r.fail(err)
		if kind != records.KindCut {
			r.name(link.FromID)
			f.Cuts = append(f.Cuts, cutFile{Link: link})
			continue
		}
		cut := get[records.Cut](r, link.FromID)
		planting := get[records.Planting](r, cut.PlantingID)
		block := get[records.Block](r, planting.BlockID)
		list[records.Application](r, "block_id = ?", block.ID) // judged, so a change of them changes the sheet
		f.Cuts = append(f.Cuts, cutFile{Cut: cut, Link: link, Planting: planting, Block: block})
	}
	return f
}

// readLog gathers the lines of the boil log in order of time, those struck among them.
func (f *runFile) readLog(r *reader) {
	for _, e := range all[records.BoilEntry](r, "run_id", f.ID) {
		f.Log = append(f.Log, logEntry{At: e.At, Row: e.Row, Entry: &e})
	}
	for _, d := range all[records.DensityReading](r, "of_id", f.ID) {
		solids, correction := r.solids(d)
		f.Log = append(f.Log, logEntry{At: d.At, Row: d.Row, Reading: &d, Solids: solids, Correction: correction})
	}
	for _, a := range all[records.Addition](r, "to_id", f.ID) {
		f.Log = append(f.Log, logEntry{At: a.At, Row: a.Row, Addition: &a})
	}
	f.readMoved(r)
	f.readWashOuts(r)
	slices.SortStableFunc(f.Log, func(a, b logEntry) int {
		return cmp.Or(a.At.Compare(b.At), cmp.Compare(a.Row.ID, b.Row.ID))
	})
}

// readWashOuts finds the kettle's last wash-out before the fire and those after it, up to the next run in the kettle.
func (f *runFile) readWashOuts(r *reader) {
	next := list[records.Run](r, "kettle_id = ? AND fire_lit_at > ? ORDER BY fire_lit_at LIMIT 1", f.KettleID, f.FireLitAt)
	for _, w := range list[records.WashOut](r, "vessel_id = ? ORDER BY at, id", f.KettleID) {
		switch {
		case !w.At.After(f.FireLitAt):
			f.Washed = &w
		case len(next) == 0 || w.At.Before(next[0].FireLitAt):
			f.Log = append(f.Log, logEntry{At: w.At, Row: w.Row, WashOut: &w})
		}
	}
}

func (f *runFile) readEnd(r *reader) {
	for _, l := range f.Log {
		if l.Entry != nil && l.Entry.What == records.EntryDrawnOff && !l.Row.Struck {
			f.Drawn = l.Entry
		}
	}
	if r.err != nil {
		return
	}
	finish, err := records.EndSolids(r.ctx, r.src, f.ID)
	r.fail(err)
	f.Finish = finish
	if f.Drawn != nil {
		log, err := records.BoilLogOf(r.ctx, r.src, f.ID)
		r.fail(err)
		f.OnFire = log.FireAt(f.Drawn.At).OnFire
	}
}

// readMoved adds what went into other kettles in mid-boil to the log, and reads the balance.
func (f *runFile) readMoved(r *reader) {
	list[records.Link](r, "from_id = ?", f.ID)
	if r.err != nil {
		return
	}
	balance, err := records.RunBalanceOf(r.ctx, r.src, f.ID)
	if err != nil {
		r.fail(err)
		return
	}
	f.Balance = balance
	for _, l := range balance.Ladled {
		f.Log = append(f.Log, logEntry{At: l.At, Row: l.Row, Moved: &l})
	}
}

// solids are what a reading means, and what was taken off its temperature.
func (r *reader) solids(d records.DensityReading) (*syrup.Solids, *hazards.Correction) {
	if r.err != nil {
		return nil, nil
	}
	r.instrument(d.InstrumentID)
	r.instrument(d.ThermometerID)
	facts, err := records.ReadingFactsOf(r.ctx, r.src, d)
	r.fail(err)
	solids, err := facts.Solids()
	if err != nil {
		return nil, nil // kept, and not usable: the findings say why
	}
	return &solids, facts.Correction()
}

// instrument names an instrument and remembers its checks, on which what it read is judged.
func (r *reader) instrument(id *string) string {
	if id == nil {
		return ""
	}
	list[records.InstrumentCheck](r, "instrument_id = ?", *id)
	return r.name(*id)
}

// judged gives the findings about a record and remembers the records they name.
func (r *reader) judged(judge judge, id string) []hazards.Finding {
	if r.err != nil {
		return nil
	}
	list[records.HouseLimit](r, "")
	findings, err := judge(r.ctx, r.src, id)
	r.fail(err)
	return findings
}

// heels lists what earlier runs left in the kettle.
func (f runFile) heels() []records.Link {
	return slices.DeleteFunc(slices.Clone(f.Into), func(l records.Link) bool { return !l.Heel })
}
