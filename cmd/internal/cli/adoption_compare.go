package cli

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"voidcheck/checks"
	"voidcheck/checks/adoption"
	"voidcheck/checks/catalogue"
	"voidcheck/checks/finding"
	"voidcheck/checks/measure"
	"voidcheck/cmd/internal/kept"
	"voidcheck/cmd/internal/review"
	"voidcheck/cmd/internal/rounds"
	"voidcheck/cmd/internal/whatif"
)

// adoptionCompareCmd is voidcheck adoption compare.
type adoptionCompareCmd struct {
	A         string   `arg:"" name:"a" help:"Adoption file, the name of a starter, or 'defaults'."`
	B         string   `arg:"" name:"b" help:"Adoption file, the name of a starter, or 'defaults'."`
	Models    []string `arg:"" name:"model" help:"Model files of one building, findings.json files, or folders. In a folder every model file, every findings file and every folder with model files in it is one submittal."`
	Submittal string   `help:"Submittal file for all submittals; a folder's own submittal.json comes first." placeholder:"FILE"`
	Lexicon   string   `help:"Lexicon file that replaces the embedded one." placeholder:"FILE"`
	Units     string   `help:"Unit system of texts: ${enum}." enum:"us,si" default:"us"`
	Format    string   `help:"Output format: ${enum}." enum:"table,json" default:"table"`
	Cache     string   `help:"Folder in which models that were read are kept, up to 2 GB, so that the next comparison need not read them." placeholder:"DIR"`
	Quiet     bool     `short:"q" help:"No progress and no warnings."`
}

// submittal is what is judged as one.
type submittal struct {
	name      string
	models    []string
	findings  string // instead of models
	submittal string
}

// Run judges every submittal under both adoptions.
func (c *adoptionCompareCmd) Run(a *app) error {
	x, err := review.ReadAdoption(c.A)
	if err != nil {
		return err
	}
	y, err := review.ReadAdoption(c.B)
	if err != nil {
		return err
	}
	list, err := c.submittals()
	if err != nil {
		return err
	}
	j := judging{compare: c, warn: func(text string) {
		if !c.Quiet {
			fmt.Fprintln(a.stderr, finding.Clean(text))
		}
	}}
	if c.Cache != "" {
		if j.folder, err = kept.Open(c.Cache); err != nil {
			return err
		}
	}
	cat := catalogue.Checks()
	cmp := whatif.New(x, y, cat)
	cmp.Tool, cmp.Units = finding.Tool{Version: review.Version}, c.Units
	bar := a.progress(c.Quiet)
	for i, s := range list {
		bar.step(s.name, i, len(list))
		m, err := j.judge(a.ctx, cmp, s, x, y, cat)
		if errors.Is(err, context.Canceled) {
			bar.stop()
			return err
		}
		if err != nil {
			m = whatif.Model{Name: s.name, Source: "models", Error: err.Error()}
			if s.findings != "" {
				m.Source = "findings"
			}
			a.status = BadInput
		}
		cmp.Add(m)
	}
	bar.stop()
	cmp.Finish(cat)
	if c.Format == "json" {
		return whatif.WriteJSON(a.stdout, cmp)
	}
	return whatif.WriteTable(a.stdout, cmp)
}

// judging judges submittals; folder keeps those that were read, nil for nothing.
type judging struct {
	compare *adoptionCompareCmd
	folder  *kept.Folder
	warn    func(string)
}

// load reads the models of a submittal, or takes them as they are kept. The returned function
// keeps what was not kept before.
func (j *judging) load(ctx context.Context, s submittal) (*review.Model, func(), error) {
	opt := review.Options{Models: s.models, Submittal: s.submittal, Lexicon: j.compare.Lexicon}
	if j.folder == nil {
		m, err := review.Load(ctx, opt)
		return m, func() {}, err
	}
	key, err := kept.Key(opt)
	if err != nil { // what cannot be read is told by its reader
		m, err := review.Load(ctx, opt)
		return m, func() {}, err
	}
	m, err := j.folder.Load(key)
	if err != nil {
		j.warn(fmt.Sprintf("%s: what the cache keeps of it cannot be used (%v); the models are read again", s.name, err))
	}
	known := 0
	if m == nil {
		if m, err = review.Load(ctx, opt); err != nil {
			return nil, nil, err
		}
	} else {
		known = len(m.Solved())
	}
	return m, func() {
		if len(m.Solved()) == known {
			return
		}
		if err := j.folder.Save(key, m); err != nil {
			j.warn(fmt.Sprintf("%s: cannot be kept in the cache (%v)", s.name, err))
		}
	}, nil
}

// judge judges one submittal under both adoptions; its models are read once.
func (j *judging) judge(ctx context.Context, cmp *whatif.Comparison, s submittal, x, y *adoption.Adoption, cat []*checks.Check) (whatif.Model, error) {
	if s.findings != "" {
		data, err := review.ReadFile(s.findings)
		if err != nil {
			return whatif.Model{}, err
		}
		r, err := rounds.Read(s.findings, data)
		if err != nil {
			return whatif.Model{}, err
		}
		return cmp.Past(s.name, r, x, y, cat), nil
	}
	m, keep, err := j.load(ctx, s)
	if err != nil {
		return whatif.Model{}, err
	}
	units := measure.System(j.compare.Units)
	p, err := m.Judge(ctx, x, units)
	if err != nil {
		return whatif.Model{}, err
	}
	q, err := m.Judge(ctx, y, units)
	if err != nil {
		return whatif.Model{}, err
	}
	keep()
	return cmp.Judged(s.name, p, q), nil
}

// submittals sorts the arguments: model files together are one building.
func (c *adoptionCompareCmd) submittals() ([]submittal, error) {
	var out []submittal
	one := submittal{submittal: c.Submittal}
	for _, name := range c.Models {
		info, err := os.Stat(name)
		switch {
		case errors.Is(err, fs.ErrNotExist):
			return nil, fmt.Errorf("%s: there is no such file or folder; check the name", name)
		case err != nil:
			return nil, fmt.Errorf("%s: cannot be read; check its permissions", name)
		case info.IsDir():
			more, err := c.folder(name)
			if err != nil {
				return nil, err
			}
			if len(more) == 0 {
				return nil, fmt.Errorf("%s: the folder holds no model files and no findings", name)
			}
			out = append(out, more...)
		case isFindings(name):
			out = append(out, submittal{name: name, findings: name})
		default:
			one.models = append(one.models, name)
		}
	}
	if len(one.models) > 0 {
		one.name = strings.Join(one.models, ", ")
		out = slices.Insert(out, 0, one)
	}
	return out, nil
}

// modelEndings are the names by which model files are looked for in folders.
var modelEndings = []string{".ifc", ".ifcxml", ".ifczip", ".ifcx"}

func isModel(name string) bool {
	return slices.Contains(modelEndings, strings.ToLower(filepath.Ext(name)))
}

// folder lists the submittals of a folder, by name.
func (c *adoptionCompareCmd) folder(dir string) ([]submittal, error) {
	entries, err := os.ReadDir(dir)
	if err != nil {
		return nil, fmt.Errorf("%s: the folder cannot be read; check its permissions", dir)
	}
	var out []submittal
	for _, e := range entries {
		name := filepath.Join(dir, e.Name())
		switch {
		case e.IsDir():
			s := submittal{name: name, submittal: c.Submittal}
			inside, err := os.ReadDir(name)
			if err != nil {
				return nil, fmt.Errorf("%s: the folder cannot be read; check its permissions", name)
			}
			for _, f := range inside {
				switch {
				case isModel(f.Name()):
					s.models = append(s.models, filepath.Join(name, f.Name()))
				case f.Name() == "submittal.json":
					s.submittal = filepath.Join(name, f.Name())
				}
			}
			if len(s.models) > 0 {
				out = append(out, s)
			}
		case isModel(name):
			out = append(out, submittal{name: name, models: []string{name}, submittal: c.Submittal})
		case strings.HasSuffix(name, ".json") && isFindings(name):
			out = append(out, submittal{name: name, findings: name})
		}
	}
	return out, nil
}

// isFindings reports whether a file says that it holds findings of voidcheck.
func isFindings(name string) bool {
	f, err := os.Open(name)
	if err != nil {
		return false
	}
	defer f.Close()
	head := make([]byte, 512)
	n, err := io.ReadFull(f, head)
	if err != nil && !errors.Is(err, io.ErrUnexpectedEOF) {
		return false
	}
	return bytes.Contains(head[:n], []byte(`"voidcheck-findings-`))
}
