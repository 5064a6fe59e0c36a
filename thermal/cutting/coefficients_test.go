package cutting

import (
	"encoding/csv"
	"os"
	"strconv"
	"testing"

	"github.com/stretchr/testify/require"

	"secondop/thermal/material"
)

// The measured coefficient sets behind the shares of radial and axial force
// and behind two rows of aged aluminium.
func TestSharesLieWithinTheMeasuredSets(t *testing.T) {
	file, err := os.Open("testdata/milling_coefficients.csv")
	require.NoError(t, err)
	defer file.Close()
	rows, err := csv.NewReader(file).ReadAll()
	require.NoError(t, err)
	var radial, axial []float64
	number := func(s string) float64 {
		v, err := strconv.ParseFloat(s, 64)
		require.NoError(t, err)
		return v
	}
	al, err := material.KcOf("aluminium aged")
	require.NoError(t, err)
	inRange, sets := 0, 0
	for _, r := range rows[1:] {
		if r[9] == "" || r[2] == "MQL" || r[0] == "(material not named)" {
			continue
		}
		radial = append(radial, number(r[9]))
		if r[10] != "" {
			axial = append(axial, number(r[10]))
		}
		// The band of aged aluminium against each set at a chip of 0.03 mm.
		kc := number(r[3]) + number(r[4])/0.03
		band := kcBand(al, 0.03).by(sharpWear).ordered()
		sets++
		if band.Low <= kc*1.001 && kc <= band.High {
			inRange++
		}
	}
	require.Len(t, radial, 6)
	for name, c := range map[string]struct {
		share    Band
		measured []float64
	}{"radial": {radialShare, radial}, "axial": {axialShare, axial}} {
		under := 0
		for _, m := range c.measured {
			if m <= c.share.High+0.01 {
				under++
			}
		}
		require.Equalf(t, len(c.measured), under, "%s share: the high estimate %g covers %d of %d measured sets", name, c.share.High, under, len(c.measured))
	}
	require.GreaterOrEqualf(t, inRange, sets-1, "the band of aged aluminium takes in %d of %d measured sets; one 6061 set is far below all others", inRange, sets)
}
