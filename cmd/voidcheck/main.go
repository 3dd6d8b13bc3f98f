// Command voidcheck reviews building models of light wood-frame dwellings for concealed
// combustible spaces: where draftstops, fireblocks and penetration seals are missing, too
// far apart, incomplete or not shown.
package main

import (
	"os"
	"runtime/debug"

	"voidcheck/cmd/internal/cli"
)

func main() {
	// A run is short and mostly allocates what it keeps: collecting less often saves about a
	// tenth of its time, and the soft limit keeps large models within bounds. A lower limit
	// costs a row of 500 units half as much time again and saves a sixth of its memory.
	if os.Getenv("GOGC") == "" {
		debug.SetGCPercent(200)
		debug.SetMemoryLimit(2000 << 20)
	}
	os.Exit(cli.Main(os.Args[1:], os.Stdin, os.Stdout, os.Stderr))
}
