package hazards

import (
	"slices"
	"strconv"
	"time"
)

// Window is the bottles a fill check speaks for: after the last good check before it, up to the next good check after it.
type Window struct {
	After  *FillCheckFacts // the good check before; nil: from the first bottle
	Before *FillCheckFacts // the good check after; nil: to the last bottle
	First  int             // bottle numbers; 0: not known
	Last   int             // 0: not known, or bottles are still being filled
}

// Known tells whether both ends have a bottle number.
func (w Window) Known() bool { return w.First > 0 && w.Last > 0 }

// Covers tells whether the window may hold one of the bottles first to last. Where either is not known it may.
func (w Window) Covers(first, last *int) bool {
	if first == nil || last == nil {
		return true
	}
	return (w.First == 0 || *last >= w.First) && (w.Last == 0 || *first <= w.Last)
}

// bad tells whether a check found a bottle past the limit, or a closure that was not good.
func (c FillCheckFacts) bad(limit Limit) bool {
	t, ok := c.judged()
	return ok && !limit.Passed(t) || c.ClosureOK != nil && !*c.ClosureOK
}

// good tells whether a check found a bottle within the limit and a closure that was not bad.
func (c FillCheckFacts) good(limit Limit) bool {
	t, ok := c.judged()
	return ok && limit.Passed(t) && (c.ClosureOK == nil || *c.ClosureOK)
}

// windowOf is the window of one check of those in order of time.
func (f FillFacts) windowOf(i int, limit Limit) Window {
	w := Window{First: 1}
	for k, c := range f.Checks {
		if c.good(limit) && k < i {
			w.After = &f.Checks[k]
		}
		if c.good(limit) && k > i {
			w.Before = &f.Checks[k]
			break
		}
	}
	if w.After != nil {
		w.First = numberBeside(w.After.BottleNumber, 1)
	}
	switch {
	case w.Before != nil:
		w.Last = numberBeside(w.Before.BottleNumber, -1)
	case f.Count != nil:
		w.Last = *f.Count
	}
	return w.around(f.Checks[i].BottleNumber)
}

// numberBeside is the number of the next bottle, or of the one before; 0 where the number was not said.
func numberBeside(bottle *int, step int) int {
	if bottle == nil {
		return 0
	}
	return *bottle + step
}

// around takes the bottle looked at into the window; ends that cross each other say nothing.
func (w Window) around(own *int) Window {
	if own != nil && w.First > 0 {
		w.First = min(w.First, *own)
	}
	if own != nil && w.Last > 0 {
		w.Last = max(w.Last, *own)
	}
	if w.Known() && w.First > w.Last {
		w.First, w.Last = 0, 0
	}
	return w
}

// window adds to a finding which bottles it holds: by number where they were counted, else by the clock.
func (f FillFacts) window(i int, limit Limit, finding Finding, rules Rules) Finding {
	w := f.windowOf(i, limit)
	from, to := windowEnd("fill_window.first_bottle", f.StartedAt, rules), windowEnd("fill_window.last_bottle", f.EndedAt, rules)
	if w.After != nil {
		from = windowEnd("", &w.After.At, rules)
	}
	if w.Before != nil {
		to = windowEnd("", &w.Before.At, rules)
	}
	if w.Known() {
		from, to = named(strconv.Itoa(w.First)), named(strconv.Itoa(w.Last))
	}
	return finding.with("From", from).with("To", to)
}

func windowEnd(key string, at *time.Time, rules Rules) Value {
	if at == nil {
		return keys(key)
	}
	return clockOf(*at, rules.zone())
}

// FillWindow is the window of a check by its id; false when it is none of the filling's.
func FillWindow(f FillFacts, checkID string, rules Rules) (Window, bool) {
	f.Checks = f.inTime()
	i := slices.IndexFunc(f.Checks, func(c FillCheckFacts) bool { return c.ID == checkID })
	if i < 0 {
		return Window{}, false
	}
	limit, _ := f.limit(rules)
	return f.windowOf(i, limit), true
}

// OfBottles leaves out the findings about fill checks whose window holds none of the bottles first to last; nil: the
// numbers are not known, and every finding stays.
func OfBottles(findings []Finding, l LotFacts, rules Rules, first, last *int) []Finding {
	fill := l.fill()
	return slices.DeleteFunc(slices.Clone(findings), func(f Finding) bool {
		w, ok := FillWindow(fill, f.About, rules)
		return ok && !w.Covers(first, last)
	})
}

// Doubted is bottles that findings at hold or stop keep back.
type Doubted struct {
	Window
	Findings []Finding
}

// DoubtedBottles lists the windows of the fill checks that hold bottles, in order, those that meet made one. Findings are
// those of JudgeLot.
func DoubtedBottles(findings []Finding, l LotFacts, rules Rules) []Doubted {
	fill := l.fill()
	fill.Checks = fill.inTime()
	limit, _ := fill.limit(rules)
	var list []Doubted
	for i, c := range fill.Checks {
		held := slices.DeleteFunc(At(findings, Hold), func(f Finding) bool { return f.About != c.ID })
		if len(held) == 0 {
			continue
		}
		w := fill.windowOf(i, limit)
		if n := len(list); n > 0 && list[n-1].meets(w) {
			list[n-1].join(w)
			list[n-1].Findings = append(list[n-1].Findings, held...)
			continue
		}
		list = append(list, Doubted{w, held})
	}
	return list
}

// meets tells whether a later window overlaps or follows at once; two that lie between the same good checks always do.
func (d *Doubted) meets(w Window) bool {
	if d.After == w.After && d.Before == w.Before {
		return true
	}
	return d.Known() && w.Known() && w.First <= d.Last+1
}

func (d *Doubted) join(w Window) {
	d.Before = w.Before
	if d.Known() && w.Known() {
		d.First, d.Last = min(d.First, w.First), max(d.Last, w.Last)
	} else {
		d.First, d.Last = 0, 0
	}
}
