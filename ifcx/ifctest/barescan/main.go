//go:build unix

// Barescan maps a STEP file, records number, type and offset of every instance, and prints how
// many there are. It is the yardstick for the speed of intake (DEVELOPERS.md, Speed).
package main

import (
	"fmt"
	"os"
	"syscall"

	"voidcheck/ifcx/ifctest/bare"
)

func main() {
	if err := run(os.Args); err != nil {
		fmt.Fprintln(os.Stderr, "barescan:", err)
		os.Exit(1)
	}
}

func run(args []string) error {
	if len(args) != 2 {
		return fmt.Errorf("name one STEP file")
	}
	f, err := os.Open(args[1])
	if err != nil {
		return err
	}
	defer f.Close()
	info, err := f.Stat()
	if err != nil {
		return err
	}
	d, err := syscall.Mmap(int(f.Fd()), 0, int(info.Size()), syscall.PROT_READ, syscall.MAP_PRIVATE)
	if err != nil {
		return err
	}
	x := bare.Scan(d)
	fmt.Println(len(x.IDs), "instances of", len(x.Names), "entities")
	return nil
}
