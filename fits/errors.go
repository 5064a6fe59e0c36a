package fits

import (
	"fmt"
	"strings"
)

// ClassError is a class that does not exist, or not at the size.
type ClassError struct {
	Class  string
	SizeMM float64
	Rule   string
	Near   []string // classes that do exist and are near
	Inch   bool     // the class is an inch class: the size reads better in inches
}

func (e *ClassError) Error() string {
	text := fmt.Sprintf("class %q at %s: %s", e.Class, sizeText(e.SizeMM, e.Inch), e.Rule)
	if len(e.Near) > 0 {
		text += "; near it: " + strings.Join(e.Near, ", ")
	}
	return text
}

// SizeError is a size outside a standard's tables. MaxMM is their end, or 0.
type SizeError struct {
	SizeMM, MaxMM float64
	Class         string
	Rule          string
	Inch          bool
}

func (e *SizeError) Error() string {
	text := fmt.Sprintf("size %s for class %q: %s", sizeText(e.SizeMM, e.Inch), e.Class, e.Rule)
	if e.Inch && e.MaxMM > 0 {
		text += fmt.Sprintf(", %.5g in", e.MaxMM/mmPerInch)
	}
	return text
}

// ToleranceError is a tolerance of your own that cannot be.
type ToleranceError struct {
	UpperMM, LowerMM float64
	Rule             string
}

func (e *ToleranceError) Error() string {
	return fmt.Sprintf("tolerance %+g/%+g mm: %s", e.UpperMM, e.LowerMM, e.Rule)
}

func sizeText(sizeMM float64, inch bool) string {
	if inch {
		return fmt.Sprintf("%.6g in", sizeMM/mmPerInch)
	}
	return fmt.Sprintf("%.7g mm", sizeMM)
}
