package source

import (
	"bytes"
	"strings"
	"unicode/utf8"
)

// Kind is what a file holds, told by its content and not by its name.
type Kind string

// The kinds of file.
const (
	STEP       Kind = "STEP"    // ISO 10303-21, IFC-SPF
	IFCXML     Kind = "ifcXML"  // either dialect
	IFC5       Kind = "IFC5"    // JSON with header and data
	Zip        Kind = "zip"     // opened by Load, never handed on
	LFSPointer Kind = "Git LFS" // a pointer instead of the file
	UTF16      Kind = "UTF-16"  // STEP or JSON text in UTF-16; XML in UTF-16 is IFCXML
	UTF32      Kind = "UTF-32"  // text of any kind in UTF-32
	Unknown    Kind = "unknown"
)

// Detect tells the kind from the first bytes.
func Detect(data []byte) Kind {
	if bytes.HasPrefix(data, []byte("PK\x03\x04")) || bytes.HasPrefix(data, []byte("PK\x05\x06")) {
		return Zip
	}
	if bytes.HasPrefix(data, []byte("version https://git-lfs")) {
		return LFSPointer
	}
	head := data[:min(len(data), 1<<16)]
	if isUTF32(head) {
		return UTF32
	}
	if wide := narrow(head); wide != nil {
		if bytes.HasPrefix(bytes.TrimLeft(wide, "\x00 \t\r\n"), []byte("<")) {
			return xmlKind(wide)
		}
		return UTF16
	}
	head = bytes.TrimLeft(bytes.TrimPrefix(head, []byte("\xef\xbb\xbf")), " \t\r\n")
	switch {
	case bytes.HasPrefix(head, []byte("<")):
		return xmlKind(head)
	case bytes.HasPrefix(head, []byte("{")):
		return IFC5
	case stepStart(head):
		return STEP
	}
	return Unknown
}

// xmlKind tells ifcXML from web pages, drawings and office documents: its elements, or the
// name spaces they are in, are called after IFC.
func xmlKind(head []byte) Kind {
	if bytes.Contains(bytes.ToLower(head), []byte("ifc")) {
		return IFCXML
	}
	return Unknown
}

// stepStart reports whether STEP text begins here, also one that lost its first line or has
// foreign lines before it.
func stepStart(head []byte) bool {
	for _, w := range []string{"ISO-10303-21", "HEADER;", "DATA;", "/*"} {
		if len(head) >= len(w) && strings.EqualFold(string(head[:len(w)]), w) {
			return true
		}
	}
	if len(head) > 1 && head[0] == '#' && head[1]-'0' <= 9 {
		return true
	}
	return bytes.Contains(head, []byte("ISO-10303-21;"))
}

// isUTF32 reports whether bytes are UTF-32 text: by its mark, which begins as that of UTF-16
// does, or by three NUL bytes beside each of the first two letters.
func isUTF32(head []byte) bool {
	if bytes.HasPrefix(head, []byte("\xff\xfe\x00\x00")) || bytes.HasPrefix(head, []byte("\x00\x00\xfe\xff")) {
		return true
	}
	if len(head) < 8 {
		return false
	}
	letter := func(i int) bool { // the only byte of four that is not NUL
		n := 0
		for _, c := range head[i/4*4 : i/4*4+4] {
			if c != 0 {
				n++
			}
		}
		return n == 1 && head[i] != 0
	}
	return letter(0) && letter(4) || letter(3) && letter(7)
}

// narrow returns the ASCII part of UTF-16 text, nil when the bytes are no UTF-16.
func narrow(head []byte) []byte {
	if len(head) < 4 {
		return nil
	}
	odd := 0 // 0: low byte first
	switch {
	case head[0] == 0xff && head[1] == 0xfe:
	case head[0] == 0xfe && head[1] == 0xff:
		odd = 1
	case head[1] == 0 && head[3] == 0 && head[0] != 0 && head[2] != 0:
	case head[0] == 0 && head[2] == 0 && head[1] != 0 && head[3] != 0:
		odd = 1
	default:
		return nil
	}
	r := make([]byte, 0, len(head)/2)
	for i := 0; i+1 < len(head); i += 2 {
		lo, hi := head[i+odd], head[i+1-odd]
		if hi == 0 && lo < utf8.RuneSelf {
			r = append(r, lo)
		}
	}
	return r
}
