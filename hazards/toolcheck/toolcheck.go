// Package toolcheck is what every test asks before it uses a program made by others: a browser, a reader of PDF or QR, a
// database server. It is for tests only.
package toolcheck

import (
	"os"
	"os/exec"
	"testing"
)

// Required is the environment variable that turns a missing tool from a skip into a failure; any value does.
const Required = "CANEWRIGHT_REQUIRE_TOOLS"

// Need skips a test whose programs are not installed, with the reason, or fails it where the outside checks are required.
func Need(t testing.TB, programs ...string) {
	t.Helper()
	for _, name := range programs {
		if _, err := exec.LookPath(name); err != nil {
			Missing(t, name+" is not installed")
		}
	}
}

// Missing skips a test for the reason given, or fails it where the outside checks are required.
func Missing(t testing.TB, why string) {
	t.Helper()
	if os.Getenv(Required) != "" {
		t.Fatalf("%s, and the outside checks are required (%s is set)", why, Required)
	}
	t.Skip(why)
}
