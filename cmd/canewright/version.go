package main

import "runtime/debug"

// version prints what was built, from what and by which Go.
func version(c *call) error {
	c.withJSON()
	if err := c.parse(); err != nil {
		return err
	}
	v := versionOf()
	if c.json {
		return c.encode(v)
	}
	c.say("cmd.version", "Version", v.String(), "Go", v.Go)
	return nil
}

// built is what this program was built from.
type built struct {
	Version string `json:"version"`
	Commit  string `json:"commit,omitempty"`
	At      string `json:"committed_at,omitempty"`
	Changed bool   `json:"changed_since"`
	Go      string `json:"go"`
}

func (v built) String() string {
	s := v.Version
	if v.Commit != "" {
		s += " " + v.Commit[:min(12, len(v.Commit))]
	}
	if v.Changed {
		s += "+"
	}
	return s
}

func versionOf() built {
	info, ok := debug.ReadBuildInfo()
	if !ok {
		return built{Version: "unknown"}
	}
	return built{Version: info.Main.Version, Commit: setting(info, "vcs.revision"), At: setting(info, "vcs.time"),
		Changed: setting(info, "vcs.modified") == "true", Go: info.GoVersion}
}
