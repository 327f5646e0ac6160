package main

import (
	"fmt"

	"wreckwright/cmd/wreckwright/notices"
)

type licensesCommand struct{}

// Run prints every notice under the name and version of its module.
func (licensesCommand) Run(out output) error {
	list, err := notices.All()
	if err != nil {
		return err
	}
	for _, n := range list {
		fmt.Fprintf(out.Result, "==== %s %s\n\n%s\n", n.Module, n.Version, n.Text)
	}
	return nil
}
