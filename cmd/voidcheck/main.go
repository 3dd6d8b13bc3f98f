// Command voidcheck reviews building models of light wood-frame dwellings for concealed
// combustible spaces: where draftstops, fireblocks and penetration seals are missing, too
// far apart, incomplete or not shown.
package main

import (
	"os"

	"voidcheck/cmd/internal/cli"
)

func main() { os.Exit(cli.Main(os.Args[1:], os.Stdin, os.Stdout, os.Stderr)) }
