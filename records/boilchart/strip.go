package boilchart

import (
	"cmp"
	"slices"
	"strconv"
)

// longestWord is how many letters of an event's word stand on the strip.
const longestWord = 22

// strip puts events on as few rows as they need. The same word again before there is room for it is counted; a word for
// which there is no row left keeps its tick.
func strip(events []Event, s scale, top float64, sheet Sheet) Strip {
	st := Strip{Top: top, Left: 0, Right: sheet.Width}
	var rows []float64 // where each row is taken up to
	latest := map[string]int{}
	for _, e := range slices.SortedStableFunc(slices.Values(events), func(a, b Event) int { return cmp.Compare(a.Minute, b.Minute) }) {
		word := shortened(e.Word)
		x := s.x(e.Minute)
		if i, ok := latest[word]; ok && st.Words[i].Row >= 0 && x <= st.Words[i].to {
			st.Words[i].times++
			st.Words[i].Text = word + " ×" + strconv.Itoa(st.Words[i].times)
			st.Words = append(st.Words, Word{Tick: x, Row: -1})
			continue
		}
		w := Word{Mark: Mark{Place{X: x}, word, Left}, Tick: x, word: word, times: 1}
		wide := sheet.Wide(word + " ×9") // room to count
		w.from, w.to = x, x+wide
		switch { // to the right of its tick where there is room, else to its left, else as far right as it goes
		case w.to > sheet.Width && x >= wide:
			w.End, w.from, w.to = Right, x-wide, x
		case w.to > sheet.Width:
			w.X = max(0, sheet.Width-wide)
			w.from, w.to = w.X, w.X+wide
		}
		if w.Row = freeRow(&rows, w, sheet); w.Row < 0 {
			w.Text = ""
		}
		latest[word] = len(st.Words)
		st.Words = append(st.Words, w)
	}
	for i := range st.Words {
		st.Words[i].Y = tenth(top + (float64(st.Words[i].Row)+0.72)*sheet.Row)
	}
	for r := range len(rows) + 1 {
		st.Rules = append(st.Rules, tenth(top+float64(r)*sheet.Row))
	}
	return st
}

// freeRow is the first row with room for a word, or a new one; -1 when there are enough.
func freeRow(rows *[]float64, w Word, s Sheet) int {
	for r, taken := range *rows {
		if w.from >= taken+s.Gap {
			(*rows)[r] = w.to
			return r
		}
	}
	if len(*rows) == s.Rows {
		return -1
	}
	*rows = append(*rows, w.to)
	return len(*rows) - 1
}

// shortened cuts a long word with a mark.
func shortened(word string) string {
	letters := []rune(word)
	if len(letters) <= longestWord {
		return word
	}
	return string(letters[:longestWord-1]) + "…"
}
