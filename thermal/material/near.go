package material

import (
	"slices"
	"strings"
)

// nearest is how many names an UnknownError lists.
const nearest = 5

// near returns the names nearest to name; index holds all aliases of each. A
// row is as near as the nearest of its aliases. A name that contains the other
// or is contained in it is nearer than one that needs its letters changed.
func near(name string, names []string, index map[string]int) []string {
	want := plain(name)
	best := make([]float64, len(names))
	for i := range best {
		best[i] = 1
	}
	for alias, i := range index {
		best[i] = min(best[i], distance(want, alias))
	}
	order := make([]int, len(names))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int {
		switch {
		case best[a] < best[b]:
			return -1
		case best[a] > best[b]:
			return 1
		}
		return 0
	})
	var out []string
	for _, i := range order {
		if best[i] <= 0.6 && len(out) < nearest {
			out = append(out, names[i])
		}
	}
	if out == nil {
		return slices.Clone(names)
	}
	return out
}

// distance is 0 for equal names and 1 for names with nothing in common: the
// edits over the longer length, halved when one name contains the other.
func distance(a, b string) float64 {
	if a == "" || b == "" {
		return 1
	}
	d := float64(edits(a, b)) / float64(max(len(a), len(b)))
	if strings.Contains(a, b) || strings.Contains(b, a) {
		d /= 2
	}
	return d
}

// edits is the Levenshtein distance.
func edits(a, b string) int {
	row := make([]int, len(b)+1)
	for j := range row {
		row[j] = j
	}
	for i := range len(a) {
		diagonal := row[0]
		row[0] = i + 1
		for j := range len(b) {
			change := diagonal
			if a[i] != b[j] {
				change++
			}
			diagonal = row[j+1]
			row[j+1] = min(change, row[j]+1, row[j+1]+1)
		}
	}
	return row[len(b)]
}
