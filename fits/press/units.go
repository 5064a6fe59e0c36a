package press

// UM is a length of mm in µm.
func UM(mm float64) float64 { return mm * 1000 }
