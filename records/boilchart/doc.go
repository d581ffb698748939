// Package boilchart lays the picture of a boil out on a sheet: how far the kettle stood above boiling water, and how thick the
// syrup was, over the minutes since the fire was lit; past boils as one shaded band; where the target lies; the times the fire
// was out; and what happened, as words on a ruled strip below. It is pure: it knows no record, no screen and no paper. The app
// draws its places as SVG, the batch sheet as lines of a PDF in its own font.
//
// A plotting library was considered (gonum/plot) and not taken: it draws its own fonts, has no strip of words, and its PDF is
// a page of its own, while what is left for it here, two axes and a polyline, is short.
package boilchart
