package app

// labelRoutes are the pages of the label room beside those of a lot: pictures before printing, counts, test pages and tray
// tags held against labels.
func (a *App) labelRoutes() []route {
	return []route{
		{"GET", "/lot/:id/labels/picture", reader, a.showLabelPicture},
		{"GET", "/lot/:id/labels/page", reader, a.showSheetPicture},
		{"POST", "/lot/:id/labels/count", crew, a.countLabels},
		{"GET", "/stock/:id/test-page", reader, a.showTestPage},
		{"GET", "/stock/:id/test-page/look", reader, a.previewTestPage},
		{"POST", "/stock/:id/test-page", crew, a.printTestPage},
		{"GET", "/filler/match", crew, a.showTagMatch},
		{"POST", "/filler/match", crew, a.matchTag},
		{"POST", "/filler/match/photo/:side", crew, a.matchByPhoto},
		{"GET", "/filler/match/:id", reader, a.showMismatch},
		{"POST", "/filler/match/:id", crew, a.answerMismatch},
	}
}
