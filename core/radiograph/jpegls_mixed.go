package radiograph

// mixedLine decodes one line of all components, sample by sample; they share
// one run (T.87, B.1.3).
func (m *lsModel) mixedLine(ls []lsLine) bool {
	w := len(ls[0].cur) - 2
	for x := 1; x <= w; {
		if !m.flat(ls, x) {
			if !m.mixedRegular(ls, x) {
				return false
			}
			x++
			continue
		}
		n, ended := m.run(&ls[0].run, w-x+1)
		if n < 0 {
			return false
		}
		for i := range ls {
			left := ls[i].cur[x-1]
			for k := range n {
				ls[i].cur[x+k] = left
			}
		}
		x += n
		if ended {
			if !m.mixedInterrupt(ls, x) {
				return false
			}
			x++
		}
	}
	return true
}

// flat reports whether every component is in the context of a run.
func (m *lsModel) flat(ls []lsLine, x int) bool {
	for i := range ls {
		if m.context(&ls[i], x) != 0 {
			return false
		}
	}
	return true
}

func (m *lsModel) mixedRegular(ls []lsLine, x int) bool {
	for i := range ls {
		l := &ls[i]
		v, ok := m.regular(m.context(l, x), l.cur[x-1], l.up[x], l.up[x-1])
		if !ok {
			return false
		}
		l.cur[x] = v
	}
	return true
}

func (m *lsModel) mixedInterrupt(ls []lsLine, x int) bool {
	for i := range ls {
		v, ok := m.interrupt(ls[i].cur[x-1], ls[i].up[x], runLength[ls[0].run], true)
		if !ok {
			return false
		}
		ls[i].cur[x] = v
	}
	ls[0].run = max(ls[0].run-1, 0)
	return true
}
