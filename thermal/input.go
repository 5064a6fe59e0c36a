package thermal

import (
	"fmt"
	"math"
)

// InputError is one number that the model can't take: which, its value, its
// unit and the rule it breaks.
type InputError struct {
	Field string // "operation 2: removed volume"
	Value float64
	Unit  string
	Rule  string // "must be 0 or more"
	// Operation is the number, from 1, of the operation it belongs to, and
	// Quantity its field without that; 0 and Field when it belongs to none.
	Operation int
	Quantity  string
}

func (e *InputError) Error() string {
	if e.Unit == "" {
		return fmt.Sprintf("%s is %.4g, %s", e.Field, e.Value, e.Rule)
	}
	return fmt.Sprintf("%s is %.4g %s, %s", e.Field, e.Value, e.Unit, e.Rule)
}

const (
	absoluteZeroC = -273.15
	hottestC      = 3000.0
	stefanWM2K4   = 5.670374419e-8 // Source: CODATA 2018
	mm2           = 1e-6           // m²
	mm3           = 1e-9           // m³
)

// inputs collects the first thing wrong.
type inputs struct {
	err       error
	operation int // whose fields are being looked at; 0: none
	prefix    string
}

// of says that the fields to come are an operation's.
func (in *inputs) of(operation int, name string) {
	in.operation, in.prefix = operation, fmt.Sprintf("operation %d (%s): ", operation, name)
}

func (in *inputs) reject(field string, v float64, unit, rule string) {
	if in.err == nil {
		in.err = &InputError{Field: in.prefix + field, Value: v, Unit: unit, Rule: rule, Operation: in.operation, Quantity: field}
	}
}

func (in *inputs) positive(field string, v float64, unit string) {
	if !(v > 0 && v < math.Inf(1)) {
		in.reject(field, v, unit, "must be above 0")
	}
}

func (in *inputs) notNegative(field string, v float64, unit string) {
	if !(v >= 0 && v < math.Inf(1)) {
		in.reject(field, v, unit, "must be 0 or more")
	}
}

func (in *inputs) celsius(field string, v float64) {
	if !(v > absoluteZeroC && v < hottestC) {
		in.reject(field, v, "°C", fmt.Sprintf("must be above absolute zero (%g °C) and below %g °C", absoluteZeroC, hottestC))
	}
}

func (in *inputs) unit(field string, v float64) {
	if !(v >= 0 && v <= 1) {
		in.reject(field, v, "", "must be 0 to 1")
	}
}
