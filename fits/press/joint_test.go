package press

import "testing"

func TestPublishedExamples(t *testing.T) {
	cases, err := CheckCases()
	if err != nil {
		t.Fatal(err)
	}
	seen := 0
	for _, c := range cases {
		if !c.Agrees() {
			t.Errorf("%s = got %.5g %s, want %.5g %s (±%.2g; %s)", c.What, c.Ours, c.Unit, c.Published, c.Unit, c.Tolerance, c.Source)
		}
		if !c.FromMemory {
			seen++
		}
	}
	if seen < 20 {
		t.Errorf("published values seen in a source: got %d, want at least 20", seen)
	}
	t.Log(len(cases), seen)
}
