package job

import "strings"

// Near returns the one word of choices that is near to what was typed, or ""
// if none is, or more than one.
func Near(typed string, choices []string) string { return nearest(typed, choices) }

// nearest allows one slip in a word of three letters, two from five, three from
// nine; a word that holds what was typed is near too, and one with which it
// begins. Swapped neighbours are one slip.
func nearest(typed string, choices []string) string {
	t := []rune(fold(typed))
	if len(t) > maxName {
		return ""
	}
	slips := 1
	switch {
	case len(t) >= 9:
		slips = 3
	case len(t) >= 5:
		slips = 2
	case len(t) <= 2:
		slips = 0
	}
	found := ""
	for _, c := range choices {
		w := []rune(fold(c))
		holds := min(len(t), len(w)) >= 3 && (strings.Contains(string(w), string(t)) || strings.HasPrefix(string(t), string(w)))
		if len(t) == 0 || !holds && editDistance(t, w) > min(slips, max(1, len(w)/2)) {
			continue
		}
		if string(t) == string(w) {
			return c
		}
		if found != "" && found != c {
			return ""
		}
		found = c
	}
	return found
}

// fold makes words alike that differ in case, underscores, hyphens and spaces.
func fold(s string) string {
	return strings.Join(strings.FieldsFunc(strings.ToLower(s), func(r rune) bool { return r == '_' || r == '-' || r == ' ' }), " ")
}

// editDistance counts insertions, deletions, replacements and swaps of
// neighbours (the optimal string alignment distance).
func editDistance(a, b []rune) int {
	before, last := []int(nil), make([]int, len(b)+1)
	for j := range last {
		last[j] = j
	}
	for i := 1; i <= len(a); i++ {
		row := make([]int, len(b)+1)
		row[0] = i
		for j := 1; j <= len(b); j++ {
			change := 1
			if a[i-1] == b[j-1] {
				change = 0
			}
			row[j] = min(last[j]+1, row[j-1]+1, last[j-1]+change)
			if i > 1 && j > 1 && a[i-1] == b[j-2] && a[i-2] == b[j-1] {
				row[j] = min(row[j], before[j-2]+1)
			}
		}
		before, last = last, row
	}
	return last[len(b)]
}

func listOr(words []string) string { return listed(words, " or ") }

func listAnd(words []string) string { return listed(words, " and ") }

func listed(words []string, last string) string {
	if len(words) < 2 {
		return strings.Join(words, "")
	}
	return strings.Join(words[:len(words)-1], ", ") + last + words[len(words)-1]
}
