package press

import (
	"fmt"
	"math"
	"strings"
)

// Verdict is the judgement of one check or of all.
type Verdict string

// From best to worst.
const (
	Go      Verdict = "go"
	Caution Verdict = "caution"
	Stop    Verdict = "stop"
)

// Worse returns the worse of two verdicts.
func (v Verdict) Worse(w Verdict) Verdict {
	rank := map[Verdict]int{Go: 0, Caution: 1, Stop: 2}
	if rank[w] > rank[v] {
		return w
	}
	return v
}

// Quantity is a number with its unit: mm, µm, N, MPa, °C, K or Nmm.
type Quantity struct {
	Value float64
	Unit  string
}

// String writes the number with no more digits than the model can defend:
// micrometres for sizes, whole newtons and megapascals.
func (q Quantity) String() string {
	switch q.Unit {
	case "mm":
		return fmt.Sprintf("%.3f mm", q.Value)
	case "µm":
		return fmt.Sprintf("%.0f µm", q.Value)
	case "°C", "K":
		return fmt.Sprintf("%.0f %s", q.Value, q.Unit)
	}
	switch a := math.Abs(q.Value); {
	case a >= 9.95:
		return fmt.Sprintf("%.0f %s", q.Value, q.Unit)
	case a >= 0.095:
		return fmt.Sprintf("%.1f %s", q.Value, q.Unit)
	}
	return fmt.Sprintf("%.2g %s", q.Value, q.Unit)
}

// Reason is one check's verdict. Its words have gaps for its numbers, so that
// they can be said in any unit.
type Reason struct {
	Check   string // hold, yield, insert, press, wall, size, class, bond, seat, air, heat, material
	Verdict Verdict
	words   string // each % stands for the next number
	numbers []Quantity
}

// Says returns the reason in words. write turns each number into text in the
// reader's units; nil writes the numbers as they are, in mm, µm, N and MPa.
func (r Reason) Says(write func(Quantity) string) string {
	if write == nil {
		write = Quantity.String
	}
	var b strings.Builder
	rest := r.words
	for _, q := range r.numbers {
		before, after, _ := strings.Cut(rest, "%")
		b.WriteString(before)
		b.WriteString(write(q))
		rest = after
	}
	b.WriteString(rest)
	return b.String()
}

func mm(v float64) Quantity     { return Quantity{v, "mm"} }
func um(v float64) Quantity     { return Quantity{v * 1000, "µm"} } // from mm
func newton(v float64) Quantity { return Quantity{v, "N"} }
func mpa(v float64) Quantity    { return Quantity{v, "MPa"} }
func degC(v float64) Quantity   { return Quantity{v, "°C"} }
