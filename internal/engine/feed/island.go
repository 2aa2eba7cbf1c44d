package feed

import "bankwright/internal/model/bank"

// Islands numbers the ends of a bank by what copper joins: two ends with one
// number are joined by cables and by parts that conduct, never through a
// battery or a device. Parts that cut names count as open; nil: none. Numbers
// come in the order of [bank.Bank.Ends].
func Islands(b *bank.Bank, cut func(*bank.Part) bool) map[bank.End]int {
	up := map[bank.End]bank.End{}
	var root func(e bank.End) bank.End
	root = func(e bank.End) bank.End {
		if above, ok := up[e]; ok && above != e {
			up[e] = root(above)
			return up[e]
		}
		return e
	}
	join := func(x, y bank.End) { up[root(x)] = root(y) }
	for i := range b.Cables {
		join(b.Cables[i].From, b.Cables[i].To)
	}
	for i := range b.Parts {
		p := &b.Parts[i]
		ends := p.Joined()
		for k := 1; k < len(ends) && !(cut != nil && cut(p)); k++ {
			join(ends[k-1], ends[k])
		}
	}
	number, all := map[bank.End]int{}, map[bank.End]int{}
	for _, e := range b.Ends() {
		r := root(e)
		if _, ok := number[r]; !ok {
			number[r] = len(number)
		}
		all[e] = number[r]
	}
	return all
}
