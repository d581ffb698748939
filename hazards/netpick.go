package hazards

import (
	"crypto/sha256"
	"encoding/binary"
	"strconv"
)

// PickPackages draws so many different packages of a lot, numbered from 1, in random order. The same seed always draws the
// same ones, and a longer draw begins with the shorter: what follows can stand in for packages that are gone. Nil where there
// are not so many.
func PickPackages(seed string, lot, packages int) []int {
	if packages < 0 || packages > lot {
		return nil
	}
	stream := drawing{seed: seed}
	moved := map[int]int{} // of a row of all numbers, those that were swapped
	at := func(i int) int {
		if n, ok := moved[i]; ok {
			return n
		}
		return i + 1
	}
	picked := make([]int, packages)
	for i := range picked {
		k := i + stream.below(lot-i)
		picked[i] = at(k)
		moved[k] = at(i)
	}
	return picked
}

// drawing is a stream of numbers out of a seed: SHA-256 of the seed and a counter, so that it is the same on every machine.
type drawing struct {
	seed  string
	count int
}

// below is a number from 0 to n-1, each as likely.
func (d *drawing) below(n int) int {
	size := uint64(n)
	for {
		d.count++
		sum := sha256.Sum256([]byte("net sample\n" + d.seed + "\n" + strconv.Itoa(d.count)))
		x := binary.BigEndian.Uint64(sum[:8])
		if whole := x - x%size; whole <= -size { // the last, shorter round of numbers would favour the low ones
			return int(x % size)
		}
	}
}
