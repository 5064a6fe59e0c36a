package main

import (
	"os"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"
)

func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){"secondop": func() { os.Exit(run(os.Args[1:], os.Stdin, os.Stdout, os.Stderr)) }})
}

// TestScripts runs whole commands as a user types them. Each file in
// testdata/script is one story.
func TestScripts(t *testing.T) {
	testscript.Run(t, testscript.Params{Dir: "testdata/script"})
}
