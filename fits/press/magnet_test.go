package press

import (
	"math"
	"testing"
)

func TestPullTry(t *testing.T) {
	p, _ := Pull(10, 3, 1.32)
	t.Log(p)
	p, _ = Pull(10, 300, 1.3)
	t.Log(p, 1.3*1.3*math.Pi*25e-6/2/(4e-7*math.Pi))
	t.Log(midField(0, 0.6), 0.6/math.Hypot(0.6, 1), midField(1-1e-9, .6), midField(1+1e-9, .6), midField(1000, .6)*1e9)
}
