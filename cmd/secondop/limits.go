package main

import (
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"secondop/cmd/secondop/internal/job"
	"secondop/fits"
)

func newLimits(a *app) *cobra.Command {
	var asJSON, asHole bool
	cmd := &cobra.Command{
		Use:   "limits SIZE [CLASS]",
		Short: "Turn a size and a class into limits",
		Long: `Turn a size and a class into limits: ISO 286 to 500 mm, the inch classes LT, LN
and FN, and tolerances of your own. Sizes are in mm unless they say otherwise;
values come in the unit of the size. Clearance is on diameter; negative is
interference.

  secondop limits 25 H7/p6           a fit
  secondop limits 12 P7              one class
  secondop limits 0.5in FN2          an inch class
  secondop limits "10 ±0.05"         your own tolerance
  secondop limits "10 ±0.05" N9      a hole for a bought insert`,
		Args: cobra.RangeArgs(1, 2),
		RunE: func(_ *cobra.Command, args []string) error {
			size, class := sizeText(args[0]), ""
			if len(args) == 2 {
				class = args[1]
			}
			if strings.HasPrefix(class, "±") || strings.HasPrefix(class, "+") { // a tolerance that the shell parted from its size
				size, class = sizeText(args[0]+" "+class), ""
			}
			fit, err := limitsOf(size, class, asHole)
			if err != nil {
				return err
			}
			if asJSON {
				return a.printJSON(limitsJSON(fit))
			}
			_, err = fmt.Fprint(a.stdout, limitsText(fit, size))
			return err
		},
	}
	cmd.Flags().BoolVar(&asJSON, "json", false, "print JSON")
	cmd.Flags().BoolVar(&asHole, "hole", false, "your own tolerance alone is a hole's (default: a shaft's)")
	return cmd
}

// sizeText is a size as typed, with its unit.
type sizeText string

// inch tells whether the size was typed in inches.
func (s sizeText) inch() bool {
	for _, unit := range []string{"in", `"`, "thou", "tenth", "mil", "ft"} {
		if strings.Contains(strings.ToLower(string(s)), unit) {
			return true
		}
	}
	return false
}

// bare tells whether the size was typed without a unit.
func (s sizeText) bare() bool {
	return strings.Trim(string(s), "0123456789.+-/±−, ") == ""
}

// limitsOf looks a size up. A size with a tolerance of its own is one side of a
// fit and the class the other.
func limitsOf(size sizeText, class string, asHole bool) (fits.Fit, error) {
	t, err := job.ParseTolerance(string(size), false)
	if err != nil {
		return fits.Fit{}, err
	}
	if !t.Given {
		if class == "" {
			return fits.Fit{}, fmt.Errorf("size %q needs a class such as H7/p6, or a tolerance of its own such as \"%s ±0.05\"", string(size), string(size))
		}
		fit, err := fits.Limits(t.SizeMM, class)
		if err == nil && fit.Hole != nil && fit.Hole.InThou && size.bare() {
			return fits.Fit{}, fmt.Errorf("%s is an inch class and %q has no unit: write %sin or %smm", fit.Class, string(size), string(size), string(size))
		}
		return fit, err
	}
	own, err := fits.Own(t.UpperMM, t.LowerMM)
	if err != nil {
		return fits.Fit{}, err
	}
	if class == "" {
		fit := fits.Fit{SizeMM: t.SizeMM, Class: own.Class, Standard: "own"}
		if asHole {
			fit.Hole = &own
		} else {
			fit.Shaft = &own
		}
		return fit, nil
	}
	other, err := fits.Limits(t.SizeMM, class)
	if err != nil {
		return fits.Fit{}, err
	}
	switch {
	case other.Hole != nil && other.Shaft != nil:
		return fits.Fit{}, fmt.Errorf("class %q says both sides, and %q one of them again: give one class", class, string(size))
	case other.Hole != nil:
		return fits.Between(t.SizeMM, *other.Hole, own), nil
	}
	return fits.Between(t.SizeMM, own, *other.Shaft), nil
}

type memberJSON struct {
	Class   string  `json:"class"`
	UpperUM float64 `json:"upper_um"`
	LowerUM float64 `json:"lower_um"`
}

type limitsBlock struct {
	Version     int         `json:"version"`
	SizeMM      float64     `json:"size_mm"`
	Hole        *memberJSON `json:"hole"`
	Shaft       *memberJSON `json:"shaft"`
	ClearanceUM *struct {
		Min float64 `json:"min"`
		Max float64 `json:"max"`
	} `json:"clearance_um"`
	Kind     *fits.Kind `json:"kind"`
	Standard string     `json:"standard"`
}

func limitsJSON(f fits.Fit) limitsBlock {
	b := limitsBlock{Version: 1, SizeMM: f.SizeMM, Standard: f.Standard}
	member := func(m *fits.Member) *memberJSON {
		if m == nil {
			return nil
		}
		return &memberJSON{Class: m.Class, UpperUM: m.UpperUM, LowerUM: m.LowerUM}
	}
	b.Hole, b.Shaft = member(f.Hole), member(f.Shaft)
	if f.Hole != nil && f.Shaft != nil {
		b.ClearanceUM = &struct {
			Min float64 `json:"min"`
			Max float64 `json:"max"`
		}{f.ClearanceMinUM, f.ClearanceMaxUM}
		b.Kind = &f.Kind
	}
	return b
}

func limitsText(f fits.Fit, size sizeText) string {
	units := job.Units{Inch: size.inch()}
	// A limit may end in half a micrometre or half a tenth of a thou: one digit
	// more than a size on the sheet.
	length := func(um float64) string {
		if units.Inch {
			return fmt.Sprintf("%.5f", (f.SizeMM+um/1000)/25.4)
		}
		return fmt.Sprintf("%.4f", f.SizeMM+um/1000)
	}
	unit := "mm"
	if units.Inch {
		unit = "in"
	}
	deviation := func(um float64) string {
		text := units.Small(um / 1000)
		if um > 0 {
			text = "+" + text
		}
		return text
	}
	var b strings.Builder
	fmt.Fprintf(&b, "%s  %s  (%s)\n", units.Length(f.SizeMM), f.Class, f.Standard)
	for _, m := range []struct {
		name   string
		member *fits.Member
	}{{"hole", f.Hole}, {"shaft", f.Shaft}} {
		if m.member != nil {
			fmt.Fprintf(&b, "  %-6s %-6s %11s %11s   %s to %s %s\n", m.name, m.member.Class,
				deviation(m.member.UpperUM), deviation(m.member.LowerUM), length(m.member.LowerUM), length(m.member.UpperUM), unit)
		}
	}
	if f.Hole != nil && f.Shaft != nil {
		fmt.Fprintf(&b, "  clearance on diameter %s to %s: %s\n", deviation(f.ClearanceMinUM), deviation(f.ClearanceMaxUM), f.Kind)
	}
	if f.FromMemory {
		b.WriteString("  this row of the table is from memory: check it against the standard\n")
	}
	return b.String()
}
