//go:build !race

package hazards

// raceEnabled tells whether this is a race build.
const raceEnabled = false
