//go:build !linux && !darwin && !freebsd

package main

// freeSpace is not asked for on this system.
func freeSpace(string) (uint64, bool) { return 0, false }
