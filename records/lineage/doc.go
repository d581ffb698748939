// Package lineage is the chain between records as a pure graph: what reaches what, and in which shares.
//
// Reach (Back, Forward) is exact and never cut off by a small share. Shares are on dissolved solids up to the lot, since
// water leaves in the kettle, and on units after it.
package lineage
