package step

import (
	"bytes"
	"fmt"
)

// endReason says how the search for the end of a record came out.
type endReason uint8

const (
	endFound     endReason = iota
	endOfFile              // no semicolon up to the end of the file
	endInString            // a string is not closed before the next instance or the end of the file
	endInComment           // a comment is not closed
	endMissing             // the next instance begins before a semicolon
)

// window is how far ahead the byte searches look at once: longer than most records, and
// short enough that text without semicolons costs no more than a few windows a record.
const window = 512

// endOfRecord returns the offset behind the semicolon that ends the record whose body
// begins at i, or where reading should go on and why there is no end.
func endOfRecord(d []byte, i int) (int, endReason) {
	start := i
	for i < len(d) {
		part := d[i:min(len(d), i+window)]
		semi := bytes.IndexByte(part, ';')
		if semi >= 0 {
			part = part[:semi]
		}
		quote := bytes.IndexByte(part, '\'')
		if quote >= 0 {
			part = part[:quote]
		}
		comment := commentStart(d, i, i+len(part))
		if comment >= 0 {
			part = d[i:comment]
		}
		if bytes.IndexByte(part, '=') >= 0 {
			if k := instanceWithin(d, start, i, i+len(part)); k >= 0 {
				return k, endMissing
			}
		}
		switch {
		case comment >= 0:
			j := bytes.Index(d[comment+2:], []byte("*/"))
			if j < 0 {
				return len(d), endInComment
			}
			i = comment + 2 + j + 2
		case quote >= 0:
			next, closed := skipString(d, i+quote)
			if !closed {
				return next, endInString
			}
			i = next
		case semi >= 0:
			return i + semi + 1, endFound
		default:
			i += len(part)
		}
	}
	return len(d), endOfFile
}

// commentStart returns the offset of the first comment that begins in d[from:to], or -1.
func commentStart(d []byte, from, to int) int {
	for from < to {
		k := bytes.IndexByte(d[from:to], '/')
		if k < 0 {
			break
		}
		from += k + 1
		if from < len(d) && d[from] == '*' {
			return from - 1
		}
	}
	return -1
}

// instanceWithin returns the offset of the first "#12=" whose = lies in d[from:to] and
// whose # lies at or behind start, or -1.
func instanceWithin(d []byte, start, from, to int) int {
	for from < to {
		k := bytes.IndexByte(d[from:to], '=')
		if k < 0 {
			break
		}
		j := from + k
		for j > start && d[j-1] <= ' ' {
			j--
		}
		end := j
		for j > start && d[j-1]-'0' <= 9 {
			j--
		}
		if j < end && j > start && d[j-1] == '#' {
			return j - 1
		}
		from += k + 1
	}
	return -1
}

// skipString returns the offset behind the string that opens at i. A doubled quote looks
// like the end of one string and the start of another, which serves here. When the string
// is not closed it returns where the next instance begins.
//
// The directive \S\ takes one more character, which may be a quote. A string that runs over
// a line break into "#12=" is taken for one that lost its quote: legal strings hold no line
// breaks, and real ones that do hold no instances.
func skipString(d []byte, i int) (int, bool) {
	i++
	start := i
	for {
		k := bytes.IndexByte(d[i:], '\'')
		if k < 0 {
			return nextInstance(d, start), false
		}
		inner := d[i : i+k]
		if bytes.IndexByte(inner, '\\') >= 0 {
			if j := quoteInShift(d, i, i+k); j > 0 {
				i = j
				continue
			}
		}
		if bytes.IndexByte(d[start:i+k], '\n') >= 0 {
			if n := instanceLine(d, start, i+k); n >= 0 {
				return n, false
			}
		}
		return i + k + 1, true
	}
}

// quoteInShift looks at the directives in d[i:q], q being a quote. When that quote is the
// character of an \S\ directive the offset behind it is returned, else 0.
func quoteInShift(d []byte, i, q int) int {
	for i < q {
		k := bytes.IndexByte(d[i:q], '\\')
		if k < 0 {
			return 0
		}
		i += k
		switch {
		case i+1 < q && d[i+1] == '\\':
			i += 2
		case i+2 < q && d[i+1] == 'S' && d[i+2] == '\\':
			if i+3 == q {
				return q + 1
			}
			i += 4
		default:
			i++
		}
	}
	return 0
}

// instanceLine returns the offset of a line in d[from:to] that begins with "#12=", or -1.
func instanceLine(d []byte, from, to int) int {
	for {
		k := bytes.IndexByte(d[from:to], '\n')
		if k < 0 {
			return -1
		}
		from += k + 1
		if startsInstance(d, from) {
			return skipBlank(d, from)
		}
	}
}

// startsInstance reports whether "#12=" stands at i, after white space.
func startsInstance(d []byte, i int) bool {
	for i < len(d) && d[i] <= ' ' {
		i++
	}
	if i >= len(d) || d[i] != '#' {
		return false
	}
	j := i + 1
	for j < len(d) && d[j]-'0' <= 9 {
		j++
	}
	if j == i+1 {
		return false
	}
	for j < len(d) && d[j] <= ' ' {
		j++
	}
	return j < len(d) && d[j] == '='
}

// nextInstance returns the offset at or behind i where a line begins with "#12=" or a
// section ends, or the end of the data. Where there are no line breaks, semicolons serve.
func nextInstance(d []byte, i int) int {
	for i < len(d) {
		part := d[i:min(len(d), i+8*window)]
		k := bytes.IndexByte(part, '\n')
		if k < 0 {
			if k = bytes.IndexByte(part, ';'); k < 0 {
				i += len(part)
				continue
			}
		}
		i += k + 1
		if startsInstance(d, i) || bytes.HasPrefix(d[i:], []byte("ENDSEC")) {
			return skipBlank(d, i)
		}
	}
	return len(d)
}

// skipBlank passes over white space and comments; a comment that is not closed goes to the end.
func skipBlank(d []byte, i int) int {
	for i < len(d) {
		switch c := d[i]; {
		case c == ' ' || c == '\n' || c == '\r' || c == '\t' || c == '\f' || c == '\v':
			i++
		case c == '/' && i+1 < len(d) && d[i+1] == '*':
			k := bytes.Index(d[i+2:], []byte("*/"))
			if k < 0 {
				return len(d)
			}
			i += 2 + k + 2
		default:
			return i
		}
	}
	return i
}

func isLetter(c byte) bool { return c|0x20 >= 'a' && c|0x20 <= 'z' }

// isWord reports whether c may stand in an entity name; ! opens user-defined ones.
func isWord(c byte) bool { return isLetter(c) || c-'0' <= 9 || c == '_' || c == '!' }

// clip shortens text for a message.
func clip(s string) string {
	if len(s) > 40 {
		return s[:40] + "..."
	}
	return s
}

func quoteByte(c byte) string {
	if c == 0 {
		return "a NUL byte"
	}
	return fmt.Sprintf("%q", rune(c))
}
