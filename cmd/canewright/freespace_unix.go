//go:build linux || darwin || freebsd

package main

import "golang.org/x/sys/unix"

// freeSpace is how many bytes may still be written to the disk of a folder; false when the system does not say.
func freeSpace(folder string) (uint64, bool) {
	var disk unix.Statfs_t
	if err := unix.Statfs(folder, &disk); err != nil {
		return 0, false
	}
	return uint64(disk.Bavail) * uint64(disk.Bsize), true
}
