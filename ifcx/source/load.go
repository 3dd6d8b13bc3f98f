package source

import (
	"archive/zip"
	"bytes"
	"errors"
	"fmt"
	"io"
	"path"
	"strings"
)

// Limits of what a zip may unpack to, against archives made to exhaust memory.
const (
	maxMembers  = 1000
	maxUnpacked = 1 << 30 // bytes over all members
	maxRatio    = 250     // unpacked to packed; deflate reaches 1032 on zeros, models 4 to 50
	ratioFree   = 1 << 20 // bytes that a member may have whatever its ratio
)

// ErrZipLimit is wrapped by the error for an archive that unpacks to more than is allowed.
var ErrZipLimit = errors.New("archive unpacks to more than is allowed")

// Load reads a file, and unpacks it when it is a zip. What can be no model is refused with
// an error that names the file, the reason and the way out. The bytes are a copy: what is
// done to the file afterwards changes nothing that is read from them.
func Load(name string) ([]*File, error) { return load(name, false) }

// Look is Load for a single pass: where that can be, the data is the file itself, mapped into
// memory, so that a pass over a large file needs little time and memory. Looking is around
// all that reads the data or text that came of it.
func Look(name string) ([]*File, error) { return load(name, true) }

func load(name string, look bool) ([]*File, error) {
	data, isMap, err := readFile(name, aModel, look)
	if err != nil {
		return nil, err
	}
	files, err := FromBytes(name, data)
	if len(files) == 1 && len(data) > 0 && &files[0].Data[0] == &data[0] { // not unpacked
		files[0].mapped = isMap
	}
	return files, err
}

// FromBytes is Load for content that is already in memory.
func FromBytes(name string, data []byte) ([]*File, error) {
	f := &File{Name: name, Data: data, Kind: Detect(data), Original: &Original{data: data}}
	if f.Kind == Zip {
		return unzip(f)
	}
	if err := f.usable(); err != nil {
		return nil, err
	}
	return []*File{f}, nil
}

// usable refuses what no reader can take.
func (f *File) usable() error {
	switch {
	case len(f.Data) == 0:
		return fmt.Errorf("%s: the file is empty (0 bytes); export or copy it again", f.Name)
	case len(bytes.Trim(f.Data, "\x00 \t\r\n\ufeff")) == 0:
		return fmt.Errorf("%s: the file holds nothing but blanks or NUL bytes; export or copy it again", f.Name)
	}
	switch f.Kind {
	case LFSPointer:
		return fmt.Errorf("%s: this is a Git LFS pointer and not the model itself (%d bytes); run git lfs pull in its repository, or download the file itself", f.Name, len(f.Data))
	case UTF32:
		return fmt.Errorf("%s: the text is UTF-32, which model files never are; save it as UTF-8, or export it again", f.Name)
	case UTF16:
		return fmt.Errorf("%s: the text is UTF-16, which model files never are but for XML; save it as UTF-8, or export it again", f.Name)
	case Unknown:
		return fmt.Errorf("%s: not a building model: it begins with %s; expected IFC (STEP), ifcXML, IFC5 JSON or a zip of these", f.Name, begins(f.Data))
	}
	return nil
}

// begins quotes the start of a file.
func begins(d []byte) string {
	for _, s := range []struct{ magic, what string }{
		{"%PDF", "%PDF (a PDF document)"}, {"AC10", "AC10 (a DWG drawing)"}, {"\x89PNG", "a PNG picture"},
		{"\xd0\xcf\x11\xe0", "an OLE container (RVT and older Office files are such)"}, {"\x1f\x8b", "gzip data; unpack it first"},
		{"7z\xbc\xaf", "7z data; unpack it first"}, {"Rar!", "RAR data; unpack it first"},
	} {
		if bytes.HasPrefix(d, []byte(s.magic)) {
			return s.what
		}
	}
	return fmt.Sprintf("%q", d[:min(len(d), 24)])
}

// unzip reads the model files of an archive in the archive's order. Members that are no
// models (pictures, notes) are passed over; an archive without any is an error.
func unzip(f *File) ([]*File, error) {
	z, err := zip.NewReader(bytes.NewReader(f.Data), int64(len(f.Data)))
	if err != nil {
		return nil, fmt.Errorf("%s: the zip cannot be opened (%v); it may have been cut off: copy it again", f.Name, err)
	}
	if len(z.File) > maxMembers {
		return nil, fmt.Errorf("%s: %w: %d members, %d at most; pack the models alone", f.Name, ErrZipLimit, len(z.File), maxMembers)
	}
	said := uint64(0) // what members named as models say they unpack to: too much is refused before any is
	for _, m := range z.File {
		if modelName(m.Name) && !m.FileInfo().IsDir() && !hidden(m.Name) {
			if said += min(m.UncompressedSize64, maxUnpacked+1); said > maxUnpacked {
				return nil, fmt.Errorf("%s/%s: %w", f.Name, m.Name, errTotal)
			}
		}
	}
	var files []*File
	var names []string
	left := int64(maxUnpacked)
	for _, m := range z.File {
		if m.FileInfo().IsDir() || hidden(m.Name) {
			continue
		}
		names = append(names, m.Name)
		x, err := f.member(m, left)
		if err != nil {
			return nil, fmt.Errorf("%s/%s: %w", f.Name, m.Name, err)
		}
		if x != nil {
			left -= int64(len(x.Data))
			files = append(files, x)
		}
	}
	if len(files) == 0 {
		return nil, fmt.Errorf("%s: the zip holds no model (it holds %s); expected a .ifc, .ifcxml or .ifcx file in it", f.Name, listed(names))
	}
	return files, nil
}

// sniff is how much of a member is unpacked to tell what it is.
const sniff = 64 << 10

// member unpacks one member; nil when it is no model. A model is unpacked to the size that
// the directory gives, which is what memory is taken for: one that goes on is refused.
func (f *File) member(m *zip.File, left int64) (*File, error) {
	if m.Flags&1 != 0 {
		return nil, errors.New("it is encrypted; pack it again without a password")
	}
	r, err := m.Open()
	if err != nil {
		return nil, fmt.Errorf("cannot be unpacked (%v); pack it again with plain deflate", err)
	}
	defer r.Close()
	begin := make([]byte, min(sniff, m.UncompressedSize64))
	n, err := io.ReadFull(r, begin)
	if err != nil && err != io.EOF && err != io.ErrUnexpectedEOF || err == io.ErrUnexpectedEOF && m.UncompressedSize64 > uint64(n) {
		return nil, damaged(err)
	}
	x := &File{Name: f.Name + "/" + m.Name, Data: begin[:n], Kind: Detect(begin[:n]), Original: f.Original}
	if x.Kind == Zip {
		return nil, errors.New("a zip inside a zip is not opened; unpack it first")
	}
	if x.Kind == Unknown && !modelName(m.Name) || x.Kind == IFC5 && !modelName(m.Name) {
		return nil, nil // a picture, a note, a settings file
	}
	if err := within(m, left); err != nil {
		return nil, err
	}
	x.Data = make([]byte, m.UncompressedSize64)
	copy(x.Data, begin[:n])
	if _, err := io.ReadFull(r, x.Data[n:]); err != nil {
		return nil, damaged(err)
	}
	if k, err := io.ReadFull(r, make([]byte, 1)); k > 0 || err != io.EOF { // also where the checksum is compared
		return nil, damaged(err)
	}
	x.Kind = Detect(x.Data)
	if err := x.usable(); err != nil {
		if !modelName(m.Name) {
			return nil, nil
		}
		return nil, errors.New(strings.TrimPrefix(err.Error(), x.Name+": "))
	}
	return x, nil
}

var errTotal = fmt.Errorf("%w: more than %d MiB in all; unpack it and name the files", ErrZipLimit, maxUnpacked>>20)

// within refuses a member that would unpack to more than is allowed.
func within(m *zip.File, left int64) error {
	most := max(ratioFree, int64(min(m.CompressedSize64, maxFile))*maxRatio)
	switch size := m.UncompressedSize64; {
	case size > uint64(most):
		return fmt.Errorf("%w: more than %d times its packed size, which no model does", ErrZipLimit, maxRatio)
	case size > uint64(left):
		return errTotal
	}
	return nil
}

func damaged(err error) error {
	if err == nil {
		err = errors.New("it is longer than the archive says")
	}
	return fmt.Errorf("cannot be unpacked (%v); the zip is damaged: copy or pack it again", err)
}

// hidden reports members that archivers add for themselves.
func hidden(name string) bool {
	return strings.HasPrefix(name, "__MACOSX/") || strings.HasPrefix(path.Base(name), ".")
}

func modelName(name string) bool {
	switch strings.ToLower(path.Ext(name)) {
	case ".ifc", ".ifcxml", ".ifcx":
		return true
	}
	return false
}

func listed(names []string) string {
	switch {
	case len(names) == 0:
		return "nothing"
	case len(names) > 5:
		return strings.Join(names[:5], ", ") + fmt.Sprintf(" and %d more", len(names)-5)
	}
	return strings.Join(names, ", ")
}
