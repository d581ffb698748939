// Package labels is everything that goes on a bottle, a tray or a sheet of paper: the lot code and its check character,
// net contents, what may be printed, QR symbols, label stock given by its dimensions, and the page helper with which
// labels, batch sheets and the inspector's packet are drawn.
//
// It knows nothing of the store: whoever calls has decided what a label says. The same input always draws the same
// bytes; no clock is read and nothing is random.
package labels
