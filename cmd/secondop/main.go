// Command secondop designs printed soft jaws for one more operation on a
// finished part and judges grip, heat and fit from one job file.
package main

import (
	"context"
	"io"
	"os"
	"os/signal"
)

func main() { os.Exit(run(os.Args[1:], os.Stdin, os.Stdout, os.Stderr)) }

// run is the program without the process around it. It returns the exit
// status: 0 done; 1 done, verdict stop; 2 not done; 130 interrupted.
func run(args []string, stdin io.Reader, stdout, stderr io.Writer) int {
	ctx, cancel := signal.NotifyContext(context.Background(), os.Interrupt)
	defer cancel()
	a := newApp(stdin, stdout, stderr)
	root := newRoot(a)
	root.SetArgs(args)
	return a.exit(ctx, root.ExecuteContext(ctx))
}
