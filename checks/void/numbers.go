package void

// numbers is a set of small numbers that is used again and again. The zero value is ready.
type numbers struct {
	list  []int32  // in the order in which they came
	stamp []uint32 // by number: the round in which it came
	round uint32
}

// reset empties the set and makes room for numbers below n.
func (x *numbers) reset(n int) *numbers {
	if len(x.stamp) < n {
		x.stamp, x.round = make([]uint32, n), 0
	}
	x.list = x.list[:0]
	x.round++
	return x
}

func (x *numbers) has(k int32) bool { return x.stamp[k] == x.round }

func (x *numbers) add(k int32) {
	if x.stamp[k] != x.round {
		x.stamp[k] = x.round
		x.list = append(x.list, k)
	}
}
