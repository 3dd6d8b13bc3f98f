// Demo writes the demonstration models into testdata/demo, or into the folder given. With -row
// it writes instead one model of a row of that many dwelling units into the file named, as
// STEP, ifcXML or IFC5 by its extension, for trying the program on large models:
//
//	go run ./ifcx/ifctest/demo -row 500 row.ifc   (107 MB)
package main

import (
	"bufio"
	"errors"
	"flag"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"

	"voidcheck/ifcx/ifctest"
)

func main() {
	units := flag.Int("row", 0, "write a row of `N` units into the file named")
	schema := flag.String("schema", "IFC4", "IFC2X3, IFC4 or IFC4X3, of -row")
	flag.Parse()
	if *units > 0 {
		if err := writeRow(flag.Arg(0), *units, *schema); err != nil {
			fmt.Fprintln(os.Stderr, "demo:", err)
			os.Exit(1)
		}
		return
	}
	dir := filepath.Join("testdata", "demo")
	if flag.NArg() > 0 {
		dir = flag.Arg(0)
	} else if root, err := moduleRoot(); err == nil {
		dir = filepath.Join(root, dir)
	}
	if err := write(dir); err != nil {
		fmt.Fprintln(os.Stderr, "demo:", err)
		os.Exit(1)
	}
}

// writeRow writes a row of units in millimetres.
func writeRow(name string, units int, schema string) (err error) {
	m, err := ifctest.Row(units).Build()
	if err != nil {
		return err
	}
	to := map[string]func(io.Writer, ifctest.Disguise) error{".ifc": m.WriteSTEP, ".ifcxml": m.WriteXML, ".ifcx": m.WriteIFC5}[filepath.Ext(name)]
	if to == nil {
		return fmt.Errorf("%q: name a file that ends in .ifc, .ifcxml or .ifcx", name)
	}
	f, err := os.Create(name)
	if err != nil {
		return err
	}
	w := bufio.NewWriterSize(f, 1<<20)
	if err := to(w, ifctest.Disguise{Schema: schema, Unit: "mm"}); err != nil {
		f.Close()
		return err
	}
	return errors.Join(w.Flush(), f.Close())
}

// moduleRoot walks up to go.mod, so that the command works from any folder of the repository.
func moduleRoot() (string, error) {
	dir, err := os.Getwd()
	for err == nil {
		if _, e := os.Stat(filepath.Join(dir, "go.mod")); e == nil {
			return dir, nil
		}
		up := filepath.Dir(dir)
		if up == dir {
			return "", os.ErrNotExist
		}
		dir = up
	}
	return "", err
}

func write(dir string) error {
	files, err := ifctest.DemoFiles()
	if err != nil {
		return err
	}
	if err := os.MkdirAll(dir, 0o755); err != nil {
		return err
	}
	names := make([]string, 0, len(files))
	for n := range files {
		names = append(names, n)
	}
	slices.Sort(names)
	for _, n := range names {
		if err := os.MkdirAll(filepath.Dir(filepath.Join(dir, n)), 0o755); err != nil {
			return err
		}
		if err := os.WriteFile(filepath.Join(dir, n), files[n], 0o644); err != nil {
			return err
		}
		fmt.Printf("%s %d bytes\n", n, len(files[n]))
	}
	return nil
}
