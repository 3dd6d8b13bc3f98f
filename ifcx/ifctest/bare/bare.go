// Package bare indexes STEP text in the plainest way, as a yardstick for speed.
package bare

// Index is what Scan finds: number, byte offset and kind of every instance, and the kinds by name.
type Index struct {
	IDs, Offs []uint32
	Kinds     []uint16
	Names     map[string]uint16
}

// Scan is the least that an index needs, written plainly: a loop over every byte that
// knows strings and comments and records number, type and offset of every instance. It is the
// yardstick for indexing; it sees no damage and checks nothing.
func Scan(d []byte) Index {
	x := Index{IDs: make([]uint32, 0, len(d)/64), Offs: make([]uint32, 0, len(d)/64), Kinds: make([]uint16, 0, len(d)/64), Names: map[string]uint16{}}
	state, start := byte(0), true
	for i := 0; i < len(d); i++ {
		c := d[i]
		switch state {
		case 0:
			switch c {
			case '\'':
				state = 1
			case ';':
				start = true
			case '*':
				if d[i-1] == '/' {
					state = 2
				}
			case '#':
				if start {
					i = x.add(d, i)
					start = false
				}
			}
		case 1:
			if c == '\'' {
				state = 0
			}
		case 2:
			if c == '/' && d[i-1] == '*' {
				state = 0
			}
		}
	}
	return x
}

// add records the instance whose number sign is at i and returns the offset of its opening parenthesis.
func (x *Index) add(d []byte, i int) int {
	at, id := i, uint32(0)
	for i++; i < len(d) && d[i]-'0' <= 9; i++ {
		id = id*10 + uint32(d[i]-'0')
	}
	for i < len(d) && (d[i] == ' ' || d[i] == '=') {
		i++
	}
	from := i
	for i < len(d) && d[i] != '(' {
		i++
	}
	k, ok := x.Names[string(d[from:i])]
	if !ok {
		k = uint16(len(x.Names))
		x.Names[string(d[from:i])] = k
	}
	x.IDs, x.Offs, x.Kinds = append(x.IDs, id), append(x.Offs, uint32(at)), append(x.Kinds, k)
	return i
}
