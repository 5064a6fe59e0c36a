package job

// Fault is one thing wrong or doubtful in a file.
type Fault struct {
	Pos   Pos
	Error bool // else a caution
	Says  string
	Path  string // key path, "fit.bore.depth"
	Span  int    // characters to mark
	Note  string
	Help  string
}
