package main

import (
	"time"

	"canewright/labels"
)

// lotCodeFound is the answer of calc lotcode. When the code is wrong only Code, Valid and Problem are filled.
type lotCodeFound struct {
	Code     string `json:"code"`
	Printed  string `json:"printed,omitempty"`
	Date     string `json:"date,omitempty"`
	Kettle   *int   `json:"kettle,omitempty"`
	Bottling int    `json:"bottling,omitempty"`
	Valid    bool   `json:"valid"`
	Problem  string `json:"problem,omitempty"`
	checked  bool
}

// wrongCode says that a checked code is wrong: the program has an answer, and it ends with 1.
type wrongCode struct{ err error }

func (w wrongCode) Error() string { return w.err.Error() }

// calcLotCode is `calc lotcode --date 2025-12-07 --kettle 2 --bottling 1` or `calc lotcode --check CODE`.
func calcLotCode(in *inputs) (result, error) {
	if err := in.parse("date", "kettle", "bottling", "check"); err != nil {
		return nil, err
	}
	making := in.given("date") || in.given("kettle") || in.given("bottling")
	if making && in.given("check") {
		return nil, eitherOf("--date 2025-12-07 --kettle 2 --bottling 1", "--check 25341K2B1P")
	}
	if in.given("check") {
		return checkLotCode(in.text("check"))
	}
	day := required(in, "date", "2025-12-07", calendarDay)
	kettle := required(in, "kettle", "2", wholeNumber)
	bottling := required(in, "bottling", "1", wholeNumber)
	if err := in.err(); err != nil {
		return nil, err
	}
	code, err := labels.NewLotCode(day, kettle, bottling)
	if err != nil {
		return nil, err
	}
	return describeLotCode(code), nil
}

func checkLotCode(typed string) (result, error) {
	code, err := labels.ParseLotCode(typed)
	if err != nil {
		return lotCodeFound{Code: typed, Problem: err.Error(), checked: true}, wrongCode{err}
	}
	found := describeLotCode(code)
	found.checked = true
	return found, nil
}

func describeLotCode(code labels.LotCode) lotCodeFound {
	kettle := code.Kettle()
	return lotCodeFound{
		Code: code.String(), Printed: code.Printed(), Date: code.Day().Format(time.DateOnly),
		Kettle: &kettle, Bottling: code.Bottling(), Valid: true,
	}
}

func (f lotCodeFound) lines() []string {
	if !f.Valid {
		return []string{f.Problem}
	}
	head := say("calc.lotcode.made", "Printed", f.Printed, "Code", f.Code)
	if f.checked {
		head = say("calc.lotcode.right", "Printed", f.Printed)
	}
	if *f.Kettle == 0 {
		return []string{head, say("calc.lotcode.mixed", "Date", f.Date, "Bottling", f.Bottling)}
	}
	return []string{head, say("calc.lotcode.means", "Date", f.Date, "Kettle", *f.Kettle, "Bottling", f.Bottling)}
}
