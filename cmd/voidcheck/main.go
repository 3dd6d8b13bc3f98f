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
	// tenth of its time, and the soft limit keeps large models within bounds.
	if os.Getenv("GOGC") == "" {
		debug.SetGCPercent(200)
		debug.SetMemoryLimit(memoryLimit(os.Args[1:]))
	}
	os.Exit(cli.Main(os.Args[1:], os.Stdin, os.Stdout, os.Stderr))
}

// memoryLimit is from how much memory on the collector works harder, bytes. A review of a row of
// dwelling units keeps eight to nine times the size of its model at most (DEVELOPERS.md,
// "Speed"): a limit near to that would cost more time than it saves memory.
func memoryLimit(args []string) int64 {
	const least, timesFiles = 1300 << 20, 12
	files := int64(0)
	for _, a := range args {
		if info, err := os.Stat(a); err == nil && info.Mode().IsRegular() {
			files += info.Size()
		}
	}
	return max(least, timesFiles*files)
}
