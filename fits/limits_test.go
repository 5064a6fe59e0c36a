package fits

import "testing"

func TestPublishedValues(t *testing.T) {
	cases, err := CheckCases()
	if err != nil {
		t.Fatal(err)
	}
	seen := 0
	for _, c := range cases {
		if !c.Agrees() {
			t.Errorf("%s = got %g %s, want %g %s (±%g; %s)", c.What, c.Ours, c.Unit, c.Published, c.Unit, c.Tolerance, c.Source)
		}
		if !c.FromMemory {
			seen++
		}
	}
	t.Log(len(cases), seen)
	if seen < 500 {
		t.Errorf("published values seen in a source: got %d, want at least 500", seen)
	}
}
