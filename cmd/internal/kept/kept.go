// Package kept keeps buildings that were read, recognised and solved in a folder, by the hash
// of their models, so that they can be judged under other limits in a moment. It judges
// nothing. What it keeps is of one build of the program and of no use to another.
package kept

import (
	"bytes"
	"cmp"
	"crypto/sha256"
	"encoding/gob"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"sync"
	"time"

	"voidcheck/cmd/internal/review"
)

// magic begins every file, before the hash of what follows.
const magic = "voidcheck kept building 1\n"

// MostBytes is how much a folder holds; the buildings that were not asked for longest go first.
const MostBytes = 2 << 30

const ending = ".kept"

// Folder is where buildings are kept.
type Folder struct {
	dir  string
	most int64
}

// Open uses a folder, which is made when it is not there.
func Open(dir string) (*Folder, error) {
	if err := os.MkdirAll(dir, 0o755); err != nil {
		return nil, &review.UsageError{Text: fmt.Sprintf("--cache %s: the folder cannot be made; check the name and its permissions", dir)}
	}
	return &Folder{dir: dir, most: MostBytes}, nil
}

// program is the hash of the running program: another build may read a model otherwise.
var program = sync.OnceValues(func() (string, error) {
	name, err := os.Executable()
	if err != nil {
		return "", err
	}
	return hashFile(name)
})

func hashFile(name string) (string, error) {
	f, err := os.Open(name)
	if err != nil {
		return "", err
	}
	defer f.Close()
	h := sha256.New()
	if _, err := io.Copy(h, f); err != nil {
		return "", err
	}
	return hex.EncodeToString(h.Sum(nil)), nil
}

// Key is the name under which a building is kept: the hash of the program, of the model files
// in their order, and of the submittal and lexicon files, which recognition goes by.
func Key(opt review.Options) (string, error) {
	h := sha256.New()
	one, err := program()
	if err != nil {
		return "", err
	}
	fmt.Fprintln(h, one)
	for _, group := range [][]string{opt.Models, {opt.Submittal}, {opt.Lexicon}} {
		fmt.Fprintln(h, len(group))
		for _, name := range group {
			sum := ""
			if name != "" {
				if sum, err = hashFile(name); err != nil {
					return "", err
				}
			}
			fmt.Fprintln(h, filepath.Base(name), sum) // the name stands in what is said of damage
		}
	}
	return hex.EncodeToString(h.Sum(nil)), nil
}

// ErrDamaged tells that a kept file is not as it was written; the model has to be read again.
var ErrDamaged = errors.New("a kept building is damaged")

// Load returns a building, nil when it is not kept.
func (f *Folder) Load(key string) (*review.Model, error) {
	name := filepath.Join(f.dir, key+ending)
	data, err := os.ReadFile(name)
	if errors.Is(err, os.ErrNotExist) {
		return nil, nil
	}
	if err != nil {
		return nil, err
	}
	head := len(magic) + sha256.Size
	if len(data) < head || string(data[:len(magic)]) != magic {
		return nil, ErrDamaged
	}
	if sum := sha256.Sum256(data[head:]); !bytes.Equal(sum[:], data[len(magic):head]) {
		return nil, ErrDamaged
	}
	var b building
	if err := gob.NewDecoder(bytes.NewReader(data[head:])).Decode(&b); err != nil {
		return nil, ErrDamaged
	}
	m, err := b.thaw()
	if err != nil {
		return nil, ErrDamaged
	}
	now := time.Now()
	_ = os.Chtimes(name, now, now) // when it was asked for last; a folder that is only read stays so
	return m, nil
}

// Save keeps a building with the voids that were worked out. It is written beside and then
// given its name, so that a run that ends in between leaves nothing half written.
func (f *Folder) Save(key string, m *review.Model) error {
	b, err := freeze(m)
	if err != nil {
		return err
	}
	var out bytes.Buffer
	out.WriteString(magic)
	out.Write(make([]byte, sha256.Size))
	if err := gob.NewEncoder(&out).Encode(b); err != nil {
		return err
	}
	data := out.Bytes()
	head := len(magic) + sha256.Size
	if int64(len(data)) > f.most {
		return nil
	}
	sum := sha256.Sum256(data[head:])
	copy(data[len(magic):], sum[:])
	tmp, err := os.CreateTemp(f.dir, "writing-*")
	if err != nil {
		return err
	}
	_, err = tmp.Write(data)
	if e := tmp.Close(); err == nil {
		err = e
	}
	if err == nil {
		err = os.Rename(tmp.Name(), filepath.Join(f.dir, key+ending))
	}
	if err != nil {
		_ = os.Remove(tmp.Name())
		return err
	}
	return f.bound()
}

// bound removes what was not asked for longest until the folder is within its size.
func (f *Folder) bound() error {
	entries, err := os.ReadDir(f.dir)
	if err != nil {
		return err
	}
	type file struct {
		name string
		size int64
		at   time.Time
	}
	var list []file
	total := int64(0)
	for _, e := range entries {
		if filepath.Ext(e.Name()) != ending { // nothing else in the folder is ours
			continue
		}
		if info, err := e.Info(); err == nil {
			list = append(list, file{e.Name(), info.Size(), info.ModTime()})
			total += info.Size()
		}
	}
	slices.SortFunc(list, func(a, b file) int { return cmp.Or(a.at.Compare(b.at), cmp.Compare(a.name, b.name)) })
	for _, x := range list {
		if total <= f.most {
			break
		}
		if err := os.Remove(filepath.Join(f.dir, x.name)); err != nil && !errors.Is(err, os.ErrNotExist) {
			return err
		}
		total -= x.size
	}
	return nil
}
