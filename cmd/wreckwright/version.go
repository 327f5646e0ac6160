package main

import (
	"fmt"
	"runtime"
	"runtime/debug"
)

// release is set by the linker for a released build:
// -ldflags "-X main.release=1.0.0".
var release = "development"

type versionCommand struct{}

// Run prints the version, the revision it was built from and the platform.
func (versionCommand) Run(out output) error {
	fmt.Fprintf(out.Result, "wreckwright %s%s (%s %s/%s)\n", release, revision(), runtime.Version(), runtime.GOOS, runtime.GOARCH)
	return nil
}

func revision() string {
	info, ok := debug.ReadBuildInfo()
	if !ok {
		return ""
	}
	text := ""
	for _, s := range info.Settings {
		switch {
		case s.Key == "vcs.revision" && len(s.Value) >= 12:
			text = " " + s.Value[:12] + text
		case s.Key == "vcs.modified" && s.Value == "true":
			text += " with changes"
		}
	}
	return text
}
