//go:build race

package hazards

// raceEnabled tells whether this is a race build, in which the simulated boils take five times as long.
const raceEnabled = true
