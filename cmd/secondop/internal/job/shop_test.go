package job

import (
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

const shopText = `# the mill by the window
secondop: 1
units: inch

table:                      # bought second-hand
  grid: {pitch: 1.5, columns: 9, rows: 7, thread: 1/4-20}

printer: {inside: 0.004}    # fit slice of the blue spool

tools:
  6 mm: {diameter: 6 mm, flutes: 2}
  "1/8": {diameter: 1/8, flutes: 2}   # the good one
clamp: {force: 200 lbf}
machine: light gantry
`

func TestTheShopFileServesWhereTheJobIsSilent(t *testing.T) {
	src, err := os.ReadFile("testdata/base.yaml")
	require.NoError(t, err)
	text := string(src)
	cutOut := func(old string) {
		require.Equal(t, 1, strings.Count(text, old))
		text = strings.Replace(text, old, "", 1)
	}
	cutOut("table:\n  grid: {pitch: 25, columns: 12, rows: 8, thread: M6}\n")
	cutOut("clamp: {kind: bar clamp}\n")
	shop := shopText + "calibration: {share: [20 %, 25 %, 32 %], from: a test block, date: 2026-01-31}\n"
	j, faults := Read("lid.yaml", []byte(text), "shop.yaml", []byte(shop))
	require.NotNil(t, j, printed(t, faults))

	require.Equal(t, 38.1, j.Table.Grid.PitchXMM, "a bare length of the shop file is in its own units")
	require.Equal(t, 12.0, j.Jaws.GripMM, "and one of the job in the job's")
	require.False(t, j.Inch)
	require.Equal(t, 0.1016, j.Jaws.PrinterInsideMM)
	require.Equal(t, 0.05, j.Jaws.PrinterOutsideMM, "what the shop's printer leaves out is the default")
	require.InDelta(t, 889.644, j.Clamp.ForceN, 1e-3)
	require.Equal(t, "light gantry", j.Machine.Kind)
	require.Equal(t, &Band{0.20, 0.25, 0.32}, j.Cut.Share)
	require.Equal(t, "calibration: a test block, 2026-01-31", j.Cut.ShareFrom)
	require.Len(t, j.Tools, 2)
	require.Equal(t, 15.0, j.Tool("6 mm").FluteLengthMM, "the job's tool wins over the shop's of the same name")
	require.Equal(t, 3.175, j.Tool("1/8").DiameterMM)
	at, ok := j.At("table.grid.pitch")
	require.True(t, ok)
	require.Equal(t, Pos{"shop.yaml", 6, 17}, at)
}

func TestTheJobWinsOverTheShopFile(t *testing.T) {
	src, err := os.ReadFile("testdata/everything.yaml")
	require.NoError(t, err)
	alone := mustRead(t, "x.yaml", src)
	shop := strings.Replace(shopText, `  "1/8": {diameter: 1/8, flutes: 2}   # the good one`+"\n", "", 1) + "calibration: {share: [20 %, 25 %, 32 %], from: a test block}\n"
	with, faults := Read("x.yaml", src, "shop.yaml", []byte(shop))
	require.NotNil(t, with, printed(t, faults))
	alone.Read, with.Read, alone.places, with.places = nil, nil, nil, nil
	require.Equal(t, alone, with)
}

func TestSettingsKeepTheRestOfTheShopFile(t *testing.T) {
	c := Calibration{Low: 0.1834, Likely: 0.25, High: 0.3117, From: `lid "back": rough`, Date: "2026-01-31"}
	got, faults := SetCalibration("shop.yaml", []byte(shopText), true, c)
	require.Empty(t, faults)
	section := "calibration:\n  share: [18.3 %, 25 %, 31.2 %]\n  from: \"lid \\\"back\\\": rough\"\n  date: \"2026-01-31\"\n"
	require.Equal(t, shopText+section, string(got))

	c.Likely = 0.27
	again, faults := SetCalibration("shop.yaml", got, true, c)
	require.Empty(t, faults)
	require.Equal(t, strings.Replace(string(got), "25 %", "27 %", 1), string(again))

	printer, faults := SetPrinter("shop.yaml", []byte(shopText), true, 0.0508, 0.127)
	require.Empty(t, faults)
	require.Equal(t, strings.Replace(shopText, "{inside: 0.004}", "{outside: 0.002 in, inside: 0.005 in}", 1), string(printer))

	block := "units: mm\nprinter:\n    # measured twice\n    outside: 0.1   # too much\n"
	printer, faults = SetPrinter("shop.yaml", []byte(strings.ReplaceAll(block, "\n", "\r\n")), false, 0.05, -0.02)
	require.Empty(t, faults)
	require.Equal(t, "units: mm\r\nprinter:\r\n    # measured twice\r\n    inside: -0.02 mm\r\n    outside: 0.05 mm   # too much\r\n", string(printer))

	empty, faults := SetPrinter("shop.yaml", nil, false, 0.05, 0.1)
	require.Empty(t, faults)
	require.Equal(t, "# What the jobs beside this file share: table, printer, tools, clamp, machine.\nsecondop: 1\nunits: mm\nprinter:\n  outside: 0.05 mm\n  inside: 0.1 mm\n", string(empty))
	base, err := os.ReadFile("testdata/base.yaml")
	require.NoError(t, err)
	for _, shop := range [][]byte{got, again, printer, empty} {
		j, faults := Read("lid.yaml", base, "shop.yaml", shop)
		require.NotNil(t, j, printed(t, faults))
	}
}

func TestAShopFileThatCannotBeEditedIsSaid(t *testing.T) {
	for src, says := range map[string]string{
		"units: [mm\n":                   "bracket",
		"printer: 3\n":                   "printer is no section of keys",
		"printer: {}\n":                  "printer is no section of keys",
		"{units: mm}\n":                  "can't be edited without harm",
		"units: mm\n---\na: 1\n":         "second document",
		"printer: {outside: [1,\n 2]}\n": "outside is not written on one line",
		"printer: {outside: {a: 1}}\n":   "outside is not written on one line",
	} {
		out, faults := SetPrinter("shop.yaml", []byte(src), false, 0.05, 0.1)
		require.Nil(t, out, src)
		require.Contains(t, faults[0].Says, says, src)
	}
}

func FuzzShop(f *testing.F) {
	f.Add([]byte(shopText))
	f.Add([]byte("printer:\n  outside: 0.1\n"))
	f.Add([]byte("calibration: {share: [1 %, 2 %, 3 %], from: x}\n"))
	f.Fuzz(func(t *testing.T, src []byte) {
		out, faults := SetCalibration("s", src, false, Calibration{0.1, 0.2, 0.3, "a: b # c", "2026-01-31"})
		if (out == nil) == (len(faults) == 0) {
			t.Fatalf("SetCalibration(%q) = %q with %d faults", src, out, len(faults))
		}
		if out == nil {
			return
		}
		again, faults := SetCalibration("s", out, false, Calibration{0.1, 0.2, 0.3, "a: b # c", "2026-01-31"})
		if len(faults) > 0 || string(again) != string(out) {
			t.Fatalf("SetCalibration is not settled: %q, then %q (%v)", out, again, faults)
		}
	})
}
