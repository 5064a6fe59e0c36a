package fits

// Choice is a fit that a standard recommends.
type Choice struct {
	Class  string
	Use    string
	Source string
}

const b42 = "ANSI B4.2-1978 (R1994), preferred metric fits"

// Preferred lists the preferred metric fits of ANSI B4.2 from the loosest to the
// tightest, hole basis first. An insert that is bought is a shaft: the shaft
// basis, or a window of your own, is the natural choice for it.
func Preferred() []Choice {
	uses := []string{
		"loose running", "free running", "close running", "sliding", "locational clearance",
		"locational transition", "locational transition, tighter", "locational interference (a transition fit to 3 mm)",
		"medium drive, the tightest for ordinary cast iron", "force",
	}
	var all []Choice
	for _, classes := range [][]string{
		{"H11/c11", "H9/d9", "H8/f7", "H7/g6", "H7/h6", "H7/k6", "H7/n6", "H7/p6", "H7/s6", "H7/u6"},
		{"C11/h11", "D9/h9", "F8/h7", "G7/h6", "H7/h6", "K7/h6", "N7/h6", "P7/h6", "S7/h6", "U7/h6"},
	} {
		for i, c := range classes {
			all = append(all, Choice{Class: c, Use: uses[i], Source: b42})
		}
	}
	return all
}

// InchClass is a class of ANSI B4.1 and the sizes, in inches, for which its
// table has rows.
type InchClass struct {
	Class        string
	OverIn, ToIn float64
	Use          string
}

var inchUses = map[string]string{
	"FN1": "light drive: thin sections, long fits, cast iron outside",
	"FN2": "medium drive: ordinary steel, about the tightest for good cast iron",
	"FN3": "heavy drive: heavier steel",
	"FN4": "force: parts that can be highly stressed",
	"FN5": "force, with a coarser hole: parts that can be highly stressed",
	"LN1": "locational interference, the lightest", "LN2": "locational interference", "LN3": "locational interference, the heaviest",
	"LT1": "locational transition, the loosest", "LT2": "locational transition, coarser", "LT3": "locational transition",
	"LT4": "locational transition, coarser", "LT5": "locational transition, tight", "LT6": "locational transition, the tightest",
}

// InchClasses lists the inch classes that the package knows.
func InchClasses() []InchClass {
	var all []InchClass
	at := map[string]int{}
	for _, r := range loadInch() {
		i, seen := at[r.class]
		if !seen {
			i = len(all)
			at[r.class] = i
			all = append(all, InchClass{Class: r.class, OverIn: r.over, Use: inchUses[r.class]})
		}
		all[i].ToIn = r.to
	}
	return all
}
