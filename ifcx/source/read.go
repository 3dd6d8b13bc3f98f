package source

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"time"
)

// want is what is wanted of a file, for its errors.
type want struct {
	most                int64 // size in bytes
	folder, name, large string
}

// maxFile is the greatest size of a model file in bytes, and maxPipe what is taken from a
// pipe, whose size nobody knows before.
const (
	maxFile = 4<<30 - 1
	maxPipe = 1 << 30
)

var (
	aModel = &want{maxFile, "name the model files in it", "name a model file", "larger than 4 GiB; split the model"}
	aSmall = &want{maxPipe, "name a file", "name a file", "larger than 1 GiB; is this the right file?"}
)

// How long a pipe may keep silent before its first byte, and be without one who writes to it.
const (
	pipeWait  = 30 * time.Second
	writeWait = 2 * time.Second
)

// ReadSmall reads a file that is no model whole: settings, findings. The error names the file,
// the reason and the way out; that for a missing one is fs.ErrNotExist too.
func ReadSmall(name string) ([]byte, error) {
	data, _, err := readFile(name, aSmall, false)
	return data, err
}

// readFile reads a file, or maps it into memory where a look is enough and
// the system can.
func readFile(name string, w *want, look bool) (data []byte, isMap bool, err error) {
	f, info, err := open(name, w)
	if err != nil {
		return nil, false, err
	}
	defer func() {
		if !isMap {
			f.Close()
		}
	}()
	if !info.Mode().IsRegular() {
		data, err = readPipe(name, f, w == aModel)
		return data, false, err
	}
	if look {
		if d := mapped(f, info); d != nil {
			return d, true, nil
		}
	}
	data = make([]byte, info.Size())
	n, err := io.ReadFull(f, data)
	if err != nil && err != io.EOF && err != io.ErrUnexpectedEOF {
		return nil, false, fmt.Errorf("%s: cannot be read: %w", name, bare(err))
	}
	now, err := f.Stat()
	if err != nil || n < len(data) || now.Size() != info.Size() || !now.ModTime().Equal(info.ModTime()) {
		return nil, false, fmt.Errorf("%s: %w", name, ErrGone)
	}
	return data, false, nil
}

// open opens a regular file or a pipe.
func open(name string, w *want) (*os.File, fs.FileInfo, error) {
	info, err := os.Stat(name)
	if err == nil {
		switch mode := info.Mode(); {
		case mode.IsDir():
			return nil, nil, fmt.Errorf("%s: is a folder; %s", name, w.folder)
		case mode&fs.ModeDevice != 0:
			return nil, nil, fmt.Errorf("%s: is a device and no file; %s", name, w.name)
		case mode&fs.ModeSocket != 0:
			return nil, nil, fmt.Errorf("%s: is a socket and no file; %s", name, w.name)
		case info.Size() > w.most:
			return nil, nil, fmt.Errorf("%s: %s", name, w.large)
		}
		var f *os.File
		if f, err = os.OpenFile(name, os.O_RDONLY|noWait, 0); err == nil {
			if info, err = f.Stat(); err == nil { // of what is open now
				return f, info, nil
			}
			f.Close()
		}
	}
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return nil, nil, missing{name}
	case errors.Is(err, fs.ErrPermission):
		return nil, nil, fmt.Errorf("%s: no permission to read it; ask its owner for access", name)
	}
	return nil, nil, fmt.Errorf("%s: cannot be read: %w; check the name, the disk and the network", name, bare(err))
}

// missing is the error for a file that is not there.
type missing struct{ name string }

func (m missing) Error() string {
	return m.name + ": there is no such file; check the name and the folder"
}

func (missing) Unwrap() error { return fs.ErrNotExist }

// readPipe reads a pipe to its end. One that nobody writes to is an error, and so is one that
// does not end; what does not begin as a model is read no further where a model is wanted.
func readPipe(name string, f *os.File, model bool) ([]byte, error) {
	begin := make([]byte, sniff)
	n, err := firstOfPipe(f, begin)
	if n == 0 {
		return nil, fmt.Errorf("%s: nothing comes through this pipe; name a file, or start what writes to it first", name)
	}
	if model && err == nil {
		more, e := io.ReadFull(f, begin[n:])
		if n += more; e == nil {
			x := &File{Name: name, Data: begin, Kind: Detect(begin)}
			if err := x.usable(); err != nil {
				return nil, err
			}
		} else if e != io.EOF && e != io.ErrUnexpectedEOF {
			return nil, fmt.Errorf("%s: cannot be read: %w", name, bare(e))
		}
	}
	var all bytes.Buffer
	all.Write(begin[:n])
	if _, err := io.Copy(&all, io.LimitReader(f, maxPipe+1-int64(n))); err != nil {
		return nil, fmt.Errorf("%s: cannot be read: %w", name, bare(err))
	}
	if all.Len() > maxPipe {
		return nil, fmt.Errorf("%s: more than %d GiB comes through this pipe; write it into a file and name that", name, maxPipe>>30)
	}
	return all.Bytes(), nil
}

// firstOfPipe waits for the first bytes of a pipe. A named pipe that is not yet written to
// looks as if it had ended.
func firstOfPipe(f *os.File, b []byte) (n int, err error) {
	until := time.Now().Add(writeWait)
	deadline := f.SetReadDeadline(time.Now().Add(pipeWait)) == nil
	for {
		n, err = f.Read(b)
		if n > 0 || err != io.EOF || time.Now().After(until) {
			break
		}
		time.Sleep(20 * time.Millisecond)
	}
	if deadline {
		_ = f.SetReadDeadline(time.Time{})
	}
	return n, err
}

// bare takes the operation and path off a file error, for messages that name the file already.
func bare(err error) error {
	if p, ok := errors.AsType[*fs.PathError](err); ok {
		return p.Err
	}
	return err
}
